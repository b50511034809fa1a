//! `rejig judge`: one JSON object a line in, one a line out, in order.
//!
//! The format is a contract: fields are only added. One file a task.

mod definition;
pub(crate) mod evidence;
mod isolate;
pub(crate) mod line;
pub(crate) mod proof;
mod proportion;
pub(crate) mod rearrange;
mod request;
pub(crate) mod working;

use std::io::{self, BufRead, BufReader, Read, Write};

use serde_json::{Value, json};

use super::exit::Status;
use crate::physics::formulary::Formulary;
use crate::store::sheets;
use definition::Definitions;
use proof::Proofs;
use rearrange::Problems;
use request::{Refusal, Request, missing};

/// Bytes that one request may have; a typed line has 2,000 characters.
const LONGEST_REQUEST: usize = 1 << 20;

/// Answers requests, keeping prepared problems for the next of their kind.
#[derive(Default)]
struct Judge {
    problems: Problems,
    proofs: Proofs,
    definitions: Definitions,
    /// The embedded sheets, read for the first request that needs them.
    formulary: Option<Formulary>,
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
        // A mark that some editors put at the beginning of a file.
        if number == 1 && bytes.starts_with(b"\xef\xbb\xbf") {
            bytes.drain(..3);
        }
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
            Some("rearrange") => self.problems.respond(&request),
            Some("line") => line::respond(&request),
            Some("working") => working::respond(&mut self.problems, &request),
            Some("isolate") => isolate::respond(&request),
            Some("proof") => self.proofs.respond(&request),
            Some("proportion") => proportion::respond(&request),
            Some("definition") => {
                let formulary = self.formulary.get_or_insert_with(sheets::embedded);
                self.definitions.respond(formulary, &request)
            }
            Some(other) => Err(Refusal::Request(format!(
                "the task \"{other}\" is not one of \"rearrange\", \"line\", \
                 \"working\", \"isolate\", \"proof\", \"definition\", \"proportion\""
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
}
