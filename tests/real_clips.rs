//! Real clips of lamps whose pattern is known from the board's own program or frame by frame.
//!
//! The clips lie beside the checkout and are not part of it; where they are missing the tests say so and pass.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a panic in a test is its report, and what was skipped or measured must be seen"
)]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use lampwise::footage::{Footage, Limits};
use lampwise::light::{Followed, Watcher};
use lampwise::pipeline::{Options, read};
use lampwise::table;
use lampwise::trace;
use serde_json::Value;

const OPTIONS: Options = Options {
    at: None,
    threshold: 0.9,
    slowed_by: 1.0,
    threads: None,
    language: lampwise::words::Language::English,
};

fn clips() -> Option<(PathBuf, Vec<Value>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/clips");
    let Ok(text) = std::fs::read_to_string(folder.join("manifest.jsonl")) else {
        println!("skipped: no real clips beside the checkout");
        return None;
    };
    let entries = text
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    Some((folder, entries))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// The first colour word in what was noted by eye, as a table writes it.
fn colour_word(noted: &str) -> Option<&'static str> {
    let words = [
        "red", "amber", "yellow", "green", "cyan", "blue", "violet", "white",
    ];
    words
        .into_iter()
        .filter_map(|word| Some((noted.find(word)?, word)))
        .min()
        .map(|(_, word)| word)
}

/// The light's program as `steps` of a table, if it is known and made of plain colours.
fn steps(light: &Value) -> Option<(String, Vec<&'static str>)> {
    let pattern = light["true_pattern"].as_array()?;
    let mut colours = Vec::new();
    let mut steps = Vec::new();
    for part in pattern {
        let (word, ms) = (part["colour"].as_str()?, part["ms"].as_f64()?);
        if word == "off" {
            steps.push(format!("\"off {ms} ms\""));
        } else {
            let colour = colour_word(word).filter(|colour| *colour == word)?;
            colours.push(colour);
            steps.push(format!("\"{colour} {ms} ms\""));
        }
    }
    (steps.len() > 1).then(|| (format!("{{ steps = [{}] }}", steps.join(", ")), colours))
}

/// A table with the light's program as one row, and other rows for it to be told from.
fn table_for(light: &Value) -> String {
    let noted = light["colour"]
        .as_str()
        .or(light["colour_by_eye"].as_str())
        .unwrap_or("white");
    let colour = colour_word(noted).unwrap_or("white");
    let shows = steps(light).map_or_else(
        || format!("{{ flashing = \"{colour}\", period = \"2560 ms\" }}"),
        |(steps, _)| steps,
    );
    format!(
        r#"
schema = 1
[device]
name = "a lamp on a board"
[[light]]
id = "lamp"
label = "the lamp"
colours = ["{colour}"]
[[meaning]]
id = "as-programmed"
kind = "working"
title = "As programmed"
shows.lamp = {shows}
[[meaning]]
id = "steady"
kind = "ready"
title = "Steady"
shows.lamp = {{ fixed = "{colour}" }}
[[meaning]]
id = "quick"
kind = "fault"
title = "Quick"
shows.lamp = {{ flashing = "{colour}", period = "330 ms", on = "50 %" }}
"#
    )
}

#[test]
fn every_clip_and_photo_runs_to_an_outcome() {
    let Some((folder, entries)) = clips() else { return };
    for entry in &entries {
        let none = Value::Null;
        let light = entry["lights"].get(0).unwrap_or(&none);
        let table = table::parse("the clip's table", &table_for(light)).unwrap();
        let findings = read(
            &folder.join(entry["file"].as_str().unwrap()),
            Some(&table),
            &OPTIONS,
        )
        .unwrap_or_else(|error| panic!("{}: {error}", entry["id"]));
        let judged = findings.judged.unwrap();
        println!(
            "{}: {:?}, confidence {:.2}",
            entry["id"], judged.reading.outcome, judged.reading.confidence
        );
        assert!((0.0..=1.0).contains(&judged.reading.confidence));
    }
}

/// The lamp at the noted place, at the noted time.
fn at_noted_place<'a>(lamps: &'a [Followed], entry: &Value, light: &Value) -> Option<(usize, &'a Followed)> {
    let time_s = entry["position_frame_t_s"].as_f64().unwrap_or(0.0);
    // Within the noted region of the lamp, with the few pixels that a hand-drawn note may be off.
    let reach = light["roi_r"].as_f64().unwrap_or(20.0) + 12.0;
    lamps.iter().enumerate().find(|(_, lamp)| {
        let glimpse = lamp
            .glimpses
            .iter()
            .min_by(|a, b| (a.time_s - time_s).abs().total_cmp(&(b.time_s - time_s).abs()))
            .unwrap();
        let (dx, dy) = (
            glimpse.place.0 - number(&light["x"]),
            glimpse.place.1 - number(&light["y"]),
        );
        dx.hypot(dy) <= reach
    })
}

/// Probability from which a second name counts as said.
const SAID: f64 = 0.2;
/// A GIF whose red lamp came out as a pale orange of 598 nm. The colour model was not bent to it.
const KNOWN_MISSES: [&str; 1] = ["pa_elegoo colour"];

#[test]
fn clear_clips_are_found_coloured_and_timed() {
    let Some((folder, entries)) = clips() else { return };
    let mut misses = BTreeMap::new();
    let mut checked = 0;
    for entry in entries.iter().filter(|entry| entry["use"] == "start") {
        checked += 1;
        let id = entry["id"].as_str().unwrap();
        let light = &entry["lights"][0];
        let lamps = watch(&folder.join(entry["file"].as_str().unwrap()));
        let Some((0, lamp)) = at_noted_place(&lamps, entry, light) else {
            misses.insert(
                id.to_owned(),
                "the likeliest lamp is not the noted one".to_owned(),
            );
            continue;
        };
        let trace = trace::build(lamp);
        let measured = trace::measure(&trace, 0.5);
        let colour = colour_word(light["colour"].as_str().unwrap()).unwrap();
        let seen = trace.tints.first().map(|tint| tint.names.ranked()[0].0.as_str());
        let truth_s: f64 = light["true_pattern"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| number(&part["ms"]))
            .sum::<f64>()
            / 1000.0;
        let period_s = measured.period_s.map(|period| period.value);
        println!("{id}: {seen:?} for {colour}, {period_s:?} s for {truth_s} s");
        // Of names that the trade itself shares, both must be said.
        let said = trace
            .tints
            .first()
            .map_or(0.0, |tint| tint.names.of(colour.parse().unwrap()));
        let miss = format!("{id} colour");
        let missed = seen != Some(colour) && said < SAID;
        if missed != KNOWN_MISSES.contains(&miss.as_str()) {
            let now = if missed { "" } else { "no longer missed: " };
            misses.insert(miss, format!("{now}{seen:?} for {colour}, which has {said:.2}"));
        }
        if period_s.is_none_or(|period| (period / truth_s - 1.0).abs() > 0.03) {
            misses.insert(format!("{id} period"), format!("{period_s:?} s for {truth_s} s"));
        }
    }
    assert!(checked > 0, "the list names no clear clip");
    assert!(misses.is_empty(), "{misses:#?}");
}

fn watch(path: &Path) -> Vec<Followed> {
    let mut footage = Footage::open(path, Limits::default()).unwrap();
    let mut watcher = Watcher::new(None);
    while let Some(frame) = footage.next_frame().unwrap() {
        watcher.watch(&frame);
    }
    watcher.finish()
}
