//! The machine's side: files and the clock. Does no mathematics and shows
//! nothing.

pub mod clock;
pub mod fault;
pub mod journal;
pub mod locations;
pub mod plain;
pub mod quizzes;
pub mod record;
pub mod sheets;
