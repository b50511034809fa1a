//! `rejig mark`: a class's answers to a quiz, marked.

pub mod batch;
mod out;
pub mod rows;

use std::fs::File;
use std::io::{self, Read};

use rustc_hash::FxHashMap;

use crate::practice::class::{Class, Refused};
use crate::practice::script::Ready;
use crate::show::escape::escape;
use crate::store::fault::why;

use super::args::{Format, Mark};
use super::choosing;
use super::outcome::{Outcome, Trouble, misunderstood};
use super::style::Style;
use batch::Marker;
use out::Writer;
use rows::{Bad, Row, Rows};

/// Rows of one batch.
const MOST_ROWS: usize = 2_048;
/// Bytes of the answers of one batch.
const MOST_BYTES: usize = 4 << 20;
/// Memory for the stack of one worker, as a main thread has it.
const STACK: usize = 8 << 20;

/// A row whose question was found.
struct Found {
    row: Row,
    /// The place of the question in the quiz.
    place: usize,
}

type Batch = Vec<Result<Found, Bad>>;

/// Reads rows in batches and finds their questions.
struct Reader<R: Read> {
    rows: Rows<R>,
    numbers: FxHashMap<usize, usize>,
    keys: FxHashMap<String, usize>,
}

impl<R: Read> Reader<R> {
    fn new(input: R, questions: &[Ready<'_>]) -> io::Result<Self> {
        let mut numbers = FxHashMap::default();
        let mut keys = FxHashMap::default();
        for (place, ready) in questions.iter().enumerate() {
            numbers.insert(ready.entry.number, place);
            if let Some(key) = &ready.entry.key {
                keys.entry(key.clone()).or_insert(place);
            }
        }
        Ok(Reader {
            rows: Rows::new(input)?,
            numbers,
            keys,
        })
    }

    fn place(&self, question: &str) -> Option<usize> {
        let number = question.parse().ok();
        number
            .and_then(|number: usize| self.numbers.get(&number))
            .or_else(|| self.keys.get(question))
            .copied()
    }

    fn no_question(&self, named: &str) -> String {
        let least = self.numbers.keys().min().copied().unwrap_or_default();
        let most = self.numbers.keys().max().copied().unwrap_or_default();
        let range = if least < most && most - least + 1 == self.numbers.len() {
            format!(" This quiz has questions {least} to {most}.")
        } else {
            String::new()
        };
        format!("There is no question {}.{range}", escape(named))
    }

    /// The next rows; none at the end.
    fn batch(&mut self) -> io::Result<Batch> {
        let mut batch = Vec::new();
        let mut bytes = 0;
        while batch.len() < MOST_ROWS && bytes < MOST_BYTES {
            let Some(next) = self.rows.next_row()? else {
                break;
            };
            batch.push(next.and_then(|row| {
                bytes += row.answer.len();
                match self.place(&row.question) {
                    Some(place) => Ok(Found { row, place }),
                    None => Err(Bad {
                        line: row.line,
                        told: self.no_question(&row.question),
                        seat: Some(row.seat),
                    }),
                }
            }));
        }
        Ok(batch)
    }
}

/// Runs the verb. The status is 1 if a row was bad.
///
/// # Errors
/// When the quiz or the answers can't be read, or writing fails.
pub fn run(arguments: &Mark, style: &Style) -> Outcome {
    let (_, questions) = choosing::from_file(&arguments.quiz)?;
    let shown = arguments.answers.to_string_lossy();
    let shown = escape(&shown);
    let cannot = |error: io::Error| {
        Trouble::Misunderstood(format!("I can't read {shown}: {}.", why(&error)))
    };
    if arguments.answers.as_os_str() == "-" {
        return mark(arguments, &questions, io::stdin(), &shown, style);
    }
    let file = File::open(&arguments.answers).map_err(cannot)?;
    if file.metadata().map_err(cannot)?.is_dir() {
        return misunderstood(format!("{shown} is a folder, not a file of answers."));
    }
    mark(arguments, &questions, file, &shown, style)
}

fn mark<R: Read + Send>(
    arguments: &Mark,
    questions: &[Ready<'static>],
    input: R,
    shown: &str,
    style: &Style,
) -> Outcome {
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(arguments.jobs.map_or(0, usize::from))
        .stack_size(STACK)
        .build()
        .map_err(|error| Trouble::Misunderstood(format!("I can't start workers: {error}.")))?;
    let mut reader = Reader::new(input, questions)?;
    let marks = questions.iter().map(Ready::marks).collect();
    let mut class = Class::new(marks);
    let values = arguments.format == Format::Json;
    let mut marker = Marker::new(questions, out::spelling(arguments, style), values);
    let mut writer = Writer::new(arguments, questions, shown, style);
    let mut batch = reader.batch()?;
    if let Some(told) = reader.rows.misfit() {
        return misunderstood(format!("I can't read {shown}: {told}"));
    }
    writer.begin()?;
    while !batch.is_empty() {
        // The next rows are read while these are marked; rows and results stay
        // in order.
        let (marked, next) = pool.install(|| {
            rayon::join(
                || {
                    let answers = batch.iter().flatten();
                    marker.mark(answers.map(|found| (found.place, found.row.answer.as_str())))
                },
                || reader.batch(),
            )
        });
        let mut marked = marked.into_iter();
        for item in &batch {
            match item {
                Err(bad) => {
                    if let Some(seat) = &bad.seat {
                        // Too many students are told where a row of theirs
                        // would count.
                        let _ = class.record_astray(seat);
                    }
                    writer.bad(bad)?;
                }
                Ok(Found { row, place }) => {
                    let Some(marked) = marked.next() else { break };
                    let counted = class.record(
                        &row.seat,
                        *place,
                        marked.word,
                        marked.awarded,
                        &marked.deeds,
                    );
                    match counted {
                        Ok(()) => writer.answer(row, &questions[*place], &marked)?,
                        Err(refused) => writer.bad(&Bad {
                            line: row.line,
                            told: refusal(refused, row, &questions[*place]),
                            seat: None,
                        })?,
                    }
                }
            }
        }
        batch = next?;
    }
    writer.end(&class)
}

fn refusal(refused: Refused, row: &Row, ready: &Ready<'_>) -> String {
    match refused {
        Refused::Again => format!(
            "{} has answered question {} already; the first answer counts.",
            escape(&row.seat),
            ready.entry.number
        ),
        Refused::TooManySeats => "There are more seats than I can keep.".to_owned(),
    }
}
