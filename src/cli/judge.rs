//! `rejig judge`: one JSON object a line in, one a line out, in order.
//!
//! The format is a contract: fields are only added.

use std::io::{self, BufRead, BufReader, Read, Write};

use rustc_hash::FxHashMap;
use serde::Deserialize;
use serde_json::{Map, Value, json};

use crate::algebra::expr::Expr;
use crate::algebra::symbol::{Domain, Symbol, SymbolTable};
use crate::reason::answer;
use crate::reason::equation::Relation;
use crate::reason::rearrangement::Problem;
use crate::reason::verdict::{Counterexample, Evidence, Note, Shown, Verdict};
use crate::show::line::{Spelling, equation_line, line};
use crate::text::{Diagnostic, DiagnosticKind, Readings, Undeclared, Vocabulary, read};

use super::exit::Status;

/// Bytes that one request may have; a typed line has 2,000 characters.
const LONGEST_REQUEST: usize = 1 << 20;
/// Prepared problems that are kept.
const KEPT_PROBLEMS: usize = 4_096;

#[derive(Deserialize)]
struct Request {
    #[serde(default)]
    id: Value,
    task: Option<String>,
    #[serde(default)]
    quantities: Map<String, Value>,
    formula: Option<String>,
    subject: Option<String>,
    answer: Option<String>,
    before: Option<String>,
    after: Option<String>,
}

/// What can go wrong before there is anything to judge.
enum Refusal {
    /// The request breaks the contract.
    Request(String),
    /// The typed maths can't be read.
    Unreadable(Box<Diagnostic>),
}

impl From<Diagnostic> for Refusal {
    fn from(diagnostic: Diagnostic) -> Self {
        Refusal::Unreadable(Box::new(diagnostic))
    }
}

fn missing(field: &str) -> Refusal {
    Refusal::Request(format!("the field \"{field}\" is missing"))
}

struct Prepared {
    vocabulary: Vocabulary,
    problem: Problem,
}

/// Answers requests, keeping prepared problems for the next of their kind.
#[derive(Default)]
struct Judge {
    problems: FxHashMap<String, Prepared>,
}

/// Runs the verb on standard input and output.
///
/// # Errors
/// When reading or writing fails.
pub fn run() -> io::Result<Status> {
    let stdin = BufReader::with_capacity(1 << 16, io::stdin().lock());
    let stdout = io::BufWriter::with_capacity(1 << 16, io::stdout().lock());
    serve(stdin, stdout)
}

fn serve<R: Read>(mut input: BufReader<R>, mut output: impl Write) -> io::Result<Status> {
    let mut judge = Judge::default();
    let mut status = Status::Done;
    let mut bytes = Vec::new();
    let mut number = 0;
    loop {
        number += 1;
        bytes.clear();
        let Some(complete) = read_line(&mut input, &mut bytes)? else {
            break;
        };
        if bytes.iter().all(u8::is_ascii_whitespace) {
            continue;
        }
        let response = if complete {
            judge.respond(&bytes)
        } else {
            Err((
                Value::Null,
                format!("a request longer than {LONGEST_REQUEST} bytes"),
            ))
        };
        let response = response.unwrap_or_else(|(id, error)| {
            status = Status::Misunderstood;
            json!({ "id": id, "error": error, "line": number })
        });
        serde_json::to_writer(&mut output, &response)?;
        output.write_all(b"\n")?;
        // A caller that waits for each answer gets it at once.
        if !input.buffer().contains(&b'\n') {
            output.flush()?;
        }
    }
    output.flush()?;
    Ok(status)
}

/// Reads a line into `bytes`; whether it was complete, or nothing at the end.
fn read_line(input: &mut impl BufRead, bytes: &mut Vec<u8>) -> io::Result<Option<bool>> {
    let mut complete = true;
    let mut any = false;
    loop {
        let buffer = input.fill_buf()?;
        if buffer.is_empty() {
            return Ok(any.then_some(complete));
        }
        any = true;
        let end = buffer.iter().position(|byte| *byte == b'\n');
        let take = end.map_or(buffer.len(), |end| end + 1);
        if bytes.len() + take <= LONGEST_REQUEST {
            bytes.extend_from_slice(&buffer[..take]);
        } else {
            complete = false;
        }
        input.consume(take);
        if end.is_some() {
            return Ok(Some(complete));
        }
    }
}

impl Judge {
    fn respond(&mut self, bytes: &[u8]) -> Result<Value, (Value, String)> {
        let request: Request = match serde_json::from_slice(bytes) {
            Ok(request) => request,
            Err(error) => {
                // The id is still worth giving back if it can be had.
                let id = serde_json::from_slice::<Value>(bytes)
                    .ok()
                    .and_then(|value| value.get("id").cloned())
                    .unwrap_or(Value::Null);
                return Err((id, format!("not a request: {error}")));
            }
        };
        let done = match request.task.as_deref() {
            Some("rearrange") => self.rearrange(&request),
            Some("line") => self.line(&request),
            Some(other) => Err(Refusal::Request(format!(
                "the task \"{other}\" is not one of \"rearrange\", \"line\""
            ))),
            None => Err(missing("task")),
        };
        match done {
            Ok(mut response) => {
                response.shift_insert(0, "id".to_owned(), request.id);
                Ok(Value::Object(response))
            }
            Err(Refusal::Unreadable(diagnostic)) => Ok(json!({
                "id": request.id,
                "verdict": "unreadable",
                "evidence": null,
                "slip": null,
                "notes": [],
                "read_as": null,
                "message": diagnostic.render(),
            })),
            Err(Refusal::Request(error)) => Err((request.id, error)),
        }
    }

    fn rearrange(&mut self, request: &Request) -> Result<Map<String, Value>, Refusal> {
        let formula = request
            .formula
            .as_deref()
            .ok_or_else(|| missing("formula"))?;
        let subject = request
            .subject
            .as_deref()
            .ok_or_else(|| missing("subject"))?;
        let answer = request.answer.as_deref().ok_or_else(|| missing("answer"))?;
        let prepared = self.prepared(&request.quantities, formula, subject)?;
        let mut vocabulary_of_answer;
        let (readings, vocabulary) =
            match read(answer, &mut prepared.vocabulary, Undeclared::Refuse) {
                Ok(readings) => (readings, &prepared.vocabulary),
                Err(diagnostic) if diagnostic.kind == DiagnosticKind::UnknownSymbol => {
                    // A letter that the formula does not have: a quantity of its
                    // own, positive like every undeclared one.
                    vocabulary_of_answer = prepared.vocabulary.clone();
                    let readings = read(answer, &mut vocabulary_of_answer, Undeclared::Declare)?;
                    (readings, &vocabulary_of_answer)
                }
                Err(diagnostic) => return Err(diagnostic.into()),
            };
        let table = vocabulary.table();
        let (judgement, reading) = answer::judge(&prepared.problem, &readings, table);
        let verdict = match judgement.verdict {
            Verdict::Right => "right",
            Verdict::Wrong => "wrong",
            Verdict::Undecided(_) => "undecided",
        };
        let slip = judgement
            .notes
            .iter()
            .find_map(|note| match note {
                Note::RoundedConstant => Some(json!({
                    "name": "constant-rounded",
                    "remark": "A constant was replaced by a rounded number; keep the symbol, which is exact.",
                })),
                _ => None,
            })
            .unwrap_or(Value::Null);
        Ok(response(
            verdict,
            judgement.evidence.as_ref(),
            slip,
            &judgement.notes,
            &reading.chain,
            table,
        ))
    }

    fn prepared(
        &mut self,
        quantities: &Map<String, Value>,
        formula: &str,
        subject: &str,
    ) -> Result<&mut Prepared, Refusal> {
        let mut key = String::with_capacity(128);
        for (name, value) in quantities {
            key.push_str(name);
            key.push('\u{1}');
            match value {
                Value::String(word) => key.push_str(word),
                other => key.push_str(&other.to_string()),
            }
            key.push('\u{2}');
        }
        key.push('\u{3}');
        key.push_str(formula);
        key.push('\u{3}');
        key.push_str(subject);
        if !self.problems.contains_key(&key) {
            if self.problems.len() >= KEPT_PROBLEMS {
                self.problems.clear();
            }
            let prepared = prepare(quantities, formula, subject)?;
            self.problems.insert(key.clone(), prepared);
        }
        Ok(self.problems.get_mut(&key).expect("it was put there"))
    }

    #[allow(clippy::unused_self)]
    fn line(&mut self, request: &Request) -> Result<Map<String, Value>, Refusal> {
        let before = request.before.as_deref().ok_or_else(|| missing("before"))?;
        let after = request.after.as_deref().ok_or_else(|| missing("after"))?;
        let mut vocabulary = declared(&request.quantities)?;
        let before = read(before, &mut vocabulary, Undeclared::Declare)?;
        let after = read(after, &mut vocabulary, Undeclared::Declare)?;
        for readings in [&before, &after] {
            if readings.preferred.chain.len() < 2 {
                return Err(Refusal::Request(
                    "\"before\" and \"after\" must be equations".to_owned(),
                ));
            }
        }
        let (related, notes, reading) = answer::relate_lines(&before, &after, vocabulary.table());
        let verdict = relation_word(related.relation);
        Ok(response(
            verdict,
            related.evidence.as_ref(),
            Value::Null,
            &notes,
            &reading.chain,
            vocabulary.table(),
        ))
    }
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

fn declared(quantities: &Map<String, Value>) -> Result<Vocabulary, Refusal> {
    let mut vocabulary = Vocabulary::new();
    for (name, value) in quantities {
        let word = match value {
            Value::String(word) => word.as_str(),
            Value::Object(fields) => match fields.get("domain") {
                Some(Value::String(word)) => word.as_str(),
                None => Domain::default().keyword(),
                Some(_) => {
                    return Err(Refusal::Request(format!(
                        "the domain of \"{name}\" is not a string"
                    )));
                }
            },
            _ => {
                return Err(Refusal::Request(format!(
                    "the quantity \"{name}\" needs a domain"
                )));
            }
        };
        let domain = Domain::from_keyword(word).ok_or_else(|| {
            Refusal::Request(format!(
                "the domain \"{word}\" of \"{name}\" is not one of positive, nonnegative, real, acute"
            ))
        })?;
        vocabulary.declare(name, domain);
    }
    Ok(vocabulary)
}

fn prepare(
    quantities: &Map<String, Value>,
    formula: &str,
    subject: &str,
) -> Result<Prepared, Refusal> {
    let mut vocabulary = declared(quantities)?;
    let symbol = subject_symbol(subject, &mut vocabulary)?;
    let readings = read(formula, &mut vocabulary, Undeclared::Declare)?;
    let [equation] = answer::equations(&readings.preferred)
        .try_into()
        .map_err(|_| Refusal::Request("\"formula\" must be one equation".to_owned()))?;
    if !equation.symbols().contains(&symbol) {
        return Err(Refusal::Request(format!(
            "the subject \"{subject}\" is not in the formula"
        )));
    }
    let problem = Problem::new(equation, symbol, vocabulary.table());
    Ok(Prepared {
        vocabulary,
        problem,
    })
}

fn subject_symbol(subject: &str, vocabulary: &mut Vocabulary) -> Result<Symbol, Refusal> {
    let readings: Readings = read(subject, vocabulary, Undeclared::Declare)?;
    readings
        .all()
        .find_map(|reading| match reading.chain.as_slice() {
            [Expr::Symbol(symbol)] => Some(*symbol),
            _ => None,
        })
        .ok_or_else(|| Refusal::Request(format!("the subject \"{subject}\" is not a quantity")))
}

fn response(
    verdict: &str,
    evidence: Option<&Evidence>,
    slip: Value,
    notes: &[Note],
    chain: &[Expr],
    table: &SymbolTable,
) -> Map<String, Value> {
    let mut response = Map::new();
    response.insert("verdict".into(), verdict.into());
    response.insert(
        "evidence".into(),
        evidence.map_or(Value::Null, |evidence| evidence_value(evidence, table)),
    );
    response.insert("slip".into(), slip);
    response.insert(
        "notes".into(),
        notes.iter().map(Note::key).collect::<Vec<_>>().into(),
    );
    let conditions: Vec<String> = notes
        .iter()
        .filter_map(|note| match note {
            Note::NonZero(expr) => Some(format!("{} != 0", line(expr, table, Spelling::Ascii))),
            _ => None,
        })
        .collect();
    if !conditions.is_empty() {
        response.insert("conditions".into(), conditions.into());
    }
    response.insert(
        "read_as".into(),
        equation_line(chain, table, Spelling::Ascii).into(),
    );
    response
}

fn number_value(shown: &Shown) -> Value {
    match shown {
        Shown::Exact(number) => match number.to_i64() {
            Some(whole) => whole.into(),
            None => number.to_f64().into(),
        },
        Shown::Near(value) => (*value).into(),
    }
}

fn evidence_value(evidence: &Evidence, table: &SymbolTable) -> Value {
    match evidence {
        Evidence::Proof => json!({ "kind": "proof" }),
        Evidence::Numerical { points, digits } => {
            json!({ "kind": "numerical", "points": points, "digits": digits })
        }
        Evidence::Counterexample(found) => counterexample_value(found, table),
    }
}

fn counterexample_value(found: &Counterexample, table: &SymbolTable) -> Value {
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
