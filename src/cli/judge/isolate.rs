//! The task `isolate`.

use serde_json::{Map, Value, json};

use crate::reason::answer;
use crate::reason::isolate::{NoForm, Outcome, isolate};
use crate::show::explicit::{explicit, explicit_equation};
use crate::show::line::Spelling;
use crate::show::steps::Words;
use crate::text::{Undeclared, read};

use super::request::{Refusal, Request, declared, missing, subject_symbol};

/// The response to one request.
pub(super) fn respond(request: &Request<'_>) -> Result<Map<String, Value>, Refusal> {
    let formula = request
        .formula
        .as_deref()
        .ok_or_else(|| missing("formula"))?;
    let subject = request
        .subject
        .as_deref()
        .ok_or_else(|| missing("subject"))?;
    let mut vocabulary = declared(&request.quantities()?)?;
    let symbol = subject_symbol(subject, &mut vocabulary)?;
    let readings = read(formula, &mut vocabulary, Undeclared::Declare)?;
    let [equation] = answer::equations(&readings.preferred)
        .try_into()
        .map_err(|_| Refusal::Request("\"formula\" must be one equation".to_owned()))?;
    let table = vocabulary.table();
    let words = Words {
        table,
        spelling: Spelling::Ascii,
        subject: symbol,
    };
    let mut response = Map::new();
    match isolate(&equation, symbol, table) {
        Outcome::Solved {
            solutions,
            complete,
            dropped,
        } => {
            response.insert("verdict".into(), "solved".into());
            response.insert(
                "solutions".into(),
                solutions
                    .iter()
                    .map(|solution| explicit(&solution.value, table))
                    .collect::<Vec<_>>()
                    .into(),
            );
            let steps: Vec<Value> = solutions
                .first()
                .map(|solution| solution.path.as_slice())
                .unwrap_or_default()
                .iter()
                .map(|step| {
                    let conditions: Vec<String> = step
                        .conditions
                        .iter()
                        .map(|condition| words.condition(condition))
                        .collect();
                    let condition = if conditions.is_empty() {
                        Value::Null
                    } else {
                        conditions.join(", ").into()
                    };
                    json!({
                        "operation": words.sentence(step),
                        "condition": condition,
                        "equation": explicit_equation(&step.equation, table),
                    })
                })
                .collect();
            response.insert("steps".into(), steps.into());
            response.insert("complete".into(), complete.into());
            let dropped: Vec<String> = dropped.iter().map(|root| words.dropped(root)).collect();
            response.insert("dropped".into(), dropped.into());
        }
        Outcome::NoClosedForm(NoForm::Absent) => {
            return Err(Refusal::Request(format!(
                "the subject \"{subject}\" is not in the formula"
            )));
        }
        Outcome::NoClosedForm(reason) => {
            response.insert("verdict".into(), "no-closed-form".into());
            response.insert("solutions".into(), Value::Array(Vec::new()));
            response.insert("steps".into(), Value::Array(Vec::new()));
            response.insert("message".into(), words.no_form(reason).into());
        }
        Outcome::GaveUp(limit) => {
            response.insert("verdict".into(), "undecided".into());
            response.insert("solutions".into(), Value::Array(Vec::new()));
            response.insert("steps".into(), Value::Array(Vec::new()));
            response.insert("message".into(), limit.to_string().into());
        }
    }
    Ok(response)
}
