//! The task `proof`.

use serde_json::{Map, Value, json};

use crate::algebra::symbol::SymbolTable;
use crate::physics::formulary::Formulary;
use crate::physics::marking::rule;
use crate::practice::argument::{Argument, Judged};
use crate::reason::approximation::Approximation;
use crate::reason::proof::{Kind, LineVerdict, MOST_LINES};
use crate::reason::uses::Source;
use crate::reason::verdict::Note;
use crate::show::explicit::{explicit, explicit_chain};
use crate::store::sheets;

use super::evidence::evidence_value;
use super::request::{Refusal, Request, declared, missing};

/// Judges workings; the formulae of the sheets are read once.
#[derive(Default)]
pub(super) struct Proofs {
    formulary: Option<Formulary>,
}

impl Proofs {
    /// The response to one request.
    pub(super) fn respond(&mut self, request: &Request<'_>) -> Result<Map<String, Value>, Refusal> {
        let goal = request.goal.as_deref().ok_or_else(|| missing("goal"))?;
        if request.lines.len() > MOST_LINES {
            return Err(Refusal::Request(format!(
                "a working of more than {MOST_LINES} lines"
            )));
        }
        let vocabulary = declared(&request.quantities()?)?;
        let mut argument = Argument::of_text(
            request.given.iter().map(String::as_str),
            request.helpers.iter().map(String::as_str),
            goal,
            vocabulary,
        )?;
        for (name, variables) in &request.functions {
            let no_list = || {
                Refusal::Request(format!(
                    "the function \"{name}\" needs a list of what it depends on"
                ))
            };
            for variable in variables.as_array().ok_or_else(no_list)? {
                argument.depends(name, variable.as_str().ok_or_else(no_list)?);
            }
        }
        for key in &request.approximations {
            let approximation = Approximation::from_key(key).ok_or_else(|| {
                Refusal::Request(format!(
                    "the approximation \"{key}\" is not one of \"small-angle\""
                ))
            })?;
            argument.grant(approximation);
        }
        for mark in &request.marks {
            let (code, condition) = mark
                .split_once(' ')
                .ok_or_else(|| Refusal::Request(format!("the mark \"{mark}\" has no condition")))?;
            let rule = rule(condition, &argument.vocabulary);
            argument.marks.push((code.to_owned(), rule));
        }
        let formulary = self.formulary.get_or_insert_with(sheets::embedded);
        argument.know(formulary);
        let judged = argument.judge(request.lines.iter().map(String::as_str));
        Ok(response(&judged))
    }
}

pub(crate) fn response(judged: &Judged) -> Map<String, Value> {
    let report = &judged.report;
    let table = judged.vocabulary.table();
    let lines: Vec<Value> = report
        .lines
        .iter()
        .zip(&judged.unreadable)
        .map(|(line, unreadable)| {
            let mut value = line_value(line, table);
            if let (Some(diagnostic), Some(fields)) = (unreadable, value.as_object_mut()) {
                fields.insert("message".into(), diagnostic.render().into());
            }
            value
        })
        .collect();
    let verdict = if report.complete {
        "shown"
    } else if report.first_bad.is_some() {
        "broken"
    } else if report
        .lines
        .iter()
        .any(|line| matches!(line.kind, Kind::Undecided(_)))
    {
        "undecided"
    } else {
        "incomplete"
    };
    let mut notes: Vec<&str> = Vec::new();
    if report.goal_alone {
        notes.push("goal-alone");
    }
    if !report.consistent {
        notes.push("no-values-for-givens");
    }
    let mut response = Map::new();
    response.insert("verdict".into(), verdict.into());
    response.insert("lines".into(), lines.into());
    response.insert(
        "first_bad".into(),
        report.first_bad.map_or(Value::Null, Value::from),
    );
    response.insert("complete".into(), report.complete.into());
    response.insert(
        "marks".into(),
        json!({ "awarded": judged.marks.0, "available": judged.marks.1 }),
    );
    response.insert("notes".into(), notes.into());
    response
}

fn line_value(line: &LineVerdict, table: &SymbolTable) -> Value {
    let uses: Vec<Value> = line
        .uses
        .iter()
        .map(|source| match source {
            Source::Given(number) => json!({ "given": number }),
            Source::Helper(number) => json!({ "helper": number }),
            Source::Line(number) => json!({ "line": number }),
        })
        .collect();
    let slip = match (line.approximation, &line.kind) {
        (Some(approximation), Kind::DoesNotFollow) => json!({
            "name": format!("{}-approximation", approximation.key()),
            "remark": "This is true only approximately, and the question does not grant it.",
        }),
        _ => Value::Null,
    };
    let mut value = json!({
        "verdict": line.kind.key(),
        "uses": uses,
        "evidence": line
            .evidence
            .as_ref()
            .map_or(Value::Null, |evidence| evidence_value(evidence, table)),
        "slip": slip,
        "notes": line.notes.iter().map(Note::key).collect::<Vec<_>>(),
        "carried_forward": line.carried_forward,
        "read_as": if line.chain.is_empty() {
            Value::Null
        } else {
            explicit_chain(&line.chain, table).into()
        },
    });
    if let Some(fields) = value.as_object_mut() {
        if let Kind::NotGiven(name) = &line.kind {
            fields.insert("formula".into(), name.as_str().into());
        }
        if let Kind::Defines(symbol) = &line.kind {
            fields.insert("defines".into(), table.name(*symbol).into());
        }
        if let (Some(approximation), Kind::Follows) = (line.approximation, &line.kind) {
            fields.insert("approximation".into(), approximation.key().into());
        }
        if !line.conditions.is_empty() {
            let conditions: Vec<String> = line
                .conditions
                .iter()
                .map(|expr| format!("{} != 0", explicit(expr, table)))
                .collect();
            fields.insert("conditions".into(), conditions.into());
        }
    }
    value
}
