//! What a verb comes back with.

use std::io;

use crate::text::Diagnostic;

use super::exit::Status;

/// Why a verb could not do its work.
#[derive(Debug)]
pub enum Trouble {
    /// Reading or writing failed. A closed pipe is a quiet, successful end.
    Io(io::Error),
    /// The request could not be understood; what to say about it.
    Misunderstood(String),
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        Trouble::Io(error)
    }
}

impl From<serde_json::Error> for Trouble {
    fn from(error: serde_json::Error) -> Self {
        Trouble::Io(error.into())
    }
}

impl From<Diagnostic> for Trouble {
    fn from(fault: Diagnostic) -> Self {
        Trouble::Misunderstood(fault.render())
    }
}

/// How a verb ends.
pub type Outcome = Result<Status, Trouble>;

/// A request that could not be understood.
pub fn misunderstood<T>(told: impl Into<String>) -> Result<T, Trouble> {
    Err(Trouble::Misunderstood(told.into()))
}
