//! Triage of rendered clips: nothing is lost or done twice when it is killed, bad clips stop nothing, copies are seen.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use lampwise::colour::ColourName::{Red, White};
use lampwise::render::{self, Beat, Lamp, Recipe, Shown, Stretch};
use serde_json::Value;

const TABLE: &str = "models/tables/orchard-valve.toml";

/// Small clips of a lamp that blinks (supply too low) or is lit (in service).
fn film(path: &Path, blinks: bool, seed: u64) {
    let cycle = if blinks {
        vec![Beat::lit(Red, 0.7), Beat::dark(0.7)]
    } else {
        vec![Beat::lit(White, 1.0)]
    };
    let recipe = Recipe {
        width_px: 320,
        height_px: 240,
        seconds: 5.0,
        seed,
        lamps: vec![Lamp {
            x_px: 160.0,
            y_px: 120.0,
            radius_px: 10.0,
            peak: 3.0,
            ..Lamp::showing(Shown::Sequence(vec![Stretch { for_s: 9.0, cycle }]))
        }],
        ..Recipe::default()
    };
    render::clip(&recipe, path).expect("the clip is rendered");
}

fn triage(folder: &Path, more: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lampwise"));
    command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args([
            "triage",
            folder.to_str().expect("a path of plain letters"),
            "--table",
            TABLE,
        ])
        .args(more);
    command
}

/// Clips of a JSON Lines file or a journal, and how often each is there.
fn clips(path: &Path) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    for line in std::fs::read_to_string(path).unwrap_or_default().lines() {
        let clip = serde_json::from_str::<Value>(line)
            .ok()
            .and_then(|value| Some(value["clip"].as_str()?.to_owned()));
        if let Some(clip) = clip {
            *found.entry(clip).or_default() += 1;
        }
    }
    found
}

/// Clips that the program told of on its output, before the summary.
fn told(text: &str) -> Vec<String> {
    let lines = text.lines().take_while(|line| !line.ends_with("clips:"));
    lines
        .filter_map(|line| Some(line.split_once(".mp4: ")?.0.to_owned() + ".mp4"))
        .collect()
}

#[test]
fn killed_in_the_middle_it_loses_and_repeats_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for clip in 0..8 {
        film(&folder.path().join(format!("{clip}.mp4")), clip % 2 == 0, clip);
    }
    let journal = folder.path().join(".lampwise-triage.jsonl");
    let mut child = triage(folder.path(), &["--jobs", "2"])
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let start = Instant::now();
    while clips(&journal).len() < 2 {
        assert!(
            start.elapsed() < Duration::from_secs(120),
            "two clips are done in that time"
        );
        assert!(child.try_wait().unwrap().is_none(), "it is still at work");
        std::thread::sleep(Duration::from_millis(5));
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let before = clips(&journal);
    assert!(before.len() < 8, "it was killed in the middle");

    let jsonl = folder.path().join("all.jsonl");
    let output = triage(folder.path(), &["--jsonl", jsonl.to_str().unwrap()])
        .output()
        .unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    let again = told(&text);
    assert_eq!(again.len(), 8 - before.len(), "{text}");
    assert!(
        again.iter().all(|clip| !before.contains_key(clip)),
        "what was done is not done again"
    );
    let after = clips(&journal);
    assert_eq!(after.len(), 8);
    assert!(after.values().all(|times| *times == 1), "{after:?}");
    assert_eq!(clips(&jsonl), after, "the sheet has all of them, once each");

    let third = triage(folder.path(), &[]).output().unwrap();
    assert_eq!(
        told(&String::from_utf8(third.stdout).unwrap()),
        Vec::<String>::new()
    );
}

#[test]
fn bad_clips_stop_nothing_and_copies_are_noticed() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir(at("north")).unwrap();
    film(&at("north/low.mp4"), true, 1);
    film(&at("well.mp4"), false, 2);
    std::fs::copy(at("well.mp4"), at("well again.mp4")).unwrap();
    std::fs::write(at("notes.txt"), "row 7 is dry").unwrap();
    let whole = std::fs::read(at("well.mp4")).unwrap();
    std::fs::write(at("cut.mp4"), &whole[..whole.len() / 3]).unwrap();
    std::fs::write(at("empty.mp4"), "").unwrap();
    let (csv, parquet) = (at("all.csv"), at("all.parquet"));
    let sheets = [
        "--csv",
        csv.to_str().unwrap(),
        "--parquet",
        parquet.to_str().unwrap(),
    ];
    // A second run finds the sheets of the first in the folder, and does not take them for clips.
    triage(folder.path(), &sheets).output().unwrap();
    let output = triage(folder.path(), &sheets).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    let mut reader = csv::Reader::from_path(csv).unwrap();
    let rows: BTreeMap<String, csv::StringRecord> = reader
        .records()
        .map(|row| row.unwrap())
        .map(|row| (row[0].to_owned(), row))
        .collect();
    assert_eq!(rows.len(), 6, "{rows:?}");
    assert_eq!(&rows["north/low.mp4"][4], "low-supply");
    assert_eq!(&rows["well.mp4"][4], &rows["well again.mp4"][4]);
    let copies: Vec<&str> = [&rows["well.mp4"][10], &rows["well again.mp4"][10]]
        .into_iter()
        .filter(|of| !of.is_empty())
        .collect();
    assert_eq!(copies.len(), 1, "one of the two is the copy");
    for bad in ["notes.txt", "empty.mp4"] {
        assert_eq!(&rows[bad][2], "unreadable");
        assert!(!rows[bad][11].is_empty(), "{bad} says why");
    }
    let bytes = std::fs::read(parquet).unwrap();
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
}

#[test]
fn a_single_clip_is_sent_to_the_command_that_reads_it() {
    let folder = tempfile::tempdir().unwrap();
    let clip = folder.path().join("well.mp4");
    std::fs::write(&clip, "").unwrap();
    let output = triage(&clip, &[]).output().unwrap();
    assert_eq!(output.status.code(), Some(3));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.contains("is a file") && said.contains("`lampwise read`"),
        "{said}"
    );
}

#[test]
fn another_language_has_another_journal_and_its_own_words() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("notes.txt"), "row 7 is dry").unwrap();
    film(&folder.path().join("well.mp4"), false, 2);
    triage(folder.path(), &[]).output().unwrap();
    let other = triage(folder.path(), &["--language", "de"]).output().unwrap();
    assert_eq!(other.status.code(), Some(3));
    assert!(String::from_utf8(other.stderr).unwrap().contains("Sprache"));
    let journal = folder.path().join(".de.jsonl");
    let german = ["--language", "de", "--journal", journal.to_str().unwrap()];
    let output = triage(folder.path(), &german).output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("In Betrieb, Ventil zu"), "{text}");
    assert!(text.contains("bereit"), "the kind of the state: {text}");
    let unsaid = ["ready", "neither a clip", "send an MP4"];
    assert!(
        text.contains("weder ein Video noch ein Foto") && !unsaid.iter().any(|words| text.contains(words)),
        "{text}"
    );
}

#[test]
fn a_journal_of_another_table_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    film(&folder.path().join("a.mp4"), false, 1);
    triage(folder.path(), &[]).output().unwrap();
    let journal = folder.path().join(".lampwise-triage.jsonl");
    let before = std::fs::read(&journal).unwrap();
    let output = triage(folder.path(), &["--threshold", "0.8"]).output().unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert_eq!(std::fs::read(&journal).unwrap(), before);
}
