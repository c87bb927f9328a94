//! Log evidence of one pattern without parts (constant or cycle) for every stretch of a trace.

use super::math::log_sum;
use super::search::cycle_sums;
use super::shape::colours;
use super::spans::Spans;
use super::tints::{Naming, TintCode, codes};
use super::watch::{LEVEL_CODES, Watch, Within, level_code};
use crate::colour::ColourName;
use crate::table::{Pattern, Shade};

/// Ways to name the tints that are worth the time for a constant light and for a cycle.
const NAMINGS_CONSTANT: usize = 5;
const NAMINGS_CYCLE: usize = 3;

/// Members of the grid this far below the best, in nats, add nothing that counts.
const NEGLIGIBLE: f32 = 12.0;

/// Members kept of those that lead nowhere.
const FEW: usize = 150;

/// Log evidence of a constant or a cycle, for every stretch. The period, phase, free on-time and camera are averaged
/// over (so a freer pattern pays for its freedom), and each stretch may have its own.
///
/// Stretches shorter than `shortest_s` that touch neither end of the clip are left at minus infinity: no caller lets the
/// pattern stay so briefly, and they are most of the work.
pub(super) fn evidence(pattern: &Pattern, watch: &Watch, shortest_s: f64) -> Spans {
    both(pattern, watch, shortest_s).named
}

/// Log evidence of a pattern in its own colours, and in whatever colours there were.
pub(super) struct Both {
    /// With the evidence of the colours' names.
    pub(super) named: Spans,
    /// Without it: the same timing and the same number of colours.
    pub(super) nameless: Spans,
}

/// [`evidence`] with and without the names of the colours.
pub(super) fn both(pattern: &Pattern, watch: &Watch, shortest_s: f64) -> Both {
    let scored = Scored::new(pattern, watch, false);
    let (count, last) = (watch.frames.len(), watch.frames.len() - 1);
    let mut nameless = vec![f64::NEG_INFINITY; count * count];
    let named = Spans::from_fn(count, |a, b| {
        if a > 0 && b < last && watch.between_s(a, b) < shortest_s {
            return f64::NEG_INFINITY;
        }
        let (named, without) = scored.between(watch, a, b);
        nameless[a * count + b] = without;
        named
    });
    Both {
        named,
        nameless: Spans::from_fn(count, |a, b| nameless[a * count + b]),
    }
}

/// The same with the best period, phase and camera in place of the average, for the whole trace.
pub(super) fn best_fit(pattern: &Pattern, watch: &Watch) -> f64 {
    Scored::new(pattern, watch, true)
        .between(watch, 0, watch.frames.len() - 1)
        .0
}

/// Sums for each way to name the tints.
struct Scored {
    ways: Vec<(Naming, Sums)>,
    /// Log of the summed weights of the ways.
    total: f64,
}

impl Scored {
    fn new(pattern: &Pattern, watch: &Watch, best_only: bool) -> Self {
        let colours = colours(pattern);
        let keep = if matches!(pattern, Pattern::Cycle(_)) {
            NAMINGS_CYCLE
        } else {
            NAMINGS_CONSTANT
        };
        let namings = Naming::likeliest(&colours, watch, keep);
        let total = log_sum(namings.iter().map(|naming| naming.ln_prior));
        let score = |naming: Naming| {
            let mut sums = match pattern {
                Pattern::Cycle(cycle) => cycle_sums(cycle, &colours, &naming, watch),
                Pattern::Constant(shade) => constant_sums(*shade, &colours, &naming, watch),
                Pattern::Sequence(_) => unreachable!("a sequence is scored part by part"),
            };
            sums.best_only |= best_only;
            (naming, sums)
        };
        Self {
            ways: namings.into_iter().map(score).collect(),
            total,
        }
    }

    /// With and without the evidence of names.
    fn between(&self, watch: &Watch, a: usize, b: usize) -> (f64, f64) {
        let sums: Vec<f64> = self
            .ways
            .iter()
            .map(|(naming, sums)| sums.between(a, b) + naming.ln_prior)
            .collect();
        let names = self.ways.iter().map(|(naming, _)| naming.names(watch, a, b));
        let named = log_sum(
            sums.iter()
                .zip(names)
                .map(|(sum, name)| sum + name)
                .collect::<Vec<_>>()
                .into_iter(),
        );
        (named - self.total, log_sum(sums.into_iter()) - self.total)
    }
}

/// Running sums of log evidence at the cuts, for each member of a grid.
pub(super) struct Sums {
    /// Log weight of each member.
    pub(super) weights: Vec<f32>,
    /// Cut by cut, one value a member.
    pub(super) at: Vec<Vec<f32>>,
    /// Best member in place of the average: see [`super::search::cycle_sums`].
    pub(super) best_only: bool,
}

impl Sums {
    pub(super) fn new(cuts: usize) -> Self {
        Self {
            weights: Vec::new(),
            at: vec![Vec::new(); cuts],
            best_only: false,
        }
    }

    fn between(&self, a: usize, b: usize) -> f64 {
        let (from, to) = (&self.at[a], &self.at[b]);
        let member = |index: usize| to[index] - from[index] + self.weights[index];
        if self.best_only {
            return f64::from(
                (0..to.len())
                    .map(|index| to[index] - from[index])
                    .fold(f32::NEG_INFINITY, f32::max),
            );
        }
        let top = (0..to.len()).map(member).fold(f32::NEG_INFINITY, f32::max);
        let near = (0..to.len())
            .map(member)
            .filter(|value| *value > top - NEGLIGIBLE);
        let sum: f64 = near.map(|value| f64::from(value - top).exp()).sum();
        f64::from(top) + sum.ln()
    }

    /// Keeps `leading` members and a few of the others, which stand for all: near its best a row is told by the leading
    /// ones, and where the clip says little any are as good as all.
    pub(super) fn thin(&mut self, leading: &[usize]) {
        let others: Vec<usize> = (0..self.weights.len())
            .filter(|member| self.weights[*member].is_finite() && leading.binary_search(member).is_err())
            .collect();
        let every = (others.len() / FEW).max(1);
        let mut kept: Vec<(usize, f32)> = leading
            .iter()
            .map(|member| (*member, self.weights[*member]))
            .collect();
        kept.retain(|(_, weight)| weight.is_finite());
        for group in others.chunks(every) {
            let weight = log_sum(group.iter().map(|member| f64::from(self.weights[*member])));
            kept.push((group[group.len() / 2], weight as f32));
        }
        self.weights = kept.iter().map(|(_, weight)| *weight).collect();
        for sums in &mut self.at {
            *sums = kept.iter().map(|(member, _)| sums[*member]).collect();
        }
    }

    /// Adds a member; `frame` gives its log evidence of one frame.
    pub(super) fn push(&mut self, weight: f64, frames: &[usize], frame: impl Fn(usize) -> f32) {
        self.weights.push(weight as f32);
        let mut sum = 0.0;
        self.at[0].push(sum);
        for (cut, window) in frames.windows(2).enumerate() {
            for index in window[0]..window[1] {
                sum += frame(index);
            }
            self.at[cut + 1].push(sum);
        }
    }
}

fn constant_sums(shade: Shade, colours: &[ColourName], naming: &Naming, watch: &Watch) -> Sums {
    let tints = naming.table(colours, watch);
    let (level, tint) = match shade {
        Shade::Dark => (0.0, TintCode::Dark),
        Shade::Lit(..) => (naming.gains(watch)[0], TintCode::Full(0)),
    };
    let level = usize::from(level_code(level, Within::Steady));
    let (tint, codes) = (usize::from(tint.index(colours.len())), codes(colours.len()));
    let mut sums = Sums::new(watch.frames.len());
    sums.push(0.0, &watch.frames, |frame| {
        watch.level[frame * LEVEL_CODES + level] + tints[frame * codes + tint]
    });
    sums
}
