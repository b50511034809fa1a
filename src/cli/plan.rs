//! `rejig plan`: what comes on which day up to the exam, and what can be
//! secure by then.

use std::io::{self, Write};
use std::path::Path;

use serde_json::json;

use crate::practice::attempt::AttemptId;
use crate::practice::checklist::{Count, Row, rows};
use crate::practice::day::Day;
use crate::practice::item::items;
use crate::practice::mastery::Mastery;
use crate::practice::plan::{
    DAYS_TO_SECURE, DayAhead, ENOUGH_ATTEMPTS, Forecast, LONGEST, Outlook, Planned, SECONDS_A_MARK,
    SECONDS_TO_READ, USUAL_MISS, forecast,
};
use crate::practice::schedule::FINAL_WEEK;
use crate::show::checklist::{count_words, item_words};
use crate::show::counts::{counted, grouped};
use crate::show::dates::date;
use crate::show::escape::escape;
use crate::show::records::record;
use crate::show::wrap::wrapped;
use crate::store::clock;
use crate::store::journal::{Contents, Journal};
use crate::store::record::Record;

use super::args::Format;
use super::exit::Status;
use super::keep::{self, because};
use super::outcome::{Outcome, misunderstood};
use super::output::buffered;
use super::practice_args::{Exam, Plan};
use super::sheets;
use super::style::Style;

/// Days up to which every day is shown without being asked for.
const DAYS_SHOWN: usize = 28;
/// Items to drop first that are named.
const NAMED: usize = 5;

/// Columns that the table takes.
const TABLE_WIDTH: usize = 64;

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or reading or writing fails.
pub fn run(arguments: &Plan, style: &Style) -> Outcome {
    let loaded = sheets::load(&arguments.sheets)?;
    let path = keep::place(&arguments.keep)?;
    let contents = keep::load(&path)?;
    let today = keep::today(&arguments.keep);
    let mut out = buffered(style.spelling_if(arguments.format == Format::Text));
    let exam = match arguments.exam {
        Some(Exam(exam)) => {
            if exam.is_some_and(|exam| exam <= today) {
                return misunderstood("The day of the exam is past or today already.");
            }
            if exam != contents.exam {
                remember(&path, exam)?;
            }
            exam
        }
        None => contents.exam,
    };
    let Some(exam) = exam else {
        if arguments.exam.is_some() {
            writeln!(
                out,
                "There is no exam any more. Items come back by their gaps alone."
            )?;
            out.flush()?;
            return Ok(Status::Done);
        }
        return misunderstood("When is the exam? Say --exam DATE, such as --exam 2027-05-17.");
    };
    if exam <= today {
        return misunderstood(format!(
            "The exam of {} is over. Say --exam DATE for the next one.",
            date(exam)
        ));
    }
    if exam.since(today) > LONGEST {
        return misunderstood("The exam is more than three years away.");
    }
    let mastery = Mastery::of(&contents.attempts, today);
    keep::warn_of_the_clock(&contents, &mastery, today)?;
    let all = items(&loaded.formulary, |topic| loaded.wants(topic));
    let rows = rows(&all, &mastery, today, Some(exam));
    let planned: Vec<Planned> = rows.iter().map(Row::planned).collect();
    let (miss, own) = match arguments.miss {
        Some(percent) => (f64::from(percent) / 100.0, false),
        None => usual_miss(&contents),
    };
    let outlook = Outlook {
        today,
        exam,
        seconds: arguments.minutes.map(|minutes| 60 * minutes),
        miss,
        seed: arguments.seed,
    };
    let found = forecast(&planned, outlook);
    match arguments.format {
        Format::Text => {
            let telling = Telling {
                arguments,
                rows: &rows,
                found: &found,
                outlook,
                own,
                style,
            };
            telling.text(&mut out)?;
        }
        Format::Json => as_json(&mut out, &rows, &found, outlook)?,
        Format::Csv => as_csv(&mut out, &found)?,
    }
    out.flush()?;
    Ok(Status::Done)
}

/// Writes the day of the exam into the journal.
fn remember(path: &Path, exam: Option<Day>) -> io::Result<()> {
    let record = Record::Exam {
        id: AttemptId {
            sitting: clock::fresh_number(),
            number: 1,
        },
        moment: clock::moment(),
        day: exam,
    };
    let kept = Journal::open(path).and_then(|mut journal| journal.append(&record));
    if let Err(fault) = kept {
        writeln!(
            io::stderr(),
            "rejig: the day of the exam is not kept: {}.",
            because(&fault, path)
        )?;
    }
    Ok(())
}

/// The student's own share of misses, softened, if there are attempts enough;
/// whether it is their own.
fn usual_miss(contents: &Contents) -> (f64, bool) {
    // A worked example that is followed says nothing about a miss.
    let asked = contents.attempts.iter();
    let (mut attempts, mut misses) = (0_u32, 0_u32);
    for attempt in asked.filter(|attempt| attempt.support == 0) {
        attempts += 1;
        misses += u32::from(!attempt.first_try());
    }
    if attempts < ENOUGH_ATTEMPTS {
        return (USUAL_MISS, false);
    }
    (
        (f64::from(misses) + 1.0) / (f64::from(attempts) + 5.0),
        true,
    )
}

/// Minutes, rounded up.
fn minutes(seconds: u32) -> u32 {
    seconds.div_ceil(60)
}

struct Telling<'a, 'f> {
    arguments: &'a Plan,
    rows: &'a [Row<'f>],
    found: &'a Forecast,
    outlook: Outlook,
    own: bool,
    style: &'a Style,
}

impl Telling<'_, '_> {
    fn say(&self, out: &mut impl Write, text: &str) -> io::Result<()> {
        writeln!(out, "{}", wrapped(text, "", "", self.style.width))
    }

    fn text(&self, out: &mut impl Write) -> io::Result<()> {
        let Outlook { today, exam, .. } = self.outlook;
        let left = exam.since(today);
        let heading = format!(
            "Exam on {}: {} left.",
            date(exam),
            counted(usize::try_from(left).unwrap_or(0), "day", "days")
        );
        writeln!(
            out,
            "{}",
            self.style
                .heading(&wrapped(&heading, "", "", self.style.width))
        )?;
        let count = Count::of(self.rows, today);
        self.say(out, &format!("Now: {}.", count_words(&count)))?;
        writeln!(out)?;
        self.prospects(out, left, &count)?;
        writeln!(out)?;
        self.table(out)?;
        writeln!(out)?;
        self.grounds(out)
    }

    /// What can be secure by then, what cannot, and what to drop first.
    fn prospects(&self, out: &mut impl Write, left: i32, count: &Count) -> io::Result<()> {
        let all = self.rows.len();
        let [fewest, middle, most] = self.found.secure;
        let range = if fewest == most {
            grouped(middle)
        } else {
            format!(
                "{} ({} to {})",
                grouped(middle),
                grouped(fewest),
                grouped(most)
            )
        };
        self.say(
            out,
            &format!(
                "On the eve about {range} of {} can be secure.",
                counted(all, "item", "items")
            ),
        )?;
        if left < 3 {
            let text = if self.found.impossible > 0 {
                format!(
                    "Fewer than three days are left, and secure needs three different days: {} \
                     can't be secure any more. Use the time for what is shaky: go through its \
                     worked solutions once, then answer without help.",
                    counted(self.found.impossible, "item", "items")
                )
            } else {
                "Fewer than three days are left. Go over what is due, and rest.".to_owned()
            };
            self.say(out, &text)?;
        } else if count.new > 0 {
            let text = match self.found.last_start {
                Some(day) => format!(
                    "A new item needs {DAYS_TO_SECURE} days from its first right answer to be \
                     secure: begin none after {}.",
                    date(day)
                ),
                None => format!(
                    "A new item needs {DAYS_TO_SECURE} days from its first right answer to be \
                     secure: it is too late to begin one. Use the time for what is shaky."
                ),
            };
            self.say(out, &text)?;
        }
        let busy = self.found.days.iter().max_by_key(|day| day.seconds);
        if let Some(busy) = busy {
            let total: u64 = self
                .found
                .days
                .iter()
                .map(|day| u64::from(day.seconds))
                .sum();
            let mean = total / (self.found.days.len() as u64).max(1);
            let mean = u32::try_from(mean).unwrap_or(u32::MAX);
            self.say(
                out,
                &format!(
                    "That is about {} minutes a day, {} on the fullest day ({}).",
                    minutes(mean),
                    minutes(busy.seconds),
                    date(busy.day)
                ),
            )?;
        }
        if self.found.not_reached.is_empty() {
            return Ok(());
        }
        let others = counted(self.found.not_reached.len(), "item waits", "items wait");
        let longer = match self.outlook.seconds {
            Some(_) => " More minutes a day (`--minutes`) reach more.",
            None => "",
        };
        self.say(
            out,
            &format!(
                "Begin at the top of the checklist; `--topic` plans for one topic. {others} for \
                 time to spare.{longer} Leave these for last, as they cost most:"
            ),
        )?;
        for place in self.found.not_reached.iter().take(NAMED) {
            let row = &self.rows[*place];
            let topic = escape(&row.item.topic.title);
            let text = format!("{} ({topic})", item_words(&row.item, self.style.spelling));
            writeln!(out, "{}", wrapped(&text, "   ", "     ", self.style.width))?;
        }
        Ok(())
    }

    fn table(&self, out: &mut impl Write) -> io::Result<()> {
        let days = &self.found.days;
        const HEADS: [&str; 5] = ["due", "new", "again", "minutes", "secure"];
        let narrow = self.style.width < TABLE_WIDTH;
        let row = |out: &mut dyn Write, name: &str, cells: [String; 5]| {
            if narrow {
                let cells: Vec<(&str, String)> = HEADS.into_iter().zip(cells).collect();
                return write!(out, "{}", record(name, &cells, self.style.width));
            }
            let [due, new, again, minutes, secure] = cells;
            writeln!(
                out,
                "{name:<28}{due:>6}{new:>6}{again:>7}{minutes:>9}{secure:>8}"
            )
        };
        if !narrow {
            row(out, "", HEADS.map(str::to_owned))?;
        }
        let by_day = self.arguments.daily || days.len() <= DAYS_SHOWN;
        let final_week = days
            .len()
            .saturating_sub(usize::try_from(FINAL_WEEK).unwrap_or(7));
        let mut at = 0;
        while at < days.len() {
            let whole = if by_day || at >= final_week {
                1
            } else {
                // Up to the next Monday.
                let rest = &days[at + 1..final_week];
                1 + rest
                    .iter()
                    .position(|day| day.day.is_monday())
                    .unwrap_or(rest.len())
            };
            let part = &days[at..at + whole];
            at += whole;
            let (Some(first), Some(last)) = (part.first(), part.last()) else {
                continue;
            };
            let name = match whole {
                1 => date(first.day),
                _ => format!("week from {}", date(first.day)),
            };
            let sum = |of: fn(&DayAhead) -> usize| part.iter().map(of).sum::<usize>().to_string();
            let seconds: u32 = part
                .iter()
                .fold(0, |sum, day| sum.saturating_add(day.seconds));
            let cells = [
                sum(|day| day.due),
                sum(|day| day.new),
                sum(|day| day.again),
                minutes(seconds).to_string(),
                last.secure.to_string(),
            ];
            row(out, &name, cells)?;
        }
        Ok(())
    }

    /// What the forecast rests on.
    fn grounds(&self, out: &mut impl Write) -> io::Result<()> {
        let percent = (self.outlook.miss * 100.0).round();
        let whose = match (self.arguments.miss, self.own) {
            (Some(_), _) => "as you said",
            (None, true) => "your own share so far",
            (None, false) => "a guess, until there are 30 attempts",
        };
        self.say(
            out,
            &format!(
                "A forecast, not a promise: each answer is a miss with a chance of {percent} % \
                 ({whose}), {SECONDS_TO_READ} seconds to read and {SECONDS_A_MARK} a mark, seed \
                 {}. The days are one course of events, the range is from 20.",
                self.outlook.seed
            ),
        )?;
        self.say(
            out,
            "What is secure comes back on one day of the last seven. Three right of three is weak \
             evidence, so it keeps coming back.",
        )
    }
}

fn as_json(
    out: &mut impl Write,
    rows: &[Row<'_>],
    found: &Forecast,
    outlook: Outlook,
) -> io::Result<()> {
    let days: Vec<_> = found
        .days
        .iter()
        .map(|day| {
            json!({
                "day": day.day.to_string(),
                "due": day.due,
                "new": day.new,
                "again": day.again,
                "seconds": day.seconds,
                "left": day.left,
                "secure": day.secure,
            })
        })
        .collect();
    let not_reached: Vec<&str> = found
        .not_reached
        .iter()
        .map(|place| rows[*place].item.key.as_str())
        .collect();
    let plan = json!({
        "today": outlook.today.to_string(),
        "exam": outlook.exam.to_string(),
        "miss": outlook.miss,
        "seed": outlook.seed,
        "items": rows.len(),
        "secure": {
            "fewest": found.secure[0],
            "middle": found.secure[1],
            "most": found.secure[2],
        },
        "last-start": found.last_start.map(|day| day.to_string()),
        "impossible": found.impossible,
        "not-reached": not_reached,
        "days": days,
    });
    serde_json::to_writer_pretty(&mut *out, &plan)?;
    writeln!(out)
}

fn as_csv(out: &mut impl Write, found: &Forecast) -> io::Result<()> {
    writeln!(out, "day,due,new,again,seconds,left,secure")?;
    for day in &found.days {
        writeln!(
            out,
            "{},{},{},{},{},{},{}",
            day.day, day.due, day.new, day.again, day.seconds, day.left, day.secure
        )?;
    }
    Ok(())
}
