//! Workings as data: how the tests of derivations read their rows.

use std::fs;

use rejig::algebra::symbol::Domain;
use rejig::practice::argument::{Argument, Judged};
use rejig::reason::approximation::Approximation;
use rejig::store::sheets;
use rejig::text::Vocabulary;
use serde_json::Value;

/// The strings of a list.
pub fn strings(value: &Value) -> Vec<&str> {
    value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect()
}

/// The rows of a file.
pub fn rows(file: &str) -> Vec<Value> {
    fs::read_to_string(file)
        .expect("the rows are readable")
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| serde_json::from_str(line).unwrap_or_else(|error| panic!("{line}: {error}")))
        .collect()
}

/// The kinds of the lines.
pub fn kinds(judged: &Judged) -> Vec<&'static str> {
    judged
        .report
        .lines
        .iter()
        .map(|line| line.kind.key())
        .collect()
}

/// The task of a row.
pub fn argument(row: &Value) -> Argument {
    let mut vocabulary = Vocabulary::new();
    for (name, domain) in row["quantities"].as_object().into_iter().flatten() {
        let domain = domain.as_str().and_then(Domain::from_keyword);
        vocabulary.declare(name, domain.expect("a domain"));
    }
    let mut argument = Argument::of_text(
        strings(&row["given"]),
        strings(&row["helpers"]),
        row["goal"].as_str().expect("a goal"),
        vocabulary,
    )
    .unwrap_or_else(|fault| panic!("{}", fault.render()));
    for (name, variables) in row["functions"].as_object().into_iter().flatten() {
        for by in strings(variables) {
            argument.depends(name, by);
        }
    }
    for key in strings(&row["approximations"]) {
        argument.grant(Approximation::from_key(key).expect("an approximation"));
    }
    argument.know(&sheets::embedded());
    argument
}
