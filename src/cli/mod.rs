//! The command line: a verb reads its arguments, calls the library once,
//! prints, and picks a status. The only room that prints.

pub mod args;
pub mod asking;
pub mod checklist;
pub mod choosing;
pub mod command;
pub mod completions;
pub mod connect;
pub mod deriving;
pub mod drill;
pub mod examples;
pub mod exit;
pub mod formulae;
pub mod input;
pub mod journal;
pub mod judge;
pub mod keep;
pub mod keeping;
pub mod letters;
pub mod manual;
pub mod mark;
pub mod outcome;
pub mod output;
pub mod plan;
pub mod practice_args;
pub mod prompt;
pub mod proofread;
pub mod prove;
pub mod quiz;
pub mod rearrange;
mod requests;
pub mod sheets;
pub mod signals;
pub mod source;
pub mod step;
pub mod style;
pub mod usage;
pub mod worksheet;

use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use clap::{FromArgMatches, Parser};

use args::{Arguments, Verb};
use exit::Status;
use outcome::{Outcome, Trouble};
use output::Output;
use style::Style;

use crate::store::fault::why;

/// Runs the program and says with which status it ends.
#[must_use]
pub fn run() -> ExitCode {
    let parsed = command::command(Style::of_stdout().width)
        .try_get_matches()
        .and_then(|matches| Arguments::from_arg_matches(&matches));
    finish(match parsed {
        Ok(arguments) => dispatch(arguments),
        Err(error) => usage::explain(&error),
    })
}

fn dispatch(arguments: Arguments) -> Outcome {
    let Some(verb) = arguments.verb else {
        return alone();
    };
    if let Verb::Judge = verb {
        return Ok(judge::run()?);
    }
    let style = Style::of_stdout();
    match verb {
        Verb::Judge => Ok(Status::Done),
        Verb::Drill(arguments) => drill::run(&arguments, &style),
        Verb::Checklist(arguments) => checklist::run(&arguments, &style),
        Verb::Plan(arguments) => plan::run(&arguments, &style),
        Verb::Journal(arguments) => journal::run(&arguments, &style),
        Verb::Quiz(arguments) => quiz::run(&arguments, &style),
        Verb::Mark(arguments) => mark::run(&arguments, &style),
        Verb::Worksheet(arguments) => worksheet::run(&arguments, &style),
        Verb::Rearrange(arguments) => rearrange::run(&arguments, &style),
        Verb::Step(arguments) => step::run(&arguments, &style),
        Verb::Formulae(arguments) => formulae::run(&arguments, &style),
        Verb::Proofread(arguments) => proofread::run(&arguments, &style),
        Verb::Prove(arguments) => prove::run(&arguments, &style),
        Verb::Connect(arguments) => connect::run(&arguments, &style),
        Verb::Completions(arguments) => completions::run(&arguments),
        Verb::Manual => manual::run(),
    }
}

/// `rejig` without a verb: the drill for a person, help for a program.
fn alone() -> Outcome {
    if io::stdin().is_terminal() && io::stdout().is_terminal() {
        let arguments = Arguments::try_parse_from(["rejig", "drill"]);
        if let Ok(Arguments {
            verb: Some(Verb::Drill(drill)),
        }) = arguments
        {
            return drill::run(&drill, &Style::of_stdout());
        }
    }
    usage::short_help()
}

/// A closed pipe is a quiet, successful end.
fn finish(outcome: Outcome) -> ExitCode {
    let told = match outcome {
        Ok(status) => return status.into(),
        Err(Trouble::Io(error)) if error.kind() == io::ErrorKind::BrokenPipe => {
            return Status::Done.into();
        }
        Err(Trouble::Io(error)) => format!("{}.", why(&error)),
        Err(Trouble::Misunderstood(told)) => told,
    };
    // Where even standard error is closed, the status is all that is left.
    let mut out = Output::new(io::stderr(), Style::of_stdout().spelling);
    let _ = writeln!(out, "rejig: {told}");
    Status::Misunderstood.into()
}
