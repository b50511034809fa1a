//! The task `definition`, with the definitions that are kept for the next
//! answer.

use rustc_hash::FxHashMap;
use serde_json::{Map, Value, json};

use crate::physics::formulary::Formulary;
use crate::practice::definition::{Judged, Wordings, WordsVerdict, find};
use crate::show::definition::{remark, verdict_key};
use crate::show::explicit::explicit;

use super::evidence::evidence_value;
use super::request::{Refusal, Request, missing};

/// Definitions made ready, by term.
#[derive(Default)]
pub(super) struct Definitions(FxHashMap<String, Option<Wordings>>);

impl Definitions {
    /// The response to one request.
    pub(super) fn respond(
        &mut self,
        formulary: &Formulary,
        request: &Request<'_>,
    ) -> Result<Map<String, Value>, Refusal> {
        let term = request.term.as_deref().ok_or_else(|| missing("term"))?;
        let answer = request.answer.as_deref().ok_or_else(|| missing("answer"))?;
        let Some((topic, definition)) = find(formulary, term) else {
            return Err(Refusal::Request(format!(
                "the sheets don't define \"{term}\""
            )));
        };
        let key = format!("{}/{}", topic.key, definition.term);
        let kept = self
            .0
            .entry(key)
            .or_insert_with(|| Wordings::new(formulary, topic, definition));
        let Some(wordings) = kept else {
            let mut response = Map::new();
            response.insert("verdict".into(), "unreadable".into());
            response.insert("evidence".into(), Value::Null);
            response.insert("slip".into(), Value::Null);
            response.insert("notes".into(), json!(["not-algebra"]));
            response.insert("read_as".into(), Value::Null);
            response.insert(
                "message".into(),
                "this definition is no algebra in words, so I can't judge it".into(),
            );
            return Ok(response);
        };
        let judged = wordings.judge(answer);
        Ok(response(&judged, wordings, answer))
    }
}

fn response(judged: &Judged, wordings: &Wordings, answer: &str) -> Map<String, Value> {
    let table = wordings.table();
    let evidence = judged
        .algebra
        .as_ref()
        .and_then(|algebra| algebra.evidence.as_ref());
    let mut notes: Vec<&str> = judged
        .algebra
        .iter()
        .flat_map(|algebra| algebra.notes.iter().map(|note| note.key()))
        .collect();
    if judged.unit_for_quantity {
        notes.push("unit-for-quantity");
    }
    if judged.other_reading {
        notes.push("ambiguous-reading");
    }
    let mut response = Map::new();
    response.insert("verdict".into(), verdict_key(&judged.verdict).into());
    response.insert(
        "evidence".into(),
        evidence.map_or(Value::Null, |evidence| evidence_value(evidence, table)),
    );
    response.insert("slip".into(), Value::Null);
    response.insert("notes".into(), notes.into());
    let read = judged.value.as_ref().map(|value| explicit(value, table));
    response.insert("read_as".into(), read.into());
    response.insert(
        "marks".into(),
        json!({ "awarded": judged.awarded, "available": judged.available }),
    );
    response.insert("missing".into(), judged.missing.clone().into());
    if let WordsVerdict::Unreadable(unread) = &judged.verdict {
        let words = |spans: &[crate::text::Span]| -> Vec<String> {
            spans
                .iter()
                .map(|span| span.of(answer).to_owned())
                .collect()
        };
        response.insert("unread".into(), words(&unread.words).into());
        response.insert("understood".into(), words(&unread.understood).into());
    }
    response.insert("message".into(), remark(judged, wordings, answer).into());
    response
}
