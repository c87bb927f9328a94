//! What made the light hard to see.

/// A property of the footage that weakens what can be measured of a light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Notice {
    /// The camera moved much between frames.
    HandShake {
        /// Root mean square movement from frame to frame, pixels.
        pixels: f64,
    },
    /// The lamp is only a few pixels wide.
    SmallLamp {
        /// Its radius, pixels.
        radius: f64,
    },
    /// The lamp's own colour is washed out nearly everywhere.
    Overexposed {
        /// Share of the lit lamp's pixels at the top of the scale, 0 to 1.
        clipped: f64,
    },
    /// The lamp was covered or out of the frame for a part of the clip.
    OftenHidden {
        /// Share of the frames in which it was in view, 0 to 1.
        seen: f64,
    },
    /// Another lamp of nearly the same score was found.
    SeveralLamps {
        /// How many.
        count: usize,
    },
}
