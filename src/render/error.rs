//! What can go wrong, by what the caller can do about it.

use std::path::PathBuf;

/// The recipe cannot be followed; change the field that it names.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecipeError {
    /// A figure is outside what makes sense.
    #[error("{field} is {value}: expected {expected}")]
    OutOfRange {
        /// The field, as in the recipe file.
        field: String,
        /// What was given.
        value: f64,
        /// What would be accepted, in words.
        expected: String,
    },
    /// A word is no colour.
    #[error("{field}: unknown colour: {word} (known: {known})")]
    UnknownColour {
        /// The field, as in the recipe file.
        field: String,
        /// What was written.
        word: String,
        /// The words that are known.
        known: String,
    },
    /// A lamp shows nothing.
    #[error("{field} is empty: give at least one entry")]
    Empty {
        /// The field, as in the recipe file.
        field: String,
    },
    /// The file is not a recipe.
    #[error("not a recipe: {reason}")]
    Syntax {
        /// What the parser said, with the place.
        reason: String,
    },
}

/// No clip was made.
#[derive(Debug, thiserror::Error)]
pub enum RenderError {
    /// The recipe cannot be followed.
    #[error(transparent)]
    Recipe(#[from] RecipeError),
    /// The FFmpeg library on this machine lacks the encoder; choose another codec.
    #[error("this FFmpeg has no encoder {encoder}: choose another codec in the recipe")]
    NoEncoder {
        /// The encoder's name.
        encoder: &'static str,
    },
    /// The encoder or the file writer refused.
    #[error("cannot encode {}: {doing} failed", path.display())]
    Encode {
        /// The file to be written.
        path: PathBuf,
        /// What was being done.
        doing: &'static str,
        /// What the library said.
        source: ffmpeg_next::Error,
    },
    /// The file cannot be written, or the finished one could not be read back or changed.
    #[error("cannot write {}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}
