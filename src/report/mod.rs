//! Report: what was found, as text for people and JSON for programs.

mod evidence;
mod findings;
mod headline;
mod json;
mod paste;
mod signal;
mod strip;
mod table_text;
mod text;
mod warning;
mod wire;
mod words;
mod wrap;

pub use findings::{Findings, Judged, Lamp};
pub use json::json;
pub use signal::{signal_csv, signal_json};
pub use table_text::table_text;
pub use text::{Style, text};
pub use warning::{Warning, warnings};

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;
