//! The first line: one sentence with the meaning and how sure it is.

use crate::meaning::Outcome;

use super::findings::{Findings, Judged};
use super::words::{count, lamp, list, percent, sureness};

/// Rows named in the first line of an undecided reading; the rest are in the evidence.
const NAMED: usize = 3;

/// A row less likely than this is not named in the first line.
const NAMED_FROM: f64 = 0.01;

/// The reading in one sentence.
#[must_use]
pub fn headline(findings: &Findings) -> String {
    match &findings.judged {
        Some(judged) => judged_headline(judged, findings.footage_word()),
        None => unjudged_headline(findings),
    }
}

fn judged_headline(judged: &Judged, footage: &str) -> String {
    let reading = &judged.reading;
    let sure = format!(
        "{}, {}",
        sureness(reading.confidence),
        percent(reading.confidence)
    );
    match reading.outcome {
        Outcome::Decided { row } => {
            format!("The light means \"{}\" ({sure}).", judged.meaning(row).title)
        }
        Outcome::Undecided => undecided(judged, footage),
        Outcome::Unlisted => format!("The light does something that the table does not list ({sure})."),
        Outcome::Unseen => format!("No usable light was seen in this {footage}, so there is no reading."),
    }
}

fn undecided(judged: &Judged, footage: &str) -> String {
    let reading = &judged.reading;
    let likely = |probability: f64| probability >= NAMED_FROM;
    let rows: Vec<_> = reading
        .rivals
        .iter()
        .filter(|rival| likely(rival.probability))
        .collect();
    let mut named: Vec<String> = rows
        .iter()
        .take(NAMED)
        .map(|rival| {
            format!(
                "\"{}\" ({})",
                judged.meaning(rival.row).title,
                percent(rival.probability)
            )
        })
        .collect();
    if rows.len() > NAMED {
        named.push(count(rows.len() - NAMED, "other row", "other rows"));
    }
    if likely(reading.unlisted) {
        named.push(format!(
            "something not in the table ({})",
            percent(reading.unlisted)
        ));
    }
    if named.is_empty() {
        return format!("Not decided: this {footage} does not show which row of the table it is.");
    }
    format!("Not decided: this {footage} may show {}.", list(&named, "or"))
}

fn unjudged_headline(findings: &Findings) -> String {
    if !findings.light_seen() {
        return format!("No usable light was seen in this {}.", findings.footage_word());
    }
    let Some(best) = findings.lamps.first() else {
        return "No usable light was seen.".to_owned();
    };
    let what = lamp(&best.trace, &best.measured);
    match findings.lamps.len() {
        1 => format!("One light was seen: {what}. No table was given, so no meaning."),
        all => format!("{all} lights were seen, the plainest: {what}. No table was given, so no meaning."),
    }
}
