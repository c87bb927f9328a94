//! What went wrong, by who can mend it.

use std::path::{Path, PathBuf};

use clap::error::{ContextKind, ContextValue};

use super::Status;

/// What went wrong, by who can mend it.
#[derive(Debug, thiserror::Error)]
pub enum Complaint {
    /// The command was called wrongly.
    #[error("{message}")]
    Usage {
        /// What is wrong.
        message: String,
        /// What to do.
        hint: String,
    },
    /// There is nothing to open at a path that was given.
    #[error("cannot open {path}: {why}", path = path.display())]
    Path {
        /// The path as given.
        path: PathBuf,
        /// The system's reason.
        why: std::io::Error,
    },
    /// Nothing can be written at a path that was given.
    #[error("cannot write {path}: {why}", path = path.display())]
    Unwritable {
        /// The path as given.
        path: PathBuf,
        /// The system's reason.
        why: std::io::Error,
    },
    /// The light table is broken; the message points at the place.
    #[error("{message}")]
    Table {
        /// The table's own message, several lines.
        message: String,
    },
    /// The case file cannot be used; it was left as it is.
    #[error("{message}")]
    Case {
        /// Which file, and what is wrong with it.
        message: String,
    },
    /// The footage cannot be used.
    #[error("{message}")]
    Footage {
        /// Which file, and what is wrong with it.
        message: String,
    },
}

impl Complaint {
    /// The exit status for it.
    #[must_use]
    pub const fn status(&self) -> Status {
        match self {
            Self::Usage { .. }
            | Self::Path { .. }
            | Self::Unwritable { .. }
            | Self::Table { .. }
            | Self::Case { .. } => Status::Usage,
            Self::Footage { .. } => Status::Unseen,
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Usage { hint, .. } => hint.clone(),
            Self::Path { .. } => "check the spelling of the path and that the file may be read".to_owned(),
            Self::Unwritable { .. } => "check that the folder is there and may be written to".to_owned(),
            Self::Table { .. } => {
                "mend the table at the place shown; `lampwise table check` looks at it again".to_owned()
            }
            Self::Case { .. } => {
                "nothing was changed in it; run this again, or give another file and keep this one".to_owned()
            }
            Self::Footage { .. } => {
                "send the file as the phone made it, or film again; clips and photos of phones can be read"
                    .to_owned()
            }
        }
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
        return Err(refuse(std::io::Error::from(std::io::ErrorKind::IsADirectory)));
    }
    Ok(())
}

/// A usage error in our form: the first paragraph says what is wrong; the tip, if there is one, what to do.
pub(super) fn usage(error: &clap::Error) -> Complaint {
    let rendered = error.render().to_string();
    let first: Vec<&str> = rendered
        .lines()
        .take_while(|line| !line.trim().is_empty())
        .map(str::trim)
        .collect();
    let whole = first.join(" ");
    let mut message = whole.strip_prefix("error: ").unwrap_or(&whole).to_owned();
    if matches!(
        error.kind(),
        clap::error::ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand
    ) {
        message = "no command was given".to_owned();
    }
    let tip = rendered
        .lines()
        .find_map(|line| line.trim().strip_prefix("tip: "));
    let hint = tip.map_or_else(|| help_hint(error), str::to_owned);
    Complaint::Usage { message, hint }
}

fn help_hint(error: &clap::Error) -> String {
    let command = match error.get(ContextKind::Usage) {
        Some(ContextValue::StyledStr(usage)) => command_of(&usage.to_string()),
        _ => None,
    };
    format!(
        "`{} --help` shows what may be given",
        command.unwrap_or_else(|| "lampwise".to_owned())
    )
}

/// The words of a usage line up to the first that is a placeholder.
fn command_of(usage: &str) -> Option<String> {
    let line = usage.lines().next()?.trim().strip_prefix("Usage: ")?;
    let plain = |word: &&str| word.chars().all(|c| c.is_ascii_lowercase());
    Some(
        line.split_whitespace()
            .take_while(plain)
            .collect::<Vec<_>>()
            .join(" "),
    )
}
