//! Records made by hand: their order, their sums, and that what was written is read back by another reader.

use ::parquet::file::reader::{FileReader, SerializedFileReader};
use ::parquet::record::RowAccessor;
use serde_json::json;

use super::*;
use crate::words::{Language, words};

fn record(clip: &str, outcome: &str, kind: Option<&str>, confidence: f64) -> TriageRecord {
    let meaning = kind.map(
        |kind| json!({ "id": format!("{kind}-row"), "kind": kind, "title": format!("Row, \"{kind}\"") }),
    );
    TriageRecord {
        clip: clip.to_owned(),
        sha256: "ab".repeat(32),
        duplicate_of: None,
        error: None,
        reading: Some(json!({
            "outcome": outcome, "confidence": confidence, "meaning": meaning,
            "rivals": [{ "id": "fault-row", "probability": 0.3 }],
            "next": [{ "do": "Wait,\nthen look.", "caution": "Power stays on." }], "footage": { "length_s": 9.5 },
        })),
    }
}

fn unreadable(clip: &str) -> TriageRecord {
    TriageRecord {
        error: Some("it is cut off".to_owned()),
        reading: None,
        ..record(clip, "", None, 0.0)
    }
}

fn pile() -> Vec<TriageRecord> {
    let mut pile = vec![
        record("well.mp4", "decided", Some("ready"), 0.99),
        unreadable("broken.mp4"),
        record("dark.mp4", "decided", Some("off"), 0.92),
        record("fault.mp4", "decided", Some("fault"), 0.97),
        record("starting.mp4", "decided", Some("booting"), 0.97),
        record("may-be.mp4", "undecided", None, 0.5),
        record("strange.mp4", "unlisted", None, 0.9),
        record("let-go.mp4", "decided", Some("reset-aborted"), 0.95),
    ];
    by_urgency(&mut pile, &["fault-row"]);
    pile
}

#[test]
fn who_waits_for_help_comes_first() {
    let names: Vec<String> = pile().into_iter().map(|record| record.clip).collect();
    assert_eq!(
        names,
        [
            "fault.mp4",
            "dark.mp4",
            "let-go.mp4",
            "strange.mp4",
            "may-be.mp4",
            "broken.mp4",
            "starting.mp4",
            "well.mp4"
        ]
    );
}

#[test]
fn an_open_reading_is_urgent_only_where_a_fault_is_among_its_rivals() {
    let open = record("a", "undecided", None, 0.5);
    assert_eq!(open.urgency(&["fault-row"]), Urgency::Unknown);
    assert_eq!(open.urgency(&["other"]), Urgency::FilmAgain);
}

#[test]
fn a_spreadsheet_reads_the_csv() {
    let text = triage_csv(&pile(), &["fault-row"]);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(
        reader.headers().unwrap().iter().collect::<Vec<_>>(),
        columns::COLUMNS
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 8);
    assert_eq!(&rows[0][5], "Row, \"fault\"");
    assert_eq!(&rows[0][8], "Power stays on. Wait,\nthen look.");
    assert_eq!((&rows[5][2], &rows[5][11]), ("unreadable", "it is cut off"));
}

#[test]
fn parquet_holds_the_same() {
    let bytes = triage_parquet(&pile(), &["fault-row"]).unwrap();
    let reader = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
    let rows: Vec<_> = reader.get_row_iter(None).unwrap().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 8);
    assert_eq!(rows[0].get_string(0).unwrap(), "fault.mp4");
    assert_eq!(rows[0].get_double(6).unwrap(), 0.97);
    assert!(
        rows[5].get_double(6).is_err(),
        "what could not be read has no confidence"
    );
    assert_eq!(rows[5].get_string(11).unwrap(), "it is cut off");
}

#[test]
fn the_summary_counts_by_outcome_and_kind_and_names_the_urgent() {
    let mut pile = pile();
    pile[7].duplicate_of = Some("fault.mp4".to_owned());
    insta::assert_snapshot!(triage_summary(&pile, &["fault-row"], words(Language::English)), @r#"
    8 clips:
          5  decided
          1  undecided
          1  in no row of the table
          1  could not be read
    Kinds of state:
          1  starting
          1  fault
          1  dark
          1  ready
          1  reset aborted
    1 of them is a copy of another.
    To look at first:
          1. fault.mp4: Row, "fault" (97 %)
          2. dark.mp4: Row, "off" (92 %)
          3. let-go.mp4: Row, "reset-aborted" (95 %)
          4. strange.mp4: in no row of the table
          5. may-be.mp4: undecided
          6. broken.mp4: could not be read: it is cut off
    "#);
}
