//! The arguments as a command: their definition with what the help teaches,
//! laid out for the width at hand.

use std::fmt::Write;

use clap::builder::PossibleValuesParser;
use clap::{Command, CommandFactory};

use crate::physics::formulary::Formulary;
use crate::show::wrap::{unbroken, wrapped};

use super::args::Arguments;
use super::examples::{self, Lesson, lesson};

/// The widest that help is laid out.
const WIDEST: usize = 80;

/// The command with its help in lines of this width.
#[must_use]
pub fn command(width: usize) -> Command {
    let width = width.min(WIDEST);
    let mut command = Arguments::command().term_width(width);
    if let Some(lesson) = lesson("") {
        command = command.after_help(taught(lesson, width));
    }
    command.mut_subcommands(|verb| match lesson(verb.get_name()) {
        Some(lesson) => verb.after_help(taught(lesson, width)),
        None => verb,
    })
}

/// The command with the topics of these sheets as the values of `--topic`.
/// Only for completions: sheets from disk have topics of their own.
#[must_use]
pub fn with_topics(command: Command, formulary: &Formulary) -> Command {
    // The definition wants text that lives as long as the program, which ends
    // once the script is printed.
    let topics: Vec<&'static str> = formulary
        .topics
        .iter()
        .map(|topic| &*topic.key.clone().leak())
        .collect();
    command.mut_subcommands(|verb| {
        if verb.get_arguments().all(|own| own.get_id() != "topics") {
            return verb;
        }
        verb.mut_arg("topics", |own| {
            own.value_parser(PossibleValuesParser::new(topics.clone()))
        })
    })
}

/// Examples and notes as they stand below the options. No line has a place
/// where it could be broken once more; [`plain`] makes blanks of the rest.
fn taught(lesson: &Lesson, width: usize) -> String {
    let mut text = String::from("Examples:");
    for example in lesson.examples {
        let told = format!("{}:", example.told);
        let _ = write!(text, "\n{}", wrapped(&told, "  ", "  ", width));
        for command in example.command.lines() {
            for line in examples::broken(command, width.saturating_sub(4)) {
                let _ = write!(text, "\n    {line}");
            }
        }
    }
    for note in lesson.notes {
        let _ = write!(text, "\n\n{}", wrapped(note, "", "", width));
    }
    unbroken(&text)
}

/// Help as it is printed.
#[must_use]
pub fn plain(help: &str) -> String {
    help.replace('\u{a0}', " ")
}
