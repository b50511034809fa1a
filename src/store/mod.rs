//! The machine's side: files. Does no mathematics and shows nothing.

pub mod sheets;
