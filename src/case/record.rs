//! The form of a case file.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// What is known of one device over several clips.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// Version of this form.
    pub(super) schema: u32,
    /// The device, by its table.
    pub device: String,
    /// When the device got power, as told.
    pub powered_since: Option<Timestamp>,
    /// What is so at the site and what is not, by the table's names for it.
    pub site: Vec<(String, bool)>,
    /// What was tried, by the table's names for it, in the order in which it was told.
    pub tried: Vec<String>,
    /// What every clip said, oldest first.
    pub visits: Vec<Visit>,
}

/// One clip of a case.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// When it was read.
    pub at: Timestamp,
    /// Since when the light had been so, as told or as earlier clips show.
    pub since: Option<Timestamp>,
    /// SHA-256 of the footage, in hexadecimal.
    pub clip: String,
    /// The name of its file.
    pub name: String,
    /// What it said.
    pub said: Said,
    /// The steps that were given, as sentences.
    pub steps: Vec<String>,
}

/// What a clip said.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Said {
    /// The outcome, by its word in JSON.
    pub outcome: String,
    /// Id of the row; `None` unless decided.
    pub meaning: Option<String>,
    /// Probability that the outcome is right.
    pub confidence: f64,
    /// The same as a sentence.
    pub sentence: String,
}
