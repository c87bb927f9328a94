//! Rhythms that the camera made, or that it cannot tell from others: signals that provoke the word and signals that
//! just do not.

use lampwise::trace::{Caveat, Rhythm, measure};
use rstest::rstest;

use crate::signal::{Camera, film, flashes};

fn aliases(rate_hz: f64, camera: Camera, seed: u64) -> Option<(f64, Vec<f64>)> {
    let light = flashes(1.0 / rate_hz, 0.5 / rate_hz, 1, 0.0);
    let (trace, _) = film(&light, 8.0, camera, seed);
    let measured = measure(&trace, 0.0);
    measured.caveats.into_iter().find_map(|caveat| match caveat {
        Caveat::Aliases {
            shown_hz, rates_hz, ..
        } => Some((shown_hz, rates_hz)),
        Caveat::Beat { .. } => None,
    })
}

/// A light that blinks faster than half the frame rate is shown at |f - k fps| (sampling theorem; 10 Hz is CiA
/// 303-3's flickering). The true rate must be among those named.
#[rstest]
#[case::ten_at_fifteen(10.3, 15.0)]
#[case::thirteen_at_sixteen(13.0, 16.0)]
#[case::eleven_at_twelve(11.0, 12.0)]
#[case::thirteen_at_ten(13.0, 10.0)]
fn the_true_rate_is_named(#[case] rate_hz: f64, #[case] fps: f64) {
    let camera = Camera {
        fps,
        exposure: 0.1,
        ..Camera::PLAIN
    };
    let near = (rate_hz / fps).round();
    let expected = (rate_hz - near * fps).abs();
    for seed in 0..10 {
        let (shown_hz, rates_hz) = aliases(rate_hz, camera, seed).expect("a word of warning");
        assert!(
            (shown_hz / expected - 1.0).abs() < 0.02,
            "{shown_hz}, expected {expected}"
        );
        assert!(
            rates_hz.iter().any(|named| (named / rate_hz - 1.0).abs() < 0.02),
            "{rates_hz:?}"
        );
    }
}

/// What the frame rate shows as it is has no other name below 15 a second, the fastest that is looked for.
#[rstest]
#[case::one_at_thirty(1.0, 30.0)]
#[case::ten_at_thirty(10.3, 30.0)]
#[case::five_at_twenty_five(5.0, 25.0)]
#[case::ten_at_sixty(10.3, 60.0)]
fn what_the_clip_tells_has_no_other_name(#[case] rate_hz: f64, #[case] fps: f64) {
    let camera = Camera {
        fps,
        exposure: 0.1,
        ..Camera::PLAIN
    };
    for seed in 0..10 {
        assert_eq!(aliases(rate_hz, camera, seed), None, "seed {seed}");
    }
}

/// Uneven frame times part what even ones do not.
#[test]
fn uneven_frames_tell() {
    let camera = Camera {
        fps: 15.0,
        exposure: 0.1,
        jitter: 0.2,
        ..Camera::PLAIN
    };
    for seed in 0..10 {
        let named = aliases(2.0, camera, seed);
        assert_eq!(named, None, "seed {seed}");
        let even = Camera {
            jitter: 0.0,
            ..camera
        };
        assert!(aliases(2.0, even, seed).is_some(), "seed {seed}");
    }
}

fn beat(light: &dyn Fn(f64) -> f64, camera: Camera, seed: u64) -> Option<(f64, f64)> {
    let (trace, _) = film(light, 8.0, camera, seed);
    let measured = measure(&trace, 0.0);
    measured.caveats.into_iter().find_map(|caveat| match caveat {
        Caveat::Beat { rate_hz, depth, .. } => Some((rate_hz, depth)),
        Caveat::Aliases { .. } => None,
    })
}

/// Dimmed by pulses: lit for `duty` of each 1 / `pulse_hz`. A camera shows it at a level that beats at |f - k fps|
/// and by the share that one pulse is of an exposure.
#[rstest]
#[case::mains_fed(100.0, 0.5, 24.0, 4.0)]
#[case::pulses(245.0, 0.6, 30.0, 5.0)]
#[case::pulses_at_sixty(247.0, 0.7, 60.0, 7.0)]
fn beats_are_named(#[case] pulse_hz: f64, #[case] duty: f64, #[case] fps: f64, #[case] beat_hz: f64) {
    let pulses = flashes(1.0 / pulse_hz, duty / pulse_hz, 1, 0.0);
    // Below what clips, so that both sides of the beat are seen.
    let light = |time_s: f64| 0.75 * pulses(time_s) / duty;
    // An exposure of two and a half cycles: the beat is shallow, the lamp never goes dark.
    let camera = Camera {
        fps,
        exposure: (2.5 / pulse_hz * fps).min(1.0),
        over: 1.0,
        ..Camera::PLAIN
    };
    for seed in 0..10 {
        let (rate_hz, depth) = beat(&light, camera, seed).expect("a word of warning");
        assert!(
            (rate_hz / beat_hz - 1.0).abs() < 0.03,
            "{rate_hz}, expected {beat_hz}"
        );
        assert!(depth > 0.1 && depth < 1.0, "{depth}");
    }
}

/// A steady lamp in noise, one that flashes, and one whose ripple is less than compression leaves do not beat.
#[test]
fn what_does_not_beat_is_left_alone() {
    let steady = |time_s: f64| time_s;
    let flashing = flashes(1.0, 0.7, 1, 0.0);
    let faint = |time_s: f64| {
        let turn = std::f64::consts::TAU * 3.0;
        0.95 * time_s - 0.03 / turn * (turn * time_s).cos()
    };
    let noisy = Camera {
        noise: 0.08,
        ..Camera::PLAIN
    };
    for seed in 0..20 {
        assert_eq!(beat(&steady, noisy, seed), None, "seed {seed}");
        assert_eq!(beat(&flashing, noisy, seed), None, "seed {seed}");
        assert_eq!(beat(&faint, Camera::PLAIN, seed), None, "seed {seed}");
        let (trace, _) = film(&steady, 8.0, noisy, seed);
        assert_eq!(measure(&trace, 0.0).rhythm, Rhythm::Fixed, "seed {seed}");
    }
}
