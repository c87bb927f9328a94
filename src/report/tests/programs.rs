//! The JSON and the signal for programs.

use crate::advice::samples::{STARTING, table};
use crate::colour::ColourName;
use crate::meaning::{Shown, Stay};
use crate::table::{Shows, Timed, parse};

use super::*;

fn keys(value: &serde_json::Value) -> Vec<&str> {
    value
        .as_object()
        .map(|object| object.keys().map(String::as_str).collect())
        .unwrap_or_default()
}

/// The keys promised to programs, in their order; more may follow them.
#[test]
fn json_keys_are_the_promised_ones() {
    let promised = [
        "schema",
        "outcome",
        "confidence",
        "meaning",
        "rivals",
        "settle",
        "lights",
        "timeline",
        "warnings",
        "next",
    ];
    let table = table();
    for findings in all(&table) {
        let value = json(&findings, &advice(&findings));
        assert_eq!(keys(&value)[..promised.len()], promised);
        assert_eq!(
            keys(&value)[promised.len()..],
            [
                "cautions",
                "overdue_s",
                "unlisted",
                "other_lamps",
                "table",
                "footage",
                "lasts",
                "earlier",
                "photos",
                "stays",
                "proposed_row"
            ]
        );
    }
    let value = json(&decided(&table), &advice(&decided(&table)));
    assert_eq!(keys(&value["meaning"]), ["id", "kind", "title"]);
    assert_eq!(keys(&value["rivals"][0]), ["id", "probability", "title"]);
    assert_eq!(
        keys(&value["lights"][0]),
        [
            "id",
            "x",
            "y",
            "radius",
            "score",
            "colours",
            "rhythm",
            "period_s",
            "period_sd_s",
            "on_s",
            "flashes",
            "seen_share",
            "on_sd_s",
            "group"
        ]
    );
    assert_eq!(
        keys(&value["lights"][0]["colours"][0]),
        ["name", "probability", "or", "share"]
    );
    assert_eq!(
        keys(&value["timeline"][0]),
        ["from_s", "to_s", "meaning", "confidence"]
    );
    assert_eq!(keys(&value["warnings"][0]), ["code", "text", "retake"]);
    assert_eq!(
        keys(&value["next"][0]),
        ["do", "caution", "sort", "tried", "asks"]
    );
}

#[test]
fn json_of_a_decided_reading() {
    let table = table();
    let findings = decided(&table);
    let value = json(&findings, &advice(&findings));
    assert_eq!(value["schema"], 1);
    assert_eq!(value["outcome"], "decided");
    assert_eq!(value["confidence"], 0.97);
    assert_eq!(value["meaning"]["id"], table.meanings[STARTING].id.as_str());
    assert_eq!(value["meaning"]["kind"], "booting");
    assert_eq!(value["rivals"][0]["id"], "updating");
    assert_eq!(value["rivals"][1]["probability"], 0.001, "0.0004 is not nothing");
    let light = &value["lights"][0];
    assert_eq!(light["id"], "crown");
    assert_eq!(
        (light["x"].as_f64(), light["y"].as_f64()),
        (Some(612.0), Some(340.3))
    );
    assert_eq!(light["rhythm"], "breathing");
    assert_eq!(
        light["period_s"], 2.412,
        "one digit beyond the standard deviation of 0.02 s"
    );
    assert_eq!(light["period_sd_s"], 0.021);
    assert!(light["on_s"].is_null());
    assert_eq!(light["flashes"], 4);
    assert_eq!(light["colours"][0]["name"], "blue");
    assert_eq!(light["colours"][0]["or"][0]["name"], "cyan");
    assert_eq!(value["timeline"][0]["meaning"], "starting");
    assert_eq!(value["warnings"][0]["code"], "hand-shake");
}

#[test]
fn json_names_no_meaning_unless_decided() {
    let table = table();
    for findings in [
        undecided(&table),
        unlisted(&table),
        unseen(&table),
        without_table(vec![flashing()]),
    ] {
        assert!(json(&findings, &advice(&findings))["meaning"].is_null());
    }
    let undecided = undecided(&table);
    let value = json(&undecided, &advice(&undecided));
    assert_eq!(value["outcome"], "undecided");
    assert_eq!(value["rivals"].as_array().unwrap().len(), 2);
    assert_eq!(
        value["settle"][0],
        "ask which it is: \"Lost the base station\" or \"No water\""
    );
    assert_eq!(value["other_lamps"][0]["x"], 1400.0);
    assert!(value["other_lamps"][0]["id"].is_null());
}

#[test]
fn json_without_a_table_has_every_lamp_and_no_outcome() {
    let findings = without_table(vec![flashing(), breathing()]);
    let value = json(&findings, &advice(&findings));
    assert!(value["outcome"].is_null() && value["confidence"].is_null());
    assert_eq!(value["lights"].as_array().unwrap().len(), 2);
    let nothing = without_table(vec![]);
    assert_eq!(json(&nothing, &advice(&nothing))["outcome"], "unseen");
}

/// Held for 3.4 s, and answered until the clip ended.
#[test]
fn json_of_a_sequence_has_how_long_its_parts_stayed() {
    let table = table();
    let mut findings = decided(&table);
    let reading = &mut findings.judged.as_mut().unwrap().reading;
    let held = Stay {
        light: 0,
        part: 0,
        from_s: 0.8,
        to_s: 4.2,
        open_start: false,
        open_end: false,
    };
    let answered = Stay {
        part: 1,
        from_s: 4.2,
        to_s: 9.0,
        open_end: true,
        ..held
    };
    reading.stays = vec![held, answered];
    let stays = &json(&findings, &advice(&findings))["stays"];
    let id = table.meanings[STARTING].id.as_str();
    assert_eq!(
        *stays,
        serde_json::json!([
            { "meaning": id, "light": "crown", "part": 0, "from_s": 0.8, "to_s": 4.2,
              "open_start": false, "open_end": false },
            { "meaning": id, "light": "crown", "part": 1, "from_s": 4.2, "to_s": 9.0,
              "open_start": false, "open_end": true },
        ])
    );
}

/// The row is read by the table's own parser as what was seen.
#[test]
fn json_of_an_unlisted_reading_has_a_row_to_paste() {
    let table = table();
    let mut findings = unlisted(&table);
    assert!(json(&findings, &advice(&findings))["proposed_row"].is_null());
    let seen = Shows::Alternating {
        colours: vec![ColourName::Blue, ColourName::Red],
        each: Timed {
            seconds: 0.4,
            within: 0.15,
        },
    };
    findings.judged.as_mut().unwrap().reading.shown = vec![Shown {
        light: 0,
        shows: seen.clone(),
    }];
    let value = json(&findings, &advice(&findings));
    let head = "schema = 1\n[device]\nname = \"x\"\n[[light]]\nid = \"crown\"\nlabel = \"x\"\ncolours = [\"red\", \"blue\"]\n";
    let text = format!("{head}{}", value["proposed_row"].as_str().unwrap());
    assert_eq!(
        parse("pasted.toml", &text).unwrap().meanings[0].shows[0].shows,
        seen
    );
    let schema = jsonschema::validator_for(&reading_schema()).unwrap();
    assert!(schema.is_valid(&value), "{value:#}");
}

#[test]
fn certainty_is_never_claimed() {
    let table = table();
    let mut findings = decided(&table);
    findings.judged.as_mut().unwrap().reading.confidence = 0.99996;
    assert!(plain(&findings).starts_with("The light means \"Starting up\" (all but certain, over 99 %)."));
    assert_eq!(json(&findings, &advice(&findings))["confidence"], 0.999);
}

/// 10 s at 30 frames a second, lit for the first half of every second and hidden for the third.
#[test]
fn the_strip_shows_lit_dark_and_hidden() {
    let lamp = flashing();
    let strip = super::super::strip::strip(&lamp.trace, &lamp.measured, Default::default()).unwrap();
    // 56 cells over five cycles of 1 s: 11.2 cells a second.
    for (at_s, expected) in [
        (0.25, 'R'),
        (0.75, '_'),
        (1.25, 'R'),
        (1.75, '_'),
        (2.5, '?'),
        (3.25, 'R'),
    ] {
        let cell = (at_s * 11.2) as usize;
        assert_eq!(
            strip.letters.chars().nth(cell),
            Some(expected),
            "at {at_s} s in {}",
            strip.letters
        );
    }
    let still = still();
    assert_eq!(
        super::super::strip::strip(&still.trace, &still.measured, Default::default()),
        None,
        "a photo has no time"
    );
}

#[test]
fn the_signal_says_hidden_and_never_dark_for_what_was_not_seen() {
    let csv = signal_csv(&without_table(vec![flashing(), dark()]));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    assert_eq!(
        reader.headers().unwrap(),
        vec![
            "lamp", "time_s", "sighting", "level", "level_sd", "u", "v", "tint", "colour", "flash"
        ]
    );
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2 * 294);
    let at = |lamp: &str, frame: usize| rows.iter().filter(|row| &row[0] == lamp).nth(frame).unwrap();
    assert_eq!(
        at("1", 0),
        &[
            "1", "0.000000", "seen", "1.0000", "0.0200", "0.1700", "0.1800", "0", "red", "1"
        ][..]
    );
    assert_eq!(&at("1", 20)[3], "0.0000", "dark, at 0.67 s");
    assert_eq!(&at("1", 75)[2], "hidden");
    assert_eq!(&at("1", 75)[3], "", "hidden is not dark");
    assert_eq!(&at("1", 95)[9], "3", "the third flash that was seen, at 3.2 s");
    assert_eq!(&at("2", 0)[8], "");
}

#[test]
fn the_signal_in_json_has_the_edges() {
    let value = signal_json(&without_table(vec![flashing()]));
    let lamp = &value["lamps"][0];
    assert_eq!(lamp["samples"].as_array().unwrap().len(), 294);
    assert_eq!(lamp["flashes"][2]["from_s"], 3.0);
    assert_eq!(lamp["flashes"][2]["to_s"], 3.5);
    assert_eq!(lamp["flashes"][2]["to_sd_s"], 0.004);
    assert!(lamp["samples"][75]["level"].is_null());
}
