//! Report: what was found, as text for people and JSON for programs.

mod check_json;
mod check_text;
mod evidence;
mod findings;
mod headline;
mod json;
mod learn_json;
mod paste;
mod preview;
mod signal;
mod strip;
mod text;
mod warning;
mod wire;
mod words;
mod wrap;

pub use check_json::check_json;
pub use check_text::check_text;
pub use findings::{Findings, Judged, Lamp};
pub use json::json;
pub use learn_json::learn_json;
pub use preview::preview;
pub use signal::{signal_csv, signal_json};
pub use text::{Style, text};
pub use warning::{Warning, warnings};

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;
