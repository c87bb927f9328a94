//! Which lamp is which light, where other lamps come into question.

use lampwise::colour::ColourName::{Amber, Blue, Cyan, Green, Red, Violet, White, Yellow};
use lampwise::meaning::{Assignment, Outcome, Reading, Settings, Settle, assign, read};
use lampwise::table::{LightTable, MOST_LIGHTS, Shade};
use lampwise::trace::Trace;
use rstest::rstest;

use crate::support::{Camera, OFF, cycle, dark, film, fixed, lit, rng, row, shade_at, table, table_of};

fn steady() -> Camera {
    // All lamps of a clip are in the same frames.
    Camera {
        dropped: 0.0,
        ..Camera::new(30.0, 13.0)
    }
}

/// As the pipeline does it.
fn judge(table: &LightTable, candidates: &[(&Trace, f64)]) -> (Assignment, Reading) {
    let found = assign(table, candidates, false);
    let of = |lamp: &Option<usize>| lamp.map(|index| candidates[index].0);
    let lights: Vec<Option<&Trace>> = found.lamp_of_light.iter().map(of).collect();
    let reading = read(table, &lights, &found.identity, false, &Settings::default());
    (found, reading)
}

/// After a change of meaning a row may say nothing of a light that the row before had flashing. And a steady lamp of another
/// device is about as likely as none that the row has dark: then the row is at least not lost.
#[rstest]
fn a_light_that_the_last_row_does_not_name_may_have_done_what_the_first_says(
    #[values(1, 2, 3, 4)] seed: u64,
    #[values(false, true)] other_lamp: bool,
) {
    let blink = cycle(vec![lit(Blue, 250.0), dark(250.0)]);
    let table = table_of(
        &[&[Red, White], &[Green, Amber], &[Blue]],
        vec![
            ("open", vec![(0, OFF), (1, fixed(Green))]),
            ("shut", vec![(0, fixed(Red)), (1, OFF)]),
            ("pairing", vec![(0, fixed(White)), (2, blink.clone())]),
        ],
    );
    let mut rng = rng(20_500 + seed);
    let first_s = 6.2;
    let arm = |at| Shade::Lit(if at < first_s { White } else { Red }, 1.0);
    let radio = |at| {
        if at < first_s {
            shade_at(&blink, at, 1.0)
        } else {
            Shade::Dark
        }
    };
    let arm = film(&arm, steady(), 0.9, &mut rng);
    let radio = film(&radio, steady(), 0.95, &mut rng);
    let other = film(&|_| Shade::Lit(Yellow, 1.0), steady(), 0.7, &mut rng);
    let mut candidates = vec![(&radio, 0.92), (&arm, 0.9)];
    if other_lamp {
        candidates.push((&other, 0.84));
    }
    let (found, reading) = judge(&table, &candidates);
    let shut = row(&table, "shut");
    assert_eq!(
        (found.lamp_of_light[0], found.lamp_of_light[2]),
        (Some(1), Some(0)),
        "{found:?}"
    );
    let decided = reading.outcome == Outcome::Decided { row: shut };
    let open = reading.outcome == Outcome::Undecided && reading.rivals.iter().any(|rival| rival.row == shut);
    assert!(decided || (other_lamp && open), "{reading:?}");
}

/// Two lamps, each of which would be read with certainty: what either would mean is a rival.
#[test]
fn what_another_lamp_would_mean_is_a_rival() {
    let blink = |colour| cycle(vec![lit(colour, 600.0), dark(600.0)]);
    let table = table(
        &[Green, Red],
        vec![("ready", blink(Green)), ("fault", blink(Red)), ("off", OFF)],
    );
    let mut rng = rng(21_500);
    let mut of = |colour, after_s| {
        film(
            &|at| shade_at(&blink(colour), at + after_s, 1.0),
            steady(),
            0.95,
            &mut rng,
        )
    };
    let (green, red) = (of(Green, 0.0), of(Red, 0.35));
    let (found, reading) = judge(&table, &[(&green, 0.96), (&red, 0.84)]);
    let taken = found.lamp_of_light[0].expect("one of them is the light");
    assert!(found.identity.probability < 0.9, "{found:?}");
    let other = reading.rivals.iter().find(|rival| rival.row != taken);
    assert!(other.is_some_and(|other| other.row == 1 - taken), "{reading:?}");
}

/// A faint spot that takes part in the flicker of the room's light has a rhythm that no row has: 100 Hz against 30 frames a
/// second. It is no lamp for that, beside one that is.
#[rstest]
fn what_flickers_with_the_mains_is_not_taken_for_a_steady_light(#[values(1, 2, 3, 4)] seed: u64) {
    let blink = cycle(vec![lit(Blue, 600.0), lit(White, 600.0)]);
    let table = table_of(
        &[&[White, Blue], &[Green, Red]],
        vec![
            ("alarm", vec![(0, blink.clone()), (1, fixed(Green))]),
            ("broken", vec![(0, OFF), (1, fixed(Red))]),
        ],
    );
    let mut rng = rng(22_500 + seed);
    let mast = film(&|at| shade_at(&blink, at, 1.0), steady(), 0.95, &mut rng);
    let link = film(&|_| Shade::Lit(Green, 1.0), steady(), 0.87, &mut rng);
    let flicker = cycle(vec![lit(Green, 36.0), dark(64.0)]);
    let spot = film(&|at| shade_at(&flicker, at, 1.0), steady(), 0.5, &mut rng);
    let (found, reading) = judge(&table, &[(&link, 0.89), (&mast, 0.81), (&spot, 0.25)]);
    assert_eq!(found.lamp_of_light, [Some(1), Some(0)], "{found:?}");
    assert_eq!(reading.outcome, Outcome::Decided { row: 0 }, "{reading:?}");
}

/// A second lamp that was seen badly (half lit for most of the clip, in a colour that it does not have) fits no row. That it
/// is then no light of the device, which would leave "all is well", is not to be decided; of a lamp that never changes it is.
#[rstest]
#[case::flashes(true)]
#[case::is_lit_all_the_time(false)]
fn a_lamp_that_flashes_is_not_left_out_for_certain(#[case] flashes: bool, #[values(1, 2, 3)] seed: u64) {
    let pulse = cycle(vec![lit(Green, 350.0), dark(2650.0)]);
    let alarm = cycle(vec![lit(Red, 200.0), dark(250.0), lit(Red, 200.0), dark(1600.0)]);
    let table = table_of(
        &[&[Green, Amber], &[Red]],
        vec![
            ("well", vec![(0, pulse.clone()), (1, OFF)]),
            ("too-warm", vec![(0, pulse.clone()), (1, alarm.clone())]),
            ("ready", vec![(0, fixed(Amber)), (1, OFF)]),
        ],
    );
    let mut rng = rng(23_500 + seed);
    let bad = |at: f64| match shade_at(&alarm, at, 1.0) {
        _ if !flashes => Shade::Lit(White, 1.0),
        Shade::Dark if (5.0..9.0).contains(&at) => Shade::Dark,
        Shade::Dark => Shade::Lit(White, 0.37),
        lit => lit,
    };
    let pulse = film(&|at| shade_at(&pulse, at, 1.0), steady(), 0.95, &mut rng);
    let bad = film(&bad, steady(), 0.8, &mut rng);
    let (found, reading) = judge(&table, &[(&pulse, 0.95), (&bad, 0.95)]);
    assert_eq!(found.lamp_of_light, [Some(0), None], "{found:?}");
    if flashes {
        assert_eq!(reading.outcome, Outcome::Undecided, "{reading:?}");
        assert!(reading.rivals.iter().any(|rival| rival.row == 0), "{reading:?}");
    } else {
        assert_eq!(reading.outcome, Outcome::Decided { row: 0 }, "{reading:?}");
    }
}

/// One light of the device is dark, and other devices' lamps are lit beside the other. That they have colours which no light
/// of the device has is no evidence that they are its lights, and filming them all for longer would not tell. A lone lamp in
/// such a colour is one that is in no row.
#[rstest]
fn lamps_in_colours_of_no_light_do_not_outweigh_a_row(#[values(1, 2, 3)] seed: u64) {
    let table = table_of(
        &[&[White, Blue], &[Green, Red]],
        vec![
            ("well", vec![(0, fixed(White)), (1, fixed(Green))]),
            ("broken", vec![(0, OFF), (1, fixed(Red))]),
        ],
    );
    let mut rng = rng(24_500 + seed);
    let mut of = |colour| film(&|_| Shade::Lit(colour, 1.0), steady(), 0.95, &mut rng);
    let (cyan, red, violet) = (of(Cyan), of(Red), of(Violet));
    let broken = row(&table, "broken");
    let (found, reading) = judge(&table, &[(&cyan, 0.95), (&red, 0.95), (&violet, 0.87)]);
    assert_eq!(found.lamp_of_light, [None, Some(1)], "{found:?} {reading:?}");
    assert_eq!(reading.outcome, Outcome::Undecided, "{found:?} {reading:?}");
    let first = reading.rivals[0];
    assert!(
        first.row == broken && first.probability > 0.5,
        "{found:?} {reading:?}"
    );
    assert_eq!(reading.settle, [Settle::Closer], "{found:?} {reading:?}");
    let (found, reading) = judge(&table, &[(&cyan, 0.95)]);
    assert_eq!(reading.outcome, Outcome::Unlisted, "{found:?} {reading:?}");
}

/// As many lights as a table may have, lit at unlike rates: each lamp is found, in whatever order they come.
#[test]
fn six_lamps_are_the_six_lights() {
    let periods_ms = [700.0, 900.0, 1150.0, 1500.0, 2000.0, 2600.0];
    let blink = |ms: f64| cycle(vec![lit(Green, 0.5 * ms), dark(0.5 * ms)]);
    let shows = periods_ms
        .iter()
        .enumerate()
        .map(|(light, ms)| (light, blink(*ms)))
        .collect();
    let table = table_of(
        &[&[Green][..]; MOST_LIGHTS],
        vec![("busy", shows), ("idle", vec![(0, fixed(Green))])],
    );
    let mut rng = rng(20_700);
    let traces: Vec<Trace> = periods_ms
        .iter()
        .map(|ms| film(&|at| shade_at(&blink(*ms), at, 1.0), steady(), 0.95, &mut rng))
        .collect();
    let turned: Vec<(&Trace, f64)> = traces.iter().rev().map(|trace| (trace, 0.9)).collect();
    let (found, reading) = judge(&table, &turned);
    let expected: Vec<Option<usize>> = (0..MOST_LIGHTS).rev().map(Some).collect();
    assert_eq!(found.lamp_of_light, expected);
    assert_eq!(
        reading.outcome,
        Outcome::Decided {
            row: row(&table, "busy")
        },
        "{reading:?}"
    );
}
