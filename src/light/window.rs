//! A stretch of the clip kept as reduced pictures, each with its place in the scene.

use super::motion::Placed;
use super::reduced::Reduced;

/// Most memory that the pictures of one window may take. About eight seconds of a 1080p clip at 30 frames a
/// second; a longer clip is worked through window by window, so that memory does not grow with its length.
const BUDGET_BYTES: usize = 76 << 20;

/// Most frames of one window, however small their pictures: of each the pixels about every lamp are kept for a while, and how a
/// place repeats takes time that grows with the square. Forty seconds at 30 frames a second.
const MOST_FRAMES: usize = 1200;

/// One kept frame.
#[derive(Debug)]
pub(super) struct Kept {
    pub picture: Reduced,
    pub placed: Placed,
}

/// Kept frames in time order; never empty once used.
#[derive(Debug, Default)]
pub(super) struct Window {
    pub frames: Vec<Kept>,
    /// Pictures to be used again: their memory would otherwise lie in pieces between that of the decoder.
    used: Vec<Reduced>,
    bytes: usize,
}

impl Window {
    pub(super) fn push(&mut self, picture: Reduced, placed: Placed) {
        self.bytes += picture.bytes();
        self.frames.push(Kept { picture, placed });
    }

    pub(super) const fn is_full(&self) -> bool {
        self.bytes >= BUDGET_BYTES || self.frames.len() >= MOST_FRAMES
    }

    pub(super) fn clear(&mut self) {
        self.used.extend(self.frames.drain(..).map(|kept| kept.picture));
        self.bytes = 0;
    }

    /// A picture that is no longer needed.
    pub(super) fn used(&mut self) -> Option<Reduced> {
        self.used.pop()
    }

    /// Frames whose place in the scene is known and whose picture is sound.
    pub(super) fn usable(&self) -> impl Iterator<Item = &Kept> {
        self.frames
            .iter()
            .filter(|kept| kept.placed.found && !kept.picture.damaged)
    }

    /// Rows and columns of the reduced luma pictures.
    pub(super) fn dim(&self) -> (usize, usize) {
        self.frames.first().map_or((0, 0), |kept| kept.picture.luma.dim())
    }
}
