//! Putting results into words and lines. Pure functions to a string: this room
//! judges nothing and prints nothing.

pub mod escape;
pub mod explicit;
pub mod formulae;
pub mod grid;
pub mod line;
pub mod steps;
