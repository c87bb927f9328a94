//! What can be said of a trace without a table: flashes, rhythm, period, on-time.

use super::caveat::Caveat;

/// A value with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard deviation, in the same unit.
    pub sd: f64,
}

/// The repeating shape of a light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rhythm {
    /// Dark throughout.
    Off,
    /// Lit throughout, one colour, one level.
    Fixed,
    /// Equal flashes at equal intervals.
    Flashing,
    /// Groups of flashes at equal intervals.
    GroupFlashing {
        /// Flashes in a group.
        count: usize,
    },
    /// Colours in turn with no dark between.
    Alternating,
    /// Swells and fades.
    Breathing,
    /// Changes without a repeating shape, or too few changes to tell.
    Irregular,
    /// One picture, or too few frames: no rhythm can be told.
    Unknown,
}

/// One lit interval of one colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flash {
    /// Seconds since the first frame when it lit up; the start of the clip when it was lit already.
    pub from_s: Estimate,
    /// Seconds since the first frame when it went out; the end of the clip when it was still lit.
    pub to_s: Estimate,
    /// The true start was not seen.
    pub open_start: bool,
    /// The true end was not seen.
    pub open_end: bool,
    /// Index into [`super::Trace::tints`].
    pub tint: Option<usize>,
}

/// What was measured of one light, free of any table.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// The repeating shape.
    pub rhythm: Rhythm,
    /// Length of one cycle, seconds; `None` where nothing repeats.
    pub period_s: Option<Estimate>,
    /// Lit part of a flash, seconds; `None` where nothing flashes.
    pub on_s: Option<Estimate>,
    /// Every lit interval, in time order.
    pub flashes: Vec<Flash>,
    /// Share of the frames in which the light's place was in view, 0 to 1.
    pub seen_share: f64,
    /// Ways in which the camera may have made the rhythm, or a part of it.
    pub caveats: Vec<Caveat>,
}
