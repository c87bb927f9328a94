//! Report: what was found, as text and a page for people and JSON for programs.

mod check_json;
mod check_text;
mod drill;
mod evidence;
mod findings;
mod headline;
mod json;
mod learn_json;
mod page;
mod paste;
mod photos;
mod picture;
mod preview;
mod sheet;
mod shots;
mod signal;
mod strip;
mod text;
mod triage;
mod unusable;
mod verdict;
mod warning;
mod wire;
mod words;
mod wrap;

pub use check_json::check_json;
pub use check_text::check_text;
pub use drill::{DrillLine, drill_csv, drill_html, drill_json, drill_lines, drill_text, drill_unreadable};
pub use findings::{Earlier, Findings, Judged, Lamp, PhotoSeen};
pub use headline::headline;
pub use json::{json, outcome_word, reading_schema};
pub use learn_json::learn_json;
pub use page::html;
pub use picture::{PICTURE_WIDTH, picture, picture_frame};
pub use preview::preview;
pub use shots::{Moment, Shot, moments};
pub use signal::{signal_csv, signal_json};
pub use text::{Style, text};
pub use triage::{
    TriageRecord, Urgency, by_urgency, triage_csv, triage_line, triage_parquet, triage_summary,
};
pub use unusable::{Unusable, system_reason, unusable};
pub use verdict::Verdict;
pub use warning::{Warning, warnings};

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;
