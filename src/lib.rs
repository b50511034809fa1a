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
