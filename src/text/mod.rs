//! Reading: from typed text to trees.
//!
//! This room neither decides nor simplifies. What was typed is kept; a type of
//! the grammar's never leaves its file.

pub mod alternatives;
mod calculus;
mod calls;
mod climb;
mod cutter;
pub mod diagnostic;
pub mod escape;
pub mod functions;
pub mod greek;
mod letters;
mod maths;
mod names;
mod powers;
pub mod proof_file;
pub mod readings;
mod said;
pub mod sheet;
mod sheet_entry;
pub mod span;
mod styled;
pub mod suggest;
mod tokens;
mod units;
pub mod vocabulary;
pub mod words;
pub mod working;

pub use diagnostic::{Diagnostic, DiagnosticKind};
pub use readings::{
    Ambiguity, Reading, Readings, read, read_equation, read_expression, read_preferred,
};
pub use span::Span;
pub use vocabulary::{Undeclared, Vocabulary};

#[cfg(test)]
mod tests;
