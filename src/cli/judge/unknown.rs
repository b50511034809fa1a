//! Fields of a request that say nothing: misspelt ones are an error, others
//! are named in the response, so that nothing is passed over in silence.

use serde_json::{Map, Value};

use super::request::{Refusal, Request};
use crate::text::suggest::nearest;

/// The tasks with the fields that each reads, besides `id` and `task`.
const TASKS: [(&str, &[&str]); 7] = [
    ("rearrange", &["formula", "subject", "answer", "quantities"]),
    ("line", &["before", "after", "quantities"]),
    ("working", &["formula", "subject", "lines", "quantities"]),
    ("isolate", &["formula", "subject", "quantities"]),
    (
        "proof",
        &[
            "given",
            "goal",
            "lines",
            "quantities",
            "functions",
            "helpers",
            "approximations",
            "marks",
        ],
    ),
    ("definition", &["term", "answer"]),
    (
        "proportion",
        &[
            "formula",
            "subject",
            "varied",
            "scale",
            "answer",
            "quantities",
        ],
    ),
];

/// The fields of a quantity that is an object.
const OF_QUANTITY: [&str; 2] = ["domain", "unit"];

/// The tasks, each in quotation marks.
pub(super) fn tasks() -> String {
    let quoted: Vec<String> = TASKS
        .iter()
        .map(|(task, _)| format!("\"{task}\""))
        .collect();
    quoted.join(", ")
}

/// The field that was meant: near by spelling, and not given otherwise.
fn meant<'n>(typed: &str, known: &[&'n str], given: impl Fn(&str) -> bool) -> Option<&'n str> {
    let missing = known.iter().copied().filter(|name| !given(name));
    nearest(typed, missing).map(|(name, _)| name)
}

fn misspelt(typed: &str, meant: &str) -> String {
    format!("the field \"{typed}\" is not known; did you mean \"{meant}\"?")
}

/// What to say of the fields that `request` has and its task does not read;
/// `unknown` are those that no task has.
pub(super) fn warnings(request: &Request<'_>, unknown: &[String]) -> Result<Vec<String>, Refusal> {
    let task = request.task.as_deref();
    if task.is_none()
        && let Some((typed, meant)) = unknown
            .iter()
            .find_map(|typed| Some((typed, meant(typed, &["task"], |_| false)?)))
    {
        return Err(Refusal::Request(misspelt(typed, meant)));
    }
    let Some((task, read)) = TASKS.iter().find(|(name, _)| Some(*name) == task) else {
        return Ok(Vec::new());
    };
    let given = request.given();
    let mut warnings = Vec::new();
    for typed in unknown {
        if let Some(meant) = meant(typed, read, |name| given.contains(&name)) {
            return Err(Refusal::Request(misspelt(typed, meant)));
        }
        warnings.push(format!("the field \"{typed}\" is not known: passed over"));
    }
    for name in given {
        if !read.contains(&name) {
            warnings.push(format!(
                "the task \"{task}\" has no field \"{name}\": passed over"
            ));
        }
    }
    Ok(warnings)
}

/// Refuses a quantity with a field that may have been meant to say something
/// of it.
pub(super) fn check_quantity(name: &str, fields: &Map<String, Value>) -> Result<(), Refusal> {
    let silent = !OF_QUANTITY.iter().any(|known| fields.contains_key(*known));
    for typed in fields.keys() {
        if OF_QUANTITY.contains(&typed.as_str()) {
            continue;
        }
        let error = match meant(typed, &OF_QUANTITY, |known| fields.contains_key(known)) {
            Some(meant) => misspelt(typed, meant),
            None if silent => format!(
                "the field \"{typed}\" is not known; a quantity has \"domain\" and \"unit\""
            ),
            None => continue,
        };
        return Err(Refusal::Request(format!(
            "the quantity \"{name}\": {error}"
        )));
    }
    Ok(())
}
