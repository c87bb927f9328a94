//! The tables that come with the program.

use std::path::{Path, PathBuf};

use lampwise::colour::ColourName::{self, Green, Red};
use lampwise::table::{Erases, Kind, LightTable, LoadError, Pattern, Shade, Step, load, same_look};
use rstest::rstest;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables")
}

fn shipped(name: &str) -> LightTable {
    match load(&folder().join(name)) {
        Ok((table, _)) => table,
        Err(LoadError::Broken(error)) => panic!("{}", error.render(false)),
        Err(other) => panic!("{other}"),
    }
}

#[test]
fn every_table_in_the_folder_is_sound() {
    let mut names: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    for name in &names {
        assert!(!shipped(name).meanings.is_empty(), "{name} has rows");
    }
    for name in [
        "cia-303-3.toml",
        "cold-store-logger.toml",
        "orchard-valve.toml",
        "radio-hub.toml",
    ] {
        assert!(names.iter().any(|found| found == name), "{name} is shipped");
    }
}

#[rstest]
#[case("orchard-valve.toml", &[])]
#[case("cia-303-3.toml", &[])]
#[case("radio-hub.toml", &[])]
#[case("cold-store-logger.toml", &[["asleep", "battery-flat"]])]
fn rows_that_look_the_same_are_the_ones_meant_to(#[case] name: &str, #[case] expected: &[[&str; 2]]) {
    let table = shipped(name);
    let groups: Vec<Vec<_>> = same_look(&table)
        .into_iter()
        .map(|group| {
            group
                .into_iter()
                .map(|row| table.meanings[row].id.as_str())
                .collect()
        })
        .collect();
    assert_eq!(groups, expected);
}

/// What a table has to say before somebody loses settings, cuts power in an update, or trusts a dark lamp.
#[rstest]
#[case("orchard-valve.toml")]
#[case("cold-store-logger.toml")]
fn invented_tables_warn_before_harm(#[case] name: &str) {
    let table = shipped(name);
    for row in &table.meanings {
        let texts: String = row.next.iter().map(said).collect();
        if row.kind == Kind::Updating {
            assert!(
                texts.contains("nplug") || texts.contains("battery pack in"),
                "{} keeps the power on",
                row.id
            );
        }
        let cut_off = row.id == "dark" || row.id == "battery-flat";
        assert!(
            !cut_off || (texts.contains("never prove") && texts.contains("live")),
            "{}",
            row.id
        );
        for step in &row.next {
            if let Step::Do {
                erases: erases @ (Erases::Settings | Erases::Named(_)),
                ..
            } = step
            {
                assert!(matches!(erases, Erases::Named(_)), "{}", row.id);
                assert!(
                    texts.to_lowercase().contains("writ") && texts.contains("down"),
                    "{} asks for a note first",
                    row.id
                );
            }
        }
    }
}

fn said(step: &Step) -> String {
    match step {
        Step::Do { text, caution, .. } => format!("{text} {} ", caution.as_deref().unwrap_or_default()),
        Step::HandOn { text, .. } => format!("{text} "),
    }
}

/// Lit and dark milliseconds in turn. Source: CiA 303-3 v1.4.0 as implemented in CANopenNode, 303/CO_LEDs.h and
/// CO_LEDs.c: flickering 50/50; blinking 200/200; n flashes of 200, gaps of 200, a pause of 1000.
#[rstest]
#[case("run-flickering", Green, &[50, 50])]
#[case("run-blinking", Green, &[200, 200])]
#[case("run-single-flash", Green, &[200, 1000])]
#[case("run-triple-flash", Green, &[200, 200, 200, 200, 200, 1000])]
#[case("err-flickering", Red, &[50, 50])]
#[case("err-blinking", Red, &[200, 200])]
#[case("err-single-flash", Red, &[200, 1000])]
#[case("err-double-flash", Red, &[200, 200, 200, 1000])]
#[case("err-triple-flash", Red, &[200, 200, 200, 200, 200, 1000])]
#[case("err-quadruple-flash", Red, &[200, 200, 200, 200, 200, 200, 200, 1000])]
fn cia_303_3_rhythms_are_the_published_ones(
    #[case] id: &str,
    #[case] colour: ColourName,
    #[case] expected_ms: &[u32],
) {
    let table = shipped("cia-303-3.toml");
    let row = table.meanings.iter().find(|row| row.id == id).unwrap();
    let Pattern::Cycle(cycle) = &row.shows[0].pattern else {
        panic!("{id} repeats")
    };
    assert_eq!(cycle.phases.len(), expected_ms.len(), "{id}");
    for (at, (phase, expected_ms)) in cycle.phases.iter().zip(expected_ms).enumerate() {
        let shade = if at % 2 == 0 {
            Shade::Lit(colour, 1.0)
        } else {
            Shade::Dark
        };
        assert_eq!((phase.from, phase.to), (shade, shade), "{id}, phase {at}");
        let difference_ms = phase.lasts_s * 1000.0 - f64::from(*expected_ms);
        assert!(
            difference_ms.abs() < 1e-9,
            "{id}, phase {at}: {} s",
            phase.lasts_s
        );
    }
    let sum_ms: u32 = expected_ms.iter().sum();
    assert!(
        (cycle.period_s * 1000.0 - f64::from(sum_ms)).abs() < 1e-9,
        "{id}: {} s",
        cycle.period_s
    );
}

/// Same source: operational is RUN on, bus off is ERR on, no error is ERR off.
#[rstest]
#[case("run-on", Shade::Lit(Green, 1.0))]
#[case("err-on", Shade::Lit(Red, 1.0))]
#[case("err-off", Shade::Dark)]
fn cia_303_3_steady_states_are_the_published_ones(#[case] id: &str, #[case] expected: Shade) {
    let table = shipped("cia-303-3.toml");
    let row = table.meanings.iter().find(|row| row.id == id).unwrap();
    assert_eq!(row.shows[0].pattern, Pattern::Constant(expected));
}
