//! Trace: what one light did, frame by frame, as a time series.
//!
//! Pixels end here. Everything later knows only times, levels and chromaticities.

mod alias;
mod beat;
mod build;
mod caveat;
mod cycle;
mod edge;
mod halo;
mod learnt_anew;
mod line;
mod measure;
mod measured;
mod on_time;
mod one_name;
mod period;
mod pulses;
mod ripple;
mod room_light;
mod runs;
mod sample;
mod spread;
mod tints;
mod turn;

pub use build::build;
pub use caveat::Caveat;
pub use measure::measure;
pub use measured::{Estimate, Flash, Measured, Rhythm};
pub use sample::{Chroma, Otherwise, Sample, Sighting, Tint, Trace};
