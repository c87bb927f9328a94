//! Light over an exposure.

use std::f64::consts::{FRAC_2_PI, TAU};

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Course, Lamp, Recipe, Shown, Stretch, truth};
use lampwise::table::{Cycle, Part, Pattern, Phase, Shade};
use proptest::prelude::*;

fn total(course: &Course, start_s: f64, length_s: f64) -> f64 {
    course.mean(start_s, length_s).iter().sum()
}

/// What beats show at an instant of pattern time, the plain way.
fn instant(beats: &[Beat], time_s: f64) -> Option<(ColourName, f64)> {
    let period_s: f64 = beats.iter().map(|beat| beat.lasts_s).sum();
    let mut left_s = time_s.rem_euclid(period_s);
    for beat in beats {
        if left_s < beat.lasts_s {
            let level = beat.from + (beat.to - beat.from) * left_s / beat.lasts_s;
            return beat.colour.map(|colour| (colour, level));
        }
        left_s -= beat.lasts_s;
    }
    None
}

fn any_beat() -> impl Strategy<Value = Beat> {
    let colour = prop_oneof![
        Just(None),
        Just(Some(ColourName::Red)),
        Just(Some(ColourName::Blue)),
        Just(Some(ColourName::White)),
    ];
    (0.02..1.5_f64, colour, 0.0..=1.0_f64, 0.0..=1.0_f64).prop_map(|(lasts_s, colour, from, to)| Beat {
        lasts_s,
        colour,
        from,
        to,
    })
}

proptest! {
    #[test]
    fn integral_agrees_with_fine_sum(
        beats in prop::collection::vec(any_beat(), 1..6),
        start_s in -3.0..20.0_f64,
        length_s in 0.001..2.0_f64,
    ) {
        const STEPS: usize = 20_000;
        let mut expected = [0.0; 9];
        for step in 0..STEPS {
            let time_s = start_s + length_s * (step as f64 + 0.5) / STEPS as f64;
            if let Some((colour, level)) = instant(&beats, time_s) {
                expected[colour.index()] += level / STEPS as f64;
            }
        }
        let got = Course::new(&Shown::Cycle(beats)).mean(start_s, length_s);
        for (got, expected) in got.iter().zip(expected) {
            // The sum misses at most a step at each jump; there are at most 2 s / 0.02 s of them.
            prop_assert!((got - expected).abs() < 100.0 / STEPS as f64, "{got} against {expected}");
        }
    }
}

#[test]
fn sequence_is_dark_before_and_after_and_starts_each_part_afresh() {
    let course = Course::new(&Shown::Sequence(vec![
        Stretch {
            for_s: 1.0,
            cycle: vec![
                Beat::lit(ColourName::Blue, 0.3),
                Beat::lit(ColourName::White, 0.3),
            ],
        },
        Stretch {
            for_s: 3.2,
            cycle: vec![Beat::lit(ColourName::White, 0.9), Beat::dark(0.7)],
        },
    ]));
    let near = |got: f64, expected: f64| assert!((got - expected).abs() < 1e-9, "{got} against {expected}");
    near(total(&course, -1.0, 1.0), 0.0);
    // 0.9 .. 1.0 is blue for the fourth third of a second; 1.0 .. 1.1 is white of the second part.
    let levels = course.mean(0.9, 0.2);
    near(levels[ColourName::White.index()], 1.0);
    near(course.mean(0.55, 0.1)[ColourName::Blue.index()], 0.5);
    near(course.mean(0.55, 0.1)[ColourName::White.index()], 0.5);
    // The second part is lit 1.0 .. 1.9 and 2.6 .. 3.5, dark to 4.2 and after.
    near(total(&course, 1.8, 0.2), 0.5);
    near(total(&course, 3.4, 10.0), 0.01);
}

/// Blink of CiA 303-3 (version 1.4.0): 200 ms on, 200 ms off. Frames of 1/30 s, exposed all the time.
#[test]
fn blink_at_thirty_frames_has_the_hand_worked_shares() {
    let blink = Shown::Cycle(vec![Beat::lit(ColourName::Green, 0.2), Beat::dark(0.2)]);
    let mut recipe = Recipe {
        seconds: 0.4,
        ..Recipe::default()
    };
    recipe.camera.exposure_s = 1.0 / 30.0;
    recipe.camera.readout_s = 0.0;
    recipe.lamps = vec![Lamp {
        // Ten milliseconds in: the light goes out 190 ms and comes on 390 ms after the first frame began.
        starts_at_s: 0.01,
        ..Lamp::showing(blink)
    }];
    let levels: Vec<f64> = truth(&recipe)
        .unwrap()
        .frames
        .iter()
        .map(|frame| frame.lamps[0].level)
        .collect();
    // Frame 5 begins at 166.7 ms: 23.3 of 33.3 ms. Frame 11 begins at 366.7 ms: the last 10 of 33.3 ms.
    let expected = [1.0, 1.0, 1.0, 1.0, 1.0, 0.7, 0.0, 0.0, 0.0, 0.0, 0.0, 0.3];
    assert_eq!(levels.len(), expected.len());
    for (got, expected) in levels.iter().zip(expected) {
        assert!((got - expected).abs() < 1e-9, "{levels:?}");
    }
}

/// What remains of a sine after an exposure: |sinc(f Te)|, the transform of a rectangular window; 2/pi is
/// 0.6366.
#[rstest::rstest]
#[case(15.0, 1.0 / 30.0, FRAC_2_PI)]
#[case(15.0, 1.0 / 60.0, 0.900_316)]
#[case(15.0, 0.002, 0.998_520)]
#[case(30.0, 1.0 / 30.0, 0.0)]
#[case(30.0, 1.0 / 60.0, FRAC_2_PI)]
fn sine_keeps_the_published_share(#[case] hz: f64, #[case] exposure_s: f64, #[case] gain: f64) {
    // A sine drawn with straight lines: 720 of them keep it to a hundred-thousandth.
    const LINES: usize = 720;
    let at = |line: usize| 0.5 + 0.5 * (TAU * line as f64 / LINES as f64).sin();
    let beats = (0..LINES)
        .map(|line| Beat {
            lasts_s: 1.0 / hz / LINES as f64,
            colour: Some(ColourName::Red),
            from: at(line),
            to: at(line + 1),
        })
        .collect();
    let course = Course::new(&Shown::Cycle(beats));
    let levels: Vec<f64> = (0..1000)
        .map(|phase| total(&course, f64::from(phase) / 1000.0 / hz, exposure_s))
        .collect();
    let most = levels.iter().copied().fold(f64::MIN, f64::max);
    let least = levels.iter().copied().fold(f64::MAX, f64::min);
    assert!(
        (most - least - gain).abs() < 5e-5,
        "{} against {gain}",
        most - least
    );
    assert!((0.5 * (most + least) - 0.5).abs() < 5e-5);
}

/// A square wave of 30 Hz, exposed for whole cycles, is a steady half light at any phase.
#[test]
fn square_wave_of_the_frame_rate_looks_steady() {
    let course = Course::new(&Shown::Cycle(vec![
        Beat::lit(ColourName::Red, 1.0 / 60.0),
        Beat::dark(1.0 / 60.0),
    ]));
    for frame in 0..90 {
        let level = total(&course, 0.0037 + f64::from(frame) / 30.0, 1.0 / 30.0);
        assert!((level - 0.5).abs() < 1e-9, "{level}");
    }
}

/// Chance that a single pulse meets an exposure: min(1, (pulse + exposure) x rate).
#[rstest::rstest]
#[case(0.010, 1e-6, 30.0, 0.30)]
#[case(0.020, 1e-6, 30.0, 0.60)]
#[case(0.020, 1e-6, 24.0, 0.48)]
#[case(0.020, 1e-6, 60.0, 1.00)]
#[case(0.010, 0.010, 30.0, 0.60)]
fn pulse_is_caught_as_often_as_published(
    #[case] pulse_s: f64,
    #[case] exposure_s: f64,
    #[case] frames_per_s: f64,
    #[case] chance: f64,
) {
    const PHASES: u32 = 2000;
    let mut recipe = Recipe {
        seconds: 0.5,
        ..Recipe::default()
    };
    recipe.timing.frames_per_s = frames_per_s;
    recipe.camera.exposure_s = exposure_s;
    recipe.camera.readout_s = 0.0;
    recipe.lamps = vec![Lamp::showing(Shown::Sequence(vec![Stretch {
        for_s: pulse_s,
        cycle: vec![Beat::lit(ColourName::White, 1.0)],
    }]))];
    let caught = (0..PHASES)
        .filter(|&phase| {
            // The pulse starts somewhere between two frames in the middle of the clip.
            recipe.lamps[0].starts_at_s = -0.2 - (f64::from(phase) + 0.5) / f64::from(PHASES) / frames_per_s;
            let truth = truth(&recipe).unwrap();
            truth.frames.iter().any(|frame| frame.lamps[0].level > 0.0)
        })
        .count();
    let share = caught as f64 / f64::from(PHASES);
    // Phases come in steps of 1/2000, time stamps in steps of 1/90000 s.
    assert!((share - chance).abs() < 0.002, "{share} against {chance}");
}

/// Patterns as a light table gives them, taken at their nominal durations.
#[test]
fn table_patterns_are_taken_at_nominal_durations() {
    let phase = |from, to, lasts_s, range_s| Phase {
        from,
        to,
        lasts_s,
        range_s,
    };
    let (dark, blue) = (Shade::Dark, Shade::Lit(ColourName::Blue, 1.0));
    let breathing = Pattern::Cycle(Cycle {
        phases: vec![
            phase(dark, blue, 1.2, (1.2, 1.2)),
            phase(blue, dark, 1.2, (1.2, 1.2)),
        ],
        period_s: 2.4,
        within: 0.15,
    });
    let course = Course::new(&Shown::from(&breathing));
    // A triangle: an eighth of full after an eighth of a rise; half on average.
    assert!((total(&course, 0.0, 2.4) - 0.5).abs() < 1e-9);
    assert!((total(&course, 0.3 - 1e-4, 2e-4) - 0.25).abs() < 1e-6);
    assert!((total(&course, 1.2 - 1e-4, 2e-4) - 1.0).abs() < 1e-4);

    let reset = Pattern::Sequence(vec![
        Part {
            pattern: Pattern::Constant(blue),
            for_s: (1.0, 3.0),
        },
        Part {
            pattern: Pattern::Constant(Shade::Lit(ColourName::White, 0.5)),
            for_s: (3.0, f64::INFINITY),
        },
    ]);
    let Shown::Sequence(stretches) = Shown::from(&reset) else {
        panic!("a sequence stays one");
    };
    assert_eq!([stretches[0].for_s, stretches[1].for_s], [2.0, 4.0]);
    let course = Course::new(&Shown::Sequence(stretches));
    assert!((course.mean(1.9, 0.2)[ColourName::White.index()] - 0.25).abs() < 1e-9);
}
