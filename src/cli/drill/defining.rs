//! A definition in words in the drill.

use std::io::{self, Write};

use crate::algebra::expr::Expr;
use crate::practice::definition::{Defining, WordsVerdict};
use crate::practice::posed::Asking;
use crate::practice::script::Word;
use crate::show::definition::{remark, said};
use crate::show::escape::escape;
use crate::show::remarks::Mood;
use crate::show::scripts::in_a_word;
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

/// The hints of a definition, from a nudge to its first words.
fn hints(defining: &Defining<'_>) -> Vec<String> {
    let names = defining.quantities();
    let mut first = match names.as_slice() {
        [] => "Say it as one quantity in terms of others.".to_owned(),
        names => format!("It speaks of: {}.", escape(&names.join(", "))),
    };
    if defining.wordings.conditions() > 0 {
        first.push_str(" There is a condition to be said too.");
    }
    let mut hints = vec![first];
    let equation = defining.definition.equation.as_ref();
    if let Some(equation) = equation.and_then(|own| own.equations.first()) {
        hints.extend(shape(&equation.right).map(str::to_owned));
    }
    let words: Vec<&str> = defining.definition.sentence.split_whitespace().collect();
    if let [first @ .., _, _] = &words[..words.len().div_ceil(2) + 1]
        && !first.is_empty()
    {
        hints.push(format!("It begins: \"{} ...\"", escape(&first.join(" "))));
    }
    hints
}

/// What is done with the quantities.
fn shape(value: &Expr) -> Option<&'static str> {
    match value {
        Expr::Product(factors) => {
            let divides = factors.iter().any(|factor| factor.divides);
            let times = factors.iter().filter(|factor| !factor.divides).count();
            Some(match (divides, times) {
                (true, 2..) => "Quantities are multiplied, and something divides them.",
                (true, _) => "One is divided by another: what is it that goes below?",
                (false, _) => "Quantities are multiplied.",
            })
        }
        Expr::Derivative(_) => Some("It is a rate of change."),
        Expr::Sum(_) => Some("It is a sum or a difference."),
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
            WordsVerdict::Wrong if judged.awarded > 0 => (Mood::Bad, "Not yet whole."),
            WordsVerdict::Unreadable(_) => (Mood::Open, "I can't read all of this."),
            verdict => in_a_word(Word::from(verdict)),
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
                let text = self.try_again(number);
                self.say(text)?;
                Ok(Next::Stay)
            }
            // What can't be read is the program's weakness, not the student's.
            _ => Ok(Next::Stay),
        }
    }

    /// Whether there is a hint that was not given yet.
    pub(super) fn has_hint_at_words(&self, number: usize) -> bool {
        definition(&self.questions, number)
            .is_some_and(|defining| hints(defining).len() > self.sitting.entry(number).hints)
    }

    pub(super) fn hint_at_words(&mut self, number: usize) -> io::Result<Next> {
        let Some(defining) = definition(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let seen = self.sitting.entry(number).hints;
        let Some(text) = hints(defining).into_iter().nth(seen) else {
            self.say("That was the last hint. Type show for the definition.")?;
            return Ok(Next::Stay);
        };
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
