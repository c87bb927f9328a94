//! Trace: what one light did, frame by frame, as a time series.
//!
//! Pixels end here. Everything later knows only times, levels and chromaticities.

mod measured;
mod sample;

pub use measured::{Estimate, Flash, Measured, Rhythm};
pub use sample::{Chroma, Sample, Sighting, Tint, Trace};
