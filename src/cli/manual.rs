//! `rejig manual`: one page for `man`, made from the arguments and from what
//! the help teaches.

use std::io::{self, Write};

use clap::Command;
use clap_mangen::Man;

use super::command::command;
use super::examples::{Lesson, lesson};
use super::exit::Status;
use super::outcome::Outcome;

/// Runs the verb.
///
/// # Errors
/// When writing fails.
pub fn run() -> Outcome {
    let page = page()?;
    let mut out = io::stdout().lock();
    out.write_all(page.as_bytes())?;
    out.flush()?;
    Ok(Status::Done)
}

/// The page.
fn page() -> io::Result<String> {
    let mut whole = command(usize::MAX);
    whole.build();
    let mut out = Vec::new();
    let head = Man::new(whole.clone()).manual("User commands");
    head.render_title(&mut out)?;
    let mut text = String::from_utf8_lossy(&out).into_owned();
    text.push_str(".SH NAME\nrejig \\- a tutor in a terminal for upper\\-secondary physics\n");
    text.push_str(".SH SYNOPSIS\n.B rejig\n.RI [ VERB ]\n.RI [ OPTIONS ]\n");
    text.push_str(".SH DESCRIPTION\n");
    paragraph(
        &mut text,
        &whole
            .get_about()
            .map(ToString::to_string)
            .unwrap_or_default(),
    );
    if let Some(lesson) = lesson("") {
        taught(&mut text, lesson);
    }
    text.push_str(".SH VERBS\n");
    for verb in whole.get_subcommands() {
        section(&mut text, verb)?;
    }
    for (heading, entries) in CLOSING {
        text.push_str(&format!(".SH {heading}\n"));
        for (name, told) in *entries {
            text.push_str(&format!(".TP\n.B {}\n{}\n", escaped(name), escaped(told)));
        }
    }
    Ok(text)
}

/// A verb's part of the page.
fn section(text: &mut String, verb: &Command) -> io::Result<()> {
    text.push_str(&format!(".SS rejig {}\n", escaped(verb.get_name())));
    let about = verb
        .get_about()
        .map(ToString::to_string)
        .unwrap_or_default();
    paragraph(text, &format!("{about}."));
    if let Some(lesson) = lesson(verb.get_name()) {
        taught(text, lesson);
    }
    text.push_str(".PP\nOptions:\n");
    let mut out = Vec::new();
    Man::new(verb.clone()).render_options_section(&mut out)?;
    let options = String::from_utf8_lossy(&out);
    // Its own heading would close the verb's section, and what stands above
    // it defines what the page has defined already.
    let options = options
        .split_once(".SH OPTIONS\n")
        .map_or("", |(_, options)| options);
    for line in options.lines() {
        // These three the generator leaves as they are, and `man` makes
        // typographic ones of them, which can't be typed.
        let line = line
            .replace('^', "\\(ha")
            .replace('~', "\\(ti")
            .replace('`', "\\(ga");
        text.push_str(&line);
        text.push('\n');
    }
    Ok(())
}

fn taught(text: &mut String, lesson: &Lesson) {
    for note in lesson.notes {
        text.push_str(".PP\n");
        paragraph(text, note);
    }
    for example in lesson.examples {
        text.push_str(&format!(
            ".PP\n{}:\n.PP\n.RS 4\n.nf\n",
            escaped(example.told)
        ));
        for command in example.command.lines() {
            text.push_str(&escaped(command));
            text.push('\n');
        }
        text.push_str(".fi\n.RE\n");
    }
}

fn paragraph(text: &mut String, told: &str) {
    text.push_str(&escaped(told));
    text.push('\n');
}

/// Text as it stands, for `man`.
fn escaped(told: &str) -> String {
    let mut text = String::with_capacity(told.len() + 16);
    if told.starts_with(['.', '\'']) {
        text.push_str("\\&");
    }
    for character in told.chars() {
        match character {
            '\\' => text.push_str("\\e"),
            '-' => text.push_str("\\-"),
            '\'' => text.push_str("\\(aq"),
            '"' => text.push_str("\\(dq"),
            '^' => text.push_str("\\(ha"),
            '~' => text.push_str("\\(ti"),
            '`' => text.push_str("\\(ga"),
            other => text.push(other),
        }
    }
    text
}

/// What goes for all verbs.
const CLOSING: &[(&str, &[(&str, &str)])] = &[
    (
        "EXIT STATUS",
        &[
            (
                "0",
                "All is done. A pipe that was closed early is no fault.",
            ),
            ("1", "A check found faults."),
            (
                "2",
                "The request could not be understood, or reading or writing failed.",
            ),
            ("130", "The interrupt key ended it; what was done is kept."),
        ],
    ),
    (
        "ENVIRONMENT",
        &[
            (
                "NO_COLOR",
                "If it is set and not empty, nothing is coloured.",
            ),
            (
                "CLICOLOR, CLICOLOR_FORCE",
                "CLICOLOR=0 means no colour; CLICOLOR_FORCE=1 means colour into a pipe too. \
                 Colour never says what a word does not say as well.",
            ),
            (
                "COLUMNS",
                "The width of a line, in place of the terminal's own.",
            ),
            (
                "LC_ALL, LC_CTYPE, LANG",
                "Where the first of these that is set does not name UTF-8, maths is printed in \
                 ASCII.",
            ),
            (
                "TERM",
                "TERM=dumb means no colour, maths on one line, and no editing keys: for terminals \
                 that write line after line, and for screen readers.",
            ),
            (
                "XDG_DATA_HOME",
                "Where the folder with the journal is; else the system's usual place.",
            ),
        ],
    ),
    (
        "FILES",
        &[(
            "journal.jsonl",
            "What was practised, one JSON object a line. `rejig journal` says where it is.",
        )],
    ),
];
