//! Physics: dimensions, units, and the formula sheets as a model.
//!
//! Knows the rooms `algebra` and `text`; knows nothing of files, of verdicts
//! or of how anything is shown. A unit never changes a verdict about algebra.

pub mod dimension;
pub mod unit;
