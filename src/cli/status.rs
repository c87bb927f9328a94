//! The exit status of the program.

use std::process::ExitCode;

use crate::meaning::Outcome;
use crate::report::Findings;

/// The exit status of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Status {
    /// A meaning was decided on; for the other commands: done.
    Done = 0,
    /// Undecided, or in no row of the table.
    Open = 1,
    /// No usable light, or footage that cannot be used.
    Unseen = 2,
    /// Wrong usage or a broken table.
    Usage = 3,
    /// A failure of the program.
    Failure = 4,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        Self::from(status as u8)
    }
}

impl From<&Findings<'_>> for Status {
    fn from(findings: &Findings) -> Self {
        match findings.judged.as_ref().map(|judged| judged.reading.outcome) {
            Some(Outcome::Decided { .. }) => Self::Done,
            Some(Outcome::Undecided | Outcome::Unlisted) => Self::Open,
            Some(Outcome::Unseen) => Self::Unseen,
            None if findings.light_seen() => Self::Done,
            None => Self::Unseen,
        }
    }
}
