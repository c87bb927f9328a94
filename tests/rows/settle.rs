//! What is said to settle a reading does settle it: the clip is filmed again as asked, and then it is decided.

use lampwise::meaning::{Outcome, Settle};
use lampwise::render::Shown;
use lampwise::table::LightTable;
use rstest::rstest;

use crate::film::Filming;
use crate::judge::{Clip, Read, in_short, number, read_all};
use crate::listed::{of_light, table_of};

/// Cameras a row.
const CAMERAS: u64 = 2;

fn films(table: &LightTable, id: &str, seconds: f64, fps: f64, own_seed: u64) -> Vec<Read> {
    let meaning = table
        .meanings
        .iter()
        .find(|meaning| meaning.id == id)
        .expect("a row of that id");
    let shown = Shown::from(&meaning.shows[0].pattern);
    let clip = |camera: u64| {
        let filming = Filming::any((number("LAMPWISE_SEED", 1) * 1000 + own_seed) * 100 + camera);
        Clip {
            name: id.to_owned(),
            // From the start of the cycle on, so that even the shortest clip shows a lit lamp.
            lamps: vec![(shown.clone(), 0.1 * filming.moment)],
            seconds,
            filming: Filming {
                fps,
                exposure_s: 0.008,
                radius_px: 11.0,
                peak: 3.0,
                ..filming
            },
            pointed: false,
        }
    };
    let reads = read_all(table, &(0..CAMERAS).map(clip).collect::<Vec<_>>());
    for read in &reads {
        println!("{id}: {}\n      {}", in_short(table, &read.reading), read.story);
    }
    reads
}

fn is_decided(table: &LightTable, read: &Read, id: &str) -> bool {
    matches!(read.reading.outcome, Outcome::Decided { row } if table.meanings[row].id == id)
}

#[rstest]
#[case::low_supply("low-supply", 0.9, 540)]
#[case::updating("updating", 1.0, 541)]
#[case::no_water("no-water", 1.4, 542)]
#[case::valve_stuck("valve-stuck", 2.0, 543)]
#[case::in_service("in-service", 1.0, 544)]
fn as_many_seconds_more_as_asked_for_decide(#[case] id: &str, #[case] seconds: f64, #[case] own_seed: u64) {
    let table = table_of("orchard-valve.toml");
    let mut more_s: f64 = 0.0;
    for read in films(&table, id, seconds, 30.0, own_seed) {
        assert_eq!(read.reading.outcome, Outcome::Undecided);
        let asked = read.reading.settle.iter().find_map(|settle| match settle {
            Settle::FilmLonger { seconds } => Some(*seconds),
            _ => None,
        });
        more_s = more_s.max(asked.expect("it asks for more seconds"));
    }
    assert!(more_s <= 15.0, "{more_s} s more is more than anybody films");
    for read in films(&table, id, seconds + more_s, 30.0, own_seed) {
        assert!(is_decided(&table, &read, id), "after {more_s} s more");
    }
}

/// Ten flashes a second are an alias at 15 frames a second.
#[test]
fn the_frame_rate_asked_for_decides() {
    let table = of_light(table_of("cia-303-3.toml"), 0);
    let id = "run-flickering";
    let mut rate: f64 = 0.0;
    for read in films(&table, id, 5.0, 15.0, 545) {
        assert!(!matches!(read.reading.outcome, Outcome::Decided { .. }));
        let asked = read.reading.settle.iter().find_map(|settle| match settle {
            Settle::FasterFrames { fps } => Some(*fps),
            _ => None,
        });
        rate = rate.max(asked.expect("it asks for more frames a second"));
    }
    for read in films(&table, id, 5.0, rate, 545) {
        assert!(is_decided(&table, &read, id), "at {rate} frames a second");
    }
}
