//! Exit statuses, decided in one place.

/// How a run of the program ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Done.
    Done,
    /// A check found faults.
    Faults,
    /// The request could not be understood.
    Misunderstood,
    /// The user broke it off; the status that a shell gives for that signal.
    BrokenOff,
}

impl From<Status> for std::process::ExitCode {
    fn from(status: Status) -> Self {
        match status {
            Status::Done => 0.into(),
            Status::Faults => 1.into(),
            Status::Misunderstood => 2.into(),
            Status::BrokenOff => 130.into(),
        }
    }
}
