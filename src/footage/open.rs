//! Footage as its readers see it: opened once, then frame by frame.

use std::fs::File;
use std::io;
use std::path::Path;

use super::clip::Clip;
use super::photo::Photo;
use super::sniff::{self, Content};
use super::{FootageError, Frame, Kind, Limits, Summary, whole};

/// A clip or photo that is being read.
///
/// ```no_run
/// use lampwise::footage::{Footage, Limits};
///
/// let mut footage = Footage::open("lamp.mp4", Limits::default())?;
/// while let Some(frame) = footage.next_frame()? {
///     assert!(frame.time_s >= 0.0);
/// }
/// let summary = footage.summary();
/// # Ok::<(), lampwise::footage::FootageError>(())
/// ```
pub struct Footage {
    source: Source,
}

enum Source {
    Clip(Box<Clip>),
    Photo(Photo),
}

impl Footage {
    /// Opens a file, and tells a clip from a photo by its content; an animated GIF is a clip.
    ///
    /// FFmpeg's own messages to the terminal are switched off for the whole process.
    ///
    /// # Errors
    ///
    /// Every variant of [`FootageError`] but `NoFrames` and `SizeChanged`, which show only while reading.
    pub fn open(path: impl AsRef<Path>, limits: Limits) -> Result<Self, FootageError> {
        let path = path.as_ref();
        let unreadable = |source: io::Error| match source.kind() {
            io::ErrorKind::NotFound => FootageError::NotFound {
                path: path.to_owned(),
            },
            _ => FootageError::Io {
                path: path.to_owned(),
                source,
            },
        };
        let metadata = std::fs::metadata(path).map_err(unreadable)?;
        if !metadata.is_file() {
            // A pipe would block and cannot be read twice; a folder is not a clip.
            return Err(unreadable(io::Error::new(
                io::ErrorKind::InvalidInput,
                "not a regular file",
            )));
        }
        let mut file = File::open(path).map_err(unreadable)?;
        let head = whole::head(&mut file, sniff::HEAD_BYTES).map_err(unreadable)?;
        if head.is_empty() {
            return Err(FootageError::Empty {
                path: path.to_owned(),
            });
        }
        let source = match sniff::sniff(&head) {
            Content::Clip(container) => {
                let whole =
                    whole::wholeness(container, &head, &mut file, metadata.len()).map_err(unreadable)?;
                Source::Clip(Box::new(Clip::open(path, container, whole, limits)?))
            }
            Content::Photo(format) => {
                io::Seek::rewind(&mut file).map_err(unreadable)?;
                Source::Photo(Photo::open(path, format, file, limits)?)
            }
            Content::Heif(form) => {
                io::Seek::rewind(&mut file).map_err(unreadable)?;
                Source::Photo(Photo::open_heif(path, form, file, limits)?)
            }
            Content::OtherPhoto(format) => {
                return Err(FootageError::UnsupportedPhoto {
                    path: path.to_owned(),
                    format,
                });
            }
            Content::Unknown => {
                return Err(FootageError::NotFootage {
                    path: path.to_owned(),
                });
            }
        };
        Ok(Self { source })
    }

    /// A clip has time; a photo has none.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self.source {
            Source::Clip(_) => Kind::Clip,
            Source::Photo(_) => Kind::Photo,
        }
    }

    /// The next frame in time order; `None` after the last. The frame borrows the decoder's memory until the
    /// next call.
    ///
    /// Times increase strictly. Pictures that repeat the one before are kept, pictures that the file does not
    /// show (cut away by an edit list) are not, and pictures without a usable time are left out and counted
    /// in [`Summary::untimed`].
    ///
    /// # Errors
    ///
    /// A limit is exceeded, the disk fails, the picture size changes, samples or turn are of a kind that is
    /// not read, or the end is reached without one frame. A clip that is cut off or damaged is no error: it
    /// yields what there is, and the summary says so.
    pub fn next_frame(&mut self) -> Result<Option<Frame<'_>>, FootageError> {
        Ok(match &mut self.source {
            Source::Clip(clip) => {
                clip.advance()?;
                clip.frame()
            }
            Source::Photo(photo) => {
                photo.advance();
                photo.frame()
            }
        })
    }

    /// What is known so far; final once [`Footage::next_frame`] has returned `None`. `None` before the first
    /// frame.
    #[must_use]
    pub fn summary(&self) -> Option<Summary> {
        match &self.source {
            Source::Clip(clip) => clip.summary(),
            Source::Photo(photo) => photo.summary(),
        }
    }
}
