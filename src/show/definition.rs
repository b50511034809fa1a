//! Verdicts on definitions in words, in words.

use crate::physics::formulary::Definition;
use crate::practice::definition::{Judged, Wordings, WordsVerdict};
use crate::reason::verdict::Evidence;
use crate::text::Span;
use crate::text::words::{Trouble, Unread};

use super::figures::{written, written_apart};
use super::line::{Spelling, line};

/// The word of the machine interface.
#[must_use]
pub fn verdict_key(verdict: &WordsVerdict) -> &'static str {
    match verdict {
        WordsVerdict::Right => "right",
        WordsVerdict::Wrong => "wrong",
        WordsVerdict::Unreadable(_) => "unreadable",
        WordsVerdict::Undecided => "undecided",
    }
}

/// What is to be said about a judged wording, in a sentence or a few.
#[must_use]
pub fn remark(judged: &Judged, wordings: &Wordings, answer: &str) -> String {
    let mut said = Vec::new();
    match &judged.verdict {
        WordsVerdict::Right => said.push("That says it.".to_owned()),
        WordsVerdict::Wrong => said.extend(wrong(judged, wordings)),
        WordsVerdict::Unreadable(unread) => said.extend(unreadable(unread, answer)),
        WordsVerdict::Undecided => {
            said.push("I can't decide whether that says the same.".to_owned());
        }
    }
    if judged.other_reading && judged.is_right() {
        said.push("It can be heard in two ways: say what divides what.".to_owned());
    }
    if judged.unit_for_quantity && judged.is_right() {
        said.push(
            "A definition names quantities: \"per unit charge\", not \"per coulomb\".".to_owned(),
        );
    }
    for (written, meant) in &judged.spelt {
        let written = super::escape::escape(written);
        let meant = super::escape::escape(meant);
        said.push(format!("I read \"{written}\" as \"{meant}\"."));
    }
    said.join(" ")
}

/// The definition as the sheet has it.
#[must_use]
pub fn said(definition: &Definition) -> String {
    let term = super::escape::escape(&definition.term);
    let sentence = super::escape::escape(&definition.sentence);
    match &definition.equation {
        Some(equation) => {
            let maths = super::escape::escape(equation.text());
            format!("{term}: {sentence}; {maths}.")
        }
        None => format!("{term}: {sentence}."),
    }
}

fn wrong(judged: &Judged, wordings: &Wordings) -> Vec<String> {
    let mut said = Vec::new();
    let algebra = judged.algebra.as_ref();
    if algebra.is_some_and(|algebra| algebra.is_right()) {
        let missing: Vec<String> = judged
            .missing
            .iter()
            .map(|words| format!("\"{words}\""))
            .collect();
        said.push(format!(
            "The quantities are right, but it must also say {}.",
            missing.join(" and ")
        ));
        return said;
    }
    if let (Some(value), Some(subject)) = (&judged.value, wordings.subject()) {
        let table = wordings.table();
        said.push(format!(
            "Your words say {} = {}.",
            table.name(subject),
            line(value, table, Spelling::Unicode)
        ));
        if let Some(Evidence::Counterexample(found)) =
            algebra.and_then(|algebra| algebra.evidence.as_ref())
        {
            let values: Vec<String> = found
                .values
                .iter()
                .filter(|(symbol, _)| *symbol != subject)
                .map(|(symbol, value)| {
                    let shown = written(value, Spelling::Unicode).equated(Spelling::Unicode);
                    format!("{} {shown}", table.name(*symbol))
                })
                .collect();
            let (expected, got) = match &found.got {
                Some(got) => {
                    let (left, right) = written_apart(&found.expected, got, Spelling::Unicode);
                    (left.told(), right.told())
                }
                None => (
                    written(&found.expected, Spelling::Unicode).told(),
                    "nothing".to_owned(),
                ),
            };
            said.push(format!(
                "With {} it should give {expected}, and gives {got}.",
                values.join(", ")
            ));
        }
    }
    said
}

fn unreadable(unread: &Unread, answer: &str) -> Vec<String> {
    let quoted = |spans: &[Span]| {
        let words: Vec<String> = spans
            .iter()
            .map(|span| format!("\"{}\"", super::escape::escape(span.of(answer))))
            .collect();
        words.join(", ")
    };
    let at = quoted(&unread.words);
    let mut said = vec![match unread.trouble {
        Trouble::Empty => "There are no words that I could judge.".to_owned(),
        Trouble::TooLong => "That is too long for me to read.".to_owned(),
        Trouble::TooDeep => "That is too involved for me to read.".to_owned(),
        Trouble::Words => format!("I can't read {at}."),
        Trouble::NoQuantity => "I find no quantity where one is needed.".to_owned(),
        Trouble::NoOperation => {
            format!("I can't tell what is to be done with {at}: say per, times, or the like.")
        }
        Trouble::NothingToActOn => format!("Something is missing at {at}."),
        Trouble::Unit => format!("At {at}, a unit or \"unit\" stands where a quantity is needed."),
        Trouble::ChangeOfWhat => format!("I can't tell what changes at {at}."),
        Trouble::Circular => "That uses the term itself.".to_owned(),
        Trouble::Foreign => "The units fit, but this definition is put in other quantities, and I \
                             can't tell whether yours says the same."
            .to_owned(),
        Trouble::Loose => "I'm not sure which quantity is meant there: name it first.".to_owned(),
        Trouble::WhichOne => "Several quantities go by one name there: say which.".to_owned(),
    }];
    if !unread.understood.is_empty() {
        said.push(format!("What I did read: {}.", quoted(&unread.understood)));
    }
    said.push("It is not marked wrong for that.".to_owned());
    said
}
