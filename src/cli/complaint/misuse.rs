//! Ways to call a command wrongly.

use std::path::PathBuf;

use crate::words::{Value, Words};

/// A way to call a command wrongly.
#[derive(Debug, Clone, PartialEq)]
pub enum Misuse {
    /// What the arguments themselves are refused for, in words.
    Arguments {
        /// What is wrong.
        what: String,
        /// What to do.
        next: String,
    },
    /// Said by a command that only those use who write tables and tests, in their language.
    Author {
        /// What is wrong.
        what: String,
        /// What to do.
        next: String,
    },
    /// A place that was pointed to is not in the picture.
    OutsidePicture {
        /// The place, pixels.
        at: (f64, f64),
        /// Width and height of the picture, pixels.
        size: (usize, usize),
    },
    /// A place was given for several photos.
    PlaceInSeveral,
    /// A name that the table does not have.
    NoSuchName {
        /// The option it was given with.
        option: &'static str,
        /// The name.
        name: String,
        /// The names that the table has.
        known: Vec<String>,
    },
    /// A case file that was begun with the table of another device.
    CaseOfAnother {
        /// The file.
        path: PathBuf,
        /// Its device.
        device: String,
    },
    /// A file would be written that is read.
    WouldOverwrite {
        /// The file.
        path: PathBuf,
    },
    /// Two things would be written to one file.
    SameOutput {
        /// The file.
        path: PathBuf,
    },
    /// A table without a row for resets, where resets are to be judged.
    NoResetRow {
        /// The table.
        path: PathBuf,
    },
    /// A folder without a file.
    NoFiles {
        /// The folder.
        path: PathBuf,
    },
    /// A file, where a folder is read.
    NoFolder {
        /// The file.
        path: PathBuf,
    },
    /// The journal was begun under another table, threshold, language or program.
    OtherJournal {
        /// The journal.
        path: PathBuf,
    },
    /// Another run has the journal in use.
    BusyJournal {
        /// The journal.
        path: PathBuf,
    },
    /// A line of the journal is no record.
    BrokenJournal {
        /// The journal.
        path: PathBuf,
        /// Which line, from 1.
        line: usize,
    },
    /// What was given as a journal is none.
    NoJournal {
        /// The file.
        path: PathBuf,
    },
}

impl Misuse {
    /// What is wrong.
    #[must_use]
    pub fn what(&self, words: &Words) -> String {
        let of_path = |id, path: &PathBuf| words.with(id, &[("path", path.display().to_string().into())]);
        let journal = |path: &PathBuf, why: String| {
            let path = path.display().to_string();
            words.with("journal-foreign", &[("path", path.into()), ("why", why.into())])
        };
        match self {
            Self::Arguments { what, .. } | Self::Author { what, .. } => what.clone(),
            Self::OutsidePicture { at, size } => {
                let size = [("width", size.0.into()), ("height", size.1.into())];
                let values: [(_, Value); 3] = [
                    ("x", at.0.to_string().into()),
                    ("y", at.1.to_string().into()),
                    ("size", words.with("size", &size).into()),
                ];
                words.with("outside-picture", &values)
            }
            Self::PlaceInSeveral => words.say("place-in-several"),
            Self::NoSuchName { option, name, .. } => {
                let values = [("option", (*option).into()), ("name", name.clone().into())];
                words.with("no-such-name", &values)
            }
            Self::CaseOfAnother { path, device } => {
                let path = path.display().to_string();
                words.with(
                    "case-of-another",
                    &[("path", path.into()), ("device", device.clone().into())],
                )
            }
            Self::WouldOverwrite { path } => of_path("would-overwrite", path),
            Self::SameOutput { path } => of_path("same-output", path),
            Self::NoResetRow { path } => of_path("no-reset-row", path),
            Self::NoFiles { path } => of_path("no-files", path),
            Self::NoFolder { path } => of_path("no-folder", path),
            Self::OtherJournal { path } => journal(path, words.say("journal-other-head")),
            Self::BusyJournal { path } => journal(path, words.say("journal-busy")),
            Self::BrokenJournal { path, line } => {
                journal(path, words.with("journal-line", &[("line", (*line).into())]))
            }
            Self::NoJournal { path } => journal(path, words.say("journal-none")),
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn next(&self, words: &Words) -> String {
        match self {
            Self::Arguments { next, .. } | Self::Author { next, .. } => next.clone(),
            Self::OutsidePicture { .. } => words.say("next-count-pixels"),
            Self::PlaceInSeveral => words.say("next-no-place"),
            Self::NoSuchName { known, .. } if known.is_empty() => words.say("next-no-names"),
            Self::NoSuchName { known, .. } => {
                words.with("next-known-names", &[("known", known.join(", ").into())])
            }
            Self::CaseOfAnother { .. } => words.say("next-case-of-another"),
            Self::WouldOverwrite { .. } | Self::SameOutput { .. } => words.say("next-other-name"),
            Self::NoResetRow { .. } => words.say("next-reset-table"),
            Self::NoFiles { .. } => words.say("next-folder"),
            Self::NoFolder { .. } => words.say("next-folder-or-read"),
            Self::OtherJournal { .. } | Self::BrokenJournal { .. } => words.say("next-journal"),
            Self::BusyJournal { .. } => words.say("next-wait-journal"),
            Self::NoJournal { .. } => words.say("next-other-journal"),
        }
    }
}
