//! The trace of one light.

use crate::colour::{NameBelief, ReadFrom};
pub use crate::light::Sighting;

/// What one light did, per frame.
#[derive(Debug, Clone)]
pub struct Trace {
    /// One entry a frame, in time order; never empty.
    pub samples: Vec<Sample>,
    /// The distinct colours that the light took when lit, longest seen first. Empty when it was never lit.
    pub tints: Vec<Tint>,
    /// How many times a second the lamp's pulses and the frames beat, where pulses cut its flashes in pieces and these were
    /// put together again; a frame that fell between pulses has a [`Sample::level_sd`] of [`Sample::SAYS_NOTHING`].
    pub beat_hz: Option<f64>,
    /// The story that was not taken, where a lamp dimmed by pulses and one that flashes quickly could look alike.
    pub otherwise: Option<Otherwise>,
}

/// What a lamp did by the less likely of two stories.
#[derive(Debug, Clone)]
pub struct Otherwise {
    /// As [`Trace::samples`].
    pub samples: Vec<Sample>,
    /// As [`Trace::beat_hz`]: a beat too slow to be believed, with the pieces put together; `None` with the pieces as they
    /// were seen, where the trace itself has them put together.
    pub beat_hz: Option<f64>,
}

/// The light in one frame.
#[derive(Debug, Clone, Copy)]
pub struct Sample {
    /// Seconds since the first frame of the clip.
    pub time_s: f64,
    /// Seconds to the next frame: the exposure lies within `time_s .. time_s + span_s`.
    pub span_s: f64,
    /// Whether the place of the light could be seen.
    pub sighting: Sighting,
    /// Emitted light, lit minus unlit, in linear light: 0 is dark, 1 the usual lit level of this light.
    /// Meaningless unless seen. A frame lit for a part of its exposure lies between.
    pub level: f64,
    /// Standard deviation of `level`.
    pub level_sd: f64,
    /// Chromaticity of the emitted light; `None` when there is too little light to tell.
    pub chroma: Option<Chroma>,
    /// Index into [`Trace::tints`] of the colour of this frame; `None` when dark or not to be told.
    pub tint: Option<usize>,
    /// Beside a change from one tint to another, the share of this frame's light that is the new one's, 0 to 1; `None`
    /// elsewhere.
    pub turned: Option<f64>,
}

/// A chromaticity in CIE 1976 u'v'.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chroma {
    /// u'.
    pub u: f64,
    /// v'.
    pub v: f64,
    /// Standard deviation, the same in both directions, from noise alone (white balance comes on top).
    pub sd: f64,
}

/// One colour of the light, over all frames that showed it.
///
/// The frames of one tint share the camera's white balance, so its name is one piece of evidence and not one
/// a frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tint {
    /// Mean chromaticity.
    pub chroma: Chroma,
    /// What it was read from.
    pub read_from: ReadFrom,
    /// What the colour may be called, with the unknown white balance allowed for.
    pub names: NameBelief,
    /// Dominant wavelength against D65 in nanometres, negative where it is the complement (purples); `None`
    /// for whites.
    pub dominant_nm: Option<f64>,
    /// Excitation purity, 0 (white) to 1 (spectral).
    pub purity: f64,
    /// Share of the lit frames, 0 to 1.
    pub share: f64,
}

impl Sample {
    /// Standard deviation of a level that is not known.
    pub const SAYS_NOTHING: f64 = 0.5;

    /// Whether the place of the light was seen, and its level there says something of the light.
    pub(super) fn tells(&self) -> bool {
        self.sighting == Sighting::Seen && self.level_sd < Self::SAYS_NOTHING
    }
}

impl Trace {
    /// Seconds from the start of the first frame to the end of the last.
    #[must_use]
    pub fn length_s(&self) -> f64 {
        match (self.samples.first(), self.samples.last()) {
            (Some(first), Some(last)) => last.time_s + last.span_s - first.time_s,
            _ => 0.0,
        }
    }
}
