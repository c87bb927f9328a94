//! Drills on rendered clips whose holds are known, under the shipped table.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use lampwise::colour::ColourName::{Blue, Red, White};
use lampwise::render::{self, Beat, Hand, Lamp, Recipe, Shown, Stretch};
use serde_json::Value;

const TABLE: &str = "models/tables/orchard-valve.toml";

/// What the table asks for, seconds.
const NEEDED_S: f64 = 3.0;

fn stretch(for_s: f64, cycle: Vec<Beat>) -> Stretch {
    Stretch { for_s, cycle }
}

fn flash(colour: lampwise::colour::ColourName, on_s: f64, off_s: f64) -> Vec<Beat> {
    vec![Beat::lit(colour, on_s), Beat::dark(off_s)]
}

/// The lamp is white (in service), alternates for so long, and answers; then starts up or is white again.
fn reset(before_s: f64, held_s: f64) -> Vec<Stretch> {
    let alternating = vec![Beat::lit(Blue, 0.12), Beat::lit(White, 0.12)];
    let mut all = vec![
        stretch(before_s, vec![Beat::lit(White, 1.0)]),
        stretch(held_s, alternating),
    ];
    if held_s >= NEEDED_S {
        all.push(stretch(3.2, flash(White, 0.9, 0.7)));
    } else {
        all.push(stretch(1.8, flash(Red, 0.3, 0.3)));
    }
    all
}

fn seed() -> u64 {
    std::env::var("LAMPWISE_SEED")
        .ok()
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(1)
}

fn film(folder: &Path, name: &str, course: Vec<Stretch>) -> PathBuf {
    let path = folder.join(name);
    let seconds = course.iter().map(|stretch| stretch.for_s).sum();
    let recipe = Recipe {
        width_px: 640,
        height_px: 360,
        seconds,
        seed: seed() * 100 + seconds as u64,
        lamps: vec![Lamp {
            id: "crown".to_owned(),
            x_px: 320.0,
            y_px: 180.0,
            radius_px: 11.0,
            peak: 1.5,
            ..Lamp::showing(Shown::Sequence(course))
        }],
        hand: Hand {
            shake_rms_px: 1.0,
            ..Hand::default()
        },
        ..Recipe::default()
    };
    render::clip(&recipe, &path).expect("the clip is rendered");
    path
}

fn drill(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["drill", "--table", TABLE])
        .args(arguments)
        .output()
        .expect("cargo built the program")
}

/// A frame lasts 1/30 s; both ends of a hold are known to a frame at least.
const FRAME_S: f64 = 1.0 / 30.0;

#[test]
fn holds_are_measured_to_a_frame_at_either_end() {
    let folder = tempfile::tempdir().unwrap();
    // One of them ends in white, as the answer begins.
    let holds = [(1.5, 4.2), (2.0, 1.6), (1.5, 2.6), (1.5, 3.8)];
    let clips: Vec<PathBuf> = holds
        .iter()
        .enumerate()
        .map(|(index, (before_s, held_s))| {
            film(folder.path(), &format!("{index}.mp4"), reset(*before_s, *held_s))
        })
        .collect();
    let names: Vec<&str> = clips.iter().map(|path| path.to_str().unwrap()).collect();
    let output = drill(&[&["--json"][..], &names].concat());
    let sheet: Value = serde_json::from_slice(&output.stdout).unwrap();
    let tries = sheet["tries"].as_array().unwrap();
    assert_eq!(tries.len(), holds.len(), "{sheet:#}");
    for (line, (before_s, held_s)) in tries.iter().zip(holds) {
        let value = |key: &str| {
            line[key]["value"]
                .as_f64()
                .unwrap_or_else(|| panic!("{key} in {line:#}"))
        };
        assert_eq!(line["needed_s"], NEEDED_S);
        let within = |key: &str, truth: f64, frames: f64| {
            let off = value(key) - truth;
            assert!(
                off.abs() <= frames * FRAME_S,
                "{key}: {off:+.3} s beside {truth} s in {line:#}"
            );
        };
        within("began_s", before_s, 1.0);
        within("held_s", held_s, 2.0);
        within("answered_s", before_s + held_s, 1.0);
        if held_s < NEEDED_S {
            assert_eq!(line["verdict"], "too-short", "{line:#}");
            within("short_by_s", NEEDED_S - held_s, 2.0);
        } else {
            assert_eq!(line["verdict"], "took", "{line:#}");
            assert!(line["short_by_s"].is_null());
        }
    }
}

/// A clip that ends while the button is held shows no answer, however long that is.
#[test]
fn a_hold_without_an_answer_did_not_take() {
    let folder = tempfile::tempdir().unwrap();
    let mut course = reset(1.5, 3.7);
    course.truncate(2);
    let clip = film(folder.path(), "cut.mp4", course);
    let output = drill(&["--json", clip.to_str().unwrap()]);
    let sheet: Value = serde_json::from_slice(&output.stdout).unwrap();
    let tries = sheet["tries"].as_array().unwrap();
    assert_eq!(tries.len(), 1, "{sheet:#}");
    for line in tries {
        assert!(
            ["unclear", "none"].contains(&line["verdict"].as_str().unwrap()),
            "{line:#}"
        );
    }
}

#[test]
fn a_sheet_is_made_of_good_and_bad_clips_alike() {
    let folder = tempfile::tempdir().unwrap();
    let took = film(folder.path(), "anna.mp4", reset(1.5, 3.8));
    let (html, csv) = (folder.path().join("sheet.html"), folder.path().join("sheet.csv"));
    let output = drill(&[
        took.to_str().unwrap(),
        "fixtures/demo.mp4",
        "Cargo.toml",
        "--html",
        html.to_str().unwrap(),
        "--csv",
        csv.to_str().unwrap(),
    ]);
    assert_eq!(output.status.code(), Some(1), "not every clip could be judged");
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    assert!(text.contains("anna.mp4, try 1: it took"), "{text}");
    let mut reader = csv::Reader::from_path(csv).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let verdicts: Vec<(&str, &str)> = rows.iter().map(|row| (&row[0], &row[2])).collect();
    assert_eq!(
        verdicts,
        [
            ("anna.mp4", "took"),
            ("demo.mp4", "none"),
            ("Cargo.toml", "unreadable")
        ]
    );
    let page = std::fs::read_to_string(html).unwrap();
    assert!(page.contains("anna.mp4") && page.contains("erases the settings"));
}
