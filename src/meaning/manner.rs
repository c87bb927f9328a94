//! How light and camera make levels of a pattern: what is unknown of a clip, and is tried.

use super::watch::Watch;
use crate::table::{Cycle, Shade};

/// A way in which the camera may have taken the frames: unknown, and the same for the whole clip.
#[derive(Debug, Clone, Copy)]
pub(super) struct Camera {
    /// Exposure as a share of the distance of frames.
    pub exposure: f64,
    /// How many times over the lamp's core is clipped: a frame lit for 30 % of its exposure reads as fully lit at 3.3.
    pub clipping: f64,
}

/// The ways tried; the first stands for all on a coarse grid. Short exposures have few edges in them, so clipping
/// matters only for the longer ones.
const CAMERAS: [Camera; 5] = [
    Camera {
        exposure: 1.0,
        clipping: 2.5,
    },
    Camera {
        exposure: 0.1,
        clipping: 1.0,
    },
    Camera {
        exposure: 0.5,
        clipping: 1.5,
    },
    Camera {
        exposure: 1.0,
        clipping: 1.0,
    },
    Camera {
        exposure: 1.0,
        clipping: 8.0,
    },
];

/// Camera for a swelling light, whose edges are too slow to show an exposure.
const SLOW: Camera = Camera {
    exposure: 0.5,
    clipping: 1.0,
};

/// Peak of a swelling light in units of the usual lit level, which is high on its flanks. Triangles have 1.0 to 1.1; the
/// rest allows for noise and for levels that were taken from other colours. The first stands for all on a coarse grid.
const PEAKS: [f64; 4] = [1.05, 0.95, 1.2, 1.4];

/// How the measured level of a swelling light goes with the share of the way up. Tables say that it swells, not along
/// which curve, and clipping flattens every curve towards its peak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Curve {
    /// To this power: 1 is straight in linear light, 2.2 straight in perceived lightness, below 1 straight and clipped.
    Power(f64),
    /// Half a cosine to this power.
    Sine(f64),
    /// The core is clipped and rises so many times too steeply up to that; the halo goes on.
    Clipped(f64),
    /// The core is clipped so, and the halo more and more.
    Washed(f64),
    /// As the clip has it: a light that swells and fades alike spends as long at each step of the way, so its levels in
    /// order are the curve.
    Seen([f32; STEPS]),
}

/// Steps of a curve that is taken from a clip; finer ones would follow its noise.
const STEPS: usize = 17;

/// Share of the measured light of a clipped lamp that comes from its core. Read off rendered lamps that breathe.
const CORE: f64 = 0.65;

/// The same of a lamp whose halo clips too. Read off rendered lamps that breathe, as are the curves with it.
const WASHED_CORE: f64 = 0.52;

const CURVES: [Curve; 9] = [
    Curve::Washed(4.2),
    Curve::Washed(6.0),
    Curve::Clipped(2.7),
    Curve::Clipped(1.7),
    Curve::Power(1.0),
    Curve::Power(1.5),
    Curve::Power(2.2),
    Curve::Sine(0.5),
    Curve::Sine(1.0),
];

impl Curve {
    /// Level, 0 to 1, at a share of the way up, 0 to 1.
    pub(super) fn at(self, way: f64) -> f64 {
        let way = way.clamp(0.0, 1.0);
        match self {
            Self::Power(power) => way.powf(power),
            Self::Clipped(times) => CORE * (times * way).min(1.0) + (1.0 - CORE) * way,
            Self::Washed(times) => {
                WASHED_CORE * (times * way).min(1.0) + (1.0 - WASHED_CORE) * way * (2.0 - way)
            }
            Self::Seen(levels) => {
                let place = way * (STEPS - 1) as f64;
                let below = (place as usize).min(STEPS - 2);
                let (from, to) = (f64::from(levels[below]), f64::from(levels[below + 1]));
                from + (to - from) * (place - below as f64)
            }
            Self::Sine(power) => (0.5 - 0.5 * (std::f64::consts::PI * way).cos()).powf(power),
        }
    }
}

/// How light and camera make levels of a cycle: unknown, and the same for the whole clip.
#[derive(Debug, Clone, Copy)]
pub(super) struct Manner {
    pub camera: Camera,
    pub curve: Curve,
    pub peak: f64,
}

/// The curve of a clip in which a light of one colour swells; `None` where it switches, or does so for a part only.
fn seen(watch: &Watch, period_s: f64) -> Option<Curve> {
    /// Share of the levels that is averaged about each step.
    const ABOUT: f64 = 0.03;
    let [usual] = watch.gains[..] else { return None };
    if !watch.swells(period_s) {
        return None;
    }
    let mut levels: Vec<f64> = watch.seen_levels().collect();
    levels.sort_by(f64::total_cmp);
    let last = levels.len() as f64 - 1.0;
    let of = |step: usize| {
        let middle = step as f64 / (STEPS - 1) as f64;
        let place = |share: f64| (share.clamp(0.0, 1.0) * last) as usize;
        let about = &levels[place(middle - ABOUT)..=place(middle + ABOUT)];
        (about.iter().sum::<f64>() / about.len() as f64 / usual).max(0.0) as f32
    };
    Some(Curve::Seen(std::array::from_fn(of)))
}

/// The manners to try for a cycle.
pub(super) fn manners(cycle: &Cycle, watch: &Watch) -> Vec<Manner> {
    let varies = lit_levels(cycle).any(|level| level < 0.99 * lit_levels(cycle).fold(0.0, f64::max));
    if varies || cycle.phases.iter().any(|phase| phase.from != phase.to) {
        let manner = |curve| {
            PEAKS.map(|peak| Manner {
                camera: SLOW,
                curve,
                peak,
            })
        };
        let seen = seen(watch, cycle.period_s).map(|curve| Manner {
            camera: SLOW,
            curve,
            peak: 1.0,
        });
        return CURVES.into_iter().flat_map(manner).chain(seen).collect();
    }
    let manner = |camera| Manner {
        camera,
        curve: Curve::Power(1.0),
        peak: 1.0,
    };
    CAMERAS.into_iter().map(manner).collect()
}

/// Whether no manner before this one has its curve.
pub(super) fn is_first(manners: &[Manner], index: usize) -> bool {
    manners[..index]
        .iter()
        .all(|manner| manner.curve != manners[index].curve)
}

/// Levels of the lit ends of a cycle's phases.
pub(super) fn lit_levels(cycle: &Cycle) -> impl Iterator<Item = f64> + Clone {
    cycle
        .phases
        .iter()
        .flat_map(|phase| [phase.from, phase.to])
        .filter_map(|shade| match shade {
            Shade::Dark => None,
            Shade::Lit(_, level) => Some(level),
        })
}
