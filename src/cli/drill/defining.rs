//! A definition in words in the drill.

use std::io::{self, Write};

use crate::practice::definition::{Defining, WordsVerdict};
use crate::practice::posed::Asking;
use crate::show::definition::{remark, said};
use crate::show::escape::escape;
use crate::show::remarks::Mood;
use crate::show::wrap::wrapped;

use super::super::asking;
use super::questions::Questions;
use super::{Drill, Next};

/// The question of this number, if it is a definition.
fn definition<'q, 'f>(questions: &'q Questions<'f>, number: usize) -> Option<&'q Defining<'f>> {
    match &questions.get(number)?.asking {
        Asking::Definition(defining) => Some(defining),
        _ => None,
    }
}

impl Drill<'_, '_> {
    pub(super) fn put_definition(&mut self, number: usize, heading: &str) -> io::Result<()> {
        let Some(defining) = definition(&self.questions, number) else {
            return Ok(());
        };
        let marks = defining.wordings.marks();
        let topic = Some(defining.topic.title.as_str());
        asking::print_heading(&mut self.out, heading, topic, marks, self.style)?;
        let text = format!("Define {} in words.", escape(&defining.definition.term));
        self.say(&text)
    }

    pub(super) fn judge_wording(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let Some(defining) = definition(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let judged = defining.wordings.judge(typed);
        let told = remark(&judged, &defining.wordings, typed);
        let (mood, word) = match &judged.verdict {
            WordsVerdict::Right => (Mood::Good, "Right."),
            WordsVerdict::Wrong if judged.awarded > 0 => (Mood::Bad, "Not yet whole."),
            WordsVerdict::Wrong => (Mood::Bad, "Not right."),
            WordsVerdict::Unreadable(_) => (Mood::Open, "I can't read all of this."),
            WordsVerdict::Undecided => (Mood::Open, "Not decided."),
        };
        writeln!(self.out, "   {}", self.style.verdict(mood, word))?;
        if !judged.is_right() || judged.has_remark() {
            let told = wrapped(&told, "   ", "   ", self.style.width);
            writeln!(self.out, "{told}")?;
        }
        match judged.verdict {
            WordsVerdict::Right => {
                self.sitting.answer(number, true);
                writeln!(self.out)?;
                Ok(Next::Ask)
            }
            WordsVerdict::Wrong => {
                self.sitting.answer(number, false);
                self.say("Try again, or type hint.")?;
                Ok(Next::Stay)
            }
            // What can't be read is the program's weakness, not the student's.
            _ => Ok(Next::Stay),
        }
    }

    pub(super) fn hint_at_words(&mut self, number: usize) -> io::Result<Next> {
        let Some(defining) = definition(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let names = defining.quantities();
        let conditions = defining.wordings.conditions();
        let mut text = match names.as_slice() {
            [] => "Say it as one quantity in terms of others.".to_owned(),
            names => format!("It speaks of: {}.", escape(&names.join(", "))),
        };
        if conditions > 0 {
            text.push_str(" There is a condition to be said too.");
        }
        self.say(&text)?;
        self.sitting.hint(number);
        Ok(Next::Stay)
    }

    pub(super) fn show_definition(&mut self, number: usize) -> io::Result<()> {
        let Some(defining) = definition(&self.questions, number) else {
            return Ok(());
        };
        let text = said(defining.definition);
        self.say(&text)?;
        writeln!(self.out)
    }
}
