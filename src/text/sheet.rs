//! Formula sheets: from the bytes of a file to typed entries with their
//! places, and a list of faults. A fault in one entry leaves the others.
//!
//! This is the sheet as typed. Maths in it stays text here; the formulary
//! gives it meaning. The grammar of an entry is `grammar/sheet.pest`; lines,
//! comments, continuations and keywords are found here.

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::sheet_entry::{
    KEYWORDS, Keyword, keyword_of, read_entry, read_mark, read_needs, read_not, read_part,
    read_said,
};
use super::span::Span;
use super::suggest::nearest;
use crate::algebra::limits::MAX_LINE;

/// Bytes that one sheet may hold.
pub const MAX_SHEET: usize = 4 * 1024 * 1024;
/// Faults of reading that are reported for one sheet.
pub const MAX_FAULTS: usize = 500;

/// A stretch of a sheet's text and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// The text, trimmed.
    pub text: String,
    /// The line it begins on, counted from 1.
    pub line: usize,
    /// The byte of that line at which it begins.
    pub column: usize,
    /// Whether it was joined from several lines; its bytes then don't match
    /// the bytes of the first.
    pub joined: bool,
}

/// A mark of a proof: what is paid, and for what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkLine {
    /// The code, such as `M1`.
    pub code: Piece,
    /// When it is earned, in words.
    pub condition: Piece,
}

/// A proof as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProofEntry {
    /// Its name.
    pub name: Piece,
    /// What is asked, in words.
    pub statement: Option<Piece>,
    /// When it holds, in words.
    pub condition: Option<Piece>,
    /// Equations that may be used.
    pub given: Vec<Piece>,
    /// Letters that the proof brings in (`let k = ...`).
    pub helpers: Vec<Piece>,
    /// What is to be shown.
    pub goals: Vec<Piece>,
    /// Lines of a route that leads there.
    pub route: Vec<Piece>,
    /// How marks are given.
    pub marks: Vec<MarkLine>,
}

/// A connection as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ConnectionEntry {
    /// Its name.
    pub name: Piece,
    /// What joins the formulae, in words.
    pub sentence: Option<Piece>,
    /// When it holds, in words.
    pub condition: Option<Piece>,
    /// Formulae in the connection's letters, with the keys of the sheets'.
    pub parts: Vec<(Piece, Piece)>,
    /// What is to be found.
    pub goals: Vec<Piece>,
}

/// What the lines below a definition say about its wording.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WordingEntry {
    /// Words that must be said, each with others that say the same; those of
    /// the definition's own equation.
    pub needs: Vec<Vec<Piece>>,
    /// Other equations that define the term as well, each with words that it
    /// needs.
    pub others: Vec<(Piece, Vec<Vec<Piece>>)>,
    /// Words that make another thing of it.
    pub never: Vec<Piece>,
    /// Phrases, and the maths that they stand for.
    pub readings: Vec<(Vec<Piece>, Piece)>,
}

/// A number as a constant's line writes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrittenNumber {
    /// As typed.
    pub text: Piece,
    /// Sign and digits with at most one point, without spaces: `-6.63`.
    pub digits: String,
    /// The power of ten behind the digits.
    pub exponent: i64,
    /// Whether pi multiplies it.
    pub times_pi: bool,
}

/// What an entry says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EntryKind {
    /// `topic KEY: TITLE`.
    Topic {
        /// The short name.
        key: Piece,
        /// The heading.
        title: Option<Piece>,
    },
    /// `quantity SYMBOL (ALIASES): NAME, UNIT, DOMAIN`.
    Quantity {
        /// The symbol.
        symbol: Piece,
        /// Other ways to type it.
        aliases: Vec<Piece>,
        /// What stands between the commas after the colon: name first.
        details: Vec<Piece>,
    },
    /// `formula NAME: MATHS`, or a line with an equals sign alone.
    Formula {
        /// Its name.
        name: Option<Piece>,
        /// The equation.
        maths: Piece,
        /// When it holds, in words.
        condition: Option<Piece>,
    },
    /// `proof NAME: STATEMENT` with the lines below it.
    Proof(Box<ProofEntry>),
    /// `notation NAME: s -> x, ...`.
    Notation {
        /// Its name.
        name: Option<Piece>,
        /// This sheet's symbol, and the letter that stands for it.
        changes: Vec<(Piece, Piece)>,
    },
    /// `constant SYMBOL = NUMBER UNIT: NAME`.
    Constant {
        /// The symbol.
        symbol: Piece,
        /// Other ways to type it.
        aliases: Vec<Piece>,
        /// The number.
        value: WrittenNumber,
        /// Its unit.
        unit: Option<Piece>,
        /// What it is.
        name: Option<Piece>,
    },
    /// `define TERM: SENTENCE ; EQUATION`.
    Definition {
        /// The term that is defined.
        term: Piece,
        /// What it means, in words.
        sentence: Piece,
        /// What it means, as an equation.
        equation: Option<Piece>,
        /// What the lines below it say.
        details: WordingEntry,
    },
    /// `synonym NAME: WORDS, ...`.
    Synonym {
        /// The name of a quantity.
        name: Piece,
        /// Other words for it.
        words: Vec<Piece>,
    },
    /// `connect NAME: SENTENCE` with the lines below it.
    Connection(Box<ConnectionEntry>),
    /// `include "FILE"`.
    Include {
        /// The file, as typed.
        path: Piece,
    },
}

/// One entry of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The line it begins on, counted from 1.
    pub line: usize,
    /// What it says.
    pub kind: EntryKind,
}

/// A sheet as typed: its good entries, and its faults.
#[derive(Debug, Clone, Default)]
pub struct SheetText {
    /// The file's name.
    pub name: String,
    /// The lines of the file, for messages.
    pub lines: Vec<String>,
    /// The entries that could be read, in order.
    pub entries: Vec<Entry>,
    /// What could not be read.
    pub faults: Vec<Diagnostic>,
}

impl SheetText {
    /// Turns a fault of a piece's text into one with file, line and column.
    #[must_use]
    pub fn place(&self, fault: Diagnostic, piece: &Piece) -> Diagnostic {
        place(&self.name, &self.lines, fault, piece)
    }
}

/// Turns a fault of a piece's text into one with file, line and column.
/// `lines` are the lines of the file.
#[must_use]
pub fn place(file: &str, lines: &[String], fault: Diagnostic, piece: &Piece) -> Diagnostic {
    let whole = lines.get(piece.line.wrapping_sub(1));
    match whole {
        Some(whole) if !piece.joined => fault.within(whole, piece.column),
        _ => fault,
    }
    .in_file(Some(file), piece.line)
}

/// A line of the file, or several that belong together.
struct Logical {
    piece: Piece,
    keyword: Option<(Keyword, usize)>,
}

/// Reads a sheet. Never fails as a whole: what can't be read is in the list
/// of faults. Time and memory are linear in the size of the file.
#[must_use]
pub fn read_sheet(name: &str, bytes: &[u8]) -> SheetText {
    let mut reader = Reader {
        sheet: SheetText {
            name: name.to_owned(),
            ..SheetText::default()
        },
        open: Open::Nothing,
        stopped: false,
    };
    reader.read(bytes);
    reader.sheet
}

/// What detail lines belong to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Open {
    /// Nothing has been read yet, or something that takes no details.
    Nothing,
    /// The last entry of the list.
    Last,
    /// An entry that could not be read: its details are passed over, since
    /// its fault has been reported.
    Faulty,
}

struct Reader {
    sheet: SheetText,
    open: Open,
    stopped: bool,
}

impl Reader {
    fn read(&mut self, bytes: &[u8]) {
        if bytes.len() > MAX_SHEET {
            self.file_fault(
                "this file is larger than 4 MB; a sheet can't be",
                Some("split it into several sheets and include them"),
            );
            return;
        }
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            self.file_fault(
                "this file is saved as UTF-16, which I can't read",
                Some("save it as plain text in UTF-8"),
            );
            return;
        }
        let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
        let logical = self.logical_lines(bytes);
        for line in logical {
            if self.stopped {
                break;
            }
            self.entry(line);
        }
    }

    fn file_fault(&mut self, message: &str, mend: Option<&str>) {
        let mut fault = Diagnostic::new(DiagnosticKind::Sheet, message, "", Span::new(0, 0))
            .in_file(Some(&self.sheet.name), 1);
        fault.mend = mend.map(str::to_owned);
        self.push(fault);
    }

    fn push(&mut self, fault: Diagnostic) {
        if self.sheet.faults.len() < MAX_FAULTS {
            self.sheet.faults.push(fault);
        } else if !self.stopped {
            self.stopped = true;
            let line = fault.place.map_or(1, |place| place.line);
            self.sheet.faults.push(
                Diagnostic::new(
                    DiagnosticKind::Sheet,
                    format!("more than {MAX_FAULTS} faults; I stopped reading here"),
                    "",
                    Span::new(0, 0),
                )
                .in_file(Some(&self.sheet.name), line),
            );
        }
    }

    fn fault_at(&mut self, piece: &Piece, span: Span, message: String, mend: Option<String>) {
        let mut fault = Diagnostic::new(DiagnosticKind::Sheet, message, &piece.text, span);
        fault.mend = mend;
        let fault = self.sheet.place(fault, piece);
        self.push(fault);
    }

    /// Lines without comments, with continued ones joined.
    fn logical_lines(&mut self, bytes: &[u8]) -> Vec<Logical> {
        let mut logical: Vec<Logical> = Vec::new();
        for (index, raw) in bytes.split(|byte| *byte == b'\n').enumerate() {
            let number = index + 1;
            let raw = raw.strip_suffix(b"\r").unwrap_or(raw);
            let (text, valid) = match std::str::from_utf8(raw) {
                Ok(text) => (text.to_owned(), None),
                Err(error) => (
                    String::from_utf8_lossy(raw).into_owned(),
                    Some(error.valid_up_to()),
                ),
            };
            let whole = Piece {
                text,
                line: number,
                column: 0,
                joined: false,
            };
            self.sheet.lines.push(whole.text.clone());
            if self.stopped {
                break;
            }
            if let Some(at) = valid {
                self.fault_at(
                    &whole,
                    Span::new(at, at + '\u{FFFD}'.len_utf8()),
                    "this line holds bytes that are not UTF-8 text; I passed it over".to_owned(),
                    Some("save the file as plain text in UTF-8".to_owned()),
                );
                continue;
            }
            if let Some((at, bad)) = whole
                .text
                .char_indices()
                .find(|(_, next)| next.is_control() && *next != '\t')
            {
                self.fault_at(
                    &whole,
                    Span::new(at, at + bad.len_utf8()),
                    "this line holds a control character; I passed it over".to_owned(),
                    None,
                );
                continue;
            }
            // A line has at least as many bytes as characters.
            if whole.text.len() > MAX_LINE && whole.text.chars().count() > MAX_LINE {
                self.fault_at(
                    &whole,
                    Span::new(0, 1),
                    format!("this line has more than {MAX_LINE} characters; I passed it over"),
                    None,
                );
                continue;
            }
            let without_comment = &whole.text[..comment_start(&whole.text)];
            let trimmed = without_comment.trim();
            if trimmed.is_empty() {
                continue;
            }
            let column = without_comment.len() - without_comment.trim_start().len();
            let piece = Piece {
                text: trimmed.to_owned(),
                line: number,
                column,
                joined: false,
            };
            let keyword = keyword_of(trimmed);
            match logical.last_mut() {
                Some(above) if column > 0 && keyword.is_none() && above.joins(&piece.text) => {
                    above.join(&piece.text);
                }
                _ => logical.push(Logical { piece, keyword }),
            }
        }
        logical
    }

    fn entry(&mut self, line: Logical) {
        let Some((keyword, behind)) = line.keyword else {
            self.bare(line.piece);
            return;
        };
        let piece = line.piece.part(Span::new(behind, line.piece.text.len()));
        if piece.text.is_empty() {
            self.refuse(
                keyword,
                &line.piece,
                Span::new(line.piece.text.len(), line.piece.text.len()),
                format!("`{}` needs more after it", keyword.word()),
            );
            return;
        }
        if keyword.is_detail() {
            self.detail(keyword, &line.piece, piece);
            return;
        }
        match read_entry(keyword, &piece) {
            Ok(kind) => self.accept(line.piece.line, kind),
            Err(at) => {
                let (at, message) = why_not(keyword, &piece.text, at);
                self.refuse(keyword, &piece, Span::new(at, at), message);
            }
        }
    }

    fn accept(&mut self, line: usize, kind: EntryKind) {
        self.open = Open::Last;
        self.sheet.entries.push(Entry { line, kind });
    }

    fn refuse(&mut self, keyword: Keyword, piece: &Piece, span: Span, message: String) {
        if !keyword.is_detail() {
            self.open = Open::Faulty;
        }
        let mend = format!("such a line looks like this:  {}", keyword.usage());
        self.fault_at(piece, span, message, Some(mend));
    }

    /// A line without a keyword: a formula, or a slip.
    fn bare(&mut self, piece: Piece) {
        let word_end = piece
            .text
            .find(|next: char| !next.is_alphabetic())
            .unwrap_or(piece.text.len());
        let word = &piece.text[..word_end];
        let equals = piece.text.find('=');
        let colon = piece.text.find(':');
        let colon_first = match (colon, equals) {
            (Some(colon), Some(equals)) => colon < equals,
            (Some(_), None) => true,
            _ => false,
        };
        if equals.is_none() || colon_first {
            let near = (word.chars().count() >= 3)
                .then(|| nearest(&word.to_lowercase(), KEYWORDS.iter().map(|entry| entry.0)))
                .flatten();
            if let Some((keyword, _)) = near {
                let (message, mend) = (
                    format!("`{word}` is not a word that begins a line"),
                    Some(format!("did you mean `{keyword}`?")),
                );
                self.open = Open::Faulty;
                self.fault_at(&piece, Span::new(0, word_end), message, mend);
                return;
            }
        }
        if equals.is_none() {
            self.open = Open::Faulty;
            let end = piece.text.len();
            self.fault_at(
                &piece,
                Span::new(0, end),
                "this is neither a formula (it has no equals sign) nor a line that begins with a \
                 word I know"
                    .to_owned(),
                Some("put # in front of a remark".to_owned()),
            );
            return;
        }
        match read_entry(Keyword::Formula, &piece) {
            Ok(kind) => self.accept(piece.line, kind),
            Err(at) => self.refuse(
                Keyword::Formula,
                &piece,
                Span::new(at, at),
                "this formula can't be read from here on".to_owned(),
            ),
        }
    }

    /// `when`, `given`, `let`, `show`, `route`, `mark`.
    fn detail(&mut self, keyword: Keyword, whole: &Piece, piece: Piece) {
        if self.open == Open::Faulty {
            return;
        }
        let last = match self.open {
            Open::Last => self.sheet.entries.last_mut().map(|entry| &mut entry.kind),
            _ => None,
        };
        match (keyword, last) {
            (Keyword::When, Some(EntryKind::Formula { condition, .. })) => {
                extend(condition, piece);
            }
            (Keyword::When, Some(EntryKind::Proof(proof))) => extend(&mut proof.condition, piece),
            (Keyword::When, Some(EntryKind::Connection(own))) => extend(&mut own.condition, piece),
            (Keyword::Show, Some(EntryKind::Connection(own))) => own.goals.push(piece),
            (Keyword::Given, Some(EntryKind::Connection(own))) => match read_part(&piece) {
                Ok(part) => own.parts.push(part),
                Err(_) => {
                    let message = "this line does not say from which formula it comes".to_owned();
                    let mend = "such a line looks like this:  given F = m a from forces/second-law";
                    let span = Span::new(0, piece.text.len());
                    self.fault_at(&piece, span, message, Some(mend.to_owned()));
                }
            },
            (Keyword::Given, Some(EntryKind::Proof(proof))) => {
                proof.given.extend(steps(&piece));
            }
            (Keyword::Let, Some(EntryKind::Proof(proof))) => proof.helpers.extend(steps(&piece)),
            (Keyword::Show, Some(EntryKind::Proof(proof))) => proof.goals.push(piece),
            (Keyword::Route, Some(EntryKind::Proof(proof))) => proof.route.extend(steps(&piece)),
            (Keyword::Mark, Some(EntryKind::Proof(proof))) => match read_mark(&piece) {
                Ok(mark) => proof.marks.push(mark),
                Err(at) => {
                    let (at, message) = why_not(keyword, &piece.text, at);
                    self.refuse(keyword, &piece, Span::new(at, at), message);
                }
            },
            (Keyword::Needs, Some(EntryKind::Definition { details, .. })) => {
                match read_needs(&piece) {
                    Ok(words) => match details.others.last_mut() {
                        Some((_, needs)) => needs.push(words),
                        None => details.needs.push(words),
                    },
                    Err(at) => {
                        let message = "this `needs` line can't be read from here on".to_owned();
                        self.refuse(keyword, &piece, Span::new(at, at), message);
                    }
                }
            }
            (Keyword::Not, Some(EntryKind::Definition { details, .. })) => match read_not(&piece) {
                Ok(words) => details.never.extend(words),
                Err(at) => {
                    let message = "this `not` line can't be read from here on".to_owned();
                    self.refuse(keyword, &piece, Span::new(at, at), message);
                }
            },
            (Keyword::Or, Some(EntryKind::Definition { details, .. })) => {
                details.others.push((piece, Vec::new()));
            }
            (Keyword::Read, Some(EntryKind::Definition { details, .. })) => {
                match read_said(&piece) {
                    Ok(reading) => details.readings.push(reading),
                    Err(at) => {
                        let message = "this `read` line can't be read from here on".to_owned();
                        self.refuse(keyword, &piece, Span::new(at, at), message);
                    }
                }
            }
            (Keyword::Needs | Keyword::Not | Keyword::Or | Keyword::Read, _) => {
                let word = keyword.word();
                let message = format!("`{word}` belongs under a definition");
                self.fault_at(whole, Span::new(0, word.len()), message, None);
            }
            _ => {
                let word = keyword.word();
                let message = if keyword == Keyword::When {
                    "`when` belongs under a formula or a proof".to_owned()
                } else {
                    format!("`{word}` belongs under a proof")
                };
                let span = Span::new(0, word.len());
                self.fault_at(whole, span, message, None);
            }
        }
    }
}

/// Byte at which a comment begins, or the length. A `#` inside a word is not
/// a comment.
fn comment_start(text: &str) -> usize {
    let mut before_is_space = true;
    for (at, next) in text.char_indices() {
        if next == '#' && before_is_space {
            return at;
        }
        before_is_space = next.is_whitespace();
    }
    text.len()
}

/// Where and why a line of a keyword can't be read: what is missing, if that
/// is plain, or the byte at which the grammar stopped.
fn why_not(keyword: Keyword, text: &str, stopped: usize) -> (usize, String) {
    let word = keyword.word();
    let missing = match keyword {
        Keyword::Define if !text.contains(':') => {
            Some((text.len(), "a colon between the term and what it means"))
        }
        Keyword::Notation if !text.contains("->") && !text.contains('→') => Some((
            text.find('=').unwrap_or(text.len()),
            "an arrow between the two letters",
        )),
        Keyword::Mark if !text.contains(char::is_whitespace) => {
            Some((text.len(), "a code and then what the mark is for"))
        }
        _ => None,
    };
    match missing {
        Some((at, what)) => (at, format!("this `{word}` line wants {what}")),
        None => (
            stopped,
            format!("this `{word}` line can't be read from here on"),
        ),
    }
}

const JOINING: [char; 12] = ['=', '+', '-', '−', '*', '/', '·', '×', '(', ',', ';', ':'];

impl Logical {
    /// Whether an indented line without a keyword belongs to this one.
    fn joins(&self, text: &str) -> bool {
        match self.keyword.map(|(keyword, _)| keyword) {
            Some(Keyword::Topic | Keyword::Include) => false,
            Some(Keyword::Formula) | None => {
                // A second equation below a whole one is a formula of its own.
                !self.is_whole(text) || !text.contains('=')
            }
            // None of these holds an equation, so the line is a formula below.
            Some(Keyword::Quantity | Keyword::Constant | Keyword::Notation) => !text.contains('='),
            Some(Keyword::Define) => {
                !text.contains('=') || text.contains(';') || self.piece.text.ends_with(';')
            }
            Some(_) => true,
        }
    }

    fn is_whole(&self, text: &str) -> bool {
        self.piece.text.contains('=')
            && !self.piece.text.ends_with(JOINING)
            && !text.starts_with(JOINING)
    }

    fn join(&mut self, text: &str) {
        let is_route = matches!(self.keyword, Some((Keyword::Route, _)));
        let separator = if is_route && text.contains('=') && self.is_whole(text) {
            " ; "
        } else {
            " "
        };
        // A joined line may not outgrow the limit either; the reader of maths
        // reports one that does.
        if self.piece.text.len() <= 4 * MAX_LINE {
            self.piece.text.push_str(separator);
            self.piece.text.push_str(text);
        }
        self.piece.joined = true;
    }
}

impl Piece {
    /// A part of it, trimmed.
    pub(super) fn part(&self, span: Span) -> Piece {
        let text = span.of(&self.text);
        let lead = text.len() - text.trim_start().len();
        Piece {
            text: text.trim().to_owned(),
            line: self.line,
            column: self.column + span.start + lead,
            joined: self.joined,
        }
    }
}

fn extend(condition: &mut Option<Piece>, piece: Piece) {
    match condition {
        Some(first) => {
            first.text.push_str(" and ");
            first.text.push_str(&piece.text);
            first.joined = true;
        }
        None => *condition = Some(piece),
    }
}

/// The parts between semicolons.
fn steps(piece: &Piece) -> Vec<Piece> {
    let mut found = Vec::new();
    let mut start = 0;
    for end in piece
        .text
        .match_indices(';')
        .map(|(at, _)| at)
        .chain([piece.text.len()])
    {
        let step = piece.part(Span::new(start, end));
        if !step.text.is_empty() {
            found.push(step);
        }
        start = end + 1;
    }
    found
}

#[cfg(test)]
#[path = "sheet_tests.rs"]
mod tests;
