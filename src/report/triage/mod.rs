//! Many clips: one record each, in the order in which somebody should look at them, and what they come to.

mod columnar;
mod columns;
mod summary;

use std::cmp::Ordering;

use serde::{Deserialize, Serialize};
use serde_json::Value;

pub use columnar::triage_parquet;
pub use columns::triage_csv;
pub use summary::{triage_line, triage_summary};

/// What became of one clip. One line of JSON Lines, and one line of the journal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TriageRecord {
    /// Its path within the folder.
    pub clip: String,
    /// SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
    /// The path of a clip with the same bytes, which was read in its place.
    pub duplicate_of: Option<String>,
    /// Why it could not be read.
    pub error: Option<String>,
    /// The reading, as `read --json` prints it; `None` where it could not be read.
    pub reading: Option<Value>,
}

/// How soon somebody should look, the most urgent first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Something is wrong with the device, or it is dark.
    Fault,
    /// A reset did not take: somebody stands at the device and waits.
    Aborted,
    /// It does something that the table does not know, or a fault is among what it may be.
    Unknown,
    /// Not read: somebody has to film again.
    FilmAgain,
    /// It is at something and will be done by itself.
    Busy,
    /// All is well.
    Well,
}

impl Urgency {
    /// A stable word for programs.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Fault => "fault",
            Self::Aborted => "aborted",
            Self::Unknown => "unknown",
            Self::FilmAgain => "film-again",
            Self::Busy => "busy",
            Self::Well => "well",
        }
    }
}

impl TriageRecord {
    /// The outcome by its word; `unreadable` where there is no reading.
    #[must_use]
    pub fn outcome(&self) -> &str {
        self.text(&["outcome"]).unwrap_or("unreadable")
    }

    /// Id, kind or title of the row that was decided on.
    #[must_use]
    pub fn meaning(&self, key: &str) -> Option<&str> {
        self.text(&["meaning", key])
    }

    /// Probability that the outcome is right, where there is one: an undecided reading is sure of nothing but that.
    #[must_use]
    pub fn confidence(&self) -> Option<f64> {
        let says = ["decided", "unlisted"].contains(&self.outcome());
        self.reading
            .as_ref()
            .filter(|_| says)?
            .get("confidence")?
            .as_f64()
    }

    /// Length of the clip, seconds.
    #[must_use]
    pub fn length_s(&self) -> Option<f64> {
        self.reading.as_ref()?.get("footage")?.get("length_s")?.as_f64()
    }

    /// The rows that may be meant beside the decided one, by their ids.
    #[must_use]
    pub fn rivals(&self) -> Vec<&str> {
        let rivals = self
            .reading
            .as_ref()
            .and_then(|reading| reading["rivals"].as_array());
        rivals
            .into_iter()
            .flatten()
            .filter_map(|rival| rival["id"].as_str())
            .collect()
    }

    /// The first step, its cautions first.
    #[must_use]
    pub fn next(&self) -> Option<String> {
        let step = self.reading.as_ref()?["next"].get(0)?;
        let told = [step["caution"].as_str(), Some(step["do"].as_str()?)];
        Some(told.into_iter().flatten().collect::<Vec<_>>().join(" "))
    }

    /// How soon somebody should look at it; `faults` are the ids of the table's rows of that kind.
    #[must_use]
    pub fn urgency(&self, faults: &[&str]) -> Urgency {
        match (self.outcome(), self.meaning("kind")) {
            ("decided", Some("fault" | "off")) => Urgency::Fault,
            ("decided", Some("reset-aborted")) => Urgency::Aborted,
            ("decided", Some("booting" | "updating" | "reset-acknowledged")) => Urgency::Busy,
            ("decided", _) => Urgency::Well,
            ("unlisted", _) => Urgency::Unknown,
            ("undecided", _) if self.rivals().iter().any(|id| faults.contains(id)) => Urgency::Unknown,
            _ => Urgency::FilmAgain,
        }
    }

    fn text(&self, path: &[&str]) -> Option<&str> {
        let mut at = self.reading.as_ref()?;
        for key in path {
            at = at.get(key)?;
        }
        at.as_str()
    }
}

/// Sorts records: the most urgent first, among equals the surest first, then by name.
pub fn by_urgency(records: &mut [TriageRecord], faults: &[&str]) {
    records.sort_by(|a, b| {
        let sure = |record: &TriageRecord| record.confidence().unwrap_or(0.0);
        a.urgency(faults)
            .cmp(&b.urgency(faults))
            .then(sure(b).partial_cmp(&sure(a)).unwrap_or(Ordering::Equal))
            .then(a.clip.cmp(&b.clip))
    });
}

#[cfg(test)]
mod tests;
