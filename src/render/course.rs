//! A lamp's light integrated over an exposure, in closed form.

use super::shown::{Beat, Shown};
use crate::colour::ColourName;

/// Emitted light by colour, each a share of full brightness (linear light), in the order of
/// [`ColourName::ALL`].
pub type Levels = [f64; ColourName::ALL.len()];

/// Short against any beat that a lamp can show, seconds.
const MOMENT_S: f64 = 1e-7;

/// What a lamp does over pattern time, ready to be integrated.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    legs: Vec<Leg>,
}

/// A cycle that is shown from one time to another, starting with its first beat.
#[derive(Debug, Clone, PartialEq)]
struct Leg {
    from_s: f64,
    to_s: f64,
    beats: Vec<Beat>,
    period_s: f64,
    /// Integral over one whole cycle, seconds of full brightness.
    whole: Levels,
}

/// An abrupt change of a lamp's light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Jump {
    pub(super) time_s: f64,
    pub(super) to: Option<ColourName>,
}

/// The repeating shape of a cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rhythm {
    pub(super) period_s: f64,
    pub(super) flashes: usize,
    pub(super) on_s: Option<f64>,
}

impl Course {
    /// The course of a lamp from pattern time 0 on; a cycle also goes back before that.
    #[must_use]
    pub fn new(shown: &Shown) -> Self {
        let legs = match shown {
            Shown::Cycle(beats) => vec![Leg::new(f64::NEG_INFINITY, f64::INFINITY, beats)],
            Shown::Sequence(stretches) => {
                let mut start_s = 0.0;
                stretches
                    .iter()
                    .map(|stretch| {
                        let leg = Leg::new(start_s, start_s + stretch.for_s, &stretch.cycle);
                        start_s += stretch.for_s;
                        leg
                    })
                    .collect()
            }
        };
        Self { legs }
    }

    /// Mean light by colour over `length_s` seconds (positive) from pattern time `start_s`.
    #[must_use]
    pub fn mean(&self, start_s: f64, length_s: f64) -> Levels {
        let end_s = start_s + length_s;
        let mut sum = Levels::default();
        for leg in &self.legs {
            let from_s = start_s.max(leg.from_s);
            let to_s = end_s.min(leg.to_s);
            if from_s < to_s {
                let origin_s = leg.origin_s();
                let until = leg.integral_to(to_s - origin_s);
                let before = leg.integral_to(from_s - origin_s);
                for (sum, (until, before)) in sum.iter_mut().zip(until.iter().zip(before)) {
                    *sum += (until - before) / length_s;
                }
            }
        }
        // The difference of two sums may miss zero by a rounding error.
        sum.map(|level| level.clamp(0.0, 1.0))
    }

    /// The repeating shape; `None` for a sequence or a steady light.
    pub(super) fn rhythm(&self) -> Option<Rhythm> {
        let [leg] = self.legs.as_slice() else {
            return None;
        };
        let endless = leg.from_s == f64::NEG_INFINITY;
        if !endless || leg.beats.len() < 2 {
            return None;
        }
        let lit = |beat: &Beat| beat.ends() != (0.0, 0.0);
        let lit_s: f64 = leg
            .beats
            .iter()
            .filter(|beat| lit(beat))
            .map(|beat| beat.lasts_s)
            .sum();
        let before = leg.beats.iter().cycle().skip(leg.beats.len() - 1);
        let flashes = leg
            .beats
            .iter()
            .zip(before)
            .filter(|(beat, before)| lit(beat) && !lit(before))
            .count();
        Some(Rhythm {
            period_s: leg.period_s,
            flashes,
            on_s: (flashes > 0).then(|| lit_s / flashes as f64),
        })
    }

    /// Abrupt changes of colour, or between lit and dark, in a span of pattern time, in time order.
    pub(super) fn jumps(&self, from_s: f64, to_s: f64) -> Vec<Jump> {
        let mut jumps: Vec<Jump> = Vec::new();
        // A change at the very start is none: nothing was seen before it.
        let mut shown = self.before(from_s + MOMENT_S);
        for leg in &self.legs {
            let (first_s, last_s) = (leg.from_s.max(from_s), leg.to_s.min(to_s));
            if first_s >= last_s {
                continue;
            }
            let mut cycle = ((first_s - leg.origin_s()) / leg.period_s).floor();
            'leg: loop {
                let mut at_s = leg.origin_s() + cycle * leg.period_s;
                for beat in &leg.beats {
                    if at_s >= last_s {
                        break 'leg;
                    }
                    let (from, to) = beat.ends();
                    let starts = beat.colour.filter(|_| from > 0.0);
                    if at_s >= first_s && starts != shown {
                        jumps.push(Jump {
                            time_s: at_s,
                            to: starts,
                        });
                    }
                    shown = beat.colour.filter(|_| to > 0.0);
                    at_s += beat.lasts_s;
                }
                cycle += 1.0;
            }
            shown = self.before(last_s);
            if leg.to_s == last_s && leg.to_s < to_s && self.dark_after(leg.to_s) && shown.is_some() {
                jumps.push(Jump {
                    time_s: leg.to_s,
                    to: None,
                });
                shown = None;
            }
        }
        jumps
    }

    /// What is shown just before a time; `None` when dark.
    fn before(&self, time_s: f64) -> Option<ColourName> {
        let levels = self.mean(time_s - MOMENT_S, MOMENT_S);
        // A swell that starts from dark within the moment does not count as lit.
        brightest(&levels)
            .filter(|&(_, level)| level > 1e-6)
            .map(|(name, _)| name)
    }

    fn dark_after(&self, time_s: f64) -> bool {
        !self
            .legs
            .iter()
            .any(|leg| leg.from_s <= time_s && time_s < leg.to_s)
    }
}

/// The colour with the most light; `None` when all is dark.
pub(super) fn brightest(levels: &Levels) -> Option<(ColourName, f64)> {
    ColourName::ALL
        .into_iter()
        .zip(levels.iter().copied())
        .filter(|&(_, level)| level > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

impl Leg {
    fn new(from_s: f64, to_s: f64, beats: &[Beat]) -> Self {
        let mut leg = Self {
            from_s,
            to_s,
            beats: beats.to_vec(),
            period_s: beats.iter().map(|beat| beat.lasts_s).sum(),
            whole: Levels::default(),
        };
        leg.whole = leg.integral_within(leg.period_s);
        leg
    }

    /// Pattern time at which its first beat starts.
    fn origin_s(&self) -> f64 {
        if self.from_s.is_finite() { self.from_s } else { 0.0 }
    }

    /// Integral from the origin to a time after (or, negative, before) it.
    fn integral_to(&self, time_s: f64) -> Levels {
        let cycles = (time_s / self.period_s).floor();
        let mut sum = self.integral_within(time_s - cycles * self.period_s);
        for (sum, whole) in sum.iter_mut().zip(self.whole) {
            *sum += cycles * whole;
        }
        sum
    }

    /// Integral over the first `time_s` of one cycle: each beat is a trapezium.
    fn integral_within(&self, time_s: f64) -> Levels {
        let mut sum = Levels::default();
        let mut left_s = time_s;
        for beat in &self.beats {
            if left_s <= 0.0 {
                break;
            }
            let spent_s = left_s.min(beat.lasts_s);
            if let Some(colour) = beat.colour {
                let reached = beat.from + (beat.to - beat.from) * spent_s / beat.lasts_s;
                sum[colour.index()] += 0.5 * (beat.from + reached) * spent_s;
            }
            left_s -= beat.lasts_s;
        }
        sum
    }
}
