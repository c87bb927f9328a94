//! Report: what was found, as text for people and JSON for programs.

mod findings;

pub use findings::{Findings, Judged, Lamp};
