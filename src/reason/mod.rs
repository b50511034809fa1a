//! Verdicts and worked steps.
//!
//! This room neither reads nor makes a string of maths: a worked step is a
//! kind and its data, and `show` puts it into words.

pub mod aim;
pub mod answer;
pub mod approximation;
pub mod carrier;
mod circular;
mod collect;
pub mod compare;
pub mod consequence;
mod defined;
pub mod dimensions;
mod divisors;
pub mod equation;
mod expand;
mod exponents;
mod inverse;
pub mod isolate;
pub mod marks;
pub mod monomial;
pub mod needs;
mod numerical;
mod order;
pub mod place;
pub mod premises;
pub mod proof;
pub mod proportion;
pub mod putback;
mod quadratic;
pub mod rates;
pub mod rearrangement;
mod rounded;
mod several;
pub mod shape;
pub mod signs;
pub mod slip;
mod solves;
pub mod step;
pub mod tidy;
pub mod uses;
pub mod verdict;
pub mod working;
