//! `rejig rearrange`: a change of subject with its steps.

use std::io::{self, Write};

use serde_json::{Value, json};

use crate::algebra::expr::Equation;
use crate::algebra::symbol::Symbol;
use crate::reason::answer::other_formulae;
use crate::reason::isolate::{Outcome as Change, Solution, isolate};
use crate::reason::step;
use crate::show::line::{Spelling, equation, line, name};
use crate::show::remarks;
use crate::show::steps::Words;
use crate::show::worked::{Layout, working};
use crate::show::wrap::wrapped;
use crate::text::{Undeclared, Vocabulary, read, read_equation};

use super::args::{PlainFormat, Rearrange};
use super::asking;
use super::exit::Status;
use super::letters;
use super::outcome::Outcome;
use super::output::buffered;
use super::style::Style;

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or writing fails.
pub fn run(arguments: &Rearrange, style: &Style) -> Outcome {
    let mut vocabulary = letters::declared(&arguments.domains)?;
    let subject = letters::subject(&mut vocabulary, &arguments.subject)?;
    let formula = read_equation(&arguments.equation, &mut vocabulary, Undeclared::Declare)?;
    let doubtful = read(&arguments.equation, &mut vocabulary, Undeclared::Declare)
        .is_ok_and(|readings| other_formulae(&readings).next().is_some());
    letters::present(
        &formula,
        subject,
        &arguments.subject,
        &vocabulary,
        style.spelling,
    )?;
    let change = isolate(&formula, subject, vocabulary.table());
    let mut out = buffered(style.spelling_if(arguments.format == PlainFormat::Text));
    match arguments.format {
        PlainFormat::Text => {
            if doubtful {
                let words = remarks::Words {
                    table: vocabulary.table(),
                    spelling: style.spelling,
                };
                let told = words.taken_as(&[formula.left.clone(), formula.right.clone()]);
                writeln!(out, "{}", wrapped(&told, "", "", style.width))?;
            }
            print(&mut out, &formula, subject, &change, &vocabulary, style)?;
        }
        PlainFormat::Json => {
            let value = value(subject, &change, &vocabulary);
            serde_json::to_writer_pretty(&mut out, &value)?;
            writeln!(out)?;
        }
    }
    out.flush()?;
    Ok(Status::Done)
}

fn print(
    out: &mut impl Write,
    formula: &Equation,
    subject: Symbol,
    change: &Change,
    vocabulary: &Vocabulary,
    style: &Style,
) -> io::Result<()> {
    let table = vocabulary.table();
    let words = Words {
        table,
        spelling: style.spelling,
        subject,
    };
    let page = style.page(Layout::Line);
    let letter = name(subject, table, style.spelling);
    writeln!(
        out,
        "{}",
        style.heading(&format!("Make {letter} the subject of"))
    )?;
    writeln!(out, "{}\n", page.equation(formula, table, 8))?;
    let sentence = match change {
        Change::Solved {
            solutions,
            complete,
            dropped,
        } => {
            if solutions.iter().all(|solution| solution.path.is_empty()) {
                format!("There is nothing to do: {letter} stands alone already.")
            } else {
                let text = working(solutions, dropped, *complete, subject, table, &page);
                write!(out, "{text}")?;
                let marks = solutions
                    .first()
                    .map_or(0, |solution| step::marks(&solution.path));
                if marks == 0 {
                    return Ok(());
                }
                format!("Worth {}.", asking::marks(marks))
            }
        }
        Change::NoClosedForm(reason) => format!("No closed form. {}", words.no_form(*reason)),
        Change::GaveUp(limit) => format!("I gave this up: it takes {limit}."),
    };
    writeln!(out, "{}", wrapped(&sentence, "", "", style.width))
}

/// The same as the machine interface would say it.
fn value(subject: Symbol, change: &Change, vocabulary: &Vocabulary) -> Value {
    let table = vocabulary.table();
    let words = Words {
        table,
        spelling: Spelling::Ascii,
        subject,
    };
    match change {
        Change::Solved {
            solutions,
            complete,
            dropped,
        } => {
            let all: Vec<Value> = solutions
                .iter()
                .map(|solution| solution_value(solution, &words))
                .collect();
            json!({
                "verdict": "solved",
                "subject": name(subject, table, Spelling::Ascii),
                "complete": complete,
                "solutions": all,
                "left_out": dropped.iter().map(|root| words.dropped(root)).collect::<Vec<_>>(),
            })
        }
        Change::NoClosedForm(reason) => json!({
            "verdict": "no-closed-form",
            "message": words.no_form(*reason),
        }),
        Change::GaveUp(limit) => json!({
            "verdict": "undecided",
            "message": limit.to_string(),
        }),
    }
}

fn solution_value(solution: &Solution, words: &Words<'_>) -> Value {
    let conditions = |list: &[step::Condition]| -> Vec<String> {
        list.iter()
            .map(|condition| words.condition(condition))
            .collect()
    };
    let steps: Vec<Value> = solution
        .path
        .iter()
        .map(|step| {
            json!({
                "operation": words.sentence(step),
                "conditions": conditions(&step.conditions),
                "equation": equation(&step.equation, words.table, Spelling::Ascii),
            })
        })
        .collect();
    json!({
        "value": line(&solution.value, words.table, Spelling::Ascii),
        "conditions": conditions(&solution.conditions),
        "marks": step::marks(&solution.path),
        "steps": steps,
    })
}
