//! What is wrong with a text, and where: the one caret printer.

use std::fmt::{self, Write as _};

use unicode_width::UnicodeWidthChar;

use super::escape::is_hidden;
use super::span::Span;

/// What kind of fault a diagnostic reports.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DiagnosticKind {
    /// There is nothing to read.
    Empty,
    /// The line holds more characters than `algebra::limits::MAX_LINE`.
    TooLong,
    /// The nesting is deeper than `algebra::limits::MAX_DEPTH`.
    TooDeep,
    /// A number needs more than `algebra::limits::MAX_BITS` bits.
    NumberTooLarge,
    /// A number that is not one, such as `1.2.3`.
    BadNumber,
    /// A comma inside a number.
    DecimalComma,
    /// A character that means nothing here.
    UnknownCharacter,
    /// A word that says nothing in a line of maths.
    Word,
    /// A letter or name that is not declared.
    UnknownSymbol,
    /// A closing bracket without an opening one.
    StrayBracket,
    /// An opening bracket that is never closed.
    OpenBracket,
    /// A bracket closed by one of another shape.
    MismatchedBracket,
    /// Something is missing after (or before) an operator.
    MissingOperand,
    /// A function without anything to act on.
    MissingArgument,
    /// Two numbers, or a number behind a letter, without an operator between.
    MissingOperator,
    /// A side of an equals sign is empty.
    EmptySide,
    /// An equation where one expression was asked for, or the other way round.
    WrongNumberOfSides,
    /// A way of writing that has no agreed meaning, such as `ln^-1 x`.
    NoMeaning,
    /// A fault of a file rather than of a line of maths; the message says it.
    Sheet,
}

/// A stretch of the source with a remark of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What is to be said there; may be empty.
    pub note: String,
}

/// Where the source of a diagnostic stands in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file's name, if it has one.
    pub file: Option<String>,
    /// The line, counted from 1.
    pub line: usize,
    /// The column of the first span in characters, counted from 1.
    pub column: usize,
}

/// A fault: kind, message in plain words, where it is, the likely mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// The kind of fault.
    pub kind: DiagnosticKind,
    /// One sentence in plain words.
    pub message: String,
    /// The places that it is about, the main one first.
    pub labels: Vec<Label>,
    /// The text that the spans belong to: one line of it is shown.
    pub source: String,
    /// What would most likely put it right.
    pub mend: Option<String>,
    /// Where the source stands in a file.
    pub place: Option<Box<Place>>,
}

impl Diagnostic {
    /// A fault at one span of `source`.
    #[must_use]
    pub fn new(kind: DiagnosticKind, message: impl Into<String>, source: &str, span: Span) -> Self {
        Diagnostic {
            kind,
            message: message.into(),
            labels: vec![Label {
                span,
                note: String::new(),
            }],
            source: source.to_owned(),
            mend: None,
            place: None,
        }
    }

    /// The same with a likely mend.
    #[must_use]
    pub fn with_mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }

    /// The same with a further span and a remark about it.
    #[must_use]
    pub fn with_label(mut self, span: Span, note: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            note: note.into(),
        });
        self
    }

    /// The same, seen as part of a longer text: `whole` is that text and
    /// `offset` the byte of it at which the present source begins.
    #[must_use]
    pub fn within(mut self, whole: &str, offset: usize) -> Self {
        for label in &mut self.labels {
            label.span = label.span.shifted(offset);
        }
        whole.clone_into(&mut self.source);
        self
    }

    /// The same with its place in a file; the column is found from the main
    /// span.
    #[must_use]
    pub fn in_file(mut self, file: Option<&str>, line: usize) -> Self {
        let column = self.span().map_or(1, |span| {
            self.source
                .get(..span.start)
                .map_or(1, |before| before.chars().count() + 1)
        });
        self.place = Some(Box::new(Place {
            file: file.map(str::to_owned),
            line,
            column,
        }));
        self
    }

    /// The main span.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        self.labels.first().map(|label| label.span)
    }

    /// The message, the line with carets under the main span, remarks on the
    /// other spans, and the mend. Without a line break at the end.
    #[must_use]
    pub fn render(&self) -> String {
        let mut out = String::new();
        if let Some(place) = &self.place {
            if let Some(file) = &place.file {
                let _ = write!(out, "{}:", super::escape::escape(file));
            }
            let _ = write!(out, "{}:{}: ", place.line, place.column);
        }
        out.push_str(&super::escape::escape(&self.message));
        for label in &self.labels {
            let Some(line) = self.line_of(label.span) else {
                continue;
            };
            if line.text.trim().is_empty() {
                continue;
            }
            let (shown, caret) = draw(line.text, line.span);
            let _ = write!(out, "\n  {shown}\n  {caret}");
            if !label.note.is_empty() {
                let _ = write!(out, " {}", super::escape::escape(&label.note));
            }
        }
        if let Some(mend) = &self.mend {
            let _ = write!(out, "\n{}", super::escape::escape(mend));
        }
        out
    }

    fn line_of(&self, span: Span) -> Option<Line<'_>> {
        let start = span.start.min(self.source.len());
        let before = self.source.get(..start)?;
        let from = before.rfind('\n').map_or(0, |at| at + 1);
        let rest = self.source.get(from..)?;
        let text = rest.split('\n').next().unwrap_or("");
        let text = text.strip_suffix('\r').unwrap_or(text);
        Some(Line {
            text,
            span: Span::new(
                start - from,
                span.end
                    .saturating_sub(from)
                    .clamp(start - from, text.len().max(start - from)),
            ),
        })
    }
}

struct Line<'a> {
    text: &'a str,
    span: Span,
}

/// Columns that a line with carets may take; a longer one is cut around them.
const WIDEST: usize = 96;
/// Where a tab goes on to.
const TAB: usize = 4;

/// The line as shown, and the line of carets below it.
fn draw(text: &str, span: Span) -> (String, String) {
    // Each character as shown, its byte and its width.
    let mut cells: Vec<(usize, String, usize)> = Vec::new();
    let mut column = 0;
    for (byte, character) in text.char_indices() {
        let (shown, width) = if character == '\t' {
            let width = TAB - column % TAB;
            (" ".repeat(width), width)
        } else if is_hidden(character) {
            let mut shown = String::new();
            super::escape::push_escaped(&mut shown, character);
            let width = shown.len();
            (shown, width)
        } else {
            (character.to_string(), character.width().unwrap_or(0))
        };
        column += width;
        cells.push((byte, shown, width));
    }
    let first = cells
        .iter()
        .position(|cell| cell.0 >= span.start)
        .unwrap_or(cells.len());
    let total: usize = column;
    let mut from = 0;
    let mut until = cells.len();
    if total > WIDEST {
        // A window that begins half its width before the first caret.
        let mut room = 0;
        from = first;
        while from > 0 && room + cells[from - 1].2 <= WIDEST / 2 {
            from -= 1;
            room += cells[from].2;
        }
        until = first;
        while until < cells.len() && room + cells[until].2 <= WIDEST {
            room += cells[until].2;
            until += 1;
        }
    }
    let mut shown = String::new();
    let mut caret = String::new();
    if from > 0 {
        shown.push('…');
        caret.push(' ');
    }
    let mut carets = 0;
    for (byte, piece, width) in &cells[from..until] {
        shown.push_str(piece);
        if *byte >= span.start && *byte < span.end {
            carets += width;
        } else if *byte < span.start {
            caret.push_str(&" ".repeat(*width));
        }
    }
    if until < cells.len() {
        shown.push('…');
    }
    caret.push_str(&"^".repeat(carets.max(1)));
    (shown, caret)
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render())
    }
}

impl std::error::Error for Diagnostic {}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(source: &str, start: usize, end: usize, expected: &str) {
        let diagnostic = Diagnostic::new(
            DiagnosticKind::UnknownSymbol,
            "message",
            source,
            Span::new(start, end),
        );
        assert_eq!(diagnostic.render(), format!("message\n{expected}"));
    }

    #[test]
    fn carets_stand_under_their_characters() {
        check("v = u", 4, 5, "  v = u\n      ^");
        check("\tv = u", 1, 2, "      v = u\n      ^");
        check("速度 = q", 9, 10, "  速度 = q\n         ^");
        check("a = \u{1b}[2Jb", 4, 5, "  a = \\u{1b}[2Jb\n      ^^^^^^");
        check("a =", 3, 3, "  a =\n     ^");
        check("one\ntwo x", 8, 9, "  two x\n      ^");
        check("速x", 0, 3, "  速x\n  ^^");
    }

    #[test]
    fn a_long_line_is_cut_around_the_caret() {
        let source = format!("{}q{}", "a+".repeat(400), "+b".repeat(400));
        let shown = Diagnostic::new(
            DiagnosticKind::UnknownSymbol,
            "message",
            &source,
            Span::new(800, 801),
        )
        .render();
        let lines: Vec<&str> = shown.lines().collect();
        assert!(lines[1].starts_with("  …") && lines[1].ends_with('…'));
        let column = lines[2].chars().count() - 1;
        assert_eq!(lines[1].chars().nth(column), Some('q'));
        assert!(lines[1].chars().count() < 105);
    }

    #[test]
    fn a_place_in_a_file() {
        let diagnostic = Diagnostic::new(
            DiagnosticKind::UnknownSymbol,
            "message",
            "x + y",
            Span::new(4, 5),
        )
        .within("formula x + y", 8)
        .in_file(Some("waves.sheet"), 7);
        assert_eq!(
            diagnostic.render(),
            "waves.sheet:7:13: message\n  formula x + y\n              ^"
        );
    }

    #[test]
    fn spans_that_do_not_fit_do_no_harm() {
        for (start, end) in [(0, 99), (99, 100), (1, 2), (2, 1)] {
            let _ = Diagnostic::new(DiagnosticKind::Empty, "", "é", Span::new(start, end)).render();
        }
    }
}
