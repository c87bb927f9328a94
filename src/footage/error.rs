//! Why a piece of footage cannot be used, by what the caller can do about it.

use std::io;
use std::path::{Path, PathBuf};

use super::Quantity;

/// Why a piece of footage cannot be used. What to tell people about it, the way out included, is the report's.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum FootageError {
    /// No such file.
    #[error("{}: there is no such file", path.display())]
    NotFound {
        /// The file asked for.
        path: PathBuf,
    },
    /// The file exists and cannot be read.
    #[error("{}: cannot be read ({source})", path.display())]
    Io {
        /// The file asked for.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file has no content.
    #[error("{}: the file is empty", path.display())]
    Empty {
        /// The file asked for.
        path: PathBuf,
    },
    /// The content is neither a picture nor a clip of a known kind, whatever the name says.
    #[error("{}: neither a clip nor a photo by its content", path.display())]
    NotFootage {
        /// The file asked for.
        path: PathBuf,
    },
    /// The file stops before the part without which it cannot be opened (in MP4 and MOV often the index at
    /// the end).
    #[error("{}: the file is cut off and its index is missing", path.display())]
    UploadIncomplete {
        /// The file asked for.
        path: PathBuf,
    },
    /// All there by size, of a known kind by its first bytes, and still cannot be opened.
    #[error("{}: {kind} by its first bytes, but damaged inside", path.display())]
    Unreadable {
        /// The file asked for.
        path: PathBuf,
        /// What its first bytes say it is.
        kind: &'static str,
    },
    /// Sound, perhaps with a cover picture, and no moving picture.
    #[error("{}: holds no video, only sound or data", path.display())]
    NoVideo {
        /// The file asked for.
        path: PathBuf,
    },
    /// Video in a form that is not read here.
    #[error("{}: video coded as {} is not read here", path.display(), codec.as_deref().unwrap_or("?"))]
    UnsupportedCodec {
        /// The file asked for.
        path: PathBuf,
        /// FFmpeg's short name of the code, if it has one.
        codec: Option<String>,
    },
    /// A clip where a photo was wanted.
    #[error("{}: is a clip where a photo was wanted", path.display())]
    NotAPhoto {
        /// The file asked for.
        path: PathBuf,
    },
    /// A picture in a form that is not read here.
    #[error("{}: a photo in {format} form is not read here", path.display())]
    UnsupportedPhoto {
        /// The file asked for.
        path: PathBuf,
        /// The form.
        format: &'static str,
    },
    /// The decoder yields samples in a form that cannot be read.
    #[error("{}: samples of the form {format} are not read here", path.display())]
    UnsupportedSamples {
        /// The file asked for.
        path: PathBuf,
        /// FFmpeg's name of the form; `?` where it has none.
        format: String,
    },
    /// The file asks to be shown mirrored or at a slant. Positions would be wrong, and with them which lamp
    /// is which.
    #[error("{}: the clip asks to be shown mirrored or at a slant", path.display())]
    UnsupportedTurn {
        /// The file asked for.
        path: PathBuf,
    },
    /// More than a budget allows.
    #[error("{}: {actual} {what}, more than the {limit} allowed", path.display())]
    LimitExceeded {
        /// The file asked for.
        path: PathBuf,
        /// What was counted.
        what: Quantity,
        /// How much of it there is, or how much had been seen when it was too much.
        actual: f64,
        /// How much is allowed.
        limit: f64,
    },
    /// A video without one picture that could be decoded and placed in time.
    #[error("{}: not one picture could be decoded ({lost_packets} packets lost)", path.display())]
    NoFrames {
        /// The file asked for.
        path: PathBuf,
        /// Packets that could not be decoded.
        lost_packets: usize,
    },
    /// The picture size changes in the middle, so that places no longer mean the same.
    #[error(
        "{}: the picture size changes at {time_s:.2} s from {}x{} to {}x{} pixels",
        path.display(), from.0, from.1, to.0, to.1
    )]
    SizeChanged {
        /// The file asked for.
        path: PathBuf,
        /// When, seconds.
        time_s: f64,
        /// Width and height before, pixels.
        from: (usize, usize),
        /// Width and height after, pixels.
        to: (usize, usize),
    },
    /// The video library gave up: too little memory, or a damaged file that asks for too much of it.
    #[error("{}: the decoder failed ({reason})", path.display())]
    Decoder {
        /// The file asked for.
        path: PathBuf,
        /// What the library said.
        reason: String,
    },
}

impl FootageError {
    /// The file asked for.
    #[must_use]
    pub fn path(&self) -> &Path {
        match self {
            Self::NotFound { path }
            | Self::Io { path, .. }
            | Self::Empty { path }
            | Self::NotFootage { path }
            | Self::UploadIncomplete { path }
            | Self::Unreadable { path, .. }
            | Self::NoVideo { path }
            | Self::UnsupportedCodec { path, .. }
            | Self::NotAPhoto { path }
            | Self::UnsupportedPhoto { path, .. }
            | Self::UnsupportedSamples { path, .. }
            | Self::UnsupportedTurn { path }
            | Self::LimitExceeded { path, .. }
            | Self::NoFrames { path, .. }
            | Self::SizeChanged { path, .. }
            | Self::Decoder { path, .. } => path,
        }
    }
}
