//! The scatter of the period against the Cramér–Rao bound, and the doubt stated against the scatter.
//!
//! The bound for flashes. A frame that is lit for a part of its exposure T has the level (edge to end) / T, so an
//! edge moves one level by 1/T a second; with noise σ in each level an edge holds the Fisher information
//! 1 / (σ T)². Unknown are the period P, the first lighting up and the first going out: edge i of either kind
//! is at its first + i P. Of N cycles, with the firsts taken out, the information on P is that of two straight lines'
//! common slope, 2 Σ (i - mean)² / (σ T)² = N (N² - 1) / (6 σ² T²), so that sd(P) >= σ T sqrt(6 / (N (N² - 1))).
//! The two levels count as known: they are means over hundreds of frames.

use lampwise::trace::{Rhythm, measure};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rstest::rstest;

use crate::signal::{Camera, film, flashes, rms};

/// Clips of one setting.
const CLIPS: u64 = 160;

/// Errors of the period in seconds, and the same in terms of the stated deviation, over many clips of one rhythm.
fn errors(period_s: f64, on_s: f64, cycles: f64, mut camera: impl FnMut() -> Camera) -> (Vec<f64>, Vec<f64>) {
    let light = flashes(period_s, on_s, 1, 0.0);
    let mut all = (Vec::new(), Vec::new());
    for seed in 0..CLIPS {
        // Not all of one period, so that no clip's frames fall on the same places of every cycle.
        let scale = 1.0 + 0.02 * (seed as f64 / CLIPS as f64 - 0.5);
        let (trace, _) = film(&|t| light(t / scale) * scale, cycles * period_s, camera(), seed);
        let measured = measure(&trace, 0.0);
        assert_eq!(measured.rhythm, Rhythm::Flashing, "seed {seed}");
        let period = measured.period_s.unwrap();
        let error = period.value - period_s * scale;
        all.0.push(error);
        all.1.push(error / period.sd);
    }
    all
}

fn bound_s(camera: Camera, cycles: f64) -> f64 {
    camera.noise * camera.exposure / camera.fps * (6.0 / (cycles * (cycles * cycles - 1.0))).sqrt()
}

#[rstest]
#[case::one_hz(1.0, 0.4, 10.0, 30.0, 0.03)]
#[case::fast(0.4, 0.2, 20.0, 30.0, 0.05)]
#[case::slow(2.4, 0.6, 6.0, 24.0, 0.03)]
#[case::sixty(1.0, 0.5, 10.0, 60.0, 0.10)]
fn period_scatter_is_near_the_bound(
    #[case] period_s: f64,
    #[case] on_s: f64,
    #[case] cycles: f64,
    #[case] fps: f64,
    #[case] noise: f64,
) {
    let camera = Camera {
        fps,
        noise,
        ..Camera::PLAIN
    };
    let (errors, stated) = errors(period_s, on_s, cycles, || camera);
    let (scatter, bound) = (rms(&errors), bound_s(camera, cycles));
    println!(
        "{period_s} s at {fps}: {:.2} times the bound; {:.2} of the stated",
        scatter / bound,
        rms(&stated)
    );
    // Three deviations of a deviation from so many clips.
    let chance = 3.0 / (2.0 * CLIPS as f64).sqrt();
    assert!(
        scatter > bound * (1.0 - chance),
        "better than can be: {scatter} {bound}"
    );
    // The bound is that of somebody who knows the shutter and the camera's curve, which have to be found or allowed
    // for here.
    assert!(scatter < 2.5 * bound, "{scatter} against {bound}");
}

/// What is stated must hold for a camera of whatever exposure: where the shutter is open for a short part only, most
/// changes fall between two exposures and there is no bound.
#[rstest]
fn stated_deviation_of_the_period_holds(
    #[values((1.0, 0.4), (0.37, 0.13), (2.4, 1.1))] rhythm: (f64, f64),
    #[values(0.0, 0.1)] jitter: f64,
) {
    let mut random = Pcg64::seed_from_u64(4);
    // Evenly by ratio, as shutters are stepped.
    let stated = errors(rhythm.0, rhythm.1, 8.0, || Camera {
        exposure: random.random_range(0.05f64.ln()..1.0f64.ln()).exp(),
        jitter,
        ..Camera::PLAIN
    })
    .1;
    let within = |sds: f64| stated.iter().filter(|z| z.abs() <= sds).count() as f64 / stated.len() as f64;
    println!(
        "{rhythm:?} {jitter}: rms {:.2}, within one {:.2}, two {:.2}",
        rms(&stated),
        within(1.0),
        within(2.0)
    );
    // Shares of a normal distribution, less two deviations of a share of so many clips.
    assert!(
        within(1.0) > 0.683 - 0.074 && within(2.0) > 0.954 - 0.033,
        "{} {}",
        within(1.0),
        within(2.0)
    );
    // And no more than twice as wide as need be.
    assert!(rms(&stated) > 0.5, "{}", rms(&stated));
}
