//! A connection between topics in the drill: lines of working are judged
//! against all its formulae, the answer as a change of subject is.

use std::io::{self, Write};

use crate::practice::connections::{Connecting, Explained};
use crate::practice::posed::Asking;
use crate::reason::step::{self, Hint};
use crate::reason::verdict::Verdict;
use crate::show::connections::{formulae, letters_left, marks_words, parts};
use crate::show::derivation::Words;
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
        let asked = asking::Connection {
            title: Some(&titles.join(" and ")),
            sentence: Some(&own.linked.connection.sentence),
            formulae: parts(own, style.spelling, style.width),
            condition: own.linked.connection.condition.as_deref(),
            joint: &own.joint,
        };
        asking::print_connection(&mut self.out, heading, &asked, style)
    }

    pub(super) fn judge_connection(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let style = self.style;
        if self.connected.len() >= MOST_LINES {
            self.say("That is more working than I read. Type the result, show, or skip.")?;
            return Ok(Next::Stay);
        }
        let Some(own) = connection(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let joint = &own.joint;
        let before = self.connected.iter().map(String::as_str);
        let lines: Vec<&str> = before.chain([typed]).collect();
        let joined = match joint.judge(&lines) {
            Ok(joined) => joined,
            Err(fault) => {
                asking::print_fault(&mut self.out, &fault, style)?;
                return Ok(Next::Stay);
            }
        };
        let at = self.connected.len();
        let kind = joined
            .slip
            .as_ref()
            .map(|own| own.explanation.slips[0].kind);
        let marks = marks_words(joined.awarded, joint);
        if let Some(marked) = &joined.answer {
            let out = &mut self.out;
            asking::print_verdict(out, &joint.question, marked, style, Layout::Grid)?;
            self.print_explained(joined.slip.as_ref())?;
            let verdict = marked.judgement.verdict.clone();
            match verdict {
                Verdict::Right => self.connected.clear(),
                Verdict::Wrong => self.say(&marks)?,
                Verdict::Undecided(_) => {}
            }
            return self.settle(number, verdict, kind);
        }
        let given = formulae(joint, style.spelling);
        let left = letters_left(joint, style.spelling);
        let words = Words {
            table: joined.lines.vocabulary.table(),
            spelling: style.spelling,
            given: &given,
        };
        let Some(line) = joined.lines.report.lines.get(at) else {
            return Ok(Next::Stay);
        };
        let remark = words.line(at, line);
        writeln!(self.out, "   {}", style.verdict(remark.mood, remark.word))?;
        for paragraph in &remark.told {
            self.say(paragraph)?;
        }
        match remark.mood {
            Mood::Bad => {
                self.print_explained(joined.slip.as_ref())?;
                self.sitting.answer(number, false);
                self.remember(number, kind);
                self.say(&format!(
                    "{marks} The line is struck out. Try another, or type hint."
                ))?;
            }
            Mood::Good => {
                self.connected.push(typed.to_owned());
                self.say(&format!("{marks} The result is to be without {left}."))?;
            }
            Mood::Open => self.say("The line is not kept, and costs nothing.")?,
        }
        Ok(Next::Stay)
    }

    /// Prints the slip in a line for a connection, if one explains it.
    fn print_explained(&mut self, slip: Option<&Explained>) -> io::Result<()> {
        let Some(own) = slip else {
            return Ok(());
        };
        asking::print_slip(
            &mut self.out,
            &own.explanation,
            own.subject,
            &own.table,
            self.style,
        )
    }

    pub(super) fn hint_at_connection(&mut self, number: usize) -> io::Result<Next> {
        let Some(own) = connection(&self.questions, number) else {
            return Ok(Next::Stay);
        };
        let seen = self.sitting.entry(number).hints;
        let table = own.joint.question.table();
        let spelling = self.style.spelling;
        let path = own
            .joint
            .question
            .solutions
            .first()
            .map_or(&[][..], |solution| solution.path.as_slice());
        let text = match seen {
            0 => format!("What has to go: {}.", letters_left(&own.joint, spelling)),
            1 => format!(
                "Together they say: {}",
                equation(own.joint.question.formula(), table, spelling)
            ),
            more => {
                let words = steps::Words {
                    table,
                    spelling,
                    subject: own.joint.question.subject(),
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
        let question = &own.joint.question;
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
