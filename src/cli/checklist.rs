//! `rejig checklist`: every item with its state and its dates.

use std::io::{self, Write};

use colored::Colorize;
use serde_json::json;

use crate::practice::checklist::{Count, Row, rows};
use crate::practice::day::Day;
use crate::practice::item::items;
use crate::practice::mastery::{Mastery, Standing};
use crate::show::checklist::{count_words, item_words, page, return_words, sign, word};
use crate::show::counts::counted;
use crate::show::escape::escape;
use crate::show::line::Spelling;
use crate::show::table;
use crate::show::wrap::wrapped;

use super::args::Format;
use super::exit::Status;
use super::keep;
use super::outcome::{Outcome, misunderstood};
use super::output::buffered;
use super::practice_args::Checklist;
use super::sheets;
use super::style::Style;

/// Runs the verb.
///
/// # Errors
/// When the request can't be understood, or reading or writing fails.
pub fn run(arguments: &Checklist, style: &Style) -> Outcome {
    let loaded = sheets::load(&arguments.sheets)?;
    let path = keep::place(&arguments.keep)?;
    let contents = keep::load(&path)?;
    let today = keep::today(&arguments.keep);
    let mastery = Mastery::of(&contents.attempts, today);
    keep::warn_of_the_clock(&contents, &mastery, today)?;
    // An exam moves returns by the whole stock, so that all is reckoned first.
    let all = items(&loaded.formulary, |_| true);
    let mut rows = rows(&all, &mastery, today, contents.exam);
    rows.retain(|row| {
        let kind = arguments.kind.map(|kind| kind.kind());
        loaded.wants(row.item.topic) && kind.is_none_or(|kind| kind == row.item.kind())
    });
    if rows.is_empty() {
        return misunderstood("There is nothing of this kind in these sheets.");
    }
    let mut out = buffered(style.spelling_if(arguments.format == Format::Text && !arguments.html));
    if arguments.html {
        write!(out, "{}", page(&rows, today, contents.exam))?;
    } else {
        match arguments.format {
            Format::Text => text(&mut out, &rows, today, style)?,
            Format::Json => json_rows(&mut out, &rows, today)?,
            Format::Csv => csv(&mut out, &rows, today)?,
        }
    }
    out.flush()?;
    Ok(Status::Done)
}

fn text(out: &mut impl Write, rows: &[Row<'_>], today: Day, style: &Style) -> io::Result<()> {
    let whole = Count::of(rows, today);
    for topic in rows.chunk_by(|one, other| one.item.topic_number == other.item.topic_number) {
        let Some(first) = topic.first() else {
            continue;
        };
        let count = Count::of(topic, today);
        let title = escape(&first.item.topic.title);
        let heading = wrapped(&title, "", "  ", style.width);
        writeln!(out, "{}", style.heading(&heading))?;
        writeln!(
            out,
            "{}",
            wrapped(&count_words(&count), "   ", "   ", style.width)
        )?;
        for row in topic {
            let standing = row.progress.standing();
            let label = format!("{} {:<7}", sign(standing, style.spelling), word(standing));
            let mut text = item_words(&row.item, style.spelling);
            let back = return_words(row, today);
            if !back.is_empty() {
                text.push_str(&format!("; {back}"));
            }
            // The columns are reckoned without the colour.
            let line = wrapped(&text, "              ", "                ", style.width);
            let line = line.strip_prefix("              ").unwrap_or(&line);
            let label = match standing {
                Standing::Secure => label.green().to_string(),
                Standing::Shaky => label.yellow().to_string(),
                Standing::New => label,
            };
            writeln!(out, "   {label}  {line}")?;
        }
        writeln!(out)?;
    }
    let total = format!(
        "{}: {}.",
        counted(whole.all(), "item", "items"),
        count_words(&whole)
    );
    writeln!(
        out,
        "{}",
        style.heading(&wrapped(&total, "", "", style.width))
    )
}

/// What a machine is told of a row.
struct Cells<'r> {
    topic: &'r str,
    key: &'r str,
    kind: &'static str,
    asked: String,
    marks: usize,
    state: &'static str,
    due: bool,
    dates: [Option<Day>; 5],
    attempts: u32,
    misses: u32,
}

const DATES: [&str; 5] = [
    "first-met",
    "last-met",
    "last-miss",
    "secure-since",
    "returns",
];

fn cells<'r>(row: &'r Row<'_>, today: Day) -> Cells<'r> {
    let progress = &row.progress;
    Cells {
        topic: &row.item.topic.key,
        key: &row.item.key,
        kind: row.item.kind().keyword(),
        asked: item_words(&row.item, Spelling::Unicode).replace('\u{a0}', " "),
        marks: row.marks,
        state: word(progress.standing()),
        due: row.is_due(today),
        dates: [
            progress.first_met(),
            progress.last_met(),
            progress.last_miss(),
            progress.secure_since(),
            row.returns,
        ],
        attempts: progress.attempts(),
        misses: progress.misses(),
    }
}

fn json_rows(out: &mut impl Write, rows: &[Row<'_>], today: Day) -> io::Result<()> {
    let list: Vec<_> = rows
        .iter()
        .map(|row| {
            let cells = cells(row, today);
            let mut object = json!({
                "topic": cells.topic,
                "item": cells.key,
                "kind": cells.kind,
                "asked": cells.asked,
                "marks": cells.marks,
                "state": cells.state,
                "due": cells.due,
            });
            for (name, day) in DATES.iter().zip(cells.dates) {
                object[*name] = day.map(|day| day.to_string()).into();
            }
            object["attempts"] = cells.attempts.into();
            object["misses"] = cells.misses.into();
            object
        })
        .collect();
    serde_json::to_writer_pretty(&mut *out, &list)?;
    writeln!(out)
}

fn csv(out: &mut impl Write, rows: &[Row<'_>], today: Day) -> io::Result<()> {
    writeln!(
        out,
        "topic,item,kind,asked,marks,state,due,{},attempts,misses",
        DATES.join(",")
    )?;
    for row in rows {
        let cells = cells(row, today);
        let [first, last, miss, secure, returns] = cells
            .dates
            .map(|day| day.map(|day| day.to_string()).unwrap_or_default());
        let (marks, attempts, misses) = (
            cells.marks.to_string(),
            cells.attempts.to_string(),
            cells.misses.to_string(),
        );
        let due = if cells.due { "yes" } else { "no" };
        let line = [
            cells.topic,
            cells.key,
            cells.kind,
            &cells.asked,
            &marks,
            cells.state,
            due,
            &first,
            &last,
            &miss,
            &secure,
            &returns,
            &attempts,
            &misses,
        ];
        writeln!(out, "{}", table::row(line))?;
    }
    Ok(())
}
