//! A connection between topics in the drill: lines of working are judged
//! against all its formulae, the answer as a change of subject is.

use std::io::{self, Write};

use crate::practice::connections::Connecting;
use crate::practice::posed::Asking;
use crate::reason::step::{self, Hint};
use crate::reason::verdict::Verdict;
use crate::show::connections::{letters_left, parts, request};
use crate::show::derivation::Words;
use crate::show::escape::escape;
use crate::show::line::equation;
use crate::show::remarks::Mood;
use crate::show::steps;
use crate::show::worked::{Layout, working};

use super::super::asking;
use super::questions::Questions;
use super::{Drill, MOST_LINES, Next};

/// The question of this number, if it is a connection.
fn connection<'q, 'f>(questions: &'q Questions<'f>, number: usize) -> Option<&'q Connecting<'f>> {
    match &questions.get(number)?.asking {
        Asking::Connection(own) => Some(own),
        _ => None,
    }
}

impl Drill<'_, '_> {
    pub(super) fn put_connection(&mut self, number: usize, heading: &str) -> io::Result<()> {
        let style = self.style;
        let Some(own) = connection(&self.questions, number) else {
            return Ok(());
        };
        let titles: Vec<&str> = own.titles();
        let titles = titles.join(" and ");
        asking::print_heading(&mut self.out, heading, Some(&titles), own.marks(), style)?;
        let sentence = escape(&own.linked.connection.sentence).into_owned();
        let lines = parts(own, style.spelling, style.width);
        let asked = request(own, style.spelling);
        self.say(&sentence)?;
        for line in lines {
            writeln!(self.out, "{line}")?;
        }
        self.say(&asked)
    }

    pub(super) fn judge_connection(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let style = self.style;
        let Some(own) = connection(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let line = match own.question.read(typed) {
            Ok(line) => line,
            Err(fault) => {
                asking::print_fault(&mut self.out, &fault, style)?;
                return Ok(Next::Stay);
            }
        };
        let left = own.left_over(&line.readings.preferred.chain);
        if !own.question.is_answer(&line) || !left.is_empty() {
            return self.judge_connection_line(number, typed);
        }
        let question = &own.question;
        let marked = question.marked(&line);
        asking::print_verdict(&mut self.out, question, &marked, style, Layout::Grid)?;
        let mut kind = None;
        if let Some(found) = question.explain(&marked) {
            let subject = question.subject();
            asking::print_slip(&mut self.out, &found, subject, &marked.table, style)?;
            kind = Some(found.slips[0].kind);
        }
        let verdict = marked.judgement.verdict;
        if verdict == Verdict::Right {
            self.connected.clear();
        }
        self.settle(number, verdict, kind)
    }

    /// A line on the way: judged against the formulae, as a proof's are.
    fn judge_connection_line(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let style = self.style;
        if self.connected.len() >= MOST_LINES {
            self.say("That is more working than I read. Type the result, show, or skip.")?;
            return Ok(Next::Stay);
        }
        let Some(own) = connection(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let table = own.question.table();
        let given: Vec<String> = own
            .linked
            .parts
            .iter()
            .map(|part| equation(&part.equation, table, style.spelling))
            .collect();
        let Some(argument) = own.argument() else {
            return Ok(Next::Stay);
        };
        let left = letters_left(own, style.spelling);
        let lines: Vec<&str> = self.connected.iter().map(String::as_str).collect();
        let at = lines.len();
        let judged = argument.judge(lines.into_iter().chain([typed]));
        if let Some(Some(fault)) = judged.unreadable.get(at) {
            asking::print_fault(&mut self.out, fault, style)?;
            return Ok(Next::Stay);
        }
        let Some(verdict) = judged.report.lines.get(at) else {
            return Ok(Next::Stay);
        };
        let words = Words {
            table: judged.vocabulary.table(),
            spelling: style.spelling,
            given: &given,
        };
        let remark = words.line(at, verdict);
        writeln!(self.out, "   {}", style.verdict(remark.mood, remark.word))?;
        for paragraph in &remark.told {
            self.say(paragraph)?;
        }
        match remark.mood {
            Mood::Bad => {
                self.sitting.answer(number, false);
                self.say("The line is struck out. Try another, or type hint.")?;
            }
            Mood::Good => {
                self.connected.push(typed.to_owned());
                self.say(&format!("Go on. The result is to be without {left}."))?;
            }
            Mood::Open => self.say("The line is not kept, and costs nothing.")?,
        }
        Ok(Next::Stay)
    }

    pub(super) fn hint_at_connection(&mut self, number: usize) -> io::Result<Next> {
        let Some(own) = connection(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let seen = self.sitting.entry(number).hints;
        let table = own.question.table();
        let spelling = self.style.spelling;
        let path = own
            .question
            .solutions
            .first()
            .map_or(&[][..], |solution| solution.path.as_slice());
        let text = match seen {
            0 => format!("What has to go: {}.", letters_left(own, spelling)),
            1 => format!(
                "Together they say: {}",
                equation(own.question.formula(), table, spelling)
            ),
            more => {
                let words = steps::Words {
                    table,
                    spelling,
                    subject: own.question.subject(),
                };
                match step::hints(path).get(more - 2) {
                    Some(Hint::Line(line)) => equation(line, table, spelling),
                    Some(other) => words.hint(other),
                    None => {
                        self.say("That was the last hint. Type show for the whole working.")?;
                        return Ok(Next::Stay);
                    }
                }
            }
        };
        self.say(&text)?;
        self.sitting.hint(number);
        Ok(Next::Stay)
    }

    pub(super) fn show_connection(&mut self, number: usize) -> io::Result<()> {
        self.connected.clear();
        let Some(own) = connection(&self.questions, number) else {
            return Ok(());
        };
        let question = &own.question;
        let page = self.style.page(Layout::Grid);
        let joined = page.equation(question.formula(), question.table(), 5);
        let goal = page.equation(&own.linked.goal, question.table(), 5);
        let whole = working(
            &question.solutions,
            &question.dropped,
            question.complete,
            question.subject(),
            question.table(),
            &page,
        );
        let more = question.marks > 0;
        self.say("Together the formulae say:")?;
        writeln!(self.out, "{joined}")?;
        if more {
            return writeln!(self.out, "{whole}");
        }
        self.say("So:")?;
        writeln!(self.out, "{goal}\n")
    }
}
