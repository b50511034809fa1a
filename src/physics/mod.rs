//! Physics: dimensions, units, and the formula sheets as a model.
//!
//! Knows the rooms `algebra` and `text`; knows nothing of files, of verdicts
//! or of how anything is shown. A unit never changes a verdict about algebra.

mod ambiguity;
pub mod balance;
mod choosing;
pub mod connection;
pub mod constant;
mod declaring;
pub mod dimension;
pub mod fault;
pub mod formulary;
mod gather;
mod laws;
mod lettering;
mod loading;
pub mod marking;
pub mod proofread;
pub mod quantity;
mod run_on;
mod sameness;
pub mod search;
pub mod unit;

#[cfg(test)]
mod tests;
