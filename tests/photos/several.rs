//! Several photos of one device: colours seen add up, a rhythm never shows, and what each showed is told.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use lampwise::colour::ColourName;
use lampwise::footage::FootageError;
use lampwise::meaning::{Outcome, Settle};
use lampwise::pipeline::{read, read_photos};
use lampwise::report::Findings;
use lampwise::table::LightTable;
use rstest::rstest;
use serde_json::Value;

use crate::forms::{STEADY, options, table};
use crate::icc::SRGB;
use crate::lamp::{BRIGHT, photo};
use crate::write::{Form, write};

/// A lamp that may change colours, or flash in one.
const LIVELY: &str = r#"
schema = 1
[device]
name = "Cold store door"
[[light]]
id = "door"
label = "the lamp above the door"
colours = ["red", "green", "blue"]
[[meaning]]
id = "shut"
kind = "ready"
title = "Shut"
shows.door = { fixed = "green" }
[[meaning]]
id = "alarm"
kind = "fault"
title = "Too warm"
shows.door = { fixed = "red" }
[[meaning]]
id = "moving"
kind = "working"
title = "Opening or shutting"
shows.door = { alternating = ["red", "green"], each = "500 ms" }
[[meaning]]
id = "held"
kind = "fault"
title = "Something is in the way"
shows.door = { flashing = "red", period = "1 s", on = "0.5 s" }
"#;

const SHUT: usize = 0;
const ALARM: usize = 1;
const MOVING: usize = 2;
const HELD: usize = 3;

/// Photos of one lamp by one camera, one a colour; `None` is dark.
fn photos(folder: &Path, seed: u64, shown: &[Option<ColourName>]) -> Vec<PathBuf> {
    let path = |(index, lit): (usize, &Option<ColourName>)| {
        let path = folder.join(format!("photo-{index}.jpg"));
        let picture = photo(seed, *lit, BRIGHT).coded(&SRGB);
        std::fs::write(&path, write(&picture, Form::Jpeg, None).unwrap()).unwrap();
        path
    };
    shown.iter().enumerate().map(path).collect()
}

fn together<'t>(table: &'t LightTable, paths: &[PathBuf]) -> Findings<'t> {
    read_photos(paths, Some(table), &options()).unwrap()
}

fn probability(findings: &Findings, row: usize) -> f64 {
    let reading = &findings.judged.as_ref().unwrap().reading;
    match reading.outcome {
        Outcome::Decided { row: decided } if decided == row => reading.confidence,
        _ => reading
            .rivals
            .iter()
            .find(|rival| rival.row == row)
            .map_or(0.0, |rival| rival.probability),
    }
}

const RED: Option<ColourName> = Some(ColourName::Red);
const GREEN: Option<ColourName> = Some(ColourName::Green);

#[rstest]
fn colours_seen_in_different_photos_add_up(#[values(1, 2, 3, 4)] seed: u64) {
    let folder = tempfile::tempdir().unwrap();
    let table = table(LIVELY);
    let paths = photos(folder.path(), seed, &[RED, GREEN]);
    // One alone leaves a row of one colour the likeliest: it is always caught so, the changing lamp half of the time.
    let red = read(&paths[0], Some(&table), &options()).unwrap();
    assert!(probability(&red, ALARM) > probability(&red, MOVING));
    let green = read(&paths[1], Some(&table), &options()).unwrap();
    assert!(probability(&green, SHUT) > probability(&green, MOVING));
    // Both leave only the row that has both; but a rhythm was not seen, so nothing is decided.
    let both = together(&table, &paths);
    let reading = &both.judged.as_ref().unwrap().reading;
    assert_eq!(reading.outcome, Outcome::Undecided);
    for row in [SHUT, ALARM, HELD] {
        assert!(
            probability(&both, MOVING) > 5.0 * probability(&both, row),
            "{:?}",
            reading.rivals
        );
    }
    assert!(matches!(reading.settle[..], [Settle::FilmInstead { seconds }] if seconds >= 1.0));
    // The order in which they are given says nothing.
    let turned: Vec<PathBuf> = paths.iter().rev().cloned().collect();
    let turned = together(&table, &turned);
    for row in [SHUT, ALARM, MOVING, HELD] {
        assert!((probability(&both, row) - probability(&turned, row)).abs() < 1e-9);
    }
}

/// However many photos show the same: they may be of one flash.
#[rstest]
fn photos_that_look_alike_say_no_more_than_one(#[values(1, 2)] seed: u64) {
    let folder = tempfile::tempdir().unwrap();
    let table = table(LIVELY);
    let paths = photos(folder.path(), seed, &[RED; 8]);
    let one = read(&paths[0], Some(&table), &options()).unwrap();
    let many = together(&table, &paths);
    for findings in [&one, &many] {
        assert_eq!(
            findings.judged.as_ref().unwrap().reading.outcome,
            Outcome::Undecided
        );
    }
    for row in [SHUT, ALARM, MOVING, HELD] {
        let (one, many) = (probability(&one, row), probability(&many, row));
        assert!(
            (one - many).abs() < 0.02,
            "row {row}: {one:.3} by one, {many:.3} by many"
        );
    }
}

#[rstest]
#[case::red(RED, 0)]
#[case::green(GREEN, 1)]
fn where_no_row_has_a_rhythm_photos_decide_as_one_does(#[case] lit: Option<ColourName>, #[case] row: usize) {
    let folder = tempfile::tempdir().unwrap();
    let table = table(STEADY);
    let findings = together(&table, &photos(folder.path(), 5, &[lit; 3]));
    assert_eq!(findings.judged.unwrap().reading.outcome, Outcome::Decided { row });
}

/// Red and green in a table whose lamps never change: they are not of one state, so nothing is decided.
#[rstest]
fn photos_that_fit_no_row_together_decide_nothing(#[values(1, 2, 3)] seed: u64) {
    let folder = tempfile::tempdir().unwrap();
    let table = table(STEADY);
    let findings = together(&table, &photos(folder.path(), seed, &[RED, GREEN]));
    assert_eq!(findings.judged.unwrap().reading.outcome, Outcome::Undecided);
}

#[test]
fn a_clip_among_photos_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut paths = photos(folder.path(), 1, &[RED]);
    paths.push(Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo.mp4"));
    let error = read_photos(&paths, None, &options()).err().unwrap();
    assert!(
        matches!(&error, FootageError::NotAPhoto { path } if path == &paths[1]),
        "{error}"
    );
    let refused = lampwise(
        folder.path(),
        &["read", paths[0].to_str().unwrap(), paths[1].to_str().unwrap()],
    );
    assert_eq!(refused.status.code(), Some(3));
    let told = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(
        told.contains("demo.mp4: this is a clip") && told.contains("hint: read a clip by itself"),
        "{told}"
    );
}

fn lampwise(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .expect("cargo built the program")
}

#[test]
fn text_json_and_page_tell_what_each_photo_showed() {
    let folder = tempfile::tempdir().unwrap();
    photos(folder.path(), 2, &[RED, GREEN, None]);
    std::fs::write(folder.path().join("door.toml"), LIVELY).unwrap();
    let given = [
        "read",
        "photo-0.jpg",
        "photo-1.jpg",
        "photo-2.jpg",
        "--table",
        "door.toml",
    ];
    let run = lampwise(folder.path(), &[&given[..], &["--html", "page.html"]].concat());
    assert_eq!(
        run.status.code(),
        Some(1),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let text = String::from_utf8(run.stdout).unwrap();
    assert!(
        text.starts_with("Not decided: these photos may show \"Opening or shutting\""),
        "{text}"
    );
    let page = std::fs::read_to_string(folder.path().join("page.html")).unwrap();
    for told in [
        "photo-0.jpg: red",
        "photo-1.jpg: green",
        "photo-2.jpg: no lamp to be seen",
    ] {
        assert!(text.contains(told), "{told} in {text}");
        assert!(page.contains(told), "{told} in the page");
    }
    assert!(
        text.contains("These are 3 photos") && text.contains("a clip would settle"),
        "{text}"
    );
    assert!(text.contains("Film a clip of"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");

    let run = lampwise(folder.path(), &[&given[..], &["--json"]].concat());
    let value: Value = serde_json::from_slice(&run.stdout).unwrap();
    let shown: Vec<(&str, Option<&str>)> = value["photos"]
        .as_array()
        .unwrap()
        .iter()
        .map(|photo| {
            let colour = photo["lights"][0]["colours"][0]["name"].as_str();
            (photo["name"].as_str().unwrap(), colour)
        })
        .collect();
    assert_eq!(
        shown,
        [
            ("photo-0.jpg", Some("red")),
            ("photo-1.jpg", Some("green")),
            ("photo-2.jpg", None)
        ]
    );
    assert_eq!(
        value["photos"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|photo| photo["plainest"] == true)
            .count(),
        1
    );
    assert_eq!(value["outcome"], "undecided");
    assert!(
        value["warnings"]
            .as_array()
            .unwrap()
            .iter()
            .any(|warning| warning["code"] == "photos")
    );

    let refused = lampwise(folder.path(), &[&given[..], &["--at", "10,10"]].concat());
    assert_eq!(refused.status.code(), Some(3));
}
