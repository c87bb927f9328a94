//! How fast two patterns part in front of a camera.

use super::cuts::Cuts;
use super::expected;
use super::free::Free;
use super::grid;
use super::rows::shown;
use super::shape::colours;
use super::watch::Watch;
use super::{score, sequence};
use crate::table::{LightTable, Pattern};

/// What a clip of one pattern says against another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Divergence {
    /// Expected evidence from level and rhythm, nats per second of clip, after the allowance for frames that err
    /// together; the rival may choose its best period and phase. Colour names play no part.
    pub timing_nats_per_s: f64,
    /// The two use different colours.
    pub colours_differ: bool,
}

/// Expected evidence for `truth` against `rival`, when `truth` is shown to a camera of `fps` frames a second.
#[must_use]
pub fn divergence(truth: &Pattern, rival: &Pattern, fps: f64) -> Divergence {
    let sorted = |pattern| {
        let mut found = colours(pattern);
        found.sort_unstable();
        found
    };
    let seconds = length_s(truth).max(length_s(rival)).clamp(4.0, 20.0);
    let trace = expected::trace(truth, fps, seconds);
    let nats = fit(truth, &trace) - fit(rival, &trace);
    Divergence {
        timing_nats_per_s: (nats / seconds).max(0.0),
        colours_differ: sorted(truth) != sorted(rival),
    }
}

/// Seconds that show what a pattern is: three cycles, or a sequence in whole.
pub(super) fn length_s(pattern: &Pattern) -> f64 {
    match pattern {
        Pattern::Constant(_) => 0.0,
        Pattern::Cycle(cycle) => 3.0 * cycle.period_s,
        Pattern::Sequence(parts) => parts
            .iter()
            .map(|part| part.for_s.0.max(length_s(&part.pattern) / 3.0))
            .sum(),
    }
}

/// The fastest rate in a pattern, in cycles per second; 0 where nothing repeats.
#[must_use]
pub fn fastest_hz(pattern: &Pattern) -> f64 {
    match pattern {
        Pattern::Constant(_) => 0.0,
        Pattern::Cycle(cycle) => grid::fastest_hz(cycle),
        Pattern::Sequence(parts) => parts
            .iter()
            .map(|part| fastest_hz(&part.pattern))
            .fold(0.0, f64::max),
    }
}

fn fit(pattern: &Pattern, trace: &crate::trace::Trace) -> f64 {
    let Pattern::Sequence(parts) = pattern else {
        return score::best_fit(pattern, &Watch::new(trace, &Cuts::none(trace.length_s())));
    };
    let cuts = Cuts::of(&[trace]);
    let watch = Watch::new(trace, &cuts);
    let spans: Vec<_> = parts
        .iter()
        .map(|part| score::evidence(&part.pattern, &watch, 0.0))
        .collect();
    let free = Free::new(&watch, &colours(pattern), &[pattern]);
    let parts: Vec<_> = parts.iter().zip(&spans).collect();
    sequence::evidence(&parts, &free.any, &cuts).any.whole()
}

/// The same for two rows, over the lights that both name: on any other light the rival may do the same by chance.
pub(super) fn between_rows(table: &LightTable, truth: usize, rival: usize, fps: f64) -> Divergence {
    let mut sum = Divergence {
        timing_nats_per_s: 0.0,
        colours_differ: false,
    };
    for light in 0..table.lights.len() {
        let (Some(first), Some(second)) = (shown(table, truth, light), shown(table, rival, light)) else {
            continue;
        };
        let one = divergence(first, second, fps);
        sum.timing_nats_per_s += one.timing_nats_per_s;
        sum.colours_differ |= one.colours_differ;
    }
    sum
}
