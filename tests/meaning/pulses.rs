//! Lamps whose flashes pulses may have cut in pieces.

use lampwise::colour::ColourName::Red;
use lampwise::meaning::{Doubt, Outcome, Settle};
use lampwise::table::LightTable;
use lampwise::trace::{Otherwise, Trace};

use crate::support::{Camera, OFF, cycle, dark, film, fixed, lit, rng, row, shade_at, table};
use crate::tally::read_one;

const BEAT_HZ: f64 = 3.4;

fn pump() -> LightTable {
    table(
        &[Red],
        vec![
            ("low-supply", cycle(vec![lit(Red, 800.0), dark(800.0)])),
            ("stopped", fixed(Red)),
            ("off", OFF),
        ],
    )
}

/// A flashing lamp of which a frame shows nothing in so much of every beat; and what it is if that is so.
fn cut(lit_ms: f64, dark_ms: f64, seed: u64) -> Trace {
    const BETWEEN: f64 = 0.5;
    let flashing = cycle(vec![lit(Red, lit_ms), dark(dark_ms)]);
    let whole = film(
        &|at| shade_at(&flashing, at, 1.0),
        Camera::new(30.0, 9.0),
        0.95,
        &mut rng(seed),
    );
    let mut cut = whole.clone();
    for sample in &mut cut.samples {
        if (sample.time_s * BEAT_HZ).fract() < BETWEEN {
            sample.level = 0.0;
            (sample.chroma, sample.tint) = (None, None);
        }
    }
    cut.otherwise = Some(Otherwise {
        samples: whole.samples,
        beat_hz: Some(BEAT_HZ),
    });
    cut
}

/// Neither that the lamp flashes in groups, which is in no row, nor that it is pulsed is sure; more light in an exposure
/// would tell.
#[test]
fn a_row_that_pulses_may_have_cut_is_left_open() {
    for seed in 1..=6 {
        let table = pump();
        let mut trace = cut(800.0, 800.0, seed);
        let reading = read_one(&table, &trace);
        assert_eq!(reading.outcome, Outcome::Undecided, "{reading:?}");
        assert_eq!(reading.rivals[0].row, row(&table, "low-supply"), "{reading:?}");
        assert!(
            reading.rivals[0].probability < 0.6 && reading.unlisted < 0.6,
            "{reading:?}"
        );
        assert_eq!(reading.settle, [Settle::LessLight], "{reading:?}");
        let doubt = Doubt::PerhapsPulses { rate_hz: BEAT_HZ };
        assert!(reading.doubts.contains(&doubt), "{reading:?}");
        trace.otherwise = None;
        assert_eq!(read_one(&table, &trace).outcome, Outcome::Unlisted);
    }
}

/// If no row fits either way, none does.
#[test]
fn what_no_row_fits_either_way_is_in_no_row() {
    for seed in 1..=6 {
        let reading = read_one(&pump(), &cut(500.0, 1700.0, seed));
        assert_eq!(reading.outcome, Outcome::Unlisted, "{reading:?}");
    }
}

fn valve(flickers: bool) -> LightTable {
    let mut rows = vec![("open", fixed(Red)), ("off", OFF)];
    if flickers {
        rows.push(("moving", cycle(vec![lit(Red, 60.0), dark(60.0)])));
    }
    table(&[Red], rows)
}

/// A lamp is dark in some frames, evenly: pulses are the likelier story, and a row that flickers as fast is in doubt with them.
#[test]
fn a_row_that_flickers_as_pulses_do_is_left_open() {
    const RATE_HZ: f64 = 1.0 / 0.12;
    for seed in 1..=6 {
        let flicker = cycle(vec![lit(Red, 60.0), dark(60.0)]);
        let film = |shows: &_, seed| {
            let camera = Camera::new(30.0, 6.0);
            film(&|at| shade_at(shows, at, 1.0), camera, 0.95, &mut rng(seed))
        };
        let mut trace = film(&fixed(Red), seed);
        trace.beat_hz = Some(RATE_HZ);
        trace.otherwise = Some(Otherwise {
            samples: film(&flicker, seed + 10).samples,
            beat_hz: None,
        });
        let reading = read_one(&valve(true), &trace);
        assert_eq!(reading.outcome, Outcome::Undecided, "{reading:?}");
        let doubt = Doubt::PerhapsFlicker { rate_hz: RATE_HZ };
        assert!(reading.doubts.contains(&doubt), "{reading:?}");
        assert!(
            reading.rivals.len() == 2 && reading.rivals[0].probability < 0.6,
            "{reading:?}"
        );
        let without = valve(false);
        let open = Outcome::Decided {
            row: row(&without, "open"),
        };
        assert_eq!(read_one(&without, &trace).outcome, open);
    }
}
