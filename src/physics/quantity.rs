//! Quantities: what a symbol of a topic stands for.

use super::unit::Unit;
use crate::algebra::symbol::{Domain, Symbol};
use crate::text::sheet::Piece;

/// Where in the sheets something was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Origin {
    /// The file: an index into the formulary's sources.
    pub file: usize,
    /// The text, with its line and column.
    pub piece: Piece,
}

impl Origin {
    /// The line, counted from 1.
    #[must_use]
    pub fn line(&self) -> usize {
        self.piece.line
    }
}

/// A declared quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// Its symbol in the topic's vocabulary.
    pub symbol: Symbol,
    /// What it is: `initial velocity`.
    pub name: String,
    /// Other ways to type the symbol.
    pub aliases: Vec<String>,
    /// Its unit; `None` if the sheet says nothing, or nothing that is a unit.
    pub unit: Option<Unit>,
    /// The values it may take.
    pub domain: Domain,
    /// Where it was declared.
    pub origin: Origin,
}

/// A constant with a value.
#[derive(Debug, Clone, PartialEq)]
pub struct PhysicalConstant {
    /// Its symbol in the topic's vocabulary.
    pub symbol: Symbol,
    /// What it is, if the sheet says so.
    pub name: Option<String>,
    /// Its value in the unit that the sheet writes. Rounded to a double; the
    /// text is kept in `origin`.
    pub value: f64,
    /// How many significant figures are written; `None` with a factor pi.
    pub figures: Option<u32>,
    /// Its unit; `None` if the sheet says nothing, or nothing that is a unit.
    pub unit: Option<Unit>,
    /// Where it was declared: the number.
    pub origin: Origin,
}
