//! Where the hand points the camera.

use std::f64::consts::TAU;

use rand::Rng;
use rand_pcg::Pcg64;

use super::pose::Pose;
use super::recipe::{Glance, Recipe};

/// Frequencies of a hand's sway and tremor, hertz. Sway below 2 Hz carries most of it; common practice, no
/// source.
const SWAY_HZ: std::ops::Range<f64> = 0.3..6.0;

/// Sinusoids in each direction: enough that the path does not visibly repeat.
const SWAYS: usize = 9;

/// How long the camera takes to turn away and back, seconds; guessed.
const TURNING_S: f64 = 0.35;

/// How often the hand turns to and fro, hertz: a slow sway; guessed.
const TURN_HZ: f64 = 0.35;

/// The path of the scene across the picture.
#[derive(Debug, Clone)]
pub(super) struct Motion {
    sways: [Vec<Sway>; 2],
    glances: Vec<Glance>,
    zoom_per_s: f64,
    turn_rad: f64,
    /// Where in its sway the turn starts, as a share of one sway.
    turn_starts: f64,
}

#[derive(Debug, Clone, Copy)]
struct Sway {
    hz: f64,
    px: f64,
    turn: f64,
}

impl Motion {
    pub(super) fn new(recipe: &Recipe) -> Self {
        /// Its own stream of random numbers.
        const STREAM: u128 = 2;
        let mut random = Pcg64::new(u128::from(recipe.seed), STREAM);
        Self {
            sways: std::array::from_fn(|_| sways(&mut random, recipe.hand.shake_rms_px)),
            glances: recipe.hand.glances.clone(),
            zoom_per_s: recipe.hand.zoom_per_s,
            turn_rad: recipe.hand.turn_deg.to_radians(),
            turn_starts: random.random(),
        }
    }

    /// How the scene lies in the upright picture.
    pub(super) fn at(&self, time_s: f64) -> Pose {
        let mut offset: [f64; 2] = std::array::from_fn(|axis| {
            self.sways[axis]
                .iter()
                .map(|sway| sway.px * (TAU * (sway.hz * time_s + sway.turn)).sin())
                .sum()
        });
        for glance in &self.glances {
            let share = ease((time_s - glance.from_s) / TURNING_S) - ease((time_s - glance.to_s) / TURNING_S);
            offset[0] += share * glance.x_px;
            offset[1] += share * glance.y_px;
        }
        Pose {
            offset,
            scale: (1.0 + self.zoom_per_s).powf(time_s),
            turn_rad: self.turn_rad * (TAU * (TURN_HZ * time_s + self.turn_starts)).sin(),
        }
    }
}

/// Sinusoids at spread frequencies, slower ones larger, with the given root mean square as a sum.
fn sways(random: &mut Pcg64, rms_px: f64) -> Vec<Sway> {
    let ratio = SWAY_HZ.end / SWAY_HZ.start;
    let mut sways: Vec<Sway> = (0..SWAYS)
        .map(|i| {
            let place = (i as f64 + random.random::<f64>()) / SWAYS as f64;
            let hz = SWAY_HZ.start * ratio.powf(place);
            Sway {
                hz,
                px: 1.0 / (1.0 + hz),
                turn: random.random(),
            }
        })
        .collect();
    let rms = sways
        .iter()
        .map(|sway| 0.5 * sway.px * sway.px)
        .sum::<f64>()
        .sqrt();
    for sway in &mut sways {
        sway.px *= rms_px / rms;
    }
    sways
}

/// From 0 to 1 with level ends.
pub(super) fn ease(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}
