//! Case: what is known of one device over several clips, kept in a file between them.
//!
//! Nothing here reads a clock or a file; the command does.

mod error;
mod record;

use jiff::{SignedDuration, Timestamp};

pub use error::CaseError;
pub use record::{Case, Said, Visit};

/// Version of the form of the file.
pub(crate) const SCHEMA: u32 = 1;

/// Longest file that is read, bytes. A visit takes about 1 KiB, so this holds thousands.
pub const LONGEST_BYTES: usize = 4 << 20;

/// What was told on the way in, beside the clip.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// For how long the light has been so, seconds.
    pub lasted_s: Option<f64>,
    /// For how long the device has had power, seconds.
    pub powered_s: Option<f64>,
    /// What is so at the site and what is not.
    pub site: Vec<(String, bool)>,
    /// What was tried.
    pub tried: Vec<String>,
}

impl Case {
    /// An empty case of a device.
    #[must_use]
    pub fn new(device: &str) -> Self {
        Self {
            schema: SCHEMA,
            device: device.to_owned(),
            powered_since: None,
            site: Vec::new(),
            tried: Vec::new(),
            visits: Vec::new(),
        }
    }

    /// Reads a case from the text of its file.
    ///
    /// # Errors
    ///
    /// When the text is no whole case of a version that this program reads.
    pub fn parse(text: &str) -> Result<Self, CaseError> {
        if text.len() > LONGEST_BYTES {
            return Err(CaseError::TooLong);
        }
        // The version first: a newer form would only look damaged.
        let value: serde_json::Value = serde_json::from_str(text)?;
        match value.get("schema").and_then(serde_json::Value::as_u64) {
            Some(schema) if schema == u64::from(SCHEMA) => {}
            Some(found) => return Err(CaseError::OtherSchema { found }),
            None => return Err(CaseError::NoCase),
        }
        Ok(serde_json::from_str(text)?)
    }

    /// The text of its file.
    #[must_use]
    pub fn to_text(&self) -> String {
        let json = serde_json::to_string_pretty(self);
        json.expect("a case has string keys and finite numbers") + "\n"
    }

    /// Takes in what was told, and gives all that is known now: what was told earlier, brought up to date. `clip` is
    /// the digest of the footage, so that a clip read again does not count twice.
    pub fn known(&mut self, told: Told, clip: &str, now: Timestamp) -> Told {
        self.visits.retain(|visit| visit.clip != clip);
        for (name, holds) in told.site {
            self.site.retain(|(known, _)| *known != name);
            self.site.push((name, holds));
        }
        for name in told.tried {
            if !self.tried.contains(&name) {
                self.tried.push(name);
            }
        }
        if let Some(powered_s) = told.powered_s {
            self.powered_since = before(now, powered_s);
        }
        Told {
            lasted_s: told.lasted_s,
            powered_s: self.powered_since.map(|since| seconds(since, now)),
            site: self.site.clone(),
            tried: self.tried.clone(),
        }
    }

    /// Since when the light has shown a row, seconds ago: from the earliest of the last visits that all said so.
    #[must_use]
    pub fn shown_for_s(&self, row: &str, now: Timestamp) -> Option<f64> {
        let same = self
            .visits
            .iter()
            .rev()
            .take_while(|visit| visit.said.meaning.as_deref() == Some(row));
        same.last()
            .map(|visit| seconds(visit.since.unwrap_or(visit.at), now))
    }

    /// Notes what a clip said and which steps were given.
    pub fn note(&mut self, visit: Visit) {
        self.visits.push(visit);
    }
}

/// A moment so many seconds ago; `None` where that is before all time.
#[must_use]
pub fn before(now: Timestamp, seconds: f64) -> Option<Timestamp> {
    let span = SignedDuration::try_from_secs_f64(seconds).ok()?;
    now.checked_sub(span).ok()
}

/// Seconds from one moment to another; 0 where a clock was put back meanwhile.
#[must_use]
pub fn seconds(from: Timestamp, to: Timestamp) -> f64 {
    to.duration_since(from).as_secs_f64().max(0.0)
}

#[cfg(test)]
mod tests;
