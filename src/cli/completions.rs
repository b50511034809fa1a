//! `rejig completions`: what a shell needs to complete words of the program.

use std::io::{self, Write};

use clap_complete::aot::generate;

use crate::store::sheets;

use super::args::Completions;
use super::command::{command, with_topics};
use super::exit::Status;
use super::outcome::Outcome;

/// Runs the verb.
///
/// # Errors
/// When writing fails.
pub fn run(arguments: &Completions) -> Outcome {
    let mut command = with_topics(command(usize::MAX), &sheets::embedded_without_proofs());
    // The generator has no place for a closed pipe; a buffer is never closed.
    let mut script = Vec::new();
    generate(arguments.shell, &mut command, "rejig", &mut script);
    let mut out = io::stdout().lock();
    out.write_all(&script)?;
    out.flush()?;
    Ok(Status::Done)
}
