//! Verdicts and what they rest on, as JSON.

use serde_json::{Map, Value, json};

use crate::algebra::expr::Expr;
use crate::algebra::symbol::SymbolTable;
use crate::reason::step::Condition;
use crate::reason::verdict::{Counterexample, Evidence, Note, Shown, Undecided};
use crate::show::explicit::{explicit, explicit_chain};
use crate::show::line::Spelling;
use crate::show::remarks::Words;

use super::fields::Fields;

pub(super) fn response(
    verdict: &str,
    evidence: Option<&Evidence>,
    slip: Value,
    notes: &[Note],
    chain: &[Expr],
    table: &SymbolTable,
) -> Fields {
    let mut response = Fields::new();
    response.insert("verdict", verdict.into());
    response.insert(
        "evidence",
        evidence.map_or(Value::Null, |evidence| evidence_value(evidence, table)),
    );
    response.insert("slip", slip);
    response.insert(
        "notes",
        notes.iter().map(Note::key).collect::<Vec<_>>().into(),
    );
    let conditions: Vec<String> = notes
        .iter()
        .filter_map(|note| match note {
            Note::Needs(condition) => Some(condition_text(condition, table)),
            _ => None,
        })
        .collect();
    if !conditions.is_empty() {
        response.insert("conditions", conditions.into());
    }
    response.insert("read_as", explicit_chain(chain, table).into());
    response
}

/// Why something is undecided, for people.
pub(super) fn why(reason: Undecided, table: &SymbolTable) -> Value {
    let words = Words {
        table,
        spelling: Spelling::Unicode,
    };
    words.undecided(reason).into()
}

/// A condition as the machine interface has it: `t != 0`, `x >= 0`.
fn condition_text(condition: &Condition, table: &SymbolTable) -> String {
    match condition {
        Condition::NonZero(part) => format!("{} != 0", explicit(part, table)),
        Condition::NonNegative(part) => format!("{} >= 0", explicit(part, table)),
        Condition::Positive(part) => format!("{} > 0", explicit(part, table)),
        Condition::WithinOne(part) => format!("abs({}) <= 1", explicit(part, table)),
    }
}

pub(super) fn number_value(shown: &Shown) -> Value {
    match shown {
        Shown::Exact(number) => match number.to_i64() {
            Some(whole) => whole.into(),
            None => number.to_f64().into(),
        },
        Shown::Near(value) => (*value).into(),
    }
}

pub(crate) fn evidence_value(evidence: &Evidence, table: &SymbolTable) -> Value {
    match evidence {
        Evidence::Proof => json!({ "kind": "proof" }),
        Evidence::Numerical { points, digits } => {
            json!({ "kind": "numerical", "points": points, "digits": digits })
        }
        Evidence::Counterexample(found) => counterexample_value(found, table),
    }
}

pub(super) fn counterexample_value(found: &Counterexample, table: &SymbolTable) -> Value {
    let values: Map<String, Value> = found
        .values
        .iter()
        .map(|(symbol, value)| (table.name(*symbol).to_owned(), number_value(value)))
        .collect();
    json!({
        "kind": "counterexample",
        "values": values,
        "expected": number_value(&found.expected),
        "got": found.got.as_ref().map_or(Value::Null, number_value),
    })
}
