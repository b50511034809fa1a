//! A question of proportion in the drill.

use std::io::{self, Write};

use crate::practice::posed::Asking;
use crate::practice::proportion::{Scaling, has_words};
use crate::practice::script::Word;
use crate::reason::verdict::Verdict;
use crate::show::proportion::{UNKNOWN_WORDS, Words};
use crate::show::scripts::in_a_word;
use crate::show::worked::Layout;

use super::super::asking;
use super::questions::Questions;
use super::{Drill, Next};

/// The question of this number, if it is one of proportion.
fn scaling<'q, 'f>(questions: &'q Questions<'f>, number: usize) -> Option<&'q Scaling<'f>> {
    match &questions.get(number)?.asking {
        Asking::Proportion(own) => Some(own),
        _ => None,
    }
}

impl Drill<'_, '_> {
    pub(super) fn put_scaling(&mut self, number: usize, heading: &str) -> io::Result<()> {
        let Some(own) = scaling(&self.questions, number) else {
            return Ok(());
        };
        asking::print_proportion(&mut self.out, heading, own, self.style, Layout::Grid)
    }

    pub(super) fn judge_factor(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let Some(own) = scaling(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let scaled = match own.judge(typed) {
            Ok(scaled) => scaled,
            Err(_) if has_words(typed) => {
                self.say(UNKNOWN_WORDS)?;
                return Ok(Next::Stay);
            }
            Err(fault) => {
                asking::print_fault(&mut self.out, &fault, self.style)?;
                return Ok(Next::Stay);
            }
        };
        let words = Words {
            scaling: own,
            spelling: self.style.spelling,
        };
        let verdict = scaled.judgement.verdict.clone();
        // Not what would be right: it is asked for once more.
        let told = match verdict {
            Verdict::Wrong => [words.read_as(&scaled), words.slips(&scaled.slips)],
            _ => [String::new(), String::new()],
        };
        let (mood, word) = in_a_word(Word::from(&verdict));
        let word = self.style.verdict(mood, word);
        writeln!(self.out, "   {word}")?;
        for told in told.iter().filter(|told| !told.is_empty()) {
            self.say(told)?;
        }
        let kind = scaled.slips.first().map(|slip| slip.kind);
        self.settle(number, verdict, kind)
    }

    pub(super) fn hint_at_factor(&mut self, number: usize) -> io::Result<Next> {
        let Some(own) = scaling(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let words = Words {
            scaling: own,
            spelling: self.style.spelling,
        };
        let Some(text) = words.hint(self.sitting.entry(number).hints) else {
            self.say("That was the last hint. Type show for the whole working.")?;
            return Ok(Next::Stay);
        };
        self.say(&text)?;
        self.sitting.hint(number);
        Ok(Next::Stay)
    }

    pub(super) fn show_factor(&mut self, number: usize) -> io::Result<()> {
        let Some(own) = scaling(&self.questions, number) else {
            return Ok(());
        };
        let words = Words {
            scaling: own,
            spelling: self.style.spelling,
        };
        for line in words.working() {
            self.say(&line)?;
        }
        writeln!(self.out)
    }
}
