//! Trace: what one light did, frame by frame, as a time series.
//!
//! Pixels end here. Everything later knows only times, levels and chromaticities.

mod build;
mod cycle;
mod measure;
mod measured;
mod one_name;
mod runs;
mod sample;
mod tints;

pub use build::build;
pub use measure::measure;
pub use measured::{Estimate, Flash, Measured, Rhythm};
pub use sample::{Chroma, Sample, Sighting, Tint, Trace};
