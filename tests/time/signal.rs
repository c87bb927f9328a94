//! Lights of known course, filmed by a camera that integrates over its exposure.

use lampwise::colour::{ColourName, D65, ReadFrom, name_colour};
use lampwise::light::Sighting;
use lampwise::trace::{Chroma, Sample, Tint, Trace};
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, Normal};
use rand_pcg::Pcg64;

/// Seconds lit before a time, from any start.
pub(crate) type LitBefore<'a> = &'a dyn Fn(f64) -> f64;

/// A camera.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Camera {
    pub fps: f64,
    /// Share of the time from frame to frame in which the shutter is open.
    pub exposure: f64,
    /// Standard deviation of a level.
    pub noise: f64,
    /// Standard deviation of the time stamps about even steps, as a share of one.
    pub jitter: f64,
    /// How many times the light that clips; 1 clips nothing.
    pub over: f64,
}

impl Camera {
    pub(crate) const PLAIN: Self = Self {
        fps: 30.0,
        exposure: 1.0,
        noise: 0.03,
        jitter: 0.0,
        over: 1.0,
    };
}

/// Flashes of `on_s` seconds, `count` of them `apart_s` from start to start, every `period_s`.
pub(crate) fn flashes(period_s: f64, on_s: f64, count: usize, apart_s: f64) -> impl Fn(f64) -> f64 {
    move |time_s: f64| {
        let cycles = (time_s / period_s).floor();
        let within = time_s - cycles * period_s;
        let lit: f64 = (0..count)
            .map(|i| (within - i as f64 * apart_s).clamp(0.0, on_s))
            .sum();
        cycles * count as f64 * on_s + lit
    }
}

/// Swells and fades as a raised cosine does.
pub(crate) fn breathing(period_s: f64) -> impl Fn(f64) -> f64 {
    move |time_s: f64| {
        let turn = std::f64::consts::TAU / period_s;
        0.5 * (time_s - (turn * time_s).sin() / turn)
    }
}

/// Films `seconds` of a light, from a time of its course that the seed draws.
pub(crate) fn film(lit_before: LitBefore<'_>, seconds: f64, camera: Camera, seed: u64) -> (Trace, f64) {
    let mut random = Pcg64::seed_from_u64(seed);
    let start_s = 100.0 + random.random_range(0.0..10.0);
    let (jitter, noise) = (
        Normal::new(0.0, camera.jitter / camera.fps).unwrap(),
        Normal::new(0.0, camera.noise).unwrap(),
    );
    let frames = (seconds * camera.fps).round() as usize;
    let mut times: Vec<f64> = (0..=frames)
        .map(|i| i as f64 / camera.fps + jitter.sample(&mut random))
        .collect();
    times.sort_by(f64::total_cmp);
    let first = times[0];
    let samples = times
        .windows(2)
        .map(|pair| {
            let (time_s, span_s) = (pair[0] - first, pair[1] - pair[0]);
            let open_s = camera.exposure / camera.fps;
            let from = start_s + time_s;
            let share = (lit_before(from + open_s) - lit_before(from)) / open_s;
            let level = (camera.over * share).min(1.0) + noise.sample(&mut random);
            Sample {
                time_s,
                span_s,
                sighting: Sighting::Seen,
                level,
                level_sd: camera.noise.max(0.01),
                chroma: (level > 0.2).then_some(Chroma {
                    u: D65.0,
                    v: D65.1,
                    sd: 0.005,
                }),
                tint: (level > 0.2).then_some(0),
                turned: None,
            }
        })
        .collect();
    let tints = vec![Tint {
        chroma: Chroma {
            u: D65.0,
            v: D65.1,
            sd: 0.003,
        },
        read_from: ReadFrom::CLEAN,
        names: name_colour(D65.0, D65.1, 0.003, ReadFrom::CLEAN),
        dominant_nm: None,
        purity: 0.0,
        share: 1.0,
    }];
    assert_eq!(tints[0].names.ranked()[0].0, ColourName::White);
    let trace = Trace {
        samples,
        tints,
        beat_hz: None,
        otherwise: None,
    };
    (trace, start_s)
}

/// Root mean square.
pub(crate) fn rms(values: &[f64]) -> f64 {
    (values.iter().map(|v| v * v).sum::<f64>() / values.len() as f64).sqrt()
}
