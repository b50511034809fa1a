//! Verdicts and worked steps.
//!
//! This room neither reads nor makes a string of maths: a worked step is a
//! kind and its data, and `show` puts it into words.

mod collect;
mod expand;
mod inverse;
pub mod isolate;
mod quadratic;
mod several;
pub mod signs;
pub mod step;
pub mod tidy;
