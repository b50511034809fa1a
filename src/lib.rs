//! `rejig`: a tutor for the staple work of upper-secondary physics.
//!
//! One way through the house:
//!
//! text -> expression -> normal form or certified number -> verdict -> marks
//! -> journal -> schedule -> next question.
//!
//! Rooms, lowest first. A room imports only from rooms above it in this list
//! (`tests/house.rs` reads the `use` lines and keeps that true):
//! [`algebra`], [`text`], [`physics`], [`reason`], [`practice`], [`show`],
//! [`store`], [`cli`].
//!
//! # Example
//!
//! A formula and a student's answer are read with one vocabulary; the answer
//! is judged as an equation, whatever form it has:
//!
//! ```
//! use rejig::reason::rearrangement::Problem;
//! use rejig::reason::verdict::Verdict;
//! use rejig::text::{Undeclared, Vocabulary, read, read_equation};
//!
//! let mut letters = Vocabulary::new();
//! let formula = read_equation("v^2 = u^2 + 2as", &mut letters, Undeclared::Declare)?;
//! let a = letters.lookup("a").expect("the formula has it");
//! let problem = Problem::new(formula, a, letters.table());
//!
//! let mut verdict = |typed: &str| -> Result<Verdict, rejig::text::Diagnostic> {
//!     let answer = read(typed, &mut letters, Undeclared::Refuse)?.preferred;
//!     Ok(problem.judge(&answer.chain, letters.table()).verdict)
//! };
//! assert_eq!(verdict("a = (v - u)(v + u)/2s")?, Verdict::Right);
//! assert_eq!(verdict("(v^2 + u^2)/2s")?, Verdict::Wrong);
//! # Ok::<(), rejig::text::Diagnostic>(())
//! ```

// What pest derives from a grammar without `std` names this crate.
extern crate alloc;

pub mod algebra;
pub mod cli;
pub mod physics;
pub mod practice;
pub mod reason;
pub mod show;
pub mod store;
pub mod text;
