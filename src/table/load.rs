//! A light table from a file.

use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::parse::{LONGEST_BYTES, parse};
use super::{LightTable, Source, TableError};

/// A light table that could not be had from its file.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The file could not be read.
    #[error("cannot read the light table {}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The file is longer than a table may be.
    #[error("{} is no light table: it is longer than {limit} bytes", path.display())]
    TooBig {
        /// The file.
        path: PathBuf,
        /// The longest that is read.
        limit: usize,
    },
    /// The file is no text.
    #[error("{} is no light table: byte {at} is not UTF-8 text", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// The first byte that is none.
        at: usize,
    },
    /// The table holds mistakes; [`TableError::render`] shows them all.
    #[error(transparent)]
    Broken(#[from] TableError),
}

/// Reads and checks a light table from a file. The source comes along so that places in it can be shown.
///
/// # Errors
/// When the file cannot be read or is no text, and when the table holds mistakes.
pub fn load(path: &Path) -> Result<(LightTable, Source), LoadError> {
    let bytes = read(path)?;
    let text = String::from_utf8(bytes).map_err(|error| LoadError::NotText {
        path: path.to_owned(),
        at: error.utf8_error().valid_up_to(),
    })?;
    let name = path.display().to_string();
    let table = parse(&name, &text)?;
    Ok((table, Source { name, text }))
}

/// Never more than a table may have: the path may be a device without an end.
fn read(path: &Path) -> Result<Vec<u8>, LoadError> {
    let unreadable = |source| LoadError::Unreadable {
        path: path.to_owned(),
        source,
    };
    let limit = LONGEST_BYTES as u64;
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
        .map_err(unreadable)?;
    if bytes.len() > LONGEST_BYTES {
        let (path, limit) = (path.to_owned(), LONGEST_BYTES);
        return Err(LoadError::TooBig { path, limit });
    }
    Ok(bytes)
}
