//! The tables of published timings: every row of them, filmed and read back as that row.
//!
//! `LAMPWISE_SEED` picks other cameras, `LAMPWISE_CAMERAS` how many a row; `benches/forecast` films more of them.

#![allow(
    clippy::print_stdout,
    reason = "what was missed must be seen in the report of the test"
)]

#[path = "rows/film.rs"]
mod film;
#[path = "rows/judge.rs"]
mod judge;

use std::path::Path;

use film::Filming;
use judge::{Clip, in_short, number, read_all};
use lampwise::meaning::Outcome;
use lampwise::render::Shown;
use lampwise::table::{LightTable, Pattern, Shade, load};
use rstest::rstest;

/// Cycles filmed, and least length, seconds.
const CYCLES: f64 = 2.3;
const LEAST_S: f64 = 5.0;

/// Clips longer than this are filmed at the slowest rate, which is what their rhythms need and keeps the test short.
const LONG_S: f64 = 12.0;

fn table_of(name: &str) -> LightTable {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables");
    load(&folder.join(name)).expect("a shipped table").0
}

/// The longest time for which a light of the table does not change although it has a rhythm: a steady light has to be
/// seen for longer than that.
fn longest_phase_s(table: &LightTable) -> f64 {
    let phases = table
        .meanings
        .iter()
        .flat_map(|meaning| match &meaning.shows[0].pattern {
            Pattern::Cycle(cycle) => cycle
                .phases
                .iter()
                .map(|phase| phase.lasts_s * (1.0 + cycle.within))
                .collect(),
            _ => Vec::new(),
        });
    phases.fold(0.0, f64::max)
}

fn clip(table: &LightTable, row: usize, seed: u64) -> Clip {
    let mut filming = Filming::any(seed);
    let meaning = &table.meanings[row];
    let pattern = &meaning.shows[0].pattern;
    let (seconds, from_s) = match pattern {
        Pattern::Cycle(cycle) => (
            (CYCLES * cycle.period_s).max(LEAST_S),
            filming.moment * cycle.period_s,
        ),
        _ => (LEAST_S.max(1.3 * longest_phase_s(table)), 0.0),
    };
    if seconds > LONG_S {
        filming.fps = 24.0;
        filming.exposure_s = filming.exposure_s.min(0.95 / filming.fps);
    }
    Clip {
        name: meaning.id.clone(),
        lamps: vec![(Shown::from(pattern), from_s)],
        seconds,
        filming,
        pointed: *pattern == Pattern::Constant(Shade::Dark),
    }
}

/// `unsure` are rows that may stay undecided: their colours are near under unknown white balance.
#[rstest]
#[case::vita("vita-40.toml", 1, &["out-of-service", "service-needed"])]
#[case::iho("iho-light-characters.toml", 2, &[])]
#[case::morse("itu-morse.toml", 3, &[])]
#[case::alarms("alarm-rates.toml", 4, &[])]
#[case::heartbeat("linux-heartbeat.toml", 5, &[])]
fn every_row_is_read_as_that_row(#[case] name: &str, #[case] own: u64, #[case] unsure: &[&str]) {
    let table = table_of(name);
    let seed = number("LAMPWISE_SEED", 1);
    let cameras = number("LAMPWISE_CAMERAS", 1);
    let (truths, clips): (Vec<usize>, Vec<Clip>) = (0..table.meanings.len())
        .flat_map(|row| (0..cameras).map(move |camera| (row, camera)))
        .map(|(row, camera)| {
            let own = ((seed * 10 + own) * 100 + row as u64) * 100 + camera;
            (row, clip(&table, row, own))
        })
        .unzip();
    let (mut right, mut wrong, mut sure) = (0, 0, 0);
    for (truth, read) in truths.iter().zip(read_all(&table, &clips)) {
        let may_be_open = unsure.contains(&read.name.as_str());
        sure += usize::from(!may_be_open);
        match read.reading.outcome {
            Outcome::Decided { row } if row == *truth => {
                right += usize::from(!may_be_open);
                continue;
            }
            Outcome::Decided { .. } => wrong += 1,
            _ => {}
        }
        println!(
            "{}: {}\n      {}",
            read.name,
            in_short(&table, &read.reading),
            read.story
        );
    }
    println!("{}: {right} of {sure} right, {wrong} wrong", table.device.name);
    assert_eq!(wrong, 0, "rows decided as another");
    assert!(right * 10 >= sure * 9, "{right} of {sure} decided");
}
