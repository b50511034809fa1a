//! Putting results into words and lines. Pure functions to a string: this room
//! judges nothing and prints nothing.

pub mod ascii;
pub mod checklist;
pub mod class;
pub mod connections;
pub mod counts;
pub mod dates;
pub mod deeds;
pub mod definition;
pub mod derivation;
pub mod escape;
pub mod explicit;
pub mod figures;
pub mod formulae;
pub mod grid;
pub mod latex;
pub mod line;
pub mod mathml;
pub mod page;
pub mod papers;
pub mod proportion;
pub mod records;
pub mod remarks;
pub mod scripts;
pub mod slips;
pub mod steps;
pub mod strangers;
pub mod table;
pub mod typeset;
pub mod worked;
pub mod worksheet;
pub mod wrap;
