//! `rejig judge`: one JSON object a line in, one a line out, in order.
//!
//! The format is a contract: fields are only added. One file a task.

mod definition;
pub(crate) mod evidence;
mod fields;
mod isolate;
pub(crate) mod line;
pub(crate) mod proof;
pub(crate) mod proportion;
pub(crate) mod rearrange;
mod request;
mod unknown;
pub(crate) mod working;

use std::io::{self, BufRead, BufReader, Read, Write};

use serde_json::Value;

use super::exit::Status;
use crate::physics::formulary::Formulary;
use crate::store::sheets;
use definition::Definitions;
use fields::Fields;
use proof::Proofs;
use rearrange::Problems;
use request::{Refusal, Request, Whole, missing};

/// Bytes that one request may have; a typed line has 2,000 characters.
const LONGEST_REQUEST: usize = 1 << 20;

/// Answers requests, keeping prepared problems for the next of their kind.
#[derive(Default)]
pub struct Judge {
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
    serve(&mut Judge::default(), stdin, stdout)
}

/// Answers every request of `input` on `output`; the status says whether one
/// of them broke the contract.
///
/// # Errors
/// When reading or writing fails.
pub fn serve<R: Read>(
    judge: &mut Judge,
    mut input: BufReader<R>,
    mut output: impl Write,
) -> io::Result<Status> {
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
            let mut response = Fields::new();
            response.insert("error", error.into());
            response.insert("line", number.into());
            response.with_id(id)
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
    let most = LONGEST_REQUEST as u64 + 1;
    if input.by_ref().take(most).read_until(b'\n', bytes)? == 0 {
        return Ok(None);
    }
    if bytes.len() <= LONGEST_REQUEST {
        return Ok(Some(true));
    }
    // What is left of a line that is too long is read past.
    while !bytes.ends_with(b"\n") {
        let buffer = input.fill_buf()?;
        let end = buffer.iter().position(|byte| *byte == b'\n');
        let take = end.map_or(buffer.len(), |end| end + 1);
        input.consume(take);
        if end.is_some() || take == 0 {
            break;
        }
    }
    Ok(Some(false))
}

impl Judge {
    fn respond(&mut self, bytes: &[u8]) -> Result<Fields, (Value, String)> {
        let (request, unknown) = match read_request(bytes) {
            Ok(read) => read,
            Err(error) => return Err(not_a_request(bytes, &error)),
        };
        let warnings = match unknown::warnings(&request, &unknown) {
            Ok(warnings) => warnings,
            Err(refusal) => return answered(bytes, request.id, Err(refusal)),
        };
        let done = match request.task.as_deref() {
            Some("rearrange") => self.problems.respond(&request),
            Some("line") => line::respond(&request),
            Some("working") => working::respond(&mut self.problems, &request).map(Fields::from),
            Some("isolate") => isolate::respond(&request).map(Fields::from),
            Some("proof") => self.proofs.respond(&request).map(Fields::from),
            Some("proportion") => proportion::respond(&request),
            Some("definition") => {
                let formulary = self.formulary.get_or_insert_with(sheets::embedded);
                self.definitions
                    .respond(formulary, &request)
                    .map(Fields::from)
            }
            Some(other) => Err(Refusal::Request(format!(
                "the task \"{other}\" is not one of {}",
                unknown::tasks()
            ))),
            None => Err(missing("task")),
        };
        let mut response = answered(bytes, request.id, done)?;
        if !warnings.is_empty() {
            response.insert("warnings", warnings.into());
        }
        Ok(response)
    }
}

/// A request with the names of the fields that no task has.
fn read_request(bytes: &[u8]) -> serde_json::Result<(Request<'_>, Vec<String>)> {
    let mut unknown = Vec::new();
    let mut source = serde_json::Deserializer::from_slice(bytes);
    let request = serde_ignored::deserialize(&mut source, |path| unknown.push(path.to_string()))?;
    source.end()?;
    Ok((request, unknown))
}

/// The response to a request that was answered, or could not be.
fn answered(
    bytes: &[u8],
    id: Value,
    done: Result<Fields, Refusal>,
) -> Result<Fields, (Value, String)> {
    match done {
        Ok(response) => Ok(response.with_id(id)),
        Err(Refusal::Unreadable(diagnostic)) => {
            let mut response = Fields::new();
            response.insert("verdict", "unreadable".into());
            response.insert("evidence", Value::Null);
            response.insert("slip", Value::Null);
            response.insert("notes", Value::Array(Vec::new()));
            response.insert("read_as", Value::Null);
            response.insert("message", diagnostic.render().into());
            Ok(response.with_id(id))
        }
        Err(Refusal::Request(error)) => Err((id, error)),
        Err(Refusal::Malformed) => Err(match serde_json::from_slice::<Whole>(bytes) {
            Err(error) => not_a_request(bytes, &error),
            Ok(_) => (id, "not a request".to_owned()),
        }),
    }
}

/// The refusal of what is no request. Its id is still worth giving back if it
/// can be had.
fn not_a_request(bytes: &[u8], error: &serde_json::Error) -> (Value, String) {
    let id = serde_json::from_slice::<Value>(bytes)
        .ok()
        .and_then(|value| value.get("id").cloned())
        .unwrap_or(Value::Null);
    (id, format!("not a request: {error}"))
}
