//! `rejig journal`: where the journal is, what is in it, and how two become
//! one.

use std::io::{self, Write};

use crate::practice::mastery::Mastery;
use crate::show::counts::counted;
use crate::show::dates::date;
use crate::show::escape::escape;
use crate::store::journal::Journal as File;

use super::exit::Status;
use super::keep::{self, because};
use super::outcome::{Outcome, misunderstood};
use super::output::Output;
use super::practice_args::Journal;
use super::style::Style;

/// Runs the verb.
///
/// # Errors
/// When a journal can't be read or written.
pub fn run(arguments: &Journal, style: &Style) -> Outcome {
    let path = keep::place(&arguments.keep)?;
    let mut out = Output::new(io::stdout().lock(), style.spelling);
    for other in &arguments.merge {
        let merged = File::open(&path)
            .map_err(|fault| because(&fault, &path))
            .and_then(|mut journal| journal.merge(other).map_err(|fault| because(&fault, other)));
        match merged {
            Ok(added) => {
                let other = other.to_string_lossy();
                writeln!(
                    out,
                    "{} added from {}.",
                    counted(added, "record", "records"),
                    escape(&other)
                )?;
            }
            Err(why) => return misunderstood(format!("The journals can't become one: {why}.")),
        }
    }
    let contents = keep::load(&path)?;
    let today = keep::today(&arguments.keep);
    let mastery = Mastery::of(&contents.attempts, today);
    keep::warn_of_the_clock(&contents, &mastery, today)?;
    let shown = path.to_string_lossy();
    writeln!(out, "The journal: {}", escape(&shown))?;
    match (contents.attempts.first(), contents.attempts.last()) {
        (Some(first), Some(last)) => writeln!(
            out,
            "{} at {}, from {} to {}.",
            counted(contents.attempts.len(), "attempt", "attempts"),
            counted(mastery.met(), "item", "items"),
            date(first.day),
            date(last.day)
        )?,
        _ => writeln!(out, "Nothing is in it yet.")?,
    }
    if let Some(exam) = contents.exam {
        writeln!(out, "The exam is on {}.", date(exam))?;
    }
    Ok(
        if contents.findings.damaged.is_empty() && !contents.findings.torn {
            Status::Done
        } else {
            Status::Faults
        },
    )
}
