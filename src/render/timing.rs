//! When frames are taken and what time stamps they get.

use rand::Rng;
use rand_pcg::Pcg64;

use super::recipe::Recipe;

/// Ticks a second of the clip's time base: a multiple of every usual frame rate, and what transport streams
/// use.
pub(super) const TICKS_PER_S: f64 = 90_000.0;

/// One frame of the clip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shot {
    /// Time stamp in ticks.
    pub(super) ticks: i64,
    /// When its first row began to be exposed, seconds; earlier than the time stamp for a repeated picture.
    pub(super) exposed_s: f64,
    /// Number of the picture it shows.
    pub(super) exposure: u64,
}

impl Shot {
    /// Time stamp in seconds.
    pub(super) fn time_s(&self) -> f64 {
        self.ticks as f64 / TICKS_PER_S
    }
}

/// Every frame of the clip, the first at time 0.
pub(super) fn shots(recipe: &Recipe) -> Vec<Shot> {
    /// Its own stream of random numbers, so that other settings leave the times alone.
    const STREAM: u128 = 1;
    let timing = &recipe.timing;
    let mut random = Pcg64::new(u128::from(recipe.seed), STREAM);
    let count = recipe.frame_count();
    let mut shots: Vec<Shot> = Vec::with_capacity(count);
    for number in 0..count {
        let jitter = timing.jitter_s * random.random_range(-1.0..=1.0);
        let dropped = random.random::<f64>() < timing.dropped_share;
        let repeated = random.random::<f64>() < timing.repeated_share;
        let Some(&last) = shots.last() else {
            shots.push(Shot {
                ticks: 0,
                exposed_s: 0.0,
                exposure: 0,
            });
            continue;
        };
        if dropped {
            continue;
        }
        let ideal = (number as f64 / timing.frames_per_s + jitter) * TICKS_PER_S;
        #[allow(clippy::cast_possible_truncation, reason = "a clip lasts at most minutes")]
        let ticks = (ideal.round() as i64).max(last.ticks + 1);
        let shot = if repeated {
            Shot { ticks, ..last }
        } else {
            Shot {
                ticks,
                exposed_s: ticks as f64 / TICKS_PER_S,
                exposure: last.exposure + 1,
            }
        };
        shots.push(shot);
    }
    shots
}
