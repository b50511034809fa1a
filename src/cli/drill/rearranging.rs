//! A change of subject in the drill.

use std::io::{self, Write};

use crate::practice::fading;
use crate::practice::posed::Asking;
use crate::practice::question::{Question, TypedLine};
use crate::reason::slip::SlipKind;
use crate::reason::step::{self, HINTS_A_STEP, Hint};
use crate::show::line::name;
use crate::show::steps::Words;
use crate::show::worked::{Layout, example, shown_steps, working};

use super::super::asking;
use super::super::style::Style;
use super::questions::Questions;
use super::{Drill, MOST_LINES, Next};

const READ_FIRST: &str =
    "This was missed before, so here is the working. Read it, then type the result.";
const ONE_LEFT: &str = "The last step is left for you; type the result.";
const TWO_LEFT: &str = "The last two steps are left for you; type the result.";

/// The question of this number, if it is a change of subject.
fn rearrangement<'q, 'f>(questions: &'q Questions<'f>, number: usize) -> Option<&'q Question<'f>> {
    match &questions.get(number)?.asking {
        Asking::Rearrangement(question) => Some(question),
        _ => None,
    }
}

/// The whole working.
fn whole(question: &Question<'_>, style: &Style) -> String {
    working(
        &question.solutions,
        &question.dropped,
        question.complete,
        question.subject(),
        question.table(),
        &style.page(Layout::Grid),
    )
}

impl Drill<'_, '_> {
    pub(super) fn put_rearrangement(&mut self, number: usize, heading: &str) -> io::Result<()> {
        let Some(question) = rearrangement(&self.questions, number) else {
            return Ok(());
        };
        asking::print_question(&mut self.out, heading, question, self.style, Layout::Grid)?;
        let support = self.questions[number].support;
        if support == 0 {
            return Ok(());
        }
        let blanks = fading::blanks(support, question.marks);
        let (told, text) = match blanks {
            0 => (READ_FIRST, whole(question, self.style)),
            blanks => {
                let path = question
                    .solutions
                    .first()
                    .map_or(&[][..], |solution| solution.path.as_slice());
                let page = self.style.page(Layout::Grid);
                let text = example(path, blanks, question.subject(), question.table(), &page);
                (if blanks == 1 { ONE_LEFT } else { TWO_LEFT }, text)
            }
        };
        self.say(told)?;
        write!(self.out, "{text}")
    }

    pub(super) fn judge(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let Some(question) = rearrangement(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let line = match question.read(typed) {
            Ok(line) => line,
            Err(fault) => {
                asking::print_fault(&mut self.out, &fault, self.style)?;
                return Ok(Next::Stay);
            }
        };
        if !question.is_answer(&line) {
            if self.lines.is_empty() {
                self.say("Line 1 of your working. Go on; an empty line ends it.")?;
            }
            if self.lines.len() < MOST_LINES {
                self.lines.push(line);
            } else {
                self.say("That is more working than I read. An empty line ends it.")?;
            }
            return Ok(Next::Stay);
        }
        let marked = question.marked(&line);
        asking::print_verdict(&mut self.out, question, &marked, self.style, Layout::Grid)?;
        let mut lines = std::mem::take(&mut self.lines);
        let mut kind = None;
        if lines.is_empty() {
            if let Some(found) = question.explain(&marked) {
                let subject = question.subject();
                asking::print_slip(&mut self.out, &found, subject, &marked.table, self.style)?;
                kind = Some(found.slips[0].kind);
            }
        } else {
            lines.push(line);
            kind = self.end_working(number, &lines)?;
        }
        let verdict = marked.judgement.verdict;
        self.settle(number, verdict, kind)
    }

    /// Prints what became of lines of working; the slip at the first that
    /// does not follow.
    pub(super) fn end_working(
        &mut self,
        number: usize,
        lines: &[TypedLine],
    ) -> io::Result<Option<SlipKind>> {
        let Some(question) = rearrangement(&self.questions, number) else {
            return Ok(None);
        };
        let worked = question.working(lines);
        asking::print_working(&mut self.out, question, &worked, self.style)?;
        let kind = worked
            .working
            .first_bad
            .and_then(|bad| worked.working.lines[bad].explanation.as_ref())
            .map(|found| found.slips[0].kind);
        if !lines.last().is_some_and(|last| question.is_answer(last)) {
            let letter = name(question.subject(), question.table(), self.style.spelling);
            let text = format!("{letter} is not by itself on one side yet.");
            self.say(&text)?;
            self.remember(number, kind);
        }
        Ok(kind)
    }

    /// The hints of a question, and how many of them are seen already. Steps
    /// that the question shows need no hint.
    fn hints_at_step(&self, number: usize, question: &Question<'_>) -> (Vec<Hint>, usize) {
        let path = question
            .solutions
            .first()
            .map_or(&[][..], |solution| solution.path.as_slice());
        let shown = match self.questions[number].support {
            0 => 0,
            support => shown_steps(path, fading::blanks(support, question.marks)),
        };
        let seen = HINTS_A_STEP * shown + self.sitting.entry(number).hints;
        (step::hints(path), seen)
    }

    /// Whether there is a hint that was not given yet.
    pub(super) fn has_hint_at_step(&self, number: usize) -> bool {
        rearrangement(&self.questions, number).is_some_and(|question| {
            let (hints, seen) = self.hints_at_step(number, question);
            seen < hints.len()
        })
    }

    pub(super) fn hint_at_step(&mut self, number: usize) -> io::Result<Next> {
        let Some(question) = rearrangement(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let (hints, seen) = self.hints_at_step(number, question);
        let Some(hint) = hints.get(seen) else {
            let followed = self.sitting.entry(number).hints == 0;
            self.say(if followed {
                "The working above says all that a hint would. Type its result, or show."
            } else {
                "That was the last hint. Type show for the whole working."
            })?;
            return Ok(Next::Stay);
        };
        let words = Words {
            table: question.table(),
            spelling: self.style.spelling,
            subject: question.subject(),
        };
        match hint {
            Hint::Line(line) => {
                let page = self.style.page(Layout::Grid);
                let text = page.equation(line, question.table(), 5);
                writeln!(self.out, "{text}")?;
            }
            other => {
                let text = words.hint(other);
                self.say(&text)?;
            }
        }
        self.sitting.hint(number);
        Ok(Next::Stay)
    }

    pub(super) fn show_working(&mut self, number: usize) -> io::Result<()> {
        let Some(question) = rearrangement(&self.questions, number) else {
            return Ok(());
        };
        writeln!(self.out, "{}", whole(question, self.style))
    }
}
