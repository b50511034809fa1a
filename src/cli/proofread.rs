//! `rejig proofread`: sheets read as a careful colleague would.

use std::io::Write;

use serde_json::{Value, json};

use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::physics::fault::{Fault, FaultKind};
use crate::physics::formulary::{Formulary, Proof, Topic};
use crate::physics::proofread::proofread_with;
use crate::practice::argument::Argument;
use crate::reason::isolate::{Outcome as Change, isolate};
use crate::reason::proof::Kind;
use crate::show::derivation::Words as Derivation;
use crate::show::formulae;
use crate::show::line::{Spelling, name};
use crate::show::steps::Words;
use crate::show::table;
use crate::store::sheets;

use super::args::{Format, Proofread};
use super::exit::Status;
use super::outcome::{Outcome, misunderstood};
use super::output::buffered;
use super::style::Style;

/// Runs the verb: the status says whether there are faults.
///
/// # Errors
/// When a file can't be read, or writing fails.
pub fn run(arguments: &Proofread, style: &Style) -> Outcome {
    let mut formulary = Formulary::new();
    for path in &arguments.files {
        if let Err(told) = sheets::add_from_disk(&mut formulary, path) {
            return misunderstood(super::sheets::sentence(&told));
        }
    }
    let faults = faults(&formulary);
    let mut out = buffered(style.spelling_if(arguments.format == Format::Text));
    match arguments.format {
        Format::Text => {
            write!(
                out,
                "{}",
                formulae::faults(&faults, formulary.formula_count(), style.width)
            )?;
        }
        Format::Json => {
            let rows: Vec<Value> = faults.iter().map(value).collect();
            serde_json::to_writer_pretty(&mut out, &rows)?;
            writeln!(out)?;
        }
        Format::Csv => {
            writeln!(out, "file,line,column,kind,message,mend")?;
            for fault in &faults {
                let line = fault.line().to_string();
                let column = column(fault).to_string();
                let mend = fault.diagnostic.mend.as_deref().unwrap_or_default();
                let cells = [
                    fault.file(),
                    &line,
                    &column,
                    fault.kind.keyword(),
                    &fault.diagnostic.message,
                    mend,
                ];
                writeln!(out, "{}", table::row(cells))?;
            }
        }
    }
    out.flush()?;
    Ok(if faults.iter().all(|fault| fault.kind.is_remark()) {
        Status::Done
    } else {
        Status::Faults
    })
}

/// Everything that a careful colleague would remark on.
#[must_use]
pub fn faults(formulary: &Formulary) -> Vec<Fault> {
    proofread_with(formulary, &mut |formulary, topic, faults| {
        subjects(formulary, topic, faults);
        routes(formulary, topic, faults);
    })
}

/// The subjects that have no closed form.
fn subjects(formulary: &Formulary, topic: &Topic, faults: &mut Vec<Fault>) {
    for formula in &topic.formulae {
        // On a table of its own letters: a topic may have very many.
        let symbols = formula.equation.symbols();
        let mut own = SymbolTable::new();
        for symbol in &symbols {
            let table = topic.vocabulary.table();
            own.intern(table.name(*symbol), table.domain(*symbol));
        }
        let own_of = |symbol: Symbol| {
            let at = symbols.iter().position(|known| *known == symbol)?;
            own.symbols().nth(at)
        };
        let equation = formula
            .equation
            .with_symbols(&|symbol| own_of(symbol).unwrap_or(symbol));
        let table = &own;
        for subject in topic.questions(formula) {
            let Some(subject) = own_of(subject) else {
                continue;
            };
            let words = Words {
                table,
                spelling: Spelling::Ascii,
                subject,
            };
            let because = match isolate(&equation, subject, table) {
                Change::Solved { .. } => continue,
                Change::NoClosedForm(reason) => words.no_form(reason),
                Change::GaveUp(limit) => format!("It takes {limit}."),
            };
            let letter = name(subject, table, Spelling::Ascii);
            faults.push(formulary.fault_at(
                FaultKind::Working,
                &formula.origin,
                format!("{letter} can't be made the subject of this. {because}"),
                Some("it is left out of the questions".to_owned()),
            ));
        }
    }
}

/// The proofs whose own route does not pass.
fn routes(formulary: &Formulary, topic: &Topic, faults: &mut Vec<Fault>) {
    for proof in &topic.proofs {
        // What is wrong in the premises would be told again at each line.
        let premises = || {
            proof
                .given
                .iter()
                .chain(&proof.helpers)
                .chain([&proof.goal])
        };
        let spoilt = faults.iter().any(|fault| {
            !fault.kind.is_remark()
                && premises().any(|premise| {
                    let source = &formulary.sources[premise.origin.file];
                    premise.origin.line() == fault.line() && source.name == fault.file()
                })
        });
        if spoilt {
            continue;
        }
        let argument = Argument::of_sheet(topic, proof);
        if proof.route.is_empty() {
            unsupported(formulary, &argument, proof, faults);
            continue;
        }
        let judged = argument.judge(proof.route.iter().map(|line| line.text()));
        let report = &judged.report;
        if report.complete {
            for (mark, _) in proof
                .marks
                .iter()
                .zip(&judged.as_written)
                .filter(|(_, own)| !**own)
            {
                faults.push(formulary.fault_at(
                    FaultKind::Working,
                    &mark.origin,
                    format!(
                        "the proof's own route does not earn the mark `{}`",
                        mark.code
                    ),
                    Some("mend the condition, or the route".to_owned()),
                ));
            }
            continue;
        }
        let words = Derivation {
            table: judged.vocabulary.table(),
            spelling: Spelling::Ascii,
            given: &[],
        };
        let open = report
            .first_bad
            .or_else(|| report.lines.iter().position(|line| !line.kind.is_sound()));
        let (origin, message) = match open {
            Some(at) => {
                let remark = words.line(at, &report.lines[at]);
                let told = remark.told.join(" ");
                (
                    &proof.route[at].origin,
                    format!(
                        "this line of the route does not pass: {} {told}",
                        remark.word
                    ),
                )
            }
            None => {
                // A route of the result alone is at fault itself; one that
                // stops short lacks something, which stands nowhere.
                let leaps =
                    proof.route.len() == 1 && proof.route[0].equations == proof.goal.equations;
                let origin = if leaps {
                    &proof.route[0].origin
                } else {
                    &proof.origin
                };
                (origin, words.whole(report))
            }
        };
        faults.push(formulary.fault_at(
            FaultKind::Working,
            origin,
            message.trim_end().to_owned(),
            Some("mend the route, or what is given".to_owned()),
        ));
    }
}

/// A proof without a route whose result does not follow from what is given.
fn unsupported(formulary: &Formulary, argument: &Argument, proof: &Proof, faults: &mut Vec<Fault>) {
    let judged = argument.judge([proof.goal.text()]);
    let Some(line) = judged.report.lines.first() else {
        return;
    };
    if line.kind != Kind::DoesNotFollow {
        return;
    }
    let words = Derivation {
        table: judged.vocabulary.table(),
        spelling: Spelling::Ascii,
        given: &[],
    };
    let told = words.line(0, line).told.join(" ");
    faults.push(
        formulary.fault_at(
            FaultKind::Working,
            &proof.goal.origin,
            format!("this does not follow from what is given. {told}")
                .trim_end()
                .to_owned(),
            Some("mend it, or what is given".to_owned()),
        ),
    );
}

fn column(fault: &Fault) -> usize {
    fault
        .diagnostic
        .place
        .as_ref()
        .map_or(1, |place| place.column)
}

fn value(fault: &Fault) -> Value {
    json!({
        "file": fault.file(),
        "line": fault.line(),
        "column": column(fault),
        "kind": fault.kind.keyword(),
        "remark": fault.kind.is_remark(),
        "message": fault.diagnostic.message,
        "mend": fault.diagnostic.mend,
    })
}
