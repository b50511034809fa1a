//! Naming the slip behind a wrong answer.
//!
//! The worked path is left at each step by a misapplied rule (a mal-rule) and
//! carried on correctly to the end. An answer that has the same values as one
//! of those ends gets the slip's name; nothing is said where none fits.

mod candidate;
mod explain;
mod finder;
mod fingerprint;
mod forms;
mod functions;
mod kind;
mod letters;
mod malrules;
mod missteps;
mod pairs;
mod powers;
mod products;
mod rewriting;
mod rough;
mod route;
mod sums;
#[cfg(test)]
mod tests;
mod view;
mod wrong_lines;

pub use explain::{explain, explain_line};
pub use finder::Slips;
pub use kind::SlipKind;

use crate::algebra::expr::Expr;

use super::step::Operation;

/// One slip: what went wrong, where, and into what. `show` makes words of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// The name.
    pub kind: SlipKind,
    /// The piece as it should be.
    pub right: Expr,
    /// What it became.
    pub wrong: Expr,
    /// The step that went wrong, if it was one.
    pub operation: Option<Operation>,
    /// The step that should have come first, where the order was wrong.
    pub other_operation: Option<Operation>,
}

impl Slip {
    pub(super) fn new(kind: SlipKind, right: Expr, wrong: Expr) -> Self {
        Slip {
            kind,
            right,
            wrong,
            operation: None,
            other_operation: None,
        }
    }
}

/// What explains a wrong answer: one slip, or two at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The slips, in the order in which they were made.
    pub slips: Vec<Slip>,
}

impl Explanation {
    pub(super) fn one(slip: Slip) -> Self {
        Explanation { slips: vec![slip] }
    }
}
