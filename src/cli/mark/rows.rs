//! The rows of a class's answers, one after the other: comma-separated values
//! or JSON Lines. A bad row is a value, not an end.

use std::io::{self, BufRead, BufReader, Read};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use csv::ByteRecord;
use serde_json::Value;

/// Bytes that one row may take up. A quotation mark that is never closed would
/// otherwise draw the whole rest of a file into one cell.
const LONGEST_ROW: u64 = 1 << 20;
/// Bytes that one answer may have.
const LONGEST_ANSWER: usize = 1 << 16;
/// Characters that a student's name may have.
const LONGEST_SEAT: usize = 200;

/// A row that can be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The line of the file on which it begins, from 1.
    pub line: u64,
    /// Who.
    pub seat: String,
    /// The question, as the file calls it.
    pub question: String,
    /// The answer; may have several lines.
    pub answer: String,
}

/// A row that can't.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bad {
    /// The line of the file on which it begins, from 1.
    pub line: u64,
    /// What is wrong, in a sentence.
    pub told: String,
    /// Whose row it is, where that can be read.
    pub seat: Option<String>,
}

/// Rows, one after the other.
pub enum Rows<R: Read> {
    /// Comma-separated values.
    Table(Box<Table<R>>),
    /// One JSON object a line.
    Lines(Lines<R>),
}

impl<R: Read> Rows<R> {
    /// Looks at the beginning of the input and says how to go on.
    ///
    /// # Errors
    /// When reading fails.
    pub fn new(input: R) -> io::Result<Self> {
        let mut input = BufReader::with_capacity(1 << 16, input);
        // A mark that some editors put at the beginning of a file.
        if input.fill_buf()?.starts_with(b"\xef\xbb\xbf") {
            input.consume(3);
        }
        let start = input.fill_buf()?;
        if start.trim_ascii_start().starts_with(b"{") {
            return Ok(Rows::Lines(Lines { input, line: 0 }));
        }
        let first = start
            .split(|byte| *byte == b'\n')
            .next()
            .unwrap_or_default();
        // Spreadsheets write what their language writes.
        let count = |byte: u8| first.iter().filter(|own| **own == byte).count();
        let delimiter = [b',', b';', b'\t']
            .into_iter()
            .rev()
            .max_by_key(|byte| count(*byte))
            .unwrap_or(b',');
        Ok(Rows::Table(Box::new(Table::new(input, delimiter))))
    }

    /// What is wrong with the headings, as a clause; known when the first row
    /// was asked for.
    #[must_use]
    pub fn misfit(&self) -> Option<&str> {
        match self {
            Rows::Table(table) => table.misfit.as_deref(),
            Rows::Lines(_) => None,
        }
    }

    /// The next row; nothing at the end.
    ///
    /// # Errors
    /// When reading fails.
    pub fn next_row(&mut self) -> io::Result<Option<Result<Row, Bad>>> {
        match self {
            Rows::Table(table) => table.next_row(),
            Rows::Lines(lines) => lines.next_row(),
        }
    }
}

/// What a row takes up is counted where its bytes come in. A carriage return
/// before a line feed is left out: the reader behind counts lines by line
/// feeds, and would begin a row before its own.
struct Counted<R> {
    input: BufReader<R>,
    left: Arc<AtomicU64>,
    /// A carriage return that is kept back until the next byte is known.
    pending: bool,
}

impl<R: Read> Counted<R> {
    /// Copies what the buffer holds; how much was copied, nothing at the end.
    fn copy(&mut self, buffer: &mut [u8]) -> io::Result<Option<usize>> {
        let Counted { input, pending, .. } = self;
        let source = input.fill_buf()?;
        if source.is_empty() {
            if std::mem::take(pending) {
                buffer[0] = b'\r';
                return Ok(Some(1));
            }
            return Ok(None);
        }
        let (mut read, mut written) = (0, 0);
        while read < source.len() && written < buffer.len() {
            let byte = source[read];
            if std::mem::take(pending) && byte != b'\n' {
                buffer[written] = b'\r';
                written += 1;
                continue;
            }
            read += 1;
            if byte == b'\r' {
                *pending = true;
            } else {
                buffer[written] = byte;
                written += 1;
            }
        }
        input.consume(read);
        Ok(Some(written))
    }
}

impl<R: Read> Read for Counted<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.left.load(Ordering::Relaxed) == 0 {
            return Err(io::Error::new(
                io::ErrorKind::InvalidData,
                format!(
                    "a row longer than {LONGEST_ROW} bytes. Is a quotation mark missing that \
                     closes a cell?"
                ),
            ));
        }
        if buffer.is_empty() {
            return Ok(0);
        }
        let read = loop {
            match self.copy(buffer)? {
                Some(0) => {}
                Some(copied) => break copied,
                None => break 0,
            }
        };
        let left = self.left.load(Ordering::Relaxed);
        self.left
            .store(left.saturating_sub(read as u64), Ordering::Relaxed);
        Ok(read)
    }
}

/// Which column is which.
#[derive(Debug, Clone, Copy)]
struct Columns {
    seat: usize,
    question: usize,
    answer: usize,
    count: usize,
}

/// Comma-separated values.
pub struct Table<R: Read> {
    reader: csv::Reader<Counted<R>>,
    left: Arc<AtomicU64>,
    record: ByteRecord,
    columns: Option<Columns>,
    ended: bool,
    /// What is wrong with the headings.
    misfit: Option<String>,
}

impl<R: Read> Table<R> {
    fn new(input: BufReader<R>, delimiter: u8) -> Self {
        let left = Arc::new(AtomicU64::new(LONGEST_ROW));
        let counted = Counted {
            input,
            left: Arc::clone(&left),
            pending: false,
        };
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(counted);
        Table {
            reader,
            left,
            record: ByteRecord::new(),
            columns: None,
            ended: false,
            misfit: None,
        }
    }

    fn next_row(&mut self) -> io::Result<Option<Result<Row, Bad>>> {
        loop {
            self.left.store(LONGEST_ROW, Ordering::Relaxed);
            if self.ended {
                return Ok(None);
            }
            match self.reader.read_byte_record(&mut self.record) {
                Ok(true) => {}
                Ok(false) => return Ok(None),
                Err(error) => {
                    let line = self.record.position().map_or(1, csv::Position::line);
                    return match error.into_kind() {
                        // What comes after it can't be told from it.
                        csv::ErrorKind::Io(error) if error.kind() == io::ErrorKind::InvalidData => {
                            self.ended = true;
                            let told = format!("Here I stop: {error}");
                            let seat = None;
                            Ok(Some(Err(Bad { line, told, seat })))
                        }
                        csv::ErrorKind::Io(error) => Err(error),
                        other => Err(io::Error::other(format!("{other:?}"))),
                    };
                }
            }
            let line = self.record.position().map_or(0, csv::Position::line);
            let Some(columns) = self.columns else {
                let (columns, is_heading) = match headings(&self.record) {
                    Ok(found) => found,
                    Err(told) => {
                        self.ended = true;
                        self.misfit = Some(told);
                        return Ok(None);
                    }
                };
                self.columns = Some(columns);
                if is_heading {
                    continue;
                }
                return Ok(Some(row(&self.record, columns, line)));
            };
            return Ok(Some(row(&self.record, columns, line)));
        }
    }
}

/// Headings of the column that says who.
const SEATS: [&str; 4] = ["seat", "student", "name", "candidate"];
/// Headings of the column that says which question.
const QUESTIONS: [&str; 3] = ["question", "number", "key"];
/// Headings of the column with the answer.
const ANSWERS: [&str; 3] = ["answer", "working", "lines"];

/// Whether a heading is that of a column of answers to one question: `Q1`,
/// `Question 2`.
fn is_a_question(cell: &[u8]) -> bool {
    let cell = String::from_utf8_lossy(cell).trim().to_lowercase();
    ["question", "q"].iter().any(|word| {
        cell.strip_prefix(word).is_some_and(|rest| {
            let rest = rest.trim_start_matches([' ', '.', '_', '-']);
            !rest.is_empty() && rest.bytes().all(|byte| byte.is_ascii_digit())
        })
    })
}

/// The columns by their headings, and whether there are headings; without
/// them the columns are seat, question, answer. Headings that don't serve are
/// told.
fn headings(record: &ByteRecord) -> Result<(Columns, bool), String> {
    let find = |names: &[&str]| {
        record.iter().position(|cell| {
            let cell = String::from_utf8_lossy(cell).trim().to_lowercase();
            names.contains(&cell.as_str())
        })
    };
    let seat = find(&SEATS);
    let question = find(&QUESTIONS);
    let answer = find(&ANSWERS);
    match (seat, question, answer) {
        (Some(seat), Some(question), Some(answer)) => Ok((
            Columns {
                seat,
                question,
                answer,
                count: record.len(),
            },
            true,
        )),
        _ if seat.is_some() || question.is_some() || record.iter().skip(1).any(is_a_question) => {
            let missing: Vec<&str> = [(seat, "seat"), (question, "question"), (answer, "answer")]
                .into_iter()
                .filter_map(|(found, name)| found.is_none().then_some(name))
                .collect();
            let wide = if record.iter().any(is_a_question) {
                " A column for each question can't be read: give each answer a row of its own."
            } else {
                ""
            };
            Err(format!(
                "the first row has no column `{}`. There must be three columns: `seat` (or \
                 `student`, `name`, `candidate`), `question` (its number; or `number`, `key`) and \
                 `answer` (or `working`, `lines`).{wide}",
                missing.join("`, `")
            ))
        }
        _ => Ok((
            Columns {
                seat: 0,
                question: 1,
                answer: 2,
                count: 3,
            },
            false,
        )),
    }
}

fn row(record: &ByteRecord, columns: Columns, line: u64) -> Result<Row, Bad> {
    let bad = |told: String| Bad {
        line,
        told,
        seat: record
            .get(columns.seat)
            .and_then(|seat| whose(std::str::from_utf8(seat).ok()?)),
    };
    if record.len() != columns.count {
        let cells = match record.len() {
            1 => "1 cell".to_owned(),
            more => format!("{more} cells"),
        };
        return Err(bad(format!(
            "This row has {cells}; {} were expected.",
            columns.count
        )));
    }
    let text = |column: usize, what: &str| -> Result<String, Bad> {
        let bytes = record.get(column).unwrap_or_default();
        String::from_utf8(bytes.to_vec())
            .map_err(|_| bad(format!("The {what} is not plain text in UTF-8.")))
    };
    let found = Row {
        line,
        seat: text(columns.seat, "seat")?,
        question: text(columns.question, "question")?,
        answer: text(columns.answer, "answer")?,
    };
    settled(found)
}

/// A student's name as it counts, if it is one.
fn whose(seat: &str) -> Option<String> {
    let seat = seat.trim();
    (!seat.is_empty() && seat.chars().count() <= LONGEST_SEAT).then(|| seat.to_owned())
}

/// What every row must be, wherever it comes from.
fn settled(mut row: Row) -> Result<Row, Bad> {
    let bad = |told: String| Bad {
        line: row.line,
        told,
        seat: whose(&row.seat),
    };
    if row.answer.len() > LONGEST_ANSWER {
        return Err(bad(format!(
            "The answer is longer than {LONGEST_ANSWER} bytes. Is a quotation mark missing that \
             closes a cell?"
        )));
    }
    let seat = row.seat.trim();
    if seat.is_empty() {
        return Err(bad("There is no seat.".to_owned()));
    }
    if seat.chars().count() > LONGEST_SEAT {
        return Err(bad(format!(
            "The seat has more than {LONGEST_SEAT} characters."
        )));
    }
    if seat.len() != row.seat.len() {
        row.seat = seat.to_owned();
    }
    let question = row.question.trim();
    if question.len() != row.question.len() {
        row.question = question.to_owned();
    }
    // A spreadsheet's mark that a cell is text.
    if let Some(rest) = row.answer.strip_prefix('\'')
        && rest.trim_start().starts_with(['=', '+', '-', '@'])
    {
        row.answer = rest.to_owned();
    }
    Ok(row)
}

/// One JSON object a line.
pub struct Lines<R: Read> {
    input: BufReader<R>,
    line: u64,
}

impl<R: Read> Lines<R> {
    fn next_row(&mut self) -> io::Result<Option<Result<Row, Bad>>> {
        loop {
            let mut bytes = Vec::new();
            let read = (&mut self.input)
                .take(LONGEST_ROW)
                .read_until(b'\n', &mut bytes)?;
            if read == 0 {
                return Ok(None);
            }
            self.line += 1;
            let line = self.line;
            let bad = |told: String| {
                let seat = None;
                Some(Err(Bad { line, told, seat }))
            };
            if read as u64 == LONGEST_ROW && bytes.last() != Some(&b'\n') {
                self.skip_line()?;
                return Ok(bad(format!(
                    "This line is longer than {LONGEST_ROW} bytes."
                )));
            }
            if bytes.iter().all(u8::is_ascii_whitespace) {
                continue;
            }
            if std::str::from_utf8(&bytes).is_err() {
                return Ok(bad("This line is not plain text in UTF-8.".to_owned()));
            }
            let value: Value = match serde_json::from_slice(&bytes) {
                Ok(value) => value,
                Err(error) => {
                    let place = match error.column() {
                        0 => String::new(),
                        column => format!(" (from character {column})"),
                    };
                    return Ok(bad(format!(
                        "This line is not JSON{place}: it must be an object such as \
                         {{\"seat\":7,\"question\":1,\"answer\":\"v/f\"}}."
                    )));
                }
            };
            return Ok(Some(object(&value, line)));
        }
    }

    fn skip_line(&mut self) -> io::Result<()> {
        loop {
            let buffer = self.input.fill_buf()?;
            if buffer.is_empty() {
                return Ok(());
            }
            let end = buffer.iter().position(|byte| *byte == b'\n');
            let used = end.map_or(buffer.len(), |end| end + 1);
            self.input.consume(used);
            if end.is_some() {
                return Ok(());
            }
        }
    }
}

fn object(value: &Value, line: u64) -> Result<Row, Bad> {
    let word = |name: &str| match value.get(name) {
        Some(Value::String(text)) => Some(text.clone()),
        Some(Value::Number(number)) => Some(number.to_string()),
        _ => None,
    };
    let bad = |told: &str| Bad {
        line,
        told: told.to_owned(),
        seat: word("seat").and_then(|seat| whose(&seat)),
    };
    let answer = match (value.get("answer"), value.get("lines")) {
        (Some(Value::String(text)), _) => text.clone(),
        (Some(Value::Null), _) => String::new(),
        (Some(Value::Array(lines)), _) | (None, Some(Value::Array(lines))) => {
            let lines: Option<Vec<&str>> = lines.iter().map(Value::as_str).collect();
            match lines {
                Some(lines) => lines.join("\n"),
                None => return Err(bad("The lines of the answer are not all text.")),
            }
        }
        _ => return Err(bad("There is no \"answer\".")),
    };
    settled(Row {
        line,
        seat: word("seat").ok_or_else(|| bad("There is no \"seat\"."))?,
        question: word("question").ok_or_else(|| bad("There is no \"question\"."))?,
        answer,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &[u8]) -> Vec<String> {
        let mut rows = Rows::new(text).unwrap();
        let mut found = Vec::new();
        loop {
            match rows.next_row() {
                Ok(None) => return found,
                Ok(Some(Ok(row))) => found.push(format!(
                    "{} {:?} {:?} {:?}",
                    row.line, row.seat, row.question, row.answer
                )),
                Ok(Some(Err(bad))) => found.push(format!("{}: {}", bad.line, bad.told)),
                Err(error) => {
                    found.push(format!("end: {error}"));
                    return found;
                }
            }
        }
    }

    #[track_caller]
    fn check(text: &[u8], expected: &[&str]) {
        assert_eq!(rows(text), expected, "{}", String::from_utf8_lossy(text));
    }

    #[test]
    fn tables() {
        check(b"", &[]);
        check(b"seat,question,answer\n", &[]);
        check(b"a,1,x\n", &["1 \"a\" \"1\" \"x\""]);
        check(
            b"\xef\xbb\xbfAnswer, Name ,question,remark\r\n\"x\ny\",a,1,\r\n",
            &["2 \"a\" \"1\" \"x\\ny\""],
        );
        check(
            b"seat;question;answer\na;2;1,5\n",
            &["2 \"a\" \"2\" \"1,5\""],
        );
        check(
            b"seat\tquestion\tanswer\na\t2\tx, y\n",
            &["2 \"a\" \"2\" \"x, y\""],
        );
        check(
            b"seat,question,answer\n a , 1 ,'=x\nb,1\n,1,x\nc,2,\xff\nd,2,y\n",
            &[
                "2 \"a\" \"1\" \"=x\"",
                "3: This row has 2 cells; 3 were expected.",
                "4: There is no seat.",
                "5: The answer is not plain text in UTF-8.",
                "6 \"d\" \"2\" \"y\"",
            ],
        );
    }

    #[test]
    fn headings_that_do_not_serve() {
        let misfit = |text: &[u8]| {
            let mut rows = Rows::new(text).unwrap();
            assert_eq!(rows.next_row().unwrap(), None);
            rows.misfit().unwrap().to_owned()
        };
        let wide = misfit(b"Name,Q1,Q2\na,x,y\n");
        assert!(wide.contains("no column `question`, `answer`"), "{wide}");
        assert!(wide.contains("a row of its own"), "{wide}");
        let wide = misfit(b"Pupil;Question 1;Question 2\na;x;y\n");
        assert!(wide.contains("a row of its own"), "{wide}");
        let short = misfit(b"student,question,mark\na,1,2\n");
        assert!(short.contains("no column `answer`."), "{short}");
        assert!(!short.contains("a row of its own"), "{short}");
    }

    #[test]
    fn a_quotation_mark_that_is_never_closed() {
        let mut text = b"seat,question,answer\na,1,\"x\n".to_vec();
        text.extend(std::iter::repeat_n(b'y', 100_000));
        let found = rows(&text);
        assert!(
            found[0].contains("Is a quotation mark missing"),
            "{found:?}"
        );
        text.extend(std::iter::repeat_n(b'y', 3 << 20));
        let found = rows(&text);
        assert!(found[0].contains("Here I stop: a row longer"), "{found:?}");
        assert_eq!(found.len(), 1);
    }

    #[test]
    fn json_lines() {
        check(
            b"{\"seat\":7,\"question\":1,\"answer\":\"x\"}\n\n{\"seat\":\"b\",\"question\":\"k\",\"lines\":[\"x\",\"y\"]}\n",
            &["1 \"7\" \"1\" \"x\"", "3 \"b\" \"k\" \"x\\ny\""],
        );
        let found = rows(b"{\"seat\":7}\n{\n{\"question\":1,\"answer\":\"\"}\n{\"a\":\"\xff\"}\n");
        assert_eq!(found.len(), 4);
        assert_eq!(found[0], "1: There is no \"answer\".");
        assert!(found[1].starts_with("2: This line is not JSON"));
        assert_eq!(found[2], "3: There is no \"seat\".");
        assert_eq!(found[3], "4: This line is not plain text in UTF-8.");
        let mut long = vec![b'{'; (LONGEST_ROW + 5) as usize];
        long.extend(b"\n{\"seat\":1,\"question\":1,\"answer\":\"x\"}");
        let found = rows(&long);
        assert!(found[0].starts_with("1: This line is longer"), "{found:?}");
        assert_eq!(found[1], "2 \"1\" \"1\" \"x\"");
    }
}
