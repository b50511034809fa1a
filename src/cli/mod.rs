//! The command line: a verb reads its arguments, calls the library once,
//! prints, and picks a status. The only room that prints.

pub mod exit;
pub mod judge;

use std::io;
use std::process::ExitCode;

use exit::Status;

/// Runs the program and says with which status it ends.
#[must_use]
pub fn run() -> ExitCode {
    finish(judge::run())
}

/// A closed pipe is a quiet, successful end.
fn finish(outcome: io::Result<Status>) -> ExitCode {
    match outcome {
        Ok(status) => status.into(),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Status::Done.into(),
        Err(error) => {
            eprintln!("rejig: {error}");
            Status::Misunderstood.into()
        }
    }
}
