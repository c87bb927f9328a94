//! Rates of blinking that the frame times cannot tell from the one that a clip shows.
//!
//! Samples at even steps of T seconds show a light of f cycles a second as one of |f - k / T|, whatever whole k is
//! (sampling theorem). Exposures smear fast blinking, but how long the shutter was open is not known, so that a
//! level between tells nothing. Uneven frame times do tell: only at the true rate do all frames fit one cycle.

use super::sample::{Sighting, Trace};

/// No indicator is known to blink faster by design: half as fast again as the quickest rhythm of CiA 303-3, its
/// flickering of 10 a second. Faster light looks steady to most people, and whoever filmed it would not call it blinking.
const FASTEST_HZ: f64 = 15.0;
/// Other rates fit as well if the disorder of the frames is no more than this many times that at the rate shown, and
/// a little for chance (guessed).
const AS_WELL: f64 = 1.5;
const CHANCE: f64 = 0.05;

/// Rates in cycles a second, slowest first, that a light of `period_s` may truly have; empty where the clip tells.
pub(super) fn rates_hz(trace: &Trace, period_s: f64, frame_s: f64) -> Vec<f64> {
    let (shown_hz, fps) = (1.0 / period_s, 1.0 / frame_s);
    let shown = disorder(trace, shown_hz);
    let mut found = Vec::new();
    for fold in 1.. {
        let around = f64::from(fold) * fps;
        if around - shown_hz > FASTEST_HZ {
            break;
        }
        for rate_hz in [around - shown_hz, around + shown_hz] {
            // Two samples a cycle are the same light seen from the other side.
            let other = (rate_hz / shown_hz - 1.0).abs() > 0.05;
            if other && rate_hz <= FASTEST_HZ && disorder(trace, rate_hz) < AS_WELL * shown + CHANCE {
                found.push(rate_hz);
            }
        }
    }
    found
}

/// How much frames next to each other within the cycle differ, against how much any two do (Lafler and Kinman 1965,
/// ApJS 11, 216): near 0 at the true rate, near 1 where the rate has nothing to do with the light.
fn disorder(trace: &Trace, rate_hz: f64) -> f64 {
    let seen = trace
        .samples
        .iter()
        .filter(|sample| sample.sighting == Sighting::Seen);
    let mut turns: Vec<(f64, f64)> = seen
        .map(|sample| {
            // Colours in turn differ in their tint and not in their level.
            let state = match sample.tint {
                Some(tint) if sample.level > 0.5 => 1.0 + tint as f64,
                _ => sample.level.clamp(0.0, 1.0),
            };
            ((sample.time_s * rate_hz).rem_euclid(1.0), state)
        })
        .collect();
    turns.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mean = turns.iter().map(|(_, state)| state).sum::<f64>() / turns.len().max(1) as f64;
    let spread: f64 = turns.iter().map(|(_, state)| (state - mean).powi(2)).sum();
    let steps: f64 = turns.windows(2).map(|pair| (pair[1].1 - pair[0].1).powi(2)).sum();
    steps / (2.0 * spread).max(1e-9)
}
