//! Formula sheets: from the bytes of a file to typed entries with their
//! places, and a list of faults. A fault in one entry leaves the others.
//!
//! This is the sheet as typed. Maths in it stays text here; the formulary
//! gives it meaning. The grammar of an entry is `grammar/sheet.pest`; lines,
//! comments, continuations and keywords are found here.

use pest::Parser;
use pest::iterators::Pair;

use super::diagnostic::{Diagnostic, DiagnosticKind};
use super::span::Span;
use super::suggest::nearest;
use crate::algebra::limits::MAX_LINE;

mod grammar {
    // The derived enum of rules can't carry documentation.
    #![allow(missing_docs)]

    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/sheet.pest"]
    pub struct SheetGrammar;
}

use grammar::{Rule, SheetGrammar};

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
    },
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

/// What a line may begin with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Keyword {
    Topic,
    Quantity,
    Formula,
    Proof,
    Notation,
    Constant,
    Define,
    Include,
    When,
    Given,
    Let,
    Show,
    Route,
    Mark,
}

const KEYWORDS: [(&str, Keyword); 14] = [
    ("topic", Keyword::Topic),
    ("quantity", Keyword::Quantity),
    ("formula", Keyword::Formula),
    ("proof", Keyword::Proof),
    ("notation", Keyword::Notation),
    ("constant", Keyword::Constant),
    ("define", Keyword::Define),
    ("include", Keyword::Include),
    ("when", Keyword::When),
    ("given", Keyword::Given),
    ("let", Keyword::Let),
    ("show", Keyword::Show),
    ("route", Keyword::Route),
    ("mark", Keyword::Mark),
];

impl Keyword {
    fn word(self) -> &'static str {
        KEYWORDS
            .iter()
            .find(|(_, keyword)| *keyword == self)
            .map_or("", |(word, _)| word)
    }

    /// What a line with this keyword looks like.
    fn usage(self) -> &'static str {
        match self {
            Keyword::Topic => "topic waves: Waves and sound",
            Keyword::Quantity => "quantity v: speed, m s^-1",
            Keyword::Formula => "formula wave-speed: v = f λ",
            Keyword::Proof => "proof time-free: Show that the time can be eliminated.",
            Keyword::Notation => "notation other-letters: s -> x, E_k -> T",
            Keyword::Constant => "constant g = 9.81 m s^-2: acceleration of free fall",
            Keyword::Define => "define work: force times distance moved along it ; W = F s",
            Keyword::Include => "include \"waves.sheet\"",
            Keyword::When => "when the acceleration is constant",
            Keyword::Given => "given v = u + a t",
            Keyword::Let => "let k = 2 a",
            Keyword::Show => "show v^2 = u^2 + 2 a s",
            Keyword::Route => "route t = (v - u)/a ; 2 a s = v^2 - u^2",
            Keyword::Mark => "mark M1 when a line has no t",
        }
    }

    /// Whether it can only stand under a formula or a proof.
    fn is_detail(self) -> bool {
        matches!(
            self,
            Keyword::When
                | Keyword::Given
                | Keyword::Let
                | Keyword::Show
                | Keyword::Route
                | Keyword::Mark
        )
    }
}

/// The keyword that a line begins with and the byte behind it (and behind a
/// colon right after it).
fn keyword_of(text: &str) -> Option<(Keyword, usize)> {
    let end = text
        .find(|next: char| !next.is_ascii_alphabetic())
        .unwrap_or(text.len());
    let (_, keyword) = KEYWORDS
        .iter()
        .find(|(word, _)| text[..end].eq_ignore_ascii_case(word))?;
    let rest = &text[end..];
    let trimmed = rest.trim_start();
    if !rest.is_empty() && rest.len() == trimmed.len() && !trimmed.starts_with([':', '"', '“']) {
        // `given_1 = 3`: a symbol, not a keyword.
        return None;
    }
    let behind = trimmed
        .strip_prefix([':', ':'])
        .map_or(trimmed, str::trim_start);
    Some((*keyword, text.len() - behind.len()))
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
        let rule = match keyword {
            Keyword::Topic => Rule::topic,
            Keyword::Quantity => Rule::quantity,
            Keyword::Proof => Rule::proof,
            Keyword::Notation => Rule::notation,
            Keyword::Constant => Rule::constant,
            Keyword::Define => Rule::define,
            Keyword::Include => Rule::include,
            _ => Rule::formula,
        };
        match parse(rule, &piece) {
            Ok(parts) => {
                let kind = build(keyword, &parts);
                self.accept(line.piece.line, kind);
            }
            Err(at) => {
                let message = format!("this `{}` line can't be read from here on", keyword.word());
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
        match parse(Rule::formula, &piece) {
            Ok(parts) => {
                let kind = build(Keyword::Formula, &parts);
                self.accept(piece.line, kind);
            }
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
            (Keyword::Given, Some(EntryKind::Proof(proof))) => {
                proof.given.extend(steps(&piece));
            }
            (Keyword::Let, Some(EntryKind::Proof(proof))) => proof.helpers.extend(steps(&piece)),
            (Keyword::Show, Some(EntryKind::Proof(proof))) => proof.goals.push(piece),
            (Keyword::Route, Some(EntryKind::Proof(proof))) => proof.route.extend(steps(&piece)),
            (Keyword::Mark, Some(EntryKind::Proof(proof))) => match parse(Rule::mark, &piece) {
                Ok(parts) => proof.marks.push(MarkLine {
                    code: parts.needed(Rule::mark_code),
                    condition: parts.needed(Rule::rest),
                }),
                Err(at) => {
                    let message = "this `mark` line can't be read from here on".to_owned();
                    self.refuse(keyword, &piece, Span::new(at, at), message);
                }
            },
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
    fn part(&self, span: Span) -> Piece {
        let text = span.of(&self.text);
        let lead = text.len() - text.trim_start().len();
        Piece {
            text: text.trim().to_owned(),
            line: self.line,
            column: self.column + span.start + lead,
            joined: self.joined,
        }
    }

    fn pair(&self, pair: &Pair<'_, Rule>) -> Piece {
        let span = pair.as_span();
        self.part(Span::new(span.start(), span.end()))
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

/// The pairs inside a rule, or the byte at which it can't be read.
fn parse(rule: Rule, piece: &Piece) -> Result<Parts<'_>, usize> {
    match SheetGrammar::parse(rule, &piece.text) {
        Ok(pairs) => Ok(Parts {
            piece,
            pairs: pairs.flat_map(Pair::into_inner).collect(),
        }),
        Err(error) => Err(match error.location {
            pest::error::InputLocation::Pos(at) => at,
            pest::error::InputLocation::Span((at, _)) => at,
        }),
    }
}

/// What a rule matched, part by part.
struct Parts<'a> {
    piece: &'a Piece,
    pairs: Vec<Pair<'a, Rule>>,
}

impl Parts<'_> {
    fn first(&self, rule: Rule) -> Option<Piece> {
        self.pairs
            .iter()
            .find(|pair| pair.as_rule() == rule)
            .map(|pair| self.piece.pair(pair))
    }

    /// A part that the rule can't match without.
    fn needed(&self, rule: Rule) -> Piece {
        self.first(rule)
            .unwrap_or_else(|| self.piece.part(Span::new(0, 0)))
    }

    fn all(&self, rule: Rule) -> Vec<Piece> {
        self.pairs
            .iter()
            .filter(|pair| pair.as_rule() == rule)
            .map(|pair| self.piece.pair(pair))
            .collect()
    }

    fn inner(&self, rule: Rule) -> Vec<Parts<'_>> {
        self.pairs
            .iter()
            .filter(|pair| pair.as_rule() == rule)
            .map(|pair| Parts {
                piece: self.piece,
                pairs: pair.clone().into_inner().collect(),
            })
            .collect()
    }

    fn aliases(&self) -> Vec<Piece> {
        self.inner(Rule::aliases)
            .iter()
            .flat_map(|aliases| aliases.all(Rule::symbol))
            .collect()
    }

    fn number(&self) -> WrittenNumber {
        let mut digits = String::new();
        let mut exponent = 0;
        let mut times_pi = false;
        if let Some(value) = self.inner(Rule::value).first() {
            for pair in &value.pairs {
                match pair.as_rule() {
                    Rule::sign if pair.as_str() != "+" => digits.push('-'),
                    Rule::digits => {
                        digits.extend(pair.as_str().chars().filter(char::is_ascii_digit))
                    }
                    Rule::point => digits.push('.'),
                    Rule::pi => times_pi = true,
                    Rule::exponent | Rule::times_ten => {
                        let power = pair.clone().into_inner().next();
                        exponent = power.map_or(0, |power| power_of_ten(power.as_str()));
                    }
                    _ => {}
                }
            }
        }
        WrittenNumber {
            text: self.needed(Rule::value),
            digits,
            exponent,
            times_pi,
        }
    }
}

/// `-34`, `−34` or `⁻³⁴`.
fn power_of_ten(text: &str) -> i64 {
    let plain: String = text
        .chars()
        .filter_map(|next| {
            Some(match next {
                '−' | '⁻' => '-',
                '+' | '⁺' => return None,
                '⁰' => '0',
                '¹' => '1',
                '²' => '2',
                '³' => '3',
                '⁴'..='⁹' => char::from_digit(u32::from(next) - 0x2070, 10)?,
                other => other,
            })
        })
        .collect();
    plain.parse().unwrap_or(0)
}

fn build(keyword: Keyword, parts: &Parts<'_>) -> EntryKind {
    match keyword {
        Keyword::Topic => EntryKind::Topic {
            key: parts.needed(Rule::topic_key),
            title: parts.first(Rule::rest),
        },
        Keyword::Quantity => EntryKind::Quantity {
            symbol: parts.needed(Rule::symbol),
            aliases: parts.aliases(),
            details: parts.all(Rule::detail),
        },
        Keyword::Proof => EntryKind::Proof(Box::new(ProofEntry {
            name: parts.needed(Rule::term),
            statement: parts.first(Rule::rest),
            condition: None,
            given: Vec::new(),
            helpers: Vec::new(),
            goals: Vec::new(),
            route: Vec::new(),
            marks: Vec::new(),
        })),
        Keyword::Notation => EntryKind::Notation {
            name: parts.first(Rule::notation_name),
            changes: parts
                .inner(Rule::change)
                .iter()
                .filter_map(|change| {
                    let mut symbols = change.all(Rule::symbol).into_iter();
                    Some((symbols.next()?, symbols.next()?))
                })
                .collect(),
        },
        Keyword::Constant => EntryKind::Constant {
            symbol: parts.needed(Rule::symbol),
            aliases: parts.aliases(),
            value: parts.number(),
            unit: parts.first(Rule::unit),
            name: parts.first(Rule::rest),
        },
        Keyword::Define => EntryKind::Definition {
            term: parts.needed(Rule::term),
            sentence: parts.needed(Rule::sentence),
            equation: parts.first(Rule::rest),
        },
        Keyword::Include => EntryKind::Include {
            path: parts
                .first(Rule::quoted)
                .unwrap_or_else(|| parts.needed(Rule::rest)),
        },
        _ => EntryKind::Formula {
            name: parts.first(Rule::formula_name),
            maths: parts.needed(Rule::maths),
            condition: parts.first(Rule::rest),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Entries in short, one a line, then faults as `LINE:COLUMN message`.
    fn outline(bytes: &[u8]) -> String {
        let sheet = read_sheet("t.sheet", bytes);
        let mut lines: Vec<String> = sheet
            .entries
            .iter()
            .map(|entry| format!("{} {}", entry.line, short(&entry.kind)))
            .collect();
        lines.extend(sheet.faults.iter().map(|fault| {
            let place = fault
                .place
                .as_ref()
                .map_or((0, 0), |place| (place.line, place.column));
            format!("{}:{} {}", place.0, place.1, fault.message)
        }));
        lines.join("\n")
    }

    fn join(pieces: &[Piece]) -> String {
        pieces
            .iter()
            .map(|piece| piece.text.as_str())
            .collect::<Vec<_>>()
            .join("|")
    }

    fn short(kind: &EntryKind) -> String {
        let text = |piece: &Option<Piece>| {
            piece
                .as_ref()
                .map_or("-".into(), |piece| piece.text.clone())
        };
        match kind {
            EntryKind::Topic { key, title } => format!("topic {} {}", key.text, text(title)),
            EntryKind::Quantity {
                symbol,
                aliases,
                details,
            } => {
                format!(
                    "quantity {} [{}] {}",
                    symbol.text,
                    join(aliases),
                    join(details)
                )
            }
            EntryKind::Formula {
                name,
                maths,
                condition,
            } => {
                format!(
                    "formula {} <{}> {}",
                    text(name),
                    maths.text,
                    text(condition)
                )
            }
            EntryKind::Proof(proof) => format!(
                "proof {} {} given {} let {} show {} route {} mark {}",
                proof.name.text,
                text(&proof.statement),
                join(&proof.given),
                join(&proof.helpers),
                join(&proof.goals),
                join(&proof.route),
                proof
                    .marks
                    .iter()
                    .map(|mark| format!("{}={}", mark.code.text, mark.condition.text))
                    .collect::<Vec<_>>()
                    .join("|"),
            ),
            EntryKind::Notation { name, changes } => format!(
                "notation {} {}",
                text(name),
                changes
                    .iter()
                    .map(|(from, to)| format!("{}>{}", from.text, to.text))
                    .collect::<Vec<_>>()
                    .join("|")
            ),
            EntryKind::Constant {
                symbol,
                value,
                unit,
                name,
                ..
            } => format!(
                "constant {} {}e{}{} {} {}",
                symbol.text,
                value.digits,
                value.exponent,
                if value.times_pi { "pi" } else { "" },
                text(unit),
                text(name)
            ),
            EntryKind::Definition {
                term,
                sentence,
                equation,
            } => {
                format!("define {} {} {}", term.text, sentence.text, text(equation))
            }
            EntryKind::Include { path } => format!("include {}", path.text),
        }
    }

    fn check(text: &str, expected: &str) {
        assert_eq!(outline(text.as_bytes()), expected, "{text}");
    }

    #[test]
    fn each_kind_of_entry() {
        check(
            "topic Waves\nv = f λ\n",
            "1 topic Waves -\n2 formula - <v = f λ> -",
        );
        check("topic motion: In a line", "1 topic motion In a line");
        check(
            "quantity E_k (Ek, KE): kinetic energy, J, positive",
            "1 quantity E_k [Ek|KE] kinetic energy|J|positive",
        );
        check("quantity n: turns", "1 quantity n [] turns");
        check("quantity delta v: change", "1 quantity delta v [] change");
        check(
            "formula velocity-time: v = u + a t\n  when the acceleration is constant",
            "1 formula velocity-time <v = u + a t> the acceleration is constant",
        );
        check("formula v = u + a t", "1 formula - <v = u + a t> -");
        check(
            "formula: v = u + a t, when a is constant",
            "1 formula - <v = u + a t> a is constant",
        );
        check(
            "proof p: Show it.\n given v = u + a t\n given s = t\n let k = 2 a\n show v = s\n route t = 1 ; a = 2\n mark M1 when done\n",
            "1 proof p Show it. given v = u + a t|s = t let k = 2 a show v = s route t = 1|a = 2 mark M1=done",
        );
        check("notation b: s -> x, E_k → T", "1 notation b s>x|E_k>T");
        check("notation s->x", "1 notation - s>x");
        check(
            "define C: charge per volt ; C = Q/V",
            "1 define C charge per volt C = Q/V",
        );
        check("define C: charge per volt", "1 define C charge per volt -");
        check("include \"a b.sheet\"", "1 include a b.sheet");
        check("include a.sheet", "1 include a.sheet");
    }

    #[test]
    fn numbers_of_constants() {
        for (line, expected) in [
            ("g = 9.81 m s^-2: free fall", "g 9.81e0 m s^-2 free fall"),
            ("h = 6.63e-34 J s", "h 6.63e-34 J s -"),
            ("h = 6.63 × 10^-34 J s", "h 6.63e-34 J s -"),
            ("h = 6.63×10⁻³⁴ J s", "h 6.63e-34 J s -"),
            ("h = 6.63*10^(-34) J s", "h 6.63e-34 J s -"),
            ("c = 299 792 458 m/s", "c 299792458e0 m/s -"),
            ("q = -1.6E-19 C", "q -1.6e-19 C -"),
            ("m = 4π×10^-7 H/m", "m 4e-7pi H/m -"),
            ("E = 5 eV: a level", "E 5e0 eV a level"),
            ("n = 3", "n 3e0 - -"),
        ] {
            check(
                &format!("constant {line}"),
                &format!("1 constant {expected}"),
            );
        }
    }

    #[test]
    fn odd_but_sound_writing() {
        check(
            "\u{FEFF}topic Waves\r\nv = f λ\r\n",
            "1 topic Waves -\n2 formula - <v = f λ> -",
        );
        check(
            "TOPIC Waves\n\tv = f λ   # a remark\n# another\n   \n",
            "1 topic Waves -\n2 formula - <v = f λ> -",
        );
        check(
            "  v = f λ\n  E = h f",
            "1 formula - <v = f λ> -\n2 formula - <E = h f> -",
        );
        check("s = u t\n  + a t^2/2", "1 formula - <s = u t + a t^2/2> -");
        check(
            "formula long:\n  v = u + a t",
            "1 formula long <v = u + a t> -",
        );
        check(
            "proof p: Show\n  that it holds.\n  show a = b\n  route a = c\n    c = b\n    = d",
            "1 proof p Show that it holds. given  let  show a = b route a = c|c = b = d mark ",
        );
        check("given_1 = 3 x", "1 formula - <given_1 = 3 x> -");
        check("", "");
        check(
            "formula a: b = c\nwhen d\nwhen e",
            "1 formula a <b = c> d and e",
        );
    }

    #[test]
    fn faults_leave_the_rest() {
        check(
            "quantiy v: speed, m/s\nv = f λ",
            "2 formula - <v = f λ> -\n1:1 `quantiy` is not a word that begins a line",
        );
        check(
            "quantity v = speed",
            "1:12 this `quantity` line can't be read from here on",
        );
        check("  quantity", "1:11 `quantity` needs more after it");
        check(
            "hello there",
            "1:1 this is neither a formula (it has no equals sign) nor a line that begins with a word I know",
        );
        check("given a = b", "1:1 `given` belongs under a proof");
        check(
            "proof p\n show a = b\nformla: a = b\n when c",
            "1 proof p - given  let  show a = b route  mark \n3:1 `formla` is not a word that begins a line",
        );
        check(
            "topic\n when c\nv = f λ",
            "3 formula - <v = f λ> -\n1:6 `topic` needs more after it",
        );
        check(
            "constant g = fast",
            "1:14 this `constant` line can't be read from here on",
        );
        check(
            "a\u{0} = b\nc = d",
            "2 formula - <c = d> -\n1:2 this line holds a control character; I passed it over",
        );
        assert_eq!(
            outline(b"a = \xFF\nc = d"),
            "2 formula - <c = d> -\n1:5 this line holds bytes that are not UTF-8 text; I passed it over"
        );
        assert_eq!(
            outline(b"\xFF\xFEa\0"),
            "1:1 this file is saved as UTF-16, which I can't read"
        );
    }

    #[test]
    fn limits_at_and_one_past() {
        let fits = format!("a = {}", "b".repeat(MAX_LINE - 4));
        assert!(read_sheet("", fits.as_bytes()).faults.is_empty());
        assert_eq!(
            read_sheet("", format!("{fits}b").as_bytes()).faults.len(),
            1
        );
        let mut bytes = vec![b'\n'; MAX_SHEET];
        assert!(read_sheet("", &bytes).faults.is_empty());
        bytes.push(b'\n');
        assert_eq!(read_sheet("", &bytes).faults.len(), 1);
        let junk = "junk\n".repeat(MAX_FAULTS + 2);
        let sheet = read_sheet("", junk.as_bytes());
        assert_eq!(sheet.faults.len(), MAX_FAULTS + 1);
        let many = "junk\n".repeat(MAX_FAULTS);
        assert_eq!(read_sheet("", many.as_bytes()).faults.len(), MAX_FAULTS);
    }
}
