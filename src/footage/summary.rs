//! What is known of a piece of footage once it has been read.

use super::ColourCode;

/// A clip or a photo, in figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// A clip has time; a photo has none.
    pub kind: Kind,
    /// Frames read.
    pub frames: usize,
    /// Seconds from the first frame to the end of the last; 0 for a photo.
    pub length_s: f64,
    /// Usual frame rate in frames per second: from the median step and the steps equal to it but for the
    /// clock's coarseness; 0 for a photo or a clip of one frame.
    pub fps: f64,
    /// Width of the upright picture, pixels.
    pub width: usize,
    /// Height of the upright picture, pixels.
    pub height: usize,
    /// Colour description of the first frame.
    pub colour: ColourCode,
    /// Frames that the decoder found damaged.
    pub damaged: usize,
    /// Packets that could not be decoded at all.
    pub lost_packets: usize,
    /// Frames left out because the file gives them no time after that of the frame before.
    pub untimed: usize,
    /// The file is cut off or stopped being readable: there was more to see than these frames.
    pub ended_early: bool,
}

/// A clip has time; a photo has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Frames with time stamps.
    Clip,
    /// One picture.
    Photo,
}
