//! Which of a lamp's light its colour was read from.

/// What a chromaticity was read from, which decides how it may be wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadFrom {
    /// The lamp itself.
    Lamp {
        /// Share of its light, 0 to 1, that fell on clipped pixels, which wash a colour out.
        clipped: f64,
        /// The colour is of its light alone: it was also seen unlit, or it gives far more light than its lens could of the
        /// room's; else the colour of that lens is mixed in.
        alone: bool,
    },
    /// The halo of a lamp that clips: the true hue, but faint, and on top of what it falls on.
    Halo,
}

impl ReadFrom {
    /// A lamp that does not clip, and its light alone.
    pub const CLEAN: Self = Self::Lamp {
        clipped: 0.0,
        alone: true,
    };
}
