//! Budgets for untrusted footage.

use std::fmt;

/// The most that one piece of footage may ask for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Pixels in one picture.
    pub pixels: u64,
    /// Frames in a clip.
    pub frames: usize,
    /// Length of a clip, seconds.
    pub seconds: f64,
    /// Threads that decode one clip; as many as the machine has use for if `None`.
    pub threads: Option<usize>,
}

impl Default for Limits {
    /// Room for what phones make, with a margin; judgement, not measured.
    fn default() -> Self {
        Self {
            // 8K video has 33 million pixels, a 50-megapixel photo 50 million.
            pixels: 8192 * 8192,
            // 20 minutes at 30 fps are 36 000; slow motion at 240 fps gets 2 min 46 s.
            frames: 40_000,
            // Nobody films a lamp for longer; one decode of it takes minutes already.
            seconds: 20.0 * 60.0,
            threads: None,
        }
    }
}

/// What a limit counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Pixels in one picture.
    Pixels,
    /// Frames in a clip.
    Frames,
    /// Length of a clip.
    Seconds,
    /// Size of a photo's file.
    Bytes,
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pixels => "pixels a picture",
            Self::Frames => "frames",
            Self::Seconds => "seconds",
            Self::Bytes => "bytes",
        })
    }
}
