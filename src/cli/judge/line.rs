//! The task `line`.

use serde_json::Value;

use crate::reason::answer;
use crate::reason::equation::Relation;
use crate::show::explicit::explicit_chain;
use crate::text::{Undeclared, read};

use super::evidence::{response, why};
use super::fields::Fields;
use super::request::{Refusal, Request, declared, missing};

/// The response to one request.
pub(super) fn respond(request: &Request<'_>) -> Result<Fields, Refusal> {
    let before = request.before.as_deref().ok_or_else(|| missing("before"))?;
    let after = request.after.as_deref().ok_or_else(|| missing("after"))?;
    let mut vocabulary = declared(&request.quantities()?)?;
    let before = read(before, &mut vocabulary, Undeclared::Declare)?;
    let after = read(after, &mut vocabulary, Undeclared::Declare)?;
    for readings in [&before, &after] {
        if readings.preferred.chain.len() < 2 {
            return Err(Refusal::Request(
                "\"before\" and \"after\" must be equations".to_owned(),
            ));
        }
    }
    let table = vocabulary.table();
    let pair = answer::relate_lines(&before, &after, table);
    let verdict = relation_word(pair.related.relation);
    let mut fields = response(
        verdict,
        pair.related.evidence.as_ref(),
        Value::Null,
        &pair.notes(),
        &pair.after.chain,
        table,
    );
    if pair.before.differs.is_some() {
        fields.insert(
            "before_read_as",
            explicit_chain(&pair.before.chain, table).into(),
        );
    }
    if let Relation::Undecided(reason) = pair.related.relation {
        fields.insert("message", why(reason, table));
    }
    Ok(fields)
}

/// The word of the machine interface for a relation.
#[must_use]
pub fn relation_word(relation: Relation) -> &'static str {
    match relation {
        Relation::Same => "same",
        Relation::Gains => "gains",
        Relation::Loses => "loses",
        Relation::Different => "different",
        Relation::Undecided(_) => "undecided",
    }
}
