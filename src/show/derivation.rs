//! The lines of a derivation in words.

use crate::algebra::expr::Expr;
use crate::algebra::symbol::SymbolTable;
use crate::reason::approximation::Approximation;
use crate::reason::proof::{Kind, LineVerdict, Report};
use crate::reason::uses::Source;
use crate::reason::verdict::{Evidence, Note};

use super::line::{Spelling, line, name};
use super::remarks::{Mood, Remark, Words as Remarks, numerical};
use super::wrap::unbroken;

/// What the words need to know.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// The letters.
    pub table: &'a SymbolTable,
    /// Which characters may be used.
    pub spelling: Spelling,
    /// What is given, as it was typed.
    pub given: &'a [String],
}

fn approximation_words(approximation: Approximation) -> &'static str {
    match approximation {
        Approximation::SmallAngle => "the approximation for small angles",
    }
}

impl Words<'_> {
    fn remarks(&self) -> Remarks<'_> {
        Remarks {
            table: self.table,
            spelling: self.spelling,
        }
    }

    /// `line 2 and the given v = u + a t`; lines are counted from 1.
    fn sources(&self, sources: &[Source]) -> String {
        let each: Vec<String> = sources
            .iter()
            .map(|source| match source {
                Source::Line(number) => format!("line {}", number + 1),
                Source::Given(number) => match self.given.get(*number) {
                    Some(text) => format!("the given {}", unbroken(text)),
                    None => format!("given {}", number + 1),
                },
                Source::Helper(number) => format!("letter {} of the question", number + 1),
            })
            .collect();
        match each.as_slice() {
            [] => String::new(),
            [one] => one.clone(),
            [front @ .., last] => format!("{} and {last}", front.join(", ")),
        }
    }

    /// The verdict on a line; `number` counts from 0.
    #[must_use]
    pub fn line(&self, number: usize, verdict: &LineVerdict) -> Remark {
        let mut told = Vec::new();
        let from = self.sources(&verdict.uses);
        let (mood, word) = match &verdict.kind {
            Kind::Follows => {
                if let Some(approximation) = verdict.approximation {
                    told.push(format!(
                        "It uses {}, which the question grants.",
                        approximation_words(approximation)
                    ));
                } else if from.is_empty() {
                    told.push("It is true whatever the values.".to_owned());
                } else {
                    told.push(format!("From {from}."));
                }
                (Mood::Good, "Follows.")
            }
            Kind::Repeats => (Mood::Good, "Given."),
            Kind::Defines(symbol) => {
                let letter = unbroken(&name(*symbol, self.table, self.spelling));
                told.push(format!("It brings in the letter {letter}."));
                (Mood::Good, "Fine.")
            }
            Kind::Leap => {
                told.push(format!(
                    "It is true, but it takes {from} at once. Write the line between."
                ));
                (Mood::Open, "A leap.")
            }
            Kind::DoesNotFollow => (Mood::Bad, "Does not follow."),
            Kind::NotGiven(formula) => {
                told.push(format!(
                    "This is the formula {formula}, which is neither given nor derived so far."
                ));
                (Mood::Bad, "Not given.")
            }
            Kind::Circular => {
                told.push(
                    "This says what is to be shown, and the lines after it rest on it. Begin \
                     with what is given."
                        .to_owned(),
                );
                (Mood::Bad, "Circular.")
            }
            Kind::Unreadable => (Mood::Open, "I can't read this."),
            Kind::Undecided(reason) => {
                told.push(self.remarks().undecided(*reason));
                (Mood::Open, "Undecided.")
            }
        };
        if let Some(approximation) = verdict.approximation
            && !verdict.kind.is_sound()
        {
            told.push(format!(
                "It would follow with {}, which the question does not grant.",
                approximation_words(approximation)
            ));
        }
        match &verdict.evidence {
            Some(Evidence::Counterexample(found)) => {
                told.push(self.remarks().sides_fail(found, "the givens"));
            }
            Some(Evidence::Numerical { points, digits }) => told.push(numerical(*points, *digits)),
            _ => {}
        }
        if verdict.carried_forward {
            told.push(format!(
                "From the wrong line before it this line would follow: the method of line {} \
                 counts.",
                number + 1
            ));
        }
        if !verdict.conditions.is_empty() {
            told.push(format!(
                "It needs {}.",
                self.conditions(&verdict.conditions)
            ));
        }
        if verdict.notes.contains(&Note::UndefinedSomewhere) {
            told.push(
                "It has no value for some values that fit the givens: there it says nothing."
                    .to_owned(),
            );
        }
        if verdict
            .notes
            .iter()
            .any(|note| matches!(note, Note::AmbiguousSlash | Note::AmbiguousReading))
        {
            told.push(
                "It can be read in two ways; brackets would make it plain which is meant."
                    .to_owned(),
            );
        }
        Remark { mood, word, told }
    }

    fn conditions(&self, conditions: &[Expr]) -> String {
        let each: Vec<String> = conditions
            .iter()
            .map(|expr| {
                let text = unbroken(&line(expr, self.table, self.spelling));
                format!("{text} not to be zero")
            })
            .collect();
        each.join(", and ")
    }

    /// What came of the whole, in a sentence or two.
    #[must_use]
    pub fn whole(&self, report: &Report) -> String {
        if !report.consistent {
            return "I found no values that fit all the givens at once: either they contradict \
                    each other, or they are too hard for me to solve."
                .to_owned();
        }
        if report.complete {
            return "Shown.".to_owned();
        }
        if let Some(first) = report.first_bad {
            return format!(
                "Not shown: the working first goes wrong in line {}.",
                first + 1
            );
        }
        if report.goal_alone {
            return "Not shown yet: the result alone is no proof. Write the lines that lead to \
                    it."
            .to_owned();
        }
        if report.lines.is_empty() {
            return "There are no lines of working yet.".to_owned();
        }
        if report
            .lines
            .iter()
            .any(|line| matches!(line.kind, Kind::Undecided(_)))
        {
            return "Not decided: there is a line that I can neither prove nor refute.".to_owned();
        }
        match report.lines.last() {
            Some(last) if last.kind == Kind::Leap => {
                "Not shown yet: the last line takes too much at once.".to_owned()
            }
            _ if report.ends_in_result => {
                "Not shown yet: the last line is what is to be shown, but the lines before it do \
                 not lead to it."
                    .to_owned()
            }
            _ => "Not shown yet: so far every line is sound, but the last one is not what was to \
                  be shown."
                .to_owned(),
        }
    }
}
