//! A beat of the lit level: pulse-width dimming or the mains against the frame rate.

use super::caveat::Caveat;
use super::sample::{Sample, Sighting, Trace};

/// Least depth of a beat worth a word: automatic exposure and compression leave less (measured on rendered clips:
/// 0.03 a frame).
const LEAST_DEPTH: f64 = 0.1;
/// Fewest lit frames, and cycles of the beat in them, to tell a beat from a drift.
const FEWEST_FRAMES: usize = 24;
const FEWEST_CYCLES: f64 = 3.0;
/// Chance of a beat as strong in noise alone, above which it is none.
const BY_CHANCE: f64 = 1e-4;
/// Most lit frames that are looked at: a beat shows in a minute or two, and the time grows with their square.
const MOST_FRAMES: usize = 3000;
/// Most rates for each frame; stamps at even distances need two.
const RATES_A_FRAME: usize = 4;
/// A beat within this share of the light's own rate, or of a multiple of it, belongs to the rhythm.
const OWN: f64 = 0.04;

/// The strongest beat of the frames that are lit and have lit neighbours; `own_hz` is the light's own rate.
pub(super) fn beat(trace: &Trace, own_hz: Option<f64>, frame_s: f64) -> Option<Caveat> {
    let mut lit = inner_lit(trace);
    lit.truncate(MOST_FRAMES);
    let length_s = lit.last()?.0 - lit.first()?.0;
    if lit.len() < FEWEST_FRAMES || frame_s <= 0.0 {
        return None;
    }
    let variance = lit.iter().map(|(_, level)| level * level).sum::<f64>() / lit.len() as f64;
    let top_hz = 0.5 / frame_s;
    // Steps of a quarter of what the length parts.
    let step_hz = 0.25 / length_s;
    let least_hz = FEWEST_CYCLES / length_s;
    let steps = ((top_hz - least_hz) / step_hz).floor().max(0.0) as usize;
    let steps = steps.min(RATES_A_FRAME * lit.len());
    let rates = (0..=steps).map(|step| least_hz + step as f64 * step_hz);
    let (rate_hz, power) = rates
        .map(|rate_hz| (rate_hz, power(&lit, rate_hz)))
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let share = (power / (variance * lit.len() as f64)).clamp(0.0, 1.0);
    // Scargle 1982, normalised by the sample variance: the chance of a share z at one rate is (1 - z)^((n - 3) / 2),
    // and there are about as many rates as half the frames.
    let tries = 0.5 * lit.len() as f64;
    let by_chance = tries * (1.0 - share).powf(0.5 * (lit.len() as f64 - 3.0));
    // A sine of amplitude a over n frames has the power n a^2 / 2.
    let depth = 2.0 * (2.0 * power / lit.len() as f64).sqrt();
    let is_own = own_hz.is_some_and(|own_hz| {
        let times = (rate_hz / own_hz).round().max(1.0);
        (rate_hz / (times * own_hz) - 1.0).abs() < OWN
    });
    (by_chance < BY_CHANCE && depth >= LEAST_DEPTH && !is_own).then_some(Caveat::Beat {
        rate_hz,
        depth,
        fps: 1.0 / frame_s,
    })
}

/// Times and levels, less the mean of their stretch, of frames that were lit throughout.
fn inner_lit(trace: &Trace) -> Vec<(f64, f64)> {
    /// Level below which a frame may be dark or on its way.
    const LIT: f64 = 0.5;
    let is_lit = |sample: &Sample| sample.sighting == Sighting::Seen && sample.level > LIT;
    let mut all = Vec::new();
    for stretch in trace
        .samples
        .chunk_by(|a, b| is_lit(a) == is_lit(b) && a.tint == b.tint)
    {
        // The first and the last may have been lit for a part of their exposure.
        let inner = stretch
            .get(1..stretch.len().saturating_sub(1))
            .unwrap_or_default();
        if !stretch.first().is_some_and(is_lit) || inner.len() < 3 {
            continue;
        }
        let mean = inner.iter().map(|sample| sample.level).sum::<f64>() / inner.len() as f64;
        all.extend(inner.iter().map(|sample| (sample.time_s, sample.level - mean)));
    }
    all
}

/// Power of a sine of the best phase (Lomb-Scargle periodogram; Scargle 1982, ApJ 263, 835).
fn power(levels: &[(f64, f64)], rate_hz: f64) -> f64 {
    let turn = std::f64::consts::TAU * rate_hz;
    let (sin2, cos2) = levels.iter().fold((0.0, 0.0), |(sin, cos), (time_s, _)| {
        let (s, c) = (2.0 * turn * time_s).sin_cos();
        (sin + s, cos + c)
    });
    let delay = 0.5 * f64::atan2(sin2, cos2);
    let (mut along, mut across) = ((0.0, 0.0), (0.0, 0.0));
    for (time_s, level) in levels {
        let (sin, cos) = (turn * time_s - delay).sin_cos();
        along = (along.0 + level * cos, along.1 + cos * cos);
        across = (across.0 + level * sin, across.1 + sin * sin);
    }
    along.0 * along.0 / along.1.max(1e-9) + across.0 * across.0 / across.1.max(1e-9)
}
