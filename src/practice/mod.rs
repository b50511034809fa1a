//! What is asked, in which order, and what came of it. No clock and no
//! randomness of its own: the seed is an argument.

pub mod argument;
pub mod question;
pub mod quiz;
pub mod seed;
pub mod sitting;
