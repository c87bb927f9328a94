//! Meaning: traces and a light table give a reading with a confidence.

mod reading;

pub use reading::{Doubt, Episode, Outcome, Reading, Rival, Settle};
