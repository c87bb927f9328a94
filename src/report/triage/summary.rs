//! What a pile of clips comes to, in words.

use std::collections::BTreeMap;

use crate::words::{Words, one_line};

use super::super::words::percent;
use super::super::wrap::wrap;
use super::TriageRecord;

/// Clips that the list of the most urgent ones names.
const NAMED: usize = 20;

/// One clip in one line.
#[must_use]
pub fn triage_line(record: &TriageRecord, words: &Words) -> String {
    let what = match (&record.error, record.meaning("title")) {
        (Some(error), _) => format!("{}: {error}", words.say("outcome-unreadable")),
        (None, Some(title)) => title.to_owned(),
        (None, None) => outcome(record.outcome(), words),
    };
    let sure = record.confidence().filter(|_| record.meaning("id").is_some());
    let sure = sure
        .map(|sure| format!(" ({})", percent(sure, words.language())))
        .unwrap_or_default();
    let same = match &record.duplicate_of {
        Some(other) => format!(" {}", words.with("same-as", &[("clip", other.clone().into())])),
        None => String::new(),
    };
    let line = format!("{}: {what}{sure}{same}", record.clip);
    // One line each, whatever a file name or an error holds.
    one_line(&line)
}

fn outcome(word: &str, words: &Words) -> String {
    words.say(match word {
        "decided" => "outcome-decided",
        "undecided" => "outcome-undecided",
        "unlisted" => "outcome-unlisted",
        "unseen" => "outcome-unseen",
        _ => "outcome-unreadable",
    })
}

/// A kind of state by its word in tables.
fn kind_text(word: &str, words: &Words) -> String {
    words.say(match word {
        "booting" => "kind-booting",
        "ready" => "kind-ready",
        "working" => "kind-working",
        "updating" => "kind-updating",
        "fault" => "kind-fault",
        "reset-acknowledged" => "kind-reset-acknowledged",
        "reset-aborted" => "kind-reset-aborted",
        "off" => "kind-off",
        _ => "kind-other",
    })
}

/// Counts by outcome and by kind, and the clips to look at first. `records` are in the order of urgency.
#[must_use]
pub fn triage_summary(records: &[TriageRecord], faults: &[&str], words: &Words) -> String {
    let mut outcomes: BTreeMap<&str, usize> = BTreeMap::new();
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for record in records {
        *outcomes.entry(record.outcome()).or_default() += 1;
        if let Some(kind) = record.meaning("kind") {
            *kinds.entry(kind).or_default() += 1;
        }
    }
    let mut out = wrap("", &words.with("triage-sum", &[("count", records.len().into())]));
    for (word, count) in &outcomes {
        out.push_str(&wrap(&format!("{count:>7}  "), &outcome(word, words)));
    }
    if !kinds.is_empty() {
        out.push_str(&wrap("", &words.say("triage-kinds")));
        for (kind, count) in &kinds {
            out.push_str(&wrap(&format!("{count:>7}  "), &kind_text(kind, words)));
        }
    }
    let copies = records
        .iter()
        .filter(|record| record.duplicate_of.is_some())
        .count();
    if copies > 0 {
        out.push_str(&wrap(
            "",
            &words.with("triage-copies", &[("count", copies.into())]),
        ));
    }
    let urgent: Vec<&TriageRecord> = records
        .iter()
        .filter(|record| record.urgency(faults) < super::Urgency::Busy && record.duplicate_of.is_none())
        .collect();
    if !urgent.is_empty() {
        out.push_str(&wrap("", &words.say("triage-first")));
    }
    for (index, record) in urgent.iter().take(NAMED).enumerate() {
        out.push_str(&wrap(&format!("{:>7}. ", index + 1), &triage_line(record, words)));
    }
    if urgent.len() > NAMED {
        let more = urgent.len() - NAMED;
        out.push_str(&wrap("", &words.with("triage-more", &[("count", more.into())])));
    }
    out
}
