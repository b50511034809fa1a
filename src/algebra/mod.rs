//! Exact algebra and certified numbers.
//!
//! This room knows nothing of text, physics, files or clocks; it prints
//! nothing. Everything that it decides is decided here from numbers, symbols
//! and trees.

pub mod ball;
pub mod calculus;
pub mod certified;
pub mod divisor;
pub mod exact;
pub mod exponent;
pub mod expr;
pub mod functions;
pub mod kernel;
pub mod limits;
pub mod normal;
pub mod normalise;
pub mod number;
pub mod polynomial;
pub mod powers;
pub mod precise;
pub mod sample;
pub mod symbol;
pub mod tree;
