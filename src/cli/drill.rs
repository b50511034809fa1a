//! `rejig drill`: questions one after the other, with hints, worked solutions
//! and another try.

use std::io::{self, Write};
use std::time::{Duration, Instant};

use crate::practice::attempt::Kind;
use crate::practice::choice::Why;
use crate::practice::day::Day;
use crate::practice::item::{Item, items};
use crate::practice::question::{Question, TypedLine};
use crate::practice::sitting::Sitting;
use crate::reason::slip::SlipKind;
use crate::reason::step::{self, Hint};
use crate::reason::verdict::Verdict;
use crate::show::checklist::item_words;
use crate::show::dates::{date, from_today};
use crate::show::escape::escape;
use crate::show::line::{equation, name};
use crate::show::remarks::{Mood, domain_words};
use crate::show::slips::kind_words;
use crate::show::steps::Words;
use crate::show::worked::{Layout, working};
use crate::show::wrap::{unbroken, wrapped};

use super::asking;
use super::exit::Status;
use super::input::Line;
use super::keep::{self, counted, grouped};
use super::keeping::{Keeping, Start};
use super::outcome::{Outcome, misunderstood};
use super::practice_args::{Drill as Arguments, KindWord};
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
pub fn run(arguments: &Arguments, style: &Style) -> Outcome {
    let practice = &arguments.practice;
    if let Some(formula) = &practice.formula {
        let source = source::from_formula(practice, formula, style.spelling)?;
        return sit(Supply::Loose(source), arguments, style);
    }
    if let Some(KindWord::Proof | KindWord::Definition) = arguments.kind {
        return misunderstood("The drill asks for rearrangements only.");
    }
    let loaded = sheets::load(&practice.sheets)?;
    let path = keep::place(&arguments.keep)?;
    let contents = keep::load(&path)?;
    let fits = |item: &Item<'_>| {
        item.kind() == Kind::Rearrangement
            && loaded.wants(item.topic)
            && (!practice.only || loaded.is_own(item.topic))
            && arguments.marks.is_none_or(|marks| {
                let worth = item.marks();
                worth.is_some_and(|worth| marks.fit(worth))
            })
    };
    let start = Start {
        items: items(&loaded.formulary, |_| true),
        contents,
        path,
        fixed: arguments.keep.day,
        new: arguments.new as usize,
        // Who says how many questions there are to be wants them now.
        early: practice.count.is_some(),
        seed: practice.seed.unwrap_or_else(source::fresh_seed),
    };
    if !start.items.iter().any(fits) {
        return misunderstood(source::NOTHING);
    }
    let keeping = Keeping::open(start, fits)?;
    sit(Supply::Kept(Box::new(keeping)), arguments, style)
}

fn sit(supply: Supply<'_>, arguments: &Arguments, style: &Style) -> Outcome {
    let minutes = arguments.minutes.map(u64::from);
    let mut drill = Drill {
        questions: Vec::new(),
        lines: Vec::new(),
        count: arguments.practice.count.map(|count| count as usize),
        supply,
        until: minutes.map(|minutes| Instant::now() + Duration::from_secs(60 * minutes)),
        sitting: Sitting::new(),
        style,
        prompt: Prompt::open(REQUESTS),
        out: io::stdout(),
    };
    drill.welcome()?;
    drill.greet()?;
    drill.go_on()?;
    drill.farewell()?;
    let loss = match &drill.supply {
        Supply::Kept(keeping) => keeping.loss(),
        Supply::Loose(_) => None,
    };
    match loss {
        Some(loss) => misunderstood(loss),
        None => Ok(Status::Done),
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
    /// No question begins after this.
    until: Option<Instant>,
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
        if self.until.is_some_and(|until| Instant::now() >= until) {
            return None;
        }
        let begun = self.sitting.begun();
        if self.count.is_some_and(|count| begun >= count) {
            return None;
        }
        let question = match &mut self.supply {
            Supply::Loose(source) if begun >= source.count => return None,
            Supply::Loose(source) => source.questions.next()?,
            Supply::Kept(keeping) => keeping.next_question()?.0,
        };
        let number = self.sitting.begin(question.marks);
        self.questions.push(question);
        Some(number)
    }

    fn go_on(&mut self) -> io::Result<()> {
        loop {
            self.keep(false)?;
            let Some(number) = self.current() else {
                return Ok(());
            };
            self.put(number)?;
            loop {
                let line = match self.prompt.ask(&mut self.out)? {
                    Asked::Line(line) => line,
                    Asked::End => {
                        writeln!(self.out)?;
                        return self.keep(true);
                    }
                };
                match self.take(number, line)? {
                    Next::Stay => {}
                    Next::Ask => break,
                    Next::Quit => return self.keep(true),
                }
            }
        }
    }

    /// Keeps what came of the questions that are over, before another one is
    /// seen; at the end, of those that were begun too.
    fn keep(&mut self, end: bool) -> io::Result<()> {
        if let Supply::Kept(keeping) = &mut self.supply {
            for (number, question) in self.questions.iter().enumerate() {
                let entry = self.sitting.entry(number);
                if entry.done || end {
                    keeping.keep(number, question, entry, self.sitting.first_slip(number))?;
                }
            }
        }
        Ok(())
    }

    fn put(&mut self, number: usize) -> io::Result<()> {
        let question = &self.questions[number];
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
                self.remember(number, kind);
                Ok(Next::Ask)
            }
            Verdict::Wrong => {
                self.sitting.answer(number, false);
                self.say("Try again, or type hint.")?;
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

    fn remember(&mut self, number: usize, kind: Option<SlipKind>) {
        if let Some(kind) = kind {
            self.sitting.slip(number, kind);
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
            self.remember(number, kind);
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
            Some(number) => {
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

    /// What is waiting.
    fn greet(&mut self) -> io::Result<()> {
        let Supply::Kept(keeping) = &mut self.supply else {
            return Ok(());
        };
        let text = match keeping.waiting() {
            (0, 0) if keeping.left() > 0 => {
                "Nothing is due today; this is practice ahead of its day.".to_owned()
            }
            (0, 0) => {
                let mut text = "Nothing is due today.".to_owned();
                let today = keeping.today();
                if let Some((day, count)) = keeping.next_day() {
                    let items = counted(count, "item comes", "items come");
                    text.push_str(&format!(" {items} back {}.", on(day, today)));
                }
                text.push_str(" For more now, say `--new` or `--count` with a number.");
                text
            }
            (due, new) => format!("Today: {} and {new} new.", counted(due, "due", "due")),
        };
        writeln!(self.out, "{}\n", wrapped(&text, "", "", self.style.width))
    }

    /// What was gained, and when each item comes back.
    fn outlook(&mut self) -> io::Result<()> {
        let Supply::Kept(keeping) = &mut self.supply else {
            return Ok(());
        };
        let today = keeping.today();
        let gains = keeping.gains();
        if gains.is_empty() {
            return Ok(());
        }
        let won = gains.iter().filter(|gain| gain.won).count();
        let lost = gains.iter().filter(|gain| gain.lost).count();
        let count = keeping.count();
        let mut text = format!(
            "Secure now: {} of {}",
            grouped(count.secure),
            counted(count.all(), "item", "items")
        );
        match (won, lost) {
            (0, 0) => text.push('.'),
            (won, 0) => text.push_str(&format!(", {won} more than before.")),
            (0, lost) => text.push_str(&format!(", {lost} fewer than before.")),
            (won, lost) => text.push_str(&format!("; {won} won, {lost} lost.")),
        }
        writeln!(self.out, "{}", wrapped(&text, "", "", self.style.width))?;
        let mut days: Vec<Option<Day>> = gains.iter().map(|gain| gain.returns).collect();
        days.sort_unstable_by_key(|day| (day.is_none(), *day));
        days.dedup();
        for day in days {
            let heading = match day {
                Some(day) => format!("Back {}:", on(day, today)),
                None => "Not again before the exam:".to_owned(),
            };
            writeln!(self.out, "{heading}")?;
            for gain in gains.iter().filter(|gain| gain.returns == day) {
                let item = keeping.item(gain.place);
                let mut text = item_words(item, self.style.spelling);
                if gain.won {
                    text.push_str(" (secure now)");
                } else if gain.lost {
                    text.push_str(" (no longer secure)");
                }
                writeln!(
                    self.out,
                    "{}",
                    wrapped(&text, "   ", "     ", self.style.width)
                )?;
            }
        }
        Ok(())
    }

    fn farewell(&mut self) -> io::Result<()> {
        self.tally()?;
        self.outlook()
    }

    fn tally(&mut self) -> io::Result<()> {
        let tally = self.sitting.tally();
        if tally.asked == 0 && self.sitting.again().is_empty() {
            let nothing = matches!(&self.supply, Supply::Kept(_)) && self.sitting.begun() == 0;
            if nothing {
                return Ok(());
            }
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

/// `tomorrow`, `on 12 March 2027`.
fn on(day: Day, today: Day) -> String {
    match day.since(today) {
        0 | 1 => from_today(day, today),
        _ => format!("on {}", date(day)),
    }
}

/// A typed line for the record: not more than fits on a few lines.
fn shortened(typed: &str) -> String {
    match typed.char_indices().nth(200) {
        Some((cut, _)) => format!("{}…", &typed[..cut]),
        None => typed.to_owned(),
    }
}
