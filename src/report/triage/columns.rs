//! One row a clip, for a spreadsheet.

use super::super::sheet::text_cell;
use super::TriageRecord;

/// The columns, here and in Parquet.
pub(super) const COLUMNS: [&str; 13] = [
    "clip",
    "urgency",
    "outcome",
    "kind",
    "meaning",
    "title",
    "confidence",
    "rivals",
    "next",
    "length_s",
    "duplicate_of",
    "error",
    "sha256",
];

/// One value of a row.
pub(super) enum Cell {
    Text(Option<String>),
    Number(Option<f64>),
}

pub(super) fn cells(record: &TriageRecord, faults: &[&str]) -> [Cell; 13] {
    let text = |value: Option<&str>| Cell::Text(value.map(str::to_owned));
    [
        text(Some(&record.clip)),
        text(Some(record.urgency(faults).code())),
        text(Some(record.outcome())),
        text(record.meaning("kind")),
        text(record.meaning("id")),
        text(record.meaning("title")),
        Cell::Number(record.confidence()),
        Cell::Text(Some(record.rivals().join(" ")).filter(|rivals| !rivals.is_empty())),
        Cell::Text(record.next()),
        Cell::Number(record.length_s()),
        text(record.duplicate_of.as_deref()),
        text(record.error.as_deref()),
        text(Some(&record.sha256)),
    ]
}

/// Comma-separated values with a first row of names; what is not known is empty.
#[must_use]
pub fn triage_csv(records: &[TriageRecord], faults: &[&str]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).expect("memory takes a record");
    for record in records {
        let row = cells(record, faults).map(|cell| match cell {
            Cell::Text(text) => text.map(text_cell).unwrap_or_default(),
            Cell::Number(number) => number.map(|n| n.to_string()).unwrap_or_default(),
        });
        writer.write_record(row).expect("memory takes a record");
    }
    let bytes = writer.into_inner().expect("memory takes everything");
    String::from_utf8(bytes).expect("texts were written")
}
