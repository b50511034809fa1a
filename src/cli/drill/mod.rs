//! `rejig drill`: questions one after the other, with hints, worked solutions
//! and another try.
//!
//! What is the same for all kinds of question is here; a kind has its own
//! file: `rearranging`, `proving`, `defining`, `connecting`, `scaling`.

mod connecting;
mod defining;
mod ending;
mod proving;
mod questions;
mod rearranging;
mod scaling;

use std::io::{self, Write};
use std::time::{Duration, Instant};

use crate::physics::formulary::Formulary;
use crate::practice::attempt::Kind;
use crate::practice::choice::Why;
use crate::practice::item::{Item, items};
use crate::practice::posed::{self, Asking, Posed};
use crate::practice::question::TypedLine;
use crate::practice::sitting::Sitting;
use crate::reason::slip::SlipKind;
use crate::reason::verdict::Verdict;
use crate::show::escape::escape;
use crate::show::line::{Spelling, name};
use crate::show::wrap::wrapped;

use super::asking;
use super::exit::Status;
use super::input::Line;
use super::keep;
use super::keeping::{Keeping, Start};
use super::outcome::{Outcome, misunderstood};
use super::output::Output;
use super::practice_args::Drill as Arguments;
use super::prompt::{Asked, Prompt};
use super::quiz::too_long;
use super::sheets;
use super::signals::{self, Ready};
use super::source::{self, Source};
use super::style::Style;
use questions::Questions;

/// Bytes that are said in one breath after a line.
const MOST_SAID: usize = 1 << 16;

/// Lines that one working may have.
const MOST_LINES: usize = 50;
/// Words that are requests when they stand alone on a line.
const REQUESTS: &[&str] = &["hint", "letters", "quit", "show", "skip", "undo"];

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or reading or writing fails.
pub fn run(arguments: &Arguments, style: &Style) -> Outcome {
    let practice = &arguments.practice;
    if let Some(formula) = &practice.formula {
        let source = source::from_formula(practice, formula, style.spelling)?;
        return sit(Supply::Loose(source), arguments, style);
    }
    let loaded = sheets::load_quickly(&practice.sheets)?;
    let path = keep::place(&arguments.keep)?;
    let contents = keep::load(&path)?;
    let wanted = arguments.kind.map(|word| word.kind());
    let fits = |item: &Item<'_>| {
        posed::KINDS.contains(&item.kind())
            && wanted.is_none_or(|kind| kind == item.kind())
            && loaded.wants(item.topic)
            && (!practice.only || loaded.is_own(item.topic))
    };
    let worth = |item: &Item<'_>| {
        arguments
            .marks
            .is_none_or(|marks| item.marks().is_some_and(|worth| marks.fit(worth)))
    };
    let start = Start {
        items: items_for(&loaded.formulary, wanted),
        contents,
        path,
        fixed: arguments.keep.day,
        new: arguments.new as usize,
        // Who says how many questions there are to be wants them now.
        early: practice.count.is_some(),
        seed: practice.seed.unwrap_or_else(source::fresh_seed),
        marks: arguments.marks,
        loaded: &loaded,
    };
    if !start.items.iter().any(|item| fits(item) && worth(item)) {
        return misunderstood(match (arguments.kind, arguments.marks) {
            (None, None) => source::NOTHING,
            _ => "There is nothing of this kind to ask in these sheets.",
        });
    }
    let keeping = Keeping::open(start, fits, worth)?;
    sit(Supply::Kept(Box::new(keeping)), arguments, style)
}

fn sit(supply: Supply<'_>, arguments: &Arguments, style: &Style) -> Outcome {
    let minutes = arguments.minutes.map(u64::from);
    let mut drill = Drill {
        questions: Questions::new(style.spelling),
        lines: Vec::new(),
        connected: Vec::new(),
        count: arguments.practice.count.map(|count| count as usize),
        supply,
        wanted: arguments.kind.map(|word| word.kind()),
        told_count: None,
        until: minutes.map(|minutes| Instant::now() + Duration::from_secs(60 * minutes)),
        sitting: Sitting::new(),
        style,
        prompt: Prompt::open(REQUESTS),
        out: Output::new(
            io::BufWriter::with_capacity(MOST_SAID, io::stdout()),
            style.spelling,
        ),
    };
    match &drill.supply {
        Supply::Kept(keeping) => signals::watch(keeping.ready()),
        Supply::Loose(_) => signals::watch(&Ready::default()),
    }
    let ended = drill
        .run()
        .and_then(|status| drill.out.flush().map(|()| status));
    if ended.is_err() {
        // The screen or the pipe is gone; what was done is kept all the same.
        drill.keep(true)?;
    }
    let loss = match &drill.supply {
        Supply::Kept(keeping) => keeping.loss(),
        Supply::Loose(_) => None,
    };
    match loss {
        Some(loss) => misunderstood(loss),
        None => Ok(ended?),
    }
}

/// Where the questions come from.
enum Supply<'f> {
    /// From one formula, or in the order of a seed; nothing is kept.
    Loose(Source<'f>),
    /// From the sheets, as the journal wants it.
    Kept(Box<Keeping<'f>>),
}

struct Drill<'f, 's> {
    supply: Supply<'f>,
    /// How many questions, if the user said so.
    count: Option<usize>,
    /// The kind of question, if the user said so.
    wanted: Option<Kind>,
    /// How many questions there were to be, when the last was put.
    told_count: Option<usize>,
    /// No question begins after this.
    until: Option<Instant>,
    /// The questions that were begun.
    questions: Questions<'f>,
    /// Lines of working that wait for the answer.
    lines: Vec<TypedLine>,
    /// Lines of a connection that stand.
    connected: Vec<String>,
    sitting: Sitting,
    style: &'s Style,
    prompt: Prompt,
    /// Nothing is seen before what it costs is laid ready to be kept.
    out: Output<io::BufWriter<io::Stdout>>,
}

/// All items. Connections wait until their parts are secure, unless they are
/// what was asked for.
fn items_for(formulary: &Formulary, wanted: Option<Kind>) -> Vec<Item<'_>> {
    let mut all = items(formulary, |_| true);
    if wanted == Some(Kind::Connection) {
        all.iter_mut().for_each(|item| item.after.clear());
    }
    all
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
    fn run(&mut self) -> io::Result<Status> {
        self.welcome()?;
        self.greet()?;
        let status = self.go_on()?;
        self.farewell()?;
        Ok(status)
    }

    fn say(&mut self, text: &str) -> io::Result<()> {
        writeln!(
            self.out,
            "{}",
            wrapped(text, "   ", "   ", self.style.width)
        )
    }

    fn welcome(&mut self) -> io::Result<()> {
        let answer = match (&self.supply, self.wanted) {
            (Supply::Loose(_), _) | (_, Some(Kind::Rearrangement)) => {
                "the formula with the new subject, or your working line by line"
            }
            (_, Some(Kind::Proof)) => "your working line by line",
            (_, Some(Kind::Definition)) => "each definition as a sentence",
            (_, Some(Kind::Connection)) => "the result, or your working line by line",
            _ => "your answer",
        };
        let text = format!(
            "Type {answer}, or one of these words: hint, show, skip, undo, letters, help, quit."
        );
        writeln!(self.out, "{}\n", wrapped(&text, "", "", self.style.width))
    }

    /// What can be typed at the question of this number.
    fn help(&mut self, number: usize) -> io::Result<()> {
        let (answer, hint, show) = match self.questions[number].asking {
            Asking::Rearrangement(_) => (
                "Type the formula with the new subject, or your working line by line.",
                "what to do next",
                "the whole working",
            ),
            Asking::Proof(_) => (
                "Type your working line by line, one equation a line. `let k = ...` brings in a \
                 letter.",
                "what the next line is like, then the line",
                "one way to the result",
            ),
            Asking::Connection(_) => (
                "Type the result, or your working line by line, one equation a line.",
                "what to eliminate, then what to do next",
                "the whole working",
            ),
            Asking::Proportion(_) => (
                "Type the factor in words or numbers (a third, 1/3, 3 times as large), or the new \
                 value in terms of the old one.",
                "where to look, then the law",
                "the whole working",
            ),
            Asking::Definition(_) => (
                "Type the definition as a sentence: \"... per unit ...\", \"rate of change of \
                 ...\", \"... divided by ...\".",
                "the quantities that it speaks of, what is done with them, how it begins",
                "the definition",
            ),
        };
        self.say(answer)?;
        for (word, told) in [
            ("hint", hint),
            ("show", show),
            ("skip", "on to the next question"),
            ("undo", "takes the last line or answer back"),
            ("letters", "what each letter stands for"),
            ("quit", "ends the sitting"),
        ] {
            let first = format!("     {word:<8}");
            let told = wrapped(told, &first, "             ", self.style.width);
            writeln!(self.out, "{told}")?;
        }
        if let Supply::Kept(_) = self.supply {
            self.say("What you do is kept. After a hint or what is shown, it comes back soon.")?;
        }
        Ok(())
    }

    /// The question to ask now: one that is open again, or a new one.
    fn current(&mut self) -> Option<usize> {
        if let Some(open) = self.sitting.open() {
            return Some(open);
        }
        if self.until.is_some_and(|until| Instant::now() >= until) {
            return None;
        }
        let begun = self.sitting.begun();
        if self.count.is_some_and(|count| begun >= count) {
            return None;
        }
        let question = match &mut self.supply {
            Supply::Loose(source) if begun >= source.count => return None,
            Supply::Loose(source) => Posed::rearrangement(source.questions.next()?),
            Supply::Kept(keeping) => keeping.next_question()?,
        };
        let number = self.sitting.begin(question.marks());
        let question_support = question.support;
        self.questions.push(question);
        if question_support > 0 {
            self.sitting.support(number);
        }
        self.begin(number);
        Some(number)
    }

    /// Lays the worked example ready that a question comes with.
    fn begin(&mut self, number: usize) {
        let spelling = self.style.spelling;
        let posed = &mut self.questions[number];
        if let (1.., Asking::Proof(proving)) = (posed.support, &mut posed.asking) {
            proving::lay_ready(proving, posed.support, spelling);
        }
    }

    fn go_on(&mut self) -> io::Result<Status> {
        loop {
            self.keep(false)?;
            let Some(number) = self.current() else {
                return Ok(Status::Done);
            };
            self.put(number)?;
            loop {
                let line = match self.prompt.ask(&mut self.out)? {
                    Asked::Line(line) => line,
                    ended => {
                        self.keep(true)?;
                        writeln!(self.out)?;
                        return Ok(match ended {
                            Asked::Interrupted => Status::BrokenOff,
                            _ => Status::Done,
                        });
                    }
                };
                let next = self.take(number, line)?;
                self.prepare(number);
                self.out.flush()?;
                match next {
                    Next::Stay => {}
                    Next::Ask => break,
                    Next::Quit => {
                        self.keep(true)?;
                        return Ok(Status::Done);
                    }
                }
            }
        }
    }

    /// Keeps what came of the questions that are over, before another one is
    /// seen; at the end, of those that were begun too.
    fn keep(&mut self, end: bool) -> io::Result<()> {
        if let Supply::Kept(keeping) = &mut self.supply {
            for (number, question) in self.questions.held() {
                let entry = self.sitting.entry(number);
                if entry.done || end {
                    keeping.keep(number, question, entry, self.sitting.first_slip(number))?;
                }
            }
        }
        Ok(())
    }

    /// Lays ready what a signal would have to keep, after a line to the
    /// question of this number.
    fn prepare(&mut self, number: usize) {
        if let Supply::Kept(keeping) = &mut self.supply {
            let sitting = &self.sitting;
            // Taking back opens earlier questions; those after them are open.
            let first = sitting.open().map_or(number, |open| open.min(number));
            let open = self.questions.held().filter(|(number, _)| *number >= first);
            keeping.prepare(open.map(|(number, posed)| {
                let slip = sitting.first_slip(number);
                (number, posed, sitting.entry(number), slip)
            }));
        }
    }

    fn put(&mut self, number: usize) -> io::Result<()> {
        let posed = &self.questions[number];
        let begun = self.sitting.begun();
        let (count, why) = match &self.supply {
            Supply::Loose(source) => (source.count, None),
            Supply::Kept(keeping) => (begun + keeping.left(), keeping.why(number)),
        };
        let count = self.count.map_or(count, |limit| limit.min(count));
        let why = match why {
            Some(Why::New) => " New.",
            Some(Why::Again) => " Once more.",
            Some(Why::Early) => " Early.",
            Some(Why::Due) | None => "",
        };
        let heading = format!("{} of {count}.{why}", number + 1);
        if let Some(told) = self.told_count.replace(count)
            && count > told
        {
            let more = match count - told {
                1 => "One question comes".to_owned(),
                more => format!("{more} questions come"),
            };
            let text = format!("{more} once more today, so there are {count} now.");
            writeln!(self.out, "{}\n", wrapped(&text, "", "", self.style.width))?;
        }
        let mut letters: Vec<String> = Vec::new();
        for letter in posed.letters() {
            for spelling in [self.style.spelling, Spelling::Ascii] {
                let shown = name(letter.symbol, posed.table(), spelling);
                if !letters.contains(&shown) {
                    letters.push(shown);
                }
            }
        }
        self.prompt.offer(letters);
        match posed.asking {
            Asking::Rearrangement(_) => self.put_rearrangement(number, &heading),
            Asking::Proof(_) => self.put_proof(number, &heading),
            Asking::Definition(_) => self.put_definition(number, &heading),
            Asking::Connection(_) => self.put_connection(number, &heading),
            Asking::Proportion(_) => self.put_scaling(number, &heading),
        }
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
                self.connected.clear();
                self.sitting.skip(number);
                writeln!(self.out)?;
                Ok(Next::Ask)
            }
            "undo" => self.undo(number),
            "letters" => self.letters(number),
            "help" | "?" => {
                self.help(number)?;
                Ok(Next::Stay)
            }
            "quit" | "exit" => {
                writeln!(self.out)?;
                Ok(Next::Quit)
            }
            _ => match self.questions[number].asking {
                Asking::Rearrangement(_) => self.judge(number, &typed),
                Asking::Proof(_) => self.judge_line(number, &typed),
                Asking::Definition(_) => self.judge_wording(number, &typed),
                Asking::Connection(_) => self.judge_connection(number, &typed),
                Asking::Proportion(_) => self.judge_factor(number, &typed),
            },
        }
    }

    fn hint(&mut self, number: usize) -> io::Result<Next> {
        match self.questions[number].asking {
            Asking::Rearrangement(_) => self.hint_at_step(number),
            Asking::Proof(_) => self.hint_at_line(number),
            Asking::Definition(_) => self.hint_at_words(number),
            Asking::Connection(_) => self.hint_at_connection(number),
            Asking::Proportion(_) => self.hint_at_factor(number),
        }
    }

    fn show(&mut self, number: usize) -> io::Result<Next> {
        self.lines.clear();
        match self.questions[number].asking {
            Asking::Rearrangement(_) => self.show_working(number)?,
            Asking::Proof(_) => self.show_route(number)?,
            Asking::Definition(_) => self.show_definition(number)?,
            Asking::Connection(_) => self.show_connection(number)?,
            Asking::Proportion(_) => self.show_factor(number)?,
        }
        self.sitting.show(number);
        Ok(Next::Ask)
    }

    fn undo(&mut self, open: usize) -> io::Result<Next> {
        if self.lines.pop().is_some() || self.connected.pop().is_some() {
            self.say("The last line of your working is taken back.")?;
            return Ok(Next::Stay);
        }
        if self.take_back_line(open)? {
            return Ok(Next::Stay);
        }
        let first = self.questions.first();
        if self.sitting.last_changed().is_some_and(|last| last < first) {
            self.say("What is further back can't be taken back any more.")?;
            return Ok(Next::Stay);
        }
        match self.sitting.undo() {
            Some(number) => {
                if let Asking::Proof(proving) = &mut self.questions[number].asking {
                    // The line that showed the result is open again too.
                    if proving.is_shown() {
                        proving.take_back();
                    }
                }
                if let Supply::Kept(keeping) = &mut self.supply {
                    keeping.take_back(number)?;
                }
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

    /// What follows a verdict on an answer; the slip, if one was named, is
    /// remembered.
    fn settle(
        &mut self,
        number: usize,
        verdict: Verdict,
        kind: Option<SlipKind>,
    ) -> io::Result<Next> {
        match verdict {
            Verdict::Right => {
                self.sitting.answer(number, true);
                writeln!(self.out)?;
                self.remember(number, kind);
                Ok(Next::Ask)
            }
            Verdict::Wrong => {
                self.sitting.answer(number, false);
                let text = self.try_again(number);
                self.say(text)?;
                self.remember(number, kind);
                Ok(Next::Stay)
            }
            // An open verdict is the program's weakness, not the student's.
            Verdict::Undecided(_) => {
                self.say("Try another form, or type skip to go on.")?;
                Ok(Next::Stay)
            }
        }
    }

    /// What can be done after a wrong answer.
    fn try_again(&mut self, number: usize) -> &'static str {
        let left = match self.questions[number].asking {
            Asking::Rearrangement(_) => self.has_hint_at_step(number),
            Asking::Definition(_) => self.has_hint_at_words(number),
            _ => true,
        };
        if left {
            "Try again, or type hint."
        } else {
            "Try again, or type show."
        }
    }

    fn remember(&mut self, number: usize, kind: Option<SlipKind>) {
        if let Some(kind) = kind {
            self.sitting.slip(number, kind);
        }
    }

    fn letters(&mut self, number: usize) -> io::Result<Next> {
        let question = &self.questions[number];
        let letters = question.letters();
        asking::print_each_letter(&mut self.out, &letters, question.table(), self.style)?;
        Ok(Next::Stay)
    }
}

/// A typed line for the record: not more than fits on a few lines.
fn shortened(typed: &str) -> String {
    match typed.char_indices().nth(200) {
        Some((cut, _)) => format!("{}…", &typed[..cut]),
        None => typed.to_owned(),
    }
}
