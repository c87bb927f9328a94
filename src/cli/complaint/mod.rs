//! What went wrong, by who can mend it.

mod arguments;
mod misuse;
mod table;

use std::io;
use std::path::{Path, PathBuf};

use super::Status;
use crate::case::CaseError;
use crate::footage::FootageError;
use crate::report::{system_reason, unusable};
use crate::table::LoadError;
use crate::words::{Language, Words, words};

pub(super) use arguments::{asked_language, usage};
pub use misuse::Misuse;

/// What went wrong, by who can mend it.
#[derive(Debug, thiserror::Error)]
#[error("{}", self.what(words(Language::English)))]
pub enum Complaint {
    /// The command was called wrongly.
    Usage(Misuse),
    /// There is nothing to open at a path that was given.
    Path {
        /// The path as given.
        path: PathBuf,
        /// The system's reason.
        why: io::Error,
    },
    /// Nothing can be written at a path that was given.
    Unwritable {
        /// The path as given.
        path: PathBuf,
        /// The system's reason.
        why: io::Error,
    },
    /// Nothing can be printed.
    Unprintable {
        /// The system's reason.
        why: io::Error,
    },
    /// The light table is none, or broken.
    Table(LoadError),
    /// The case file cannot be used; it was left as it is.
    Case {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: CaseFault,
    },
    /// The footage cannot be used.
    Footage(FootageError),
    /// The footage is not the same as when it was read first.
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// There is no lamp where one is to be learnt from.
    NoLamp {
        /// The file.
        path: PathBuf,
    },
}

/// Why a case file is not taken or not written.
#[derive(Debug)]
pub enum CaseFault {
    /// It is longer than a case may be.
    TooLong,
    /// It is no text.
    NoText,
    /// Somebody wrote to it after it was read.
    ChangedMeanwhile,
    /// Its content is no case.
    Content(CaseError),
}

impl Complaint {
    /// The exit status for it.
    #[must_use]
    pub const fn status(&self) -> Status {
        match self {
            Self::Usage(_)
            | Self::Path { .. }
            | Self::Unwritable { .. }
            | Self::Unprintable { .. }
            | Self::Table(_)
            | Self::Case { .. } => Status::Usage,
            Self::Footage(FootageError::NotAPhoto { .. }) => Status::Usage,
            Self::Footage(_) | Self::Changed { .. } | Self::NoLamp { .. } => Status::Unseen,
        }
    }

    /// What is wrong.
    #[must_use]
    pub fn what(&self, words: &Words) -> String {
        let of_path = |id, path: &Path| words.with(id, &[("path", path.display().to_string().into())]);
        let with_reason = |id, path: &Path, why: String| {
            let path = path.display().to_string();
            words.with(id, &[("path", path.into()), ("why", why.into())])
        };
        match self {
            Self::Usage(misuse) => misuse.what(words),
            Self::Path { path, why } => with_reason("cannot-open", path, system_reason(why, words)),
            Self::Unwritable { path, why } => with_reason("cannot-write", path, system_reason(why, words)),
            Self::Unprintable { why } => {
                words.with("cannot-print", &[("why", system_reason(why, words).into())])
            }
            Self::Table(error) => table::what(error, words),
            Self::Case { path, why } => with_reason("case-refused", path, why.what(words)),
            Self::Footage(error) => format!("{}: {}", error.path().display(), unusable(error, words).what),
            Self::Changed { path } => of_path("changed-meanwhile", path),
            Self::NoLamp { path } => of_path("no-lamp-found", path),
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn next(&self, words: &Words) -> String {
        match self {
            Self::Usage(misuse) => misuse.next(words),
            Self::Path { why, .. } => words.say(match why.kind() {
                io::ErrorKind::IsADirectory => "next-give-file",
                _ => "next-check-path",
            }),
            Self::Unwritable { why, .. } | Self::Unprintable { why } => words.say(match why.kind() {
                io::ErrorKind::IsADirectory => "next-give-file-in",
                io::ErrorKind::StorageFull => "next-make-room",
                _ => "next-check-folder",
            }),
            Self::Table(error) => words.say(table::next(error)),
            Self::Case { .. } => words.say("next-case"),
            Self::Footage(error) => unusable(error, words).next,
            Self::Changed { .. } => words.say("next-read-again"),
            Self::NoLamp { .. } => words.say("next-film-again"),
        }
    }
}

impl CaseFault {
    fn what(&self, words: &Words) -> String {
        match self {
            Self::TooLong | Self::Content(CaseError::TooLong) => words.say("case-too-long"),
            Self::NoText => words.say("case-no-text"),
            Self::ChangedMeanwhile => words.say("case-changed"),
            Self::Content(CaseError::Damaged(place)) => {
                words.with("case-damaged", &[("line", place.line().into())])
            }
            Self::Content(CaseError::NoCase) => words.say("case-no-case"),
            Self::Content(CaseError::OtherSchema { found }) => {
                words.with("case-other-schema", &[("found", found.to_string().into())])
            }
        }
    }
}

impl From<FootageError> for Complaint {
    fn from(error: FootageError) -> Self {
        Self::Footage(error)
    }
}

impl From<Misuse> for Complaint {
    fn from(misuse: Misuse) -> Self {
        Self::Usage(misuse)
    }
}

/// Refuses a path that cannot be opened as a file, so that a slip of the pen is not taken for bad footage.
pub(super) fn openable(path: &Path) -> Result<(), Complaint> {
    let refuse = |why| Complaint::Path {
        path: path.to_owned(),
        why,
    };
    let file = std::fs::File::open(path).map_err(refuse)?;
    if file.metadata().map_err(refuse)?.is_dir() {
        return Err(refuse(io::Error::from(io::ErrorKind::IsADirectory)));
    }
    Ok(())
}
