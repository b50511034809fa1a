//! What is asked, in which order, and what came of it. No clock and no
//! randomness of its own: the day and the seed are arguments.

pub mod argument;
pub mod attempt;
pub mod checklist;
pub mod choice;
pub mod class;
pub mod connections;
pub mod day;
pub mod definition;
pub mod fading;
mod filed;
pub mod item;
pub mod letters;
pub mod mastery;
pub mod neighbours;
pub mod paper;
pub mod plan;
pub mod posed;
pub mod proportion;
pub mod proving;
pub mod question;
pub mod quiz;
pub mod schedule;
pub mod script;
pub mod seed;
pub mod sitting;
