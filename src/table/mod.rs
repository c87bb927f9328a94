//! Light tables: what a device's lights mean, read from a file, checked, and compiled to timed patterns.

mod model;
mod pattern;

pub use model::{Device, Kind, Lasts, Light, LightTable, Meaning, Show, Shows, Stay, Step, Timed};
pub use pattern::{Cycle, Part, Pattern, Phase, Shade};
