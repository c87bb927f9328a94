//! Log evidence of one pattern without parts (constant or cycle) for every stretch of a trace.

use std::sync::Arc;

use super::alike::Rhythm;
use super::looks::Looks;
use super::math::log_sum;
use super::search::cycle_sums;
use super::shape::colours;
use super::spans::Spans;
use super::sums::Sums;
use super::tints::{Naming, TintCode};
use super::watch::{Watch, Within, level_code};
use crate::colour::ColourName;
use crate::table::{Pattern, Shade};

/// Ways to name the tints that are worth the time for a constant light and for a cycle.
const NAMINGS_CONSTANT: usize = 5;
const NAMINGS_CYCLE: usize = 3;

/// Log evidence of a constant or a cycle, for every stretch. The period, phase, free on-time and camera are averaged
/// over (so a freer pattern pays for its freedom), and each stretch may have its own.
///
/// Stretches shorter than `shortest_s` that touch neither end of the clip are left at minus infinity: no caller lets the
/// pattern stay so briefly, and they are most of the work.
pub(super) fn evidence(pattern: &Pattern, watch: &Watch, shortest_s: f64) -> Spans {
    both(pattern, watch, shortest_s, None).named
}

/// Log evidence of a pattern in its own colours, and in whatever colours there were.
pub(super) struct Both {
    /// With the evidence of the colours' names.
    pub(super) named: Spans,
    /// Without it: the same timing and the same number of colours.
    pub(super) nameless: Spans,
}

/// [`evidence`] with and without the names of the colours. Where a `rival` is given that explains the clip much better
/// whatever the stretch, the evidence may come out too low.
pub(super) fn both(pattern: &Pattern, watch: &Watch, shortest_s: f64, rival: Option<&Spans>) -> Both {
    let scored = Scored::new(pattern, watch, rival, false);
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
    Scored::new(pattern, watch, None, true)
        .between(watch, 0, watch.frames.len() - 1)
        .0
}

/// Sums for each way to name the tints.
struct Scored {
    ways: Vec<(Naming, Arc<Sums>)>,
    /// Log of the summed weights of the ways.
    total: f64,
    /// The best in place of the average.
    best_only: bool,
}

impl Scored {
    fn new(pattern: &Pattern, watch: &Watch, rival: Option<&Spans>, best_only: bool) -> Self {
        let colours = colours(pattern);
        let keep = if matches!(pattern, Pattern::Cycle(_)) {
            NAMINGS_CYCLE
        } else {
            NAMINGS_CONSTANT
        };
        let namings = Naming::likeliest(&colours, watch, keep);
        let total = log_sum(namings.iter().map(|naming| naming.ln_prior));
        let score = |naming: Naming| {
            let sums = match pattern {
                Pattern::Cycle(cycle) => {
                    let rhythm = Rhythm::new(cycle, &colours, &naming, watch, rival.is_some());
                    let work_out = || cycle_sums(cycle, &colours, &naming, watch, rival);
                    watch.scores.of(rhythm, work_out)
                }
                Pattern::Constant(shade) => Arc::new(constant_sums(*shade, &colours, &naming, watch)),
                Pattern::Sequence(_) => unreachable!("a sequence is scored part by part"),
            };
            (naming, sums)
        };
        Self {
            ways: namings.into_iter().map(score).collect(),
            total,
            best_only,
        }
    }

    /// With and without the evidence of names.
    fn between(&self, watch: &Watch, a: usize, b: usize) -> (f64, f64) {
        let sums: Vec<f64> = self
            .ways
            .iter()
            .map(|(naming, sums)| sums.between(a, b, self.best_only) + naming.ln_prior)
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

fn constant_sums(shade: Shade, colours: &[ColourName], naming: &Naming, watch: &Watch) -> Sums {
    let (level, tint) = match shade {
        Shade::Dark => (0.0, TintCode::Dark),
        Shade::Lit(..) => (naming.gains(watch)[0], TintCode::Full(0)),
    };
    let mut looks = Looks::new(naming, colours, watch);
    let look = (level_code(level, Within::Steady), tint.index(colours.len()));
    let start = looks.start(look) as usize;
    let mut sums = Sums::new(watch.frames.len());
    sums.push(0.0, &watch.frames, |frame| looks.values()[start + frame]);
    sums
}
