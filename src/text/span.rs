//! Where in a text something stands.

/// A stretch of a text in bytes, from `start` up to but without `end`. Both
/// lie on character boundaries of the text that it was made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Span {
    /// The first byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

impl Span {
    /// From `start` up to but without `end`.
    #[must_use]
    pub fn new(start: usize, end: usize) -> Self {
        Span { start, end }
    }

    /// The stretch from the start of this one to the end of the other.
    #[must_use]
    pub fn to(self, other: Span) -> Self {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }

    /// The text that the span covers; empty if the span does not fit.
    #[must_use]
    pub fn of(self, source: &str) -> &str {
        source.get(self.start..self.end).unwrap_or("")
    }

    /// The same stretch of a text that begins `offset` bytes earlier.
    #[must_use]
    pub fn shifted(self, offset: usize) -> Self {
        Span::new(self.start + offset, self.end + offset)
    }
}
