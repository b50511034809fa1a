//! A proof in the drill: line by line, each judged as `rejig prove` does.

use std::io::{self, Write};

use crate::algebra::expr::{Equation, Expr};
use crate::algebra::symbol::{Symbol, SymbolTable};
use crate::practice::argument::Judged;
use crate::practice::attempt::Lettering;
use crate::practice::fading;
use crate::practice::posed::Asking;
use crate::practice::proving::{Became, Nudge, ProofHint, Proving, TakenBack};
use crate::show::derivation::Words;
use crate::show::escape::escape;
use crate::show::line::{Spelling, equation_line, name};
use crate::show::remarks::listed;
use crate::show::worked::{Layout, Page};
use crate::show::wrap::{unbroken, wrapped};

use super::super::asking;
use super::questions::Questions;
use super::{Drill, MOST_LINES, Next};

/// The question of this number, if it is a proof.
fn proof<'q, 'f>(questions: &'q mut Questions<'f>, number: usize) -> Option<&'q mut Proving<'f>> {
    match &mut questions.get_mut(number)?.asking {
        Asking::Proof(proving) => Some(proving),
        _ => None,
    }
}

/// Puts the lines of a worked example down as lines that stand.
pub(super) fn lay_ready(proving: &mut Proving<'_>, support: u32, spelling: Spelling) {
    let count = proving.lines_of_example(support);
    let table = proving.vocabulary().table();
    let route = proving.route();
    let lines = route.iter().take(count);
    let lines = lines.map(|chain| equation_line(chain, table, spelling));
    proving.begin_with(lines.collect());
}

/// A chain of sides, indented.
fn chain_text(chain: &[Expr], table: &SymbolTable, page: &Page) -> String {
    match chain {
        [left, right] => page.equation(&Equation::new(left.clone(), right.clone()), table, 5),
        longer => wrapped(
            &equation_line(longer, table, page.spelling),
            "     ",
            "       ",
            page.width,
        ),
    }
}

impl Drill<'_, '_> {
    pub(super) fn put_proof(&mut self, number: usize, heading: &str) -> io::Result<()> {
        let style = self.style;
        let page = style.page(Layout::Grid);
        let support = self.questions[number].support;
        let Some(proving) = proof(&mut self.questions, number) else {
            return Ok(());
        };
        let out = &mut self.out;
        let title = Some(proving.topic.title.as_str());
        asking::print_heading(out, heading, title, proving.marks(), style)?;
        let mut say = |text: &str| writeln!(out, "{}", wrapped(text, "   ", "   ", style.width));
        let statement = escape(&proving.proof.statement);
        let usual = proving.lettering == Lettering::Sheet;
        // Maths in the sheet's sentence is in the sheet's letters.
        if !statement.is_empty() && (usual || !statement.contains('=')) {
            say(&statement)?;
        }
        if let Some(condition) = &proving.proof.condition {
            say(&format!("when {}", escape(condition)))?;
        }
        let table = proving.vocabulary().table();
        let mut list = |name: &str, chains: &[Vec<Expr>]| -> io::Result<()> {
            if chains.is_empty() {
                return Ok(());
            }
            writeln!(self.out, "   {name}")?;
            for chain in chains {
                writeln!(self.out, "{}", chain_text(chain, table, &page))?;
            }
            Ok(())
        };
        list("Given:", proving.given())?;
        list("Letters for it:", proving.helpers())?;
        list("Show:", &[proving.goal().to_vec()])?;
        if !usual {
            asking::print_letters(&mut self.out, &proving.letters(), table, style)?;
        }
        if support > 0 {
            return self.put_example(number, support);
        }
        let lines = proving.lines().to_vec();
        if lines.is_empty() {
            return self.say("Type your working line by line, one equation a line.");
        }
        // The question is open again, or is asked anew: what stands is shown.
        self.say("Your lines so far:")?;
        self.number_lines(&lines)
    }

    fn number_lines(&mut self, lines: &[String]) -> io::Result<()> {
        for (number, line) in lines.iter().enumerate() {
            let label = format!("   {:>3}. ", number + 1);
            let text = unbroken(&escape(line));
            writeln!(
                self.out,
                "{}",
                wrapped(&text, &label, "        ", self.style.width)
            )?;
        }
        Ok(())
    }

    /// The worked example that comes with a proof.
    fn put_example(&mut self, number: usize, support: u32) -> io::Result<()> {
        let page = self.style.page(Layout::Grid);
        let Some(proving) = proof(&mut self.questions, number) else {
            return Ok(());
        };
        let route = proving.route();
        let lines = proving.lines().to_vec();
        match fading::blanks(support, route.len()) {
            0 => {
                let table = proving.vocabulary().table();
                let route: Vec<String> = route
                    .iter()
                    .map(|chain| equation_line(chain, table, page.spelling))
                    .collect();
                self.say(
                    "This was missed before, so here is a route. Read it, then type the last \
                     line.",
                )?;
                self.number_lines(&route)
            }
            1 => {
                self.say("The last line is left for you:")?;
                self.number_lines(&lines)
            }
            _ => {
                self.say("The last two lines are left for you:")?;
                self.number_lines(&lines)
            }
        }
    }

    pub(super) fn judge_line(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let style = self.style;
        let Some(proving) = proof(&mut self.questions, number) else {
            return Ok(Next::Stay);
        };
        let at = proving.lines().len();
        if at >= MOST_LINES {
            self.say("That is more working than I read. Type show, or skip.")?;
            return Ok(Next::Stay);
        }
        let page = style.page(Layout::Line);
        let shown = |chains: &[Vec<Expr>], table| -> Vec<String> {
            let lines = chains.iter();
            lines
                .map(|chain| equation_line(chain, table, page.spelling))
                .collect()
        };
        let given = shown(proving.given(), proving.vocabulary().table());
        let (judged, became) = proving.line(typed);
        if let Some(fault) = &judged.unreadable[at] {
            asking::print_fault(&mut self.out, fault, style)?;
            return Ok(Next::Stay);
        }
        let words = Words {
            table: judged.vocabulary.table(),
            spelling: style.spelling,
            given: &given,
        };
        let report = &judged.report;
        // A wrong line may be an earlier one, if it rested on this.
        let told = report.first_bad.unwrap_or(at).min(report.lines.len() - 1);
        let verdict = &report.lines[told];
        writeln!(self.out, "   Line {}, read as:", told + 1)?;
        writeln!(
            self.out,
            "{}",
            chain_text(&verdict.chain, words.table, &style.page(Layout::Grid))
        )?;
        if report.goal_alone && told == at && became == Became::NotKept {
            self.say(&words.whole(report))?;
            return Ok(Next::Stay);
        }
        let remark = words.line(told, verdict);
        writeln!(self.out, "   {}", style.verdict(remark.mood, remark.word))?;
        for paragraph in &remark.told {
            self.say(paragraph)?;
        }
        match became {
            Became::Stands => Ok(Next::Stay),
            Became::Shown => {
                let told = self.shown_words(number, &judged);
                self.say(&told)?;
                writeln!(self.out)?;
                self.sitting.answer(number, true);
                self.sitting.award(number, judged.marks.0);
                Ok(Next::Ask)
            }
            Became::StruckOut(before) => {
                self.sitting.answer(number, false);
                self.say(&match before {
                    0 => "The line is struck out. Try another, or type hint.".to_owned(),
                    _ => format!(
                        "Lines {} to {} are struck out. Try another way, or type hint.",
                        told + 1,
                        at + 1
                    ),
                })?;
                Ok(Next::Stay)
            }
            Became::NotKept => {
                self.say("The line is not kept, and costs nothing.")?;
                Ok(Next::Stay)
            }
        }
    }

    /// What a proof earned.
    fn shown_words(&mut self, number: usize, judged: &Judged) -> String {
        let (awarded, available) = judged.marks;
        let codes: Vec<String> = match proof(&mut self.questions, number) {
            Some(proving) => proving
                .codes()
                .zip(&judged.earned)
                .map(|(code, earned)| {
                    let code = escape(code);
                    format!("{code} {}", if *earned { "yes" } else { "no" })
                })
                .collect(),
            None => Vec::new(),
        };
        let detail = match codes.as_slice() {
            [] => String::new(),
            codes => format!(" ({})", codes.join(", ")),
        };
        format!("Shown. Marks: {awarded} of {available}{detail}.")
    }

    pub(super) fn hint_at_line(&mut self, number: usize) -> io::Result<Next> {
        let page = self.style.page(Layout::Grid);
        let Some(proving) = proof(&mut self.questions, number) else {
            return Ok(Next::Stay);
        };
        let Some(hint) = proving.next_hint() else {
            self.say("That was the last hint. Type show for a whole route.")?;
            return Ok(Next::Stay);
        };
        let table = proving.vocabulary().table();
        let letter = |symbol: &Symbol| name(*symbol, table, page.spelling);
        let (chain, last) = match hint {
            ProofHint::Line(chain, last) => (chain, last),
            ProofHint::Nudge(nudge) => {
                let text = match nudge {
                    Nudge::Alone(symbol) => format!(
                        "The next line has {} alone on one side. What gives it?",
                        letter(&symbol)
                    ),
                    Nudge::Without(symbol) => format!(
                        "The next line has no {}. Where can it be put in or taken out?",
                        letter(&symbol)
                    ),
                    Nudge::Letters(symbols) => {
                        let letters: Vec<String> = symbols.iter().map(letter).collect();
                        let letters = listed(&letters).unwrap_or_default();
                        format!("The next line has only {letters} in it.")
                    }
                };
                self.say(&text)?;
                self.sitting.hint(number);
                return Ok(Next::Stay);
            }
        };
        let text = chain_text(&chain, table, &page);
        self.say(if last {
            "Next, what is to be shown:"
        } else {
            "Make for this line:"
        })?;
        writeln!(self.out, "{text}")?;
        self.sitting.hint(number);
        Ok(Next::Stay)
    }

    pub(super) fn show_route(&mut self, number: usize) -> io::Result<()> {
        let page = self.style.page(Layout::Grid);
        let Some(proving) = proof(&mut self.questions, number) else {
            return Ok(());
        };
        let table = proving.vocabulary().table();
        writeln!(self.out, "   One way:")?;
        for chain in proving.route() {
            writeln!(self.out, "{}", chain_text(&chain, table, &page))?;
        }
        writeln!(self.out)
    }

    /// Takes back the last line of the proof that is open, if it has one.
    pub(super) fn take_back_line(&mut self, number: usize) -> io::Result<bool> {
        let last = self.sitting.last_changed();
        let Some(proving) = proof(&mut self.questions, number) else {
            return Ok(false);
        };
        if proving.last_was_wrong() && last != Some(number) {
            return Ok(false);
        }
        let told = match proving.take_back() {
            None => return Ok(false),
            Some(TakenBack::Line) => "The last line of your working is taken back.",
            Some(TakenBack::Wrong) => {
                self.sitting.undo();
                "The wrong line is taken back, and counts no more."
            }
        };
        self.say(told)?;
        Ok(true)
    }
}
