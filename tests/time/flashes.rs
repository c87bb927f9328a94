//! Edges, lit times, counts and kinds of flashes whose truth is known.

use lampwise::trace::{Measured, Rhythm, measure};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rstest::rstest;

use crate::signal::{Camera, breathing, film, flashes, rms};

/// Clips of one setting.
const CLIPS: u64 = 100;

/// Cameras of any exposure, evenly by ratio.
fn cameras(seed: u64) -> impl FnMut() -> Camera {
    let mut random = Pcg64::seed_from_u64(seed);
    move || Camera {
        exposure: random.random_range(0.05f64.ln()..1.0f64.ln()).exp(),
        fps: [24.0, 25.0, 30.0, 60.0][random.random_range(0..4)],
        ..Camera::PLAIN
    }
}

/// Errors of the edges of all whole flashes in frames, and in stated deviations.
fn edge_errors(camera: Camera, seed: u64, period_s: f64, on_s: f64) -> Vec<(f64, f64)> {
    let (trace, start_s) = film(&flashes(period_s, on_s, 1, 0.0), 8.0 * period_s, camera, seed);
    let measured = measure(&trace, 0.0);
    let mut errors = Vec::new();
    for flash in &measured.flashes {
        let ends = [
            (flash.from_s, flash.open_start, 0.0),
            (flash.to_s, flash.open_end, on_s),
        ];
        for (edge, open, after_s) in ends {
            if open {
                continue;
            }
            let true_s = |cycle: f64| cycle * period_s + after_s - start_s;
            let cycle = ((edge.value + start_s - after_s) / period_s).round();
            let error = edge.value - true_s(cycle);
            errors.push((error * camera.fps, error / edge.sd));
        }
    }
    assert!(errors.len() >= 14, "{}", errors.len());
    errors
}

/// With the shutter open all the time every edge is inside an exposure and known as well as the level: the bound
/// is noise times frame (see `bound`), here with what the unknown shutter and curve leave to doubt.
#[test]
fn edges_are_known_to_a_part_of_a_frame() {
    let camera = Camera::PLAIN;
    let errors: Vec<(f64, f64)> = (0..CLIPS)
        .flat_map(|seed| edge_errors(camera, seed, 0.713, 0.3))
        .collect();
    let frames = rms(&errors.iter().map(|e| e.0).collect::<Vec<_>>());
    println!("edges: {frames:.3} frames, bound {:.3}", camera.noise);
    assert!(frames > 0.9 * camera.noise && frames < 0.1, "{frames}");
}

#[test]
fn stated_deviation_of_edges_holds() {
    let mut camera = cameras(1);
    let errors: Vec<(f64, f64)> = (0..CLIPS)
        .flat_map(|seed| edge_errors(camera(), seed, 0.713, 0.3))
        .collect();
    let within = |sds: f64| errors.iter().filter(|e| e.1.abs() <= sds).count() as f64 / errors.len() as f64;
    println!("edges within one {:.2}, two {:.2}", within(1.0), within(2.0));
    // Edges of one clip share its camera, so they count as a clip and not as edges. A gap has no tails.
    assert!(
        within(1.0) > 0.55 && within(2.0) > 0.93,
        "{} {}",
        within(1.0),
        within(2.0)
    );
}

/// A clipped lamp looks fully lit wherever it was lit for a part of the exposure.
#[rstest]
fn stated_deviation_of_the_lit_time_holds(
    #[values(1.0, 3.0, 8.0)] over: f64,
    #[values((1.0, 0.4), (0.37, 0.13), (2.4, 0.1))] rhythm: (f64, f64),
) {
    let mut camera = cameras(2);
    let clipped = if over > 1.0 { 1.0 } else { 0.0 };
    let light = flashes(rhythm.0, rhythm.1, 1, 0.0);
    let errors: Vec<f64> = (0..CLIPS)
        .map(|seed| {
            let camera = Camera { over, ..camera() };
            let (trace, _) = film(&light, 8.0 * rhythm.0, camera, seed);
            let on = measure(&trace, clipped).on_s.unwrap();
            (on.value - rhythm.1) / on.sd
        })
        .collect();
    let within = errors.iter().filter(|z| z.abs() <= 2.0).count();
    println!("{over} {rhythm:?}: rms {:.2}, within two {within}", rms(&errors));
    // 95 of a hundred, less two deviations.
    assert!(within >= 91, "{within}");
}

fn at(camera: Camera, light: &dyn Fn(f64) -> f64, seconds: f64, seed: u64) -> Measured {
    measure(&film(light, seconds, camera, seed).0, 0.0)
}

/// Groups as CiA 303-3 has them: flashes of 200 ms, 200 ms apart, 1000 ms between groups; and quicker ones.
#[rstest]
fn groups_are_counted(#[values(2, 3, 4, 5, 8)] count: usize, #[values(200.0, 120.0)] on_ms: f64) {
    let (on_s, apart_s) = (on_ms / 1000.0, 2.0 * on_ms / 1000.0);
    let period_s = (count as f64 - 1.0) * apart_s + on_s + 5.0 * on_s;
    let light = flashes(period_s, on_s, count, apart_s);
    let mut camera = cameras(3);
    for seed in 0..20 {
        let measured = at(camera(), &light, 4.0 * period_s, seed);
        assert_eq!(measured.rhythm, Rhythm::GroupFlashing { count }, "seed {seed}");
        let period = measured.period_s.unwrap();
        assert!(
            (period.value / period_s - 1.0).abs() < 0.005,
            "seed {seed}: {period:?}"
        );
    }
}

#[rstest]
fn breathing_is_told_from_flashing(#[values(0.8, 1.5, 2.4, 5.0)] period_s: f64) {
    let mut camera = cameras(4);
    for seed in 0..20 {
        let swells = at(camera(), &breathing(period_s), 4.0 * period_s, seed);
        assert_eq!(swells.rhythm, Rhythm::Breathing, "seed {seed}");
        let period = swells.period_s.unwrap();
        assert!(
            (period.value / period_s - 1.0).abs() < 0.02,
            "seed {seed}: {period:?}"
        );
        let blinks = at(
            camera(),
            &flashes(period_s, 0.5 * period_s, 1, 0.0),
            4.0 * period_s,
            seed,
        );
        assert_eq!(blinks.rhythm, Rhythm::Flashing, "seed {seed}");
    }
}

/// A camera that sets its exposure anew moves the middle of every swell. One cycle and a bit cannot show that, so the
/// stated deviation must.
#[rstest]
fn a_swell_seen_once_has_an_uncertain_period(#[values(1.5, 2.5, 5.0)] period_s: f64) {
    /// By how much the light seems to grow or fade over the clip.
    const DRIFT: f64 = 0.2;
    const CLIPS: u64 = 40;
    let mut far = 0;
    for seed in 0..CLIPS {
        let (mut trace, _) = film(&breathing(period_s), 1.6 * period_s, Camera::PLAIN, seed);
        let grows = if seed % 2 == 0 { DRIFT } else { -DRIFT };
        for sample in &mut trace.samples {
            sample.level *= 1.0 + grows * (sample.time_s / (1.6 * period_s) - 0.5);
        }
        let period = measure(&trace, 0.0).period_s.unwrap();
        let error = (period.value - period_s).abs();
        assert!(period.sd < 0.1 * period_s, "seed {seed}: {period:?}");
        far += usize::from(error > 2.0 * period.sd);
    }
    assert!(far <= 4, "{far} of {CLIPS} beyond two deviations");
}

/// Flashes of a few frames, smeared by the exposure, are still flashes: 5 and 7 a second at 30 frames.
#[rstest]
fn quick_flashes_do_not_breathe(#[values(5.0, 7.0)] rate_hz: f64, #[values(0.1, 0.5, 1.0)] exposure: f64) {
    let camera = Camera {
        exposure,
        ..Camera::PLAIN
    };
    for seed in 0..20 {
        let measured = at(camera, &flashes(1.0 / rate_hz, 0.5 / rate_hz, 1, 0.0), 6.0, seed);
        assert_eq!(measured.rhythm, Rhythm::Flashing, "seed {seed}");
        let period = measured.period_s.unwrap();
        assert!(
            (period.value * rate_hz - 1.0).abs() < 0.005,
            "seed {seed}: {period:?}"
        );
    }
}
