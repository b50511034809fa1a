//! What `rejig mark` writes: each answer as it comes, the class at the end.

use std::io::{self, Write};

use serde_json::{Map, Value, json};

use crate::practice::class::{Class, FEW, QuestionResults, StudentMarks};
use crate::practice::script::{Ready, Word};
use crate::show::class::{self, index_cell};
use crate::show::counts::counted;
use crate::show::escape::escape;
use crate::show::line::Spelling;
use crate::show::table;
use crate::show::wrap::wrapped;

use super::super::output::Output;
use super::batch::Marked;
use super::rows::{Bad, Row};
use crate::cli::args::{Format, Mark, Table};
use crate::cli::exit::Status;
use crate::cli::outcome::{Outcome, Trouble};
use crate::cli::style::Style;

/// Answers for a person to look at that are listed one by one.
const MOST_OPEN: usize = 40;
/// Bad rows that are told one by one.
const MOST_TOLD: usize = 20;

/// Which characters the results are written with: other programs get what
/// every keyboard has.
#[must_use]
pub fn spelling(arguments: &Mark, style: &Style) -> Spelling {
    match arguments.format {
        Format::Text => style.spelling,
        Format::Json | Format::Csv => Spelling::Ascii,
    }
}

/// Writes results.
pub struct Writer<'a> {
    out: Output<io::BufWriter<io::Stdout>>,
    arguments: &'a Mark,
    questions: &'a [Ready<'static>],
    /// The name of the file, for messages.
    shown: &'a str,
    style: &'a Style,
    answers: usize,
    bad: usize,
    /// Answers that a person must look at, and how many there are.
    open: Vec<String>,
    all_open: usize,
}

impl<'a> Writer<'a> {
    /// A writer to standard output.
    #[must_use]
    pub fn new(
        arguments: &'a Mark,
        questions: &'a [Ready<'static>],
        shown: &'a str,
        style: &'a Style,
    ) -> Self {
        Writer {
            out: Output::new(
                io::BufWriter::with_capacity(1 << 16, io::stdout()),
                style.spelling_if(arguments.format == Format::Text),
            ),
            arguments,
            questions,
            shown,
            style,
            answers: 0,
            bad: 0,
            open: Vec::new(),
            all_open: 0,
        }
    }

    /// The table of each answer, where it is wanted.
    fn each(&self) -> bool {
        match self.arguments.table {
            Some(table) => table == Table::Answers,
            None => self.arguments.format != Format::Text,
        }
    }

    fn wants(&self, table: Table) -> bool {
        match self.arguments.table {
            Some(own) => own == table,
            None => self.arguments.format != Format::Csv,
        }
    }

    /// What comes before the first answer.
    ///
    /// # Errors
    /// When writing fails.
    pub fn begin(&mut self) -> io::Result<()> {
        if self.arguments.format == Format::Csv && self.each() {
            writeln!(
                self.out,
                "line,seat,question,answer,verdict,awarded,available,slip,remark"
            )?;
        }
        Ok(())
    }

    /// One answer.
    ///
    /// # Errors
    /// When writing fails.
    pub fn answer(&mut self, row: &Row, ready: &Ready<'_>, marked: &Marked) -> io::Result<()> {
        self.answers += 1;
        if marked.word.is_open() {
            self.all_open += 1;
            if self.open.len() < MOST_OPEN {
                self.open.push(format!(
                    "{}, question {} (line {}): {}",
                    escape(&row.seat),
                    ready.entry.number,
                    row.line,
                    marked.remark
                ));
            }
        }
        if !self.each() {
            return Ok(());
        }
        match self.arguments.format {
            Format::Csv => {
                let line = row.line.to_string();
                let number = ready.entry.number.to_string();
                let awarded = marked.awarded.to_string();
                let available = marked.available.to_string();
                let seat = escape(&row.seat);
                let lines: Vec<_> = row.answer.lines().map(escape).collect();
                let answer = lines.join("\n");
                let cells = [
                    line.as_str(),
                    &seat,
                    &number,
                    &answer,
                    marked.word.key(),
                    &awarded,
                    &available,
                    marked.slip.unwrap_or_default(),
                    &marked.remark,
                ];
                writeln!(self.out, "{}", table::row(cells))
            }
            Format::Json => {
                let mut value = Map::new();
                value.insert("kind".into(), "answer".into());
                value.insert("line".into(), row.line.into());
                value.insert("seat".into(), row.seat.as_str().into());
                value.insert("question".into(), ready.entry.number.into());
                value.insert("answer".into(), row.answer.as_str().into());
                value.extend(marked.value.clone().unwrap_or_default());
                self.json(&Value::Object(value))
            }
            Format::Text => {
                let told = format!(
                    "{}, question {}: {} of {}. {}",
                    escape(&row.seat),
                    ready.entry.number,
                    marked.awarded,
                    marked.available,
                    marked.remark
                );
                writeln!(self.out, "{}", wrapped(&told, "", "   ", self.style.width))
            }
        }
    }

    fn json(&mut self, value: &Value) -> io::Result<()> {
        serde_json::to_writer(&mut self.out, value)?;
        self.out.write_all(b"\n")
    }

    /// A row that does not count. It is told at once, and the rest goes on.
    ///
    /// # Errors
    /// When writing fails.
    pub fn bad(&mut self, bad: &Bad) -> io::Result<()> {
        self.bad += 1;
        if self.arguments.format == Format::Json {
            let value = json!({ "kind": "fault", "line": bad.line, "message": bad.told });
            self.json(&value)?;
        }
        if self.bad <= MOST_TOLD {
            self.out.flush()?;
            writeln!(
                io::stderr(),
                "rejig: {}, line {}: {}",
                self.shown,
                bad.line,
                bad.told
            )?;
        }
        Ok(())
    }

    /// What comes after the last answer, and how the run ends.
    ///
    /// # Errors
    /// When writing fails.
    pub fn end(mut self, class: &Class) -> Outcome {
        let students = class.students();
        let results = class.questions();
        match self.arguments.format {
            Format::Text => self.text(&students, &results)?,
            Format::Csv => self.csv(&students, &results)?,
            Format::Json => self.values(&students, &results)?,
        }
        self.out.flush()?;
        if self.bad > MOST_TOLD {
            let more = self.bad - MOST_TOLD;
            writeln!(
                io::stderr(),
                "rejig: {}: {more} further bad rows.",
                self.shown
            )?;
        }
        Ok(if self.bad > 0 {
            Status::Faults
        } else {
            Status::Done
        })
    }

    fn text(
        &mut self,
        students: &[StudentMarks],
        results: &[QuestionResults],
    ) -> Result<(), Trouble> {
        let width = self.style.width;
        let overview = self.arguments.table.is_none();
        if overview {
            let awarded: usize = students.iter().map(|student| student.awarded).sum();
            let available: usize = students.iter().map(|student| student.available).sum();
            let told = format!(
                "{}, {}, {}. Marks: {awarded} of {available} ({:.0} %).",
                counted(students.len(), "student", "students"),
                counted(self.questions.len(), "question", "questions"),
                counted(self.answers, "answer", "answers"),
                class::percent(awarded, available),
            );
            writeln!(self.out, "{}\n", wrapped(&told, "", "", width))?;
        }
        if self.wants(Table::Questions) {
            if overview {
                writeln!(self.out, "{}", self.style.heading("Questions"))?;
            }
            let text = class::questions(self.questions, results, students.len(), width);
            write!(self.out, "{text}")?;
        }
        if self.wants(Table::Slips) {
            if overview {
                writeln!(self.out, "\n{}", self.style.heading("Commonest slips"))?;
            }
            let text = class::slips(
                self.questions,
                results,
                students.len(),
                self.style.spelling,
                width,
            );
            write!(self.out, "{text}")?;
        }
        if self.wants(Table::Students) {
            if overview {
                writeln!(self.out, "\n{}", self.style.heading("Students"))?;
            }
            write!(self.out, "{}", class::students(students, width))?;
        }
        if overview && self.all_open > 0 {
            writeln!(self.out, "\n{}", self.style.heading("For you to look at"))?;
            for told in &self.open {
                writeln!(self.out, "{}", wrapped(told, "   ", "     ", width))?;
            }
            let more = self.all_open - self.open.len();
            if more > 0 {
                writeln!(
                    self.out,
                    "   and {more} more: `--table answers` has them all"
                )?;
            }
        }
        if overview && self.bad > 0 {
            let told = format!(
                "{} not marked.",
                counted(self.bad, "row was bad and is", "rows were bad and are")
            );
            writeln!(self.out, "\n{}", wrapped(&told, "", "", width))?;
        }
        Ok(())
    }

    fn csv(
        &mut self,
        students: &[StudentMarks],
        results: &[QuestionResults],
    ) -> Result<(), Trouble> {
        if self.wants(Table::Students) {
            writeln!(
                self.out,
                "seat,awarded,available,right,not_answered,for_you"
            )?;
            for student in students {
                let numbers = [
                    student.awarded,
                    student.available,
                    student.right,
                    student.left_out,
                    student.open,
                ]
                .map(|number| number.to_string());
                let seat = escape(&student.seat);
                let cells =
                    std::iter::once(seat.as_ref()).chain(numbers.iter().map(String::as_str));
                writeln!(self.out, "{}", table::row(cells))?;
            }
        }
        if self.wants(Table::Questions) {
            writeln!(
                self.out,
                "question,asks,marks,facility,discrimination,item_rest,right,unfinished,wrong,\
                 undecided,unreadable,not_answered"
            )?;
            for (ready, result) in self.questions.iter().zip(results) {
                let mut cells = vec![
                    ready.entry.number.to_string(),
                    class::label(ready, Spelling::Ascii),
                    ready.marks().to_string(),
                    index_cell(result.facility),
                    index_cell(result.discrimination),
                    index_cell(result.correlation),
                ];
                cells.extend(result.counts.iter().map(ToString::to_string));
                let numbers = raw_row(&cells);
                writeln!(self.out, "{numbers}")?;
            }
            self.few(students.len())?;
        }
        if self.wants(Table::Slips) {
            writeln!(self.out, "question,asks,count,of,slip")?;
            for (ready, result) in self.questions.iter().zip(results) {
                for (deed, count) in &result.deeds {
                    let cells = [
                        ready.entry.number.to_string(),
                        class::label(ready, Spelling::Ascii),
                        count.to_string(),
                        students.len().to_string(),
                        deed.to_string(),
                    ];
                    let cells = cells.iter().map(String::as_str);
                    writeln!(self.out, "{}", table::row(cells))?;
                }
            }
        }
        Ok(())
    }

    fn few(&self, students: usize) -> io::Result<()> {
        if students < FEW {
            writeln!(
                io::stderr(),
                "rejig: with fewer than {FEW} students the indices say little."
            )?;
        }
        Ok(())
    }

    fn values(
        &mut self,
        students: &[StudentMarks],
        results: &[QuestionResults],
    ) -> Result<(), Trouble> {
        if self.wants(Table::Students) {
            for student in students {
                let value = json!({
                    "kind": "student",
                    "seat": student.seat.as_ref(),
                    "marks": { "awarded": student.awarded, "available": student.available },
                    "right": student.right,
                    "not_answered": student.left_out,
                    "for_you": student.open,
                });
                self.json(&value)?;
            }
        }
        if self.wants(Table::Questions) || self.wants(Table::Slips) {
            for (ready, result) in self.questions.iter().zip(results) {
                let counts: Map<String, Value> = QuestionResults::WORDS
                    .iter()
                    .map(|word: &Word| (word.key().to_owned(), result.count(*word).into()))
                    .collect();
                let slips: Vec<Value> = result
                    .deeds
                    .iter()
                    .map(|(deed, count)| {
                        json!({
                            "count": count,
                            "of": students.len(),
                            "did": deed.as_ref(),
                        })
                    })
                    .collect();
                let value = json!({
                    "kind": "question",
                    "question": ready.entry.number,
                    "key": ready.entry.key,
                    "asks": class::label(ready, Spelling::Ascii),
                    "marks": ready.marks(),
                    "facility": result.facility,
                    "discrimination": result.discrimination,
                    "item_rest": result.correlation,
                    "answers": counts,
                    "slips": slips,
                });
                self.json(&value)?;
            }
        }
        if self.arguments.table.is_none() {
            let value = json!({
                "kind": "class",
                "students": students.len(),
                "questions": self.questions.len(),
                "answers": self.answers,
                "faults": self.bad,
                "few": students.len() < FEW,
            });
            self.json(&value)?;
        }
        Ok(())
    }
}

/// A row of a label and numbers of our own making: a minus in front of a
/// number is no danger, and a mark in front of it would make it text.
fn raw_row(cells: &[String]) -> String {
    let written: Vec<String> = cells
        .iter()
        .map(|cell| {
            if cell.parse::<f64>().is_ok() {
                cell.clone()
            } else {
                table::cell(cell)
            }
        })
        .collect();
    written.join(",")
}
