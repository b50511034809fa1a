//! `rejig drill`: questions one after the other, with hints, worked solutions
//! and another try.

use std::io::{self, Write};

use crate::practice::question::{Question, TypedLine};
use crate::practice::sitting::Sitting;
use crate::reason::slip::SlipKind;
use crate::reason::step::{self, Hint};
use crate::reason::verdict::Verdict;
use crate::show::escape::escape;
use crate::show::line::{equation, name};
use crate::show::remarks::{Mood, domain_words};
use crate::show::slips::kind_words;
use crate::show::steps::Words;
use crate::show::worked::{Layout, working};
use crate::show::wrap::{unbroken, wrapped};

use super::args::Practice;
use super::asking;
use super::exit::Status;
use super::input::Line;
use super::outcome::Outcome;
use super::prompt::{Asked, Prompt};
use super::quiz::too_long;
use super::sheets;
use super::source::{self, Source};
use super::style::Style;

/// Lines that one working may have.
const MOST_LINES: usize = 50;
/// Words that are requests when they stand alone on a line.
const REQUESTS: &[&str] = &["hint", "letters", "quit", "show", "skip", "undo"];

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or reading or writing fails.
pub fn run(practice: &Practice, style: &Style) -> Outcome {
    if let Some(formula) = &practice.formula {
        let source = source::from_formula(practice, formula, style.spelling)?;
        return sit(source, style);
    }
    let loaded = sheets::load(&practice.sheets)?;
    let source = source::from_sheets(practice, &loaded)?;
    sit(source, style)
}

fn sit(source: Source<'_>, style: &Style) -> Outcome {
    let mut drill = Drill {
        questions: Vec::new(),
        lines: Vec::new(),
        source,
        sitting: Sitting::new(),
        style,
        prompt: Prompt::open(REQUESTS),
        out: io::stdout(),
    };
    drill.welcome()?;
    drill.go_on()?;
    drill.farewell()?;
    Ok(Status::Done)
}

struct Drill<'f, 's> {
    source: Source<'f>,
    /// The questions that were begun.
    questions: Vec<Question<'f>>,
    /// Lines of working that wait for the answer.
    lines: Vec<TypedLine>,
    sitting: Sitting,
    style: &'s Style,
    prompt: Prompt,
    out: io::Stdout,
}

/// What happens after a line.
enum Next {
    /// The same question, without printing it again.
    Stay,
    /// Whatever question is open now.
    Ask,
    /// The end.
    Quit,
}

impl<'f> Drill<'f, '_> {
    fn say(&mut self, text: &str) -> io::Result<()> {
        writeln!(
            self.out,
            "{}",
            wrapped(text, "   ", "   ", self.style.width)
        )
    }

    fn welcome(&mut self) -> io::Result<()> {
        let text = "Type the formula with the new subject, or your working line by line, or one \
                    of these words: hint, show, skip, undo, letters, quit.";
        writeln!(self.out, "{}\n", wrapped(text, "", "", self.style.width))
    }

    /// The question to ask now: one that is open again, or a new one.
    fn current(&mut self) -> Option<usize> {
        if let Some(open) = self.sitting.open() {
            return Some(open);
        }
        if self.sitting.begun() >= self.source.count {
            return None;
        }
        let question = self.source.questions.next()?;
        let number = self.sitting.begin(question.marks);
        self.questions.push(question);
        Some(number)
    }

    fn go_on(&mut self) -> io::Result<()> {
        while let Some(number) = self.current() {
            self.put(number)?;
            loop {
                let line = match self.prompt.ask(&mut self.out)? {
                    Asked::Line(line) => line,
                    Asked::End => {
                        writeln!(self.out)?;
                        return Ok(());
                    }
                };
                match self.take(number, line)? {
                    Next::Stay => {}
                    Next::Ask => break,
                    Next::Quit => return Ok(()),
                }
            }
        }
        Ok(())
    }

    fn put(&mut self, number: usize) -> io::Result<()> {
        let question = &self.questions[number];
        let heading = format!("{} of {}.", number + 1, self.source.count);
        asking::print_question(&mut self.out, &heading, question, self.style, Layout::Grid)?;
        let table = question.table();
        let mut letters: Vec<String> = Vec::new();
        for symbol in question.formula().symbols() {
            for spelling in [self.style.spelling, crate::show::line::Spelling::Ascii] {
                let shown = name(symbol, table, spelling);
                if !letters.contains(&shown) {
                    letters.push(shown);
                }
            }
        }
        self.prompt.offer(letters);
        Ok(())
    }

    fn take(&mut self, number: usize, line: Line) -> io::Result<Next> {
        let typed = match line {
            Line::Text(typed) => typed,
            Line::TooLong => {
                asking::print_fault(&mut self.out, &too_long(), self.style)?;
                return Ok(Next::Stay);
            }
        };
        if !self.prompt.echoes() {
            // A record of a scripted drill shows what was typed.
            writeln!(self.out, "> {}", escape(&shortened(&typed)))?;
        }
        match typed.trim().to_lowercase().as_str() {
            "" if self.lines.is_empty() => Ok(Next::Stay),
            "" => {
                let lines = std::mem::take(&mut self.lines);
                self.end_working(number, &lines)?;
                Ok(Next::Stay)
            }
            "hint" => self.hint(number),
            "show" => self.show(number),
            "skip" => {
                self.lines.clear();
                self.sitting.skip(number);
                writeln!(self.out)?;
                Ok(Next::Ask)
            }
            "undo" => self.undo(),
            "letters" => self.letters(number),
            "help" | "?" => {
                self.welcome()?;
                Ok(Next::Stay)
            }
            "quit" | "exit" => {
                writeln!(self.out)?;
                Ok(Next::Quit)
            }
            _ => self.judge(number, &typed),
        }
    }

    fn judge(&mut self, number: usize, typed: &str) -> io::Result<Next> {
        let question = &self.questions[number];
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
        match marked.judgement.verdict {
            Verdict::Right => {
                self.sitting.answer(number, true);
                writeln!(self.out)?;
                self.remember(kind);
                Ok(Next::Ask)
            }
            Verdict::Wrong => {
                self.sitting.answer(number, false);
                self.say("Try again, or type hint.")?;
                self.remember(kind);
                Ok(Next::Stay)
            }
            // An open verdict is the program's weakness, not the student's.
            Verdict::Undecided(_) => {
                self.say("Try another form, or type skip to go on.")?;
                Ok(Next::Stay)
            }
        }
    }

    fn remember(&mut self, kind: Option<SlipKind>) {
        if let Some(kind) = kind {
            self.sitting.slip(kind);
        }
    }

    /// Prints what became of lines of working; the slip at the first that
    /// does not follow.
    fn end_working(&mut self, number: usize, lines: &[TypedLine]) -> io::Result<Option<SlipKind>> {
        let question = &self.questions[number];
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
            self.remember(kind);
        }
        Ok(kind)
    }

    fn hint(&mut self, number: usize) -> io::Result<Next> {
        let question = &self.questions[number];
        let path = question
            .solutions
            .first()
            .map_or(&[][..], |solution| solution.path.as_slice());
        let hints = step::hints(path);
        let seen = self.sitting.entry(number).hints;
        let Some(hint) = hints.get(seen) else {
            self.say("That was the last hint. Type show for the whole working.")?;
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

    fn show(&mut self, number: usize) -> io::Result<Next> {
        self.lines.clear();
        let question = &self.questions[number];
        let text = working(
            &question.solutions,
            &question.dropped,
            question.complete,
            question.subject(),
            question.table(),
            &self.style.page(Layout::Grid),
        );
        writeln!(self.out, "{text}")?;
        self.sitting.show(number);
        Ok(Next::Ask)
    }

    fn undo(&mut self) -> io::Result<Next> {
        if self.lines.pop().is_some() {
            self.say("The last line of your working is taken back.")?;
            return Ok(Next::Stay);
        }
        match self.sitting.undo() {
            Some(_) => {
                self.say("Taken back. Here is the question again.")?;
                writeln!(self.out)?;
                Ok(Next::Ask)
            }
            None => {
                self.say("There is nothing to take back.")?;
                Ok(Next::Stay)
            }
        }
    }

    fn letters(&mut self, number: usize) -> io::Result<Next> {
        let question = &self.questions[number];
        let table = question.table();
        for letter in question.letters() {
            let shown = name(letter.symbol, table, self.style.spelling);
            let mut text = match letter.meaning {
                Some(meaning) => escape(meaning).into_owned(),
                None => "a quantity".to_owned(),
            };
            match letter.unit {
                Some("1") => text.push_str(", no unit"),
                Some(unit) => text.push_str(&format!(", in {}", unbroken(&escape(unit)))),
                None => {}
            }
            text.push_str(&format!("; {}", domain_words(table.domain(letter.symbol))));
            let first = format!("     {shown:<8}");
            writeln!(
                self.out,
                "{}",
                wrapped(&text, &first, "             ", self.style.width)
            )?;
        }
        Ok(Next::Stay)
    }

    fn farewell(&mut self) -> io::Result<()> {
        let tally = self.sitting.tally();
        if tally.asked == 0 && self.sitting.again().is_empty() {
            return writeln!(self.out, "Nothing answered this time. Come back soon.");
        }
        let line = format!(
            "Right at first try: {} of {}. Marks: {} of {}.",
            tally.first_try, tally.asked, tally.awarded, tally.available
        );
        writeln!(
            self.out,
            "{}",
            self.style
                .heading(&wrapped(&line, "", "", self.style.width))
        )?;
        let slips = self.sitting.frequent_slips(2);
        if !slips.is_empty() {
            let told: Vec<String> = slips
                .iter()
                .map(|(kind, count)| match count {
                    1 => kind_words(*kind).to_owned(),
                    2 => format!("{} (twice)", kind_words(*kind)),
                    more => format!("{} ({more} times)", kind_words(*kind)),
                })
                .collect();
            let line = format!("Slips to look out for: {}.", told.join("; "));
            writeln!(self.out, "{}", wrapped(&line, "", "   ", self.style.width))?;
        }
        let again = self.sitting.again();
        if again.is_empty() {
            return writeln!(
                self.out,
                "{}",
                self.style.verdict(Mood::Good, "Nothing to look at again.")
            );
        }
        writeln!(self.out, "To look at again:")?;
        let mut listed: Vec<String> = Vec::new();
        for number in again {
            let question = &self.questions[number];
            let formula = equation(question.formula(), question.table(), self.style.spelling);
            let letter = name(question.subject(), question.table(), self.style.spelling);
            let text = format!("{} for {letter}", unbroken(&formula));
            if !listed.contains(&text) {
                listed.push(text);
            }
        }
        for text in listed {
            writeln!(
                self.out,
                "{}",
                wrapped(&text, "   ", "     ", self.style.width)
            )?;
        }
        Ok(())
    }
}

/// A typed line for the record: not more than fits on a few lines.
fn shortened(typed: &str) -> String {
    match typed.char_indices().nth(200) {
        Some((cut, _)) => format!("{}…", &typed[..cut]),
        None => typed.to_owned(),
    }
}
