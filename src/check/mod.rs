//! Check: what a table's author should know before anybody films the device.
//!
//! A table that parses is sound; this looks at what it asks of a camera and of people. [`check`] says which rows a
//! phone will confuse, how long a clip each row needs, and what in the procedures cannot happen.

mod finding;
mod forecast;
mod languages;
mod look;
mod order;
mod procedure;
mod rates;
mod words;

pub use finding::{Finding, FindingKind, Severity};
pub use forecast::{FPS, Forecast, Pair, RowForecast, SECONDS, Verdict};

use crate::table::{LightTable, Places, Source, same_look};

/// Everything that is to be said of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// In the order of the text, warnings and notes.
    pub findings: Vec<Finding>,
    /// What clips of the rows will tell.
    pub forecast: Forecast,
}

impl Check {
    /// Nothing is worth a warning.
    #[must_use]
    pub fn is_fine(&self) -> bool {
        self.findings
            .iter()
            .all(|finding| finding.severity == Severity::Note)
    }
}

/// Looks at a sound table. `source` is the text that it was made from.
#[must_use]
pub fn check(table: &LightTable, source: &Source) -> Check {
    let places = Places::of(table, source);
    let alike = same_look(table);
    let forecast = Forecast::new(table);
    let mut findings = look::findings(table, &places, &alike, &forecast);
    findings.extend(rates::findings(table, &places));
    findings.extend(order::findings(table, &places));
    findings.extend(procedure::findings(table, &places, &alike));
    findings.extend(languages::findings(table, &places));
    findings.sort_by_key(|finding| (finding.at.start, finding.at.end));
    Check { findings, forecast }
}
