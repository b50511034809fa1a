//! The task `working`.

use serde_json::{Map, Value, json};

use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::reason::equation::Relation;
use crate::reason::slip::Slips;
use crate::reason::working::{self, Basis};
use crate::show::explicit::explicit_chain;
use crate::text::{Readings, Undeclared, read};

use super::evidence::evidence_value;
use super::line::relation_word;
use super::rearrange::{Problems, slip_value};
use super::request::{Refusal, Request, missing};

/// Lines that one working may have.
const MOST_LINES: usize = 200;

/// The response to one request.
pub(super) fn respond(
    problems: &mut Problems,
    request: &Request<'_>,
) -> Result<Map<String, Value>, Refusal> {
    let formula = request
        .formula
        .as_deref()
        .ok_or_else(|| missing("formula"))?;
    let subject = request
        .subject
        .as_deref()
        .ok_or_else(|| missing("subject"))?;
    let lines = &request.lines;
    if lines.is_empty() {
        return Err(missing("lines"));
    }
    if lines.len() > MOST_LINES {
        return Err(Refusal::Request(format!(
            "a working of more than {MOST_LINES} lines"
        )));
    }
    let prepared = problems.prepared(request, formula, subject)?;
    let mut vocabulary = prepared.vocabulary.clone();
    // A line that can't be read ends what can be judged; it is reported in
    // its place, and the others are judged without it.
    let read_lines: Vec<Result<Readings, String>> = lines
        .iter()
        .map(|line| {
            read(line, &mut vocabulary, Undeclared::Declare)
                .map_err(|diagnostic| diagnostic.render())
        })
        .collect();
    let base = prepared.vocabulary.table();
    let slips = prepared
        .slips
        .get_or_insert_with(|| Slips::new(&prepared.problem, base));
    let table = vocabulary.table();
    let readable: Vec<Readings> = read_lines
        .iter()
        .filter_map(|line| line.as_ref().ok().cloned())
        .collect();
    // Where each readable line is among all lines.
    let places: Vec<usize> = (0..read_lines.len())
        .filter(|place| read_lines[*place].is_ok())
        .collect();
    let judged = working::judge(&prepared.problem, slips, &readable, table);
    let mut told: Vec<Value> = Vec::with_capacity(lines.len());
    let mut next = judged.lines.iter();
    for line in &read_lines {
        match line {
            Err(message) => told.push(json!({
                "verdict": "unreadable",
                "uses": [],
                "evidence": null,
                "slip": null,
                "notes": [],
                "message": message,
            })),
            Ok(_) => {
                let Some(line) = next.next() else { break };
                told.push(line_value(line, &places, prepared.problem.subject(), table));
            }
        }
    }
    let unreadable = read_lines.iter().any(Result::is_err);
    let lost: Vec<Value> = judged
        .lost
        .iter()
        .map(|loss| {
            json!({
                "line": loss.line.map(|line| places[line]),
                "marks": loss.marks,
                "why": loss
                    .line
                    .and_then(|line| judged.lines[line].explanation.as_ref())
                    .map(|explanation| explanation.slips[0].kind.key()),
            })
        })
        .collect();
    let mut response = Map::new();
    response.insert("lines".into(), told.into());
    response.insert(
        "first_bad".into(),
        judged
            .first_bad
            .map_or(Value::Null, |line| places[line].into()),
    );
    response.insert("complete".into(), (judged.complete && !unreadable).into());
    response.insert(
        "marks".into(),
        json!({ "awarded": judged.awarded, "available": judged.available, "lost": lost }),
    );
    Ok(response)
}

/// A judged line; `places` says where each readable line is among all lines.
pub(crate) fn line_value(
    line: &working::JudgedLine,
    places: &[usize],
    subject: Symbol,
    table: &SymbolTable,
) -> Value {
    let uses: Vec<Value> = match line.follows {
        Some(Basis::Formula) => vec!["formula".into()],
        Some(Basis::Line(number)) => vec![places[number].into()],
        None => Vec::new(),
    };
    let relation = match (line.follows, line.relation) {
        // It follows, although it was not shown to lose nothing.
        (Some(_), Relation::Different | Relation::Undecided(_)) => Relation::Loses,
        (_, relation) => relation,
    };
    json!({
        "verdict": relation_word(relation),
        "uses": uses,
        "evidence": line
            .evidence
            .as_ref()
            .map_or(Value::Null, |evidence| evidence_value(evidence, table)),
        "slip": slip_value(
            line.explanation.as_ref(),
            subject,
            table,
        ),
        "notes": line.notes.iter().map(crate::reason::verdict::Note::key).collect::<Vec<_>>(),
        "marks": line.marks,
        "read_as": explicit_chain(&line.chain, table),
    })
}
