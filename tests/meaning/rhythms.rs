//! Rhythms, listed and not, and what a frame rate cannot show.

use lampwise::colour::ColourName::{Blue, Green};
use lampwise::meaning::{Outcome, Settle};
use lampwise::table::{Pattern, Shade};
use rand::Rng;
use rstest::rstest;

use crate::support::{Camera, OFF, breathing, cycle, dark, film, fixed, lit, rng, row, shade_at, table};
use crate::tally::{cia_table, read_one, tally};

/// Twenty cameras each. A wrong decision is never allowed; the camera is drawn at random down to full exposure and four
/// times clipping, so one reading in twenty may be withheld.
#[rstest]
fn every_published_rhythm_reads_back(
    #[values(
        "off",
        "on",
        "flickering",
        "blinking",
        "single-flash",
        "double-flash",
        "triple-flash",
        "quadruple-flash"
    )]
    id: &str,
    #[values(24.0, 30.0, 60.0)] fps: f64,
) {
    let table = cia_table();
    let pattern = table.meanings[row(&table, id)].shows[0].pattern.clone();
    let found = tally(&table, id, 20, |seed| {
        let mut rng = rng(1000 + seed);
        let start: f64 = rng.random_range(0.0..3.0);
        let camera = Camera::any(fps, 8.0, &mut rng);
        film(&|at| shade_at(&pattern, at + start, 1.0), camera, 0.95, &mut rng)
    });
    assert!(
        found.wrong == 0 && found.right >= 19,
        "{id} at {fps} fps: {found:#?}"
    );
}

/// A device 3 % slow or fast is within every tolerance.
#[rstest]
fn a_slow_or_fast_device_still_reads(
    #[values("flickering", "blinking", "double-flash", "quadruple-flash")] id: &str,
    #[values(0.97, 1.03)] pace: f64,
) {
    let table = cia_table();
    let pattern = table.meanings[row(&table, id)].shows[0].pattern.clone();
    let found = tally(&table, id, 10, |seed| {
        let mut rng = rng(2000 + seed);
        let camera = Camera::any(30.0, 8.0, &mut rng);
        let start: f64 = rng.random_range(0.0..3.0);
        film(&|at| shade_at(&pattern, at + start, pace), camera, 0.95, &mut rng)
    });
    assert!(
        found.wrong == 0 && found.right >= 9,
        "{id} at pace {pace}: {found:#?}"
    );
}

/// Rhythms in the style of the table that it does not have: 1 Hz at 50 %, a slow 3 s on and off, 4 Hz, a fixed light with short
/// eclipses, a swelling.
#[rstest]
#[case::one_hz(cycle(vec![lit(Green, 500.0), dark(500.0)]))]
#[case::short_eclipses(cycle(vec![lit(Green, 1100.0), dark(130.0)]))]
#[case::four_hz(cycle(vec![lit(Green, 125.0), dark(125.0)]))]
#[case::long_short(cycle(vec![lit(Green, 900.0), dark(300.0), lit(Green, 300.0), dark(300.0)]))]
#[case::swelling(breathing(Green, 2.5))]
fn a_rhythm_that_is_not_in_the_table_is_never_decided(#[case] pattern: Pattern) {
    let table = cia_table();
    let mut unlisted = 0;
    for seed in 0..20 {
        let mut rng = rng(3000 + seed);
        let start: f64 = rng.random_range(0.0..6.0);
        let camera = Camera::any([24.0, 30.0, 60.0][seed as usize % 3], 12.0, &mut rng);
        let trace = film(&|at| shade_at(&pattern, at + start, 1.0), camera, 0.95, &mut rng);
        let reading = read_one(&table, &trace);
        assert!(
            !matches!(reading.outcome, Outcome::Decided { .. }),
            "{seed}: {reading:?}"
        );
        if reading.outcome == Outcome::Unlisted {
            unlisted += 1;
        } else {
            println!("{seed}: {reading:?}");
        }
    }
    assert!(unlisted >= 18, "unlisted in {unlisted} of 20");
}

/// Three seconds on and off: two cycles of it in the clip could also be a light that was switched, so it may stay
/// undecided; but "not in the table" leads, and neither "on" nor "off" is decided.
#[test]
fn a_slow_unlisted_rhythm_is_not_taken_for_changes_of_meaning() {
    let table = cia_table();
    let pattern = cycle(vec![lit(Green, 3000.0), dark(3000.0)]);
    for seed in 0..20 {
        let mut rng = rng(3500 + seed);
        let start: f64 = rng.random_range(0.0..6.0);
        let camera = Camera::any([24.0, 30.0, 60.0][seed as usize % 3], 12.0, &mut rng);
        let trace = film(&|at| shade_at(&pattern, at + start, 1.0), camera, 0.95, &mut rng);
        let reading = read_one(&table, &trace);
        assert!(
            !matches!(reading.outcome, Outcome::Decided { .. }),
            "{seed}: {reading:?}"
        );
        assert!(reading.unlisted > 0.5, "{seed}: {reading:?}");
    }
}

/// A table says that a light swells, not along which curve: a camera bends every curve. What rises faster than it fades is
/// another rhythm all the same.
#[rstest]
#[case::washed_out(1.2, [0.6, 0.8, 0.88, 0.94, 1.0], true)]
#[case::late(1.2, [0.03, 0.1, 0.45, 0.9, 1.0], true)]
#[case::faster_up_than_down(0.3, [0.2, 0.4, 0.6, 0.8, 1.0], false)]
fn a_light_may_swell_along_any_curve(#[case] up_s: f64, #[case] curve: [f64; 5], #[case] listed: bool) {
    let table = table(
        &[Blue],
        vec![
            ("starting", breathing(Blue, 2.4)),
            ("ready", fixed(Blue)),
            ("off", OFF),
        ],
    );
    let level = |way: f64| {
        let place = way * 5.0;
        let below = (place as usize).min(4);
        let from = if below == 0 { 0.0 } else { curve[below - 1] };
        from + (curve[below] - from) * (place - below as f64)
    };
    let shade = |at: f64| {
        let at_s = at.rem_euclid(2.4);
        let way = if at_s < up_s {
            at_s / up_s
        } else {
            (2.4 - at_s) / (2.4 - up_s)
        };
        Shade::Lit(Blue, level(way))
    };
    let mut starting = 0;
    for seed in 0..10 {
        let mut rng = rng(3700 + seed);
        let start: f64 = rng.random_range(0.0..2.4);
        // The curve is the camera's already.
        let camera = Camera {
            clipping: 1.0,
            noise: 0.03,
            swing: 0.03,
            ..Camera::new(30.0, 9.0)
        };
        let trace = film(&|at| shade(at + start), camera, 0.95, &mut rng);
        let reading = read_one(&table, &trace);
        match reading.outcome {
            Outcome::Decided { row: 0 } => starting += 1,
            Outcome::Decided { .. } => panic!("{seed}: {reading:?}"),
            _ => {}
        }
    }
    assert!(
        if listed { starting >= 9 } else { starting == 0 },
        "{starting} of 10"
    );
}

#[rstest]
fn half_a_second_is_never_enough(
    #[values(
        "off",
        "on",
        "flickering",
        "blinking",
        "single-flash",
        "double-flash",
        "triple-flash",
        "quadruple-flash"
    )]
    id: &str,
) {
    let table = cia_table();
    let pattern = table.meanings[row(&table, id)].shows[0].pattern.clone();
    for seed in 0..10 {
        let mut rng = rng(4000 + seed);
        let start: f64 = rng.random_range(0.0..3.0);
        let trace = film(
            &|at| shade_at(&pattern, at + start, 1.0),
            Camera::new(30.0, 0.5),
            0.95,
            &mut rng,
        );
        let reading = read_one(&table, &trace);
        assert_eq!(reading.outcome, Outcome::Undecided, "{id} {seed}: {reading:?}");
        let longer = reading
            .settle
            .iter()
            .any(|settle| matches!(settle, Settle::FilmLonger { seconds } if *seconds >= 1.0));
        assert!(longer, "{id} {seed}: {reading:?}");
    }
}

/// At ten frames a second a 10 Hz flicker may look like a fixed light, or like a slow blink: whatever the lamp does, the
/// clip cannot decide for the fixed light.
#[rstest]
fn a_flicker_beyond_the_frame_rate_is_not_called_fixed(#[values(0.2, 0.6, 1.0)] exposure: f64) {
    let table = cia_table();
    let pattern = table.meanings[row(&table, "flickering")].shows[0].pattern.clone();
    let mut advised = 0;
    for seed in 0..20 {
        let mut rng = rng(7000 + seed);
        let camera = Camera {
            exposure,
            jitter: 0.0,
            dropped: 0.0,
            ..Camera::new(10.0, 8.0)
        };
        let start: f64 = rng.random_range(0.0..0.1);
        let reading = read_one(
            &table,
            &film(&|at| shade_at(&pattern, at + start, 1.0), camera, 0.95, &mut rng),
        );
        assert_eq!(reading.outcome, Outcome::Undecided, "{seed}: {reading:?}");
        advised += usize::from(matches!(reading.settle[..], [Settle::FasterFrames { fps }] if fps >= 30.0));
    }
    assert_eq!(advised, 20);
}

/// Hidden is not dark: a hand over the lamp for two seconds of ten.
#[test]
fn a_hand_over_the_lamp_does_not_matter() {
    let table = cia_table();
    for id in ["on", "blinking", "triple-flash"] {
        let pattern = table.meanings[row(&table, id)].shows[0].pattern.clone();
        let found = tally(&table, id, 10, |seed| {
            let mut rng = rng(11_000 + seed);
            let camera = Camera {
                hidden: Some((3.0, 5.0)),
                ..Camera::any(30.0, 10.0, &mut rng)
            };
            film(&|at| shade_at(&pattern, at, 1.0), camera, 0.95, &mut rng)
        });
        assert!(found.wrong == 0 && found.right >= 9, "{id}: {found:#?}");
    }
}

/// A single bad frame here and there, as key frames and glints make them, does not turn a reading.
#[test]
fn a_few_spoilt_frames_do_not_turn_a_reading() {
    let table = cia_table();
    let found = tally(&table, "on", 10, |seed| {
        let mut rng = rng(17_000 + seed);
        let mut trace = film(
            &|_| Shade::Lit(Green, 1.0),
            Camera::any(30.0, 8.0, &mut rng),
            0.95,
            &mut rng,
        );
        for _ in 0..2 {
            let frame = rng.random_range(0..trace.samples.len());
            trace.samples[frame].level = 0.1;
            trace.samples[frame].tint = None;
        }
        trace
    });
    assert!(found.wrong == 0 && found.right >= 8, "{found:#?}");
}
