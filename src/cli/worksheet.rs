//! `rejig worksheet`: questions on paper, with their mark scheme.

use std::io::{self, Write};

use crate::practice::script::Ready;
use crate::show::worksheet::{self, Part};

use super::args::{PaperFormat, PaperPart, Worksheet};
use super::choosing;
use super::exit::Status;
use super::outcome::Outcome;
use super::sheets;
use super::style::Style;

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or writing fails.
pub fn run(arguments: &Worksheet, style: &Style) -> Outcome {
    let choice = &arguments.choice;
    if let Some(path) = &choice.quiz {
        let (_, questions) = choosing::from_file(path)?;
        return print(arguments, &questions);
    }
    if let Some(formula) = &choice.practice.formula {
        let chosen = choosing::from_formula(choice, formula, style)?;
        return print(arguments, &numbered(chosen.questions));
    }
    let loaded = sheets::load(&choice.practice.sheets)?;
    let chosen = choosing::from_sheets(choice, &loaded)?;
    print(arguments, &numbered(chosen.questions))
}

fn numbered<'f>(questions: impl Iterator<Item = Ready<'f>>) -> Vec<Ready<'f>> {
    questions
        .enumerate()
        .map(|(index, mut ready)| {
            ready.entry.number = index + 1;
            ready
        })
        .collect()
}

fn print(arguments: &Worksheet, questions: &[Ready<'_>]) -> Outcome {
    let part = match arguments.part {
        PaperPart::Questions => Part::Questions,
        PaperPart::Scheme => Part::Scheme,
        PaperPart::Both => Part::Both,
    };
    let title = arguments.title.as_deref().unwrap_or("Questions");
    let text = match arguments.format {
        PaperFormat::Html => worksheet::html(questions, title, part),
        PaperFormat::Latex => worksheet::tex(questions, title, part),
    };
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(Status::Done)
}
