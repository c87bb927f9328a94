//! Footage that cannot be used, for people: why, and what to do about it.

use std::io::{self, ErrorKind};

use crate::footage::{FootageError, Quantity};
use crate::words::{Value, Words};

/// Why footage cannot be used, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unusable {
    /// What is wrong with the file, without its name.
    pub what: String,
    /// What to do.
    pub next: String,
}

impl Unusable {
    /// Both in one.
    #[must_use]
    pub fn sentence(&self, words: &Words) -> String {
        let values = [
            ("what", self.what.clone().into()),
            ("next", self.next.clone().into()),
        ];
        words.with("what-and-next", &values)
    }
}

/// What is wrong with footage and the way out, in words.
#[must_use]
pub fn unusable(error: &FootageError, words: &Words) -> Unusable {
    Unusable {
        what: what(error, words),
        next: words.say(next(error)),
    }
}

fn what(error: &FootageError, words: &Words) -> String {
    let with = |id, name, value: &str| words.with(id, &[(name, value.into())]);
    match error {
        FootageError::NotFound { .. } => words.say("footage-not-found"),
        FootageError::Io { source, .. } => {
            let why = match source.kind() {
                ErrorKind::InvalidInput => words.say("why-no-file"),
                _ => system_reason(source, words),
            };
            with("footage-not-readable", "why", &why)
        }
        FootageError::Empty { .. } => words.say("footage-empty"),
        FootageError::NotFootage { .. } => words.say("footage-no-footage"),
        FootageError::UploadIncomplete { .. } => words.say("footage-cut-off"),
        FootageError::Unreadable { kind, .. } => with("footage-damaged", "kind", kind),
        FootageError::NoVideo { .. } => words.say("footage-no-video"),
        FootageError::UnsupportedCodec {
            codec: Some(codec), ..
        } => with("footage-codec", "codec", codec),
        FootageError::UnsupportedCodec { codec: None, .. } => words.say("footage-codec-unknown"),
        FootageError::NotAPhoto { .. } => words.say("footage-not-a-photo"),
        FootageError::UnsupportedPhoto { format, .. } => with("footage-photo-form", "form", format),
        FootageError::UnsupportedSamples { format, .. } => with("footage-samples", "form", format),
        FootageError::UnsupportedTurn { .. } => words.say("footage-mirrored"),
        FootageError::LimitExceeded {
            what, actual, limit, ..
        } => {
            let id = match what {
                Quantity::Pixels => "footage-too-many-pixels",
                Quantity::Frames => "footage-too-many-frames",
                Quantity::Seconds => "footage-too-long",
                Quantity::Bytes => "footage-too-many-bytes",
            };
            let numbers: [(_, Value); 2] = [
                ("actual", words.number(*actual, 0).into()),
                ("limit", words.number(*limit, 0).into()),
            ];
            words.with(id, &numbers)
        }
        FootageError::NoFrames { lost_packets, .. } => {
            words.with("footage-no-frames", &[("lost", (*lost_packets).into())])
        }
        FootageError::SizeChanged { time_s, from, to, .. } => {
            let size = |(width, height): &(usize, usize)| {
                let numbers = [("width", (*width).into()), ("height", (*height).into())];
                words.with("size", &numbers)
            };
            let numbers: [(_, Value); 3] = [
                ("time", words.number(*time_s, 2).into()),
                ("from", size(from).into()),
                ("to", size(to).into()),
            ];
            words.with("footage-size-changed", &numbers)
        }
        FootageError::Decoder { reason, .. } => with("footage-decoder", "why", reason),
    }
}

/// What the system says of a file; its own words where we have none.
#[must_use]
pub fn system_reason(error: &io::Error, words: &Words) -> String {
    words.say(match error.kind() {
        ErrorKind::NotFound => "why-not-found",
        ErrorKind::PermissionDenied => "why-not-allowed",
        ErrorKind::IsADirectory => "why-folder",
        ErrorKind::NotADirectory => "why-no-folder",
        ErrorKind::StorageFull => "why-disk-full",
        ErrorKind::ReadOnlyFilesystem => "why-read-only",
        ErrorKind::InvalidFilename => "why-name",
        _ => return words.with("why-system", &[("why", error.to_string().into())]),
    })
}

/// The text that says what to do.
const fn next(error: &FootageError) -> &'static str {
    match error {
        FootageError::NotFound { .. } => "next-check-path",
        FootageError::Io { .. } => "next-check-disk",
        FootageError::Empty { .. } | FootageError::NoFrames { .. } => "next-send-again",
        FootageError::NotFootage { .. } => "next-send-known-kind",
        FootageError::UploadIncomplete { .. } => "next-send-whole",
        FootageError::Unreadable { .. } => "next-send-unrepaired",
        FootageError::NoVideo { .. } => "next-send-video",
        FootageError::UnsupportedCodec { .. } => "next-save-h264",
        FootageError::NotAPhoto { .. } => "next-read-alone",
        FootageError::UnsupportedPhoto { .. } => "next-save-jpeg",
        FootageError::UnsupportedSamples { .. } => "next-save-420",
        FootageError::UnsupportedTurn { .. } => "next-send-unedited",
        FootageError::LimitExceeded {
            what: Quantity::Pixels | Quantity::Bytes,
            ..
        } => "next-send-smaller",
        FootageError::LimitExceeded { .. } => "next-send-shorter",
        FootageError::SizeChanged { .. } => "next-cut",
        FootageError::Decoder { .. } => "next-more-memory",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, words};

    #[test]
    fn every_language_names_the_file_the_figures_and_the_way_out() {
        let error = FootageError::SizeChanged {
            path: "shed/lamp.mp4".into(),
            time_s: 2.5,
            from: (1280, 720),
            to: (640, 360),
        };
        let english = unusable(&error, words(Language::English));
        assert_eq!(
            english.what,
            "the picture size changes at 2.50 s from 1280 x 720 pixels to 640 x 360 pixels"
        );
        let german = unusable(&error, words(Language::German));
        assert!(german.what.contains("2,50 s") && german.what.contains("640 x 360 Bildpunkte"));
        assert_ne!(german.next, english.next);
    }

    #[test]
    fn what_is_too_much_is_told_beside_what_is_allowed() {
        let error = FootageError::LimitExceeded {
            path: "a.mp4".into(),
            what: Quantity::Seconds,
            actual: 7200.4,
            limit: 3600.0,
        };
        let said = unusable(&error, words(Language::English)).what;
        assert_eq!(said, "the clip lasts 7200 s, more than the 3600 s that are read");
    }
}
