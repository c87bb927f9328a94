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
    let ways = Ways::new(pattern, watch, rival);
    let of_way = |way: &Way| match &way.rhythm {
        Some(rhythm) => watch.stretches.of((rhythm.clone(), shortest_s.to_bits()), || {
            way.stretches(watch, shortest_s)
        }),
        None => Arc::new(way.stretches(watch, shortest_s)),
    };
    let spans: Vec<_> = ways.of.iter().map(of_way).collect();
    let with = |more: &dyn Fn(&Naming, usize, usize) -> f64| {
        Spans::from_fn(watch.frames.len(), |a, b| {
            let of_way = |(way, spans): (&Way, &Arc<Spans>)| spans.at(a, b) + more(&way.naming, a, b);
            log_sum(ways.of.iter().zip(&spans).map(of_way)) - ways.total
        })
    };
    Both {
        named: with(&|naming, a, b| naming.ln_prior + naming.names(watch, a, b)),
        nameless: with(&|naming, _, _| naming.ln_prior),
    }
}

/// The same with the best period, phase and camera in place of the average, for the whole trace.
pub(super) fn best_fit(pattern: &Pattern, watch: &Watch) -> f64 {
    let ways = Ways::new(pattern, watch, None);
    let (first, last) = (0, watch.frames.len() - 1);
    let of_way = |way: &Way| {
        let best = way.sums.between(first, last, true);
        best + way.naming.ln_prior + way.naming.names(watch, first, last)
    };
    log_sum(ways.of.iter().map(of_way)) - ways.total
}

/// The ways to name the tints.
struct Ways {
    of: Vec<Way>,
    /// Log of their summed weights.
    total: f64,
}

struct Way {
    naming: Naming,
    /// What the sums hang on; `None` for a constant light.
    rhythm: Option<Rhythm>,
    sums: Arc<Sums>,
}

impl Ways {
    fn new(pattern: &Pattern, watch: &Watch, rival: Option<&Spans>) -> Self {
        let colours = colours(pattern);
        let keep = if matches!(pattern, Pattern::Cycle(_)) {
            NAMINGS_CYCLE
        } else {
            NAMINGS_CONSTANT
        };
        let namings = Naming::likeliest(&colours, watch, keep);
        let total = log_sum(namings.iter().map(|naming| naming.ln_prior));
        let way = |naming: Naming| {
            let (rhythm, sums) = match pattern {
                Pattern::Cycle(cycle) => {
                    let rhythm = Rhythm::new(cycle, &colours, &naming, watch, rival.is_some());
                    let work_out = || cycle_sums(cycle, &colours, &naming, watch, rival);
                    let sums = watch.scores.of(rhythm.clone(), work_out);
                    (Some(rhythm), sums)
                }
                Pattern::Constant(shade) => (None, Arc::new(constant_sums(*shade, &colours, &naming, watch))),
                Pattern::Sequence(_) => unreachable!("a sequence is scored part by part"),
            };
            Way { naming, rhythm, sums }
        };
        Self {
            of: namings.into_iter().map(way).collect(),
            total,
        }
    }
}

impl Way {
    fn stretches(&self, watch: &Watch, shortest_s: f64) -> Spans {
        let last = watch.frames.len() - 1;
        Spans::from_fn(watch.frames.len(), |a, b| {
            if a > 0 && b < last && watch.between_s(a, b) < shortest_s {
                f64::NEG_INFINITY
            } else {
                self.sums.between(a, b, false)
            }
        })
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
