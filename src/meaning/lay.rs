//! Where a row's pattern lies in a trace: the same pattern, moved and stretched until it fits, to be drawn over it.

use super::expected::{phase_at, shade_level};
use super::parts::parts;
use crate::colour::ColourName;
use crate::table::{Cycle, Pattern, Shade};
use crate::trace::{Flash, Sample, Sighting, Trace};

/// A stretch of time in which a laid pattern shows one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Seconds since the first frame.
    pub from_s: f64,
    /// Seconds since the first frame.
    pub to_s: f64,
    /// Level at its start and at its end, 0 to 1.
    pub level: (f64, f64),
    /// What is lit; `None` is dark.
    pub colour: Option<ColourName>,
}

/// Places of the start of the cycle that are tried, a cycle. Finer than a frame for any rhythm that a clip shows.
const PHASES: usize = 48;

/// Rhythms of other lengths are tried so finely that the last cycle of the clip moves by this share of a cycle.
const DRIFT: f64 = 0.06;

/// Lengths of the cycle that are tried at most, and frames that are looked at: a drawing needs no more.
const PERIODS: usize = 160;
const FRAMES: usize = 400;

/// What a wrong colour weighs, against a level that is wrong by 1.
const COLOUR_WEIGHT: f64 = 0.5;

/// Lays a pattern over what a light did from `from_s` to `to_s`, seconds. Empty where it shows nothing to lay it by.
#[must_use]
pub fn lay(pattern: &Pattern, trace: &Trace, flashes: &[Flash], (from_s, to_s): (f64, f64)) -> Vec<Stretch> {
    match pattern {
        Pattern::Constant(shade) => vec![stretch((*shade, *shade), (from_s, to_s))],
        Pattern::Cycle(cycle) => lay_cycle(cycle, trace, (from_s, to_s)),
        Pattern::Sequence(list) => parts(list, trace, flashes, (from_s, to_s))
            .iter()
            .flat_map(|span| {
                let (from_s, to_s) = (span.from_s.value, span.to_s.value);
                lay(&list[span.part].pattern, trace, flashes, (from_s, to_s))
            })
            .collect(),
    }
}

fn stretch((from, to): (Shade, Shade), (from_s, to_s): (f64, f64)) -> Stretch {
    let colour = match (from, to) {
        (Shade::Lit(colour, _), _) | (_, Shade::Lit(colour, _)) => Some(colour),
        _ => None,
    };
    Stretch {
        from_s,
        to_s,
        level: (shade_level(from), shade_level(to)),
        colour,
    }
}

fn lay_cycle(cycle: &Cycle, trace: &Trace, (from_s, to_s): (f64, f64)) -> Vec<Stretch> {
    let Some((period_s, start_s)) = fit(cycle, trace, (from_s, to_s)) else {
        return Vec::new();
    };
    let pace = period_s / cycle.period_s;
    let mut at_s = start_s + ((from_s - start_s) / period_s).floor() * period_s;
    let mut laid = Vec::new();
    while at_s < to_s {
        for phase in &cycle.phases {
            let end_s = at_s + phase.lasts_s * pace;
            let (from, to) = (at_s.max(from_s), end_s.min(to_s));
            if to > from {
                let whole = stretch((phase.from, phase.to), (at_s, end_s));
                let level =
                    |s: f64| whole.level.0 + (whole.level.1 - whole.level.0) * (s - at_s) / (end_s - at_s);
                laid.push(Stretch {
                    from_s: from,
                    to_s: to,
                    level: (level(from), level(to)),
                    ..whole
                });
            }
            at_s = end_s;
        }
    }
    laid
}

/// Length of the cycle and a start of it, seconds.
fn fit(cycle: &Cycle, trace: &Trace, (from_s, to_s): (f64, f64)) -> Option<(f64, f64)> {
    let seen: Vec<&Sample> = trace
        .samples
        .iter()
        .filter(|s| s.sighting == Sighting::Seen && s.time_s >= from_s && s.time_s + s.span_s <= to_s)
        .collect();
    let stride = seen.len().div_ceil(FRAMES).max(1);
    let seen: Vec<&Sample> = seen.into_iter().step_by(stride).collect();
    if seen.len() < 3 {
        return None;
    }
    let cycles = ((to_s - from_s) / cycle.period_s).max(1.0);
    let steps = ((2.0 * cycle.within * cycles / DRIFT).ceil() as usize).clamp(1, PERIODS);
    let grid = (0..=steps).flat_map(|step| {
        let pace = 1.0 + cycle.within * (2.0 * step as f64 / steps as f64 - 1.0);
        let period_s = cycle.period_s * pace;
        (0..PHASES).map(move |phase| (period_s, from_s + period_s * phase as f64 / PHASES as f64))
    });
    grid.map(|at| (misfit(cycle, trace, &seen, at), at))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, at)| at)
}

/// Sum of squared differences of the levels, and what the colours say against it.
fn misfit(cycle: &Cycle, trace: &Trace, seen: &[&Sample], (period_s, start_s): (f64, f64)) -> f64 {
    let pace = period_s / cycle.period_s;
    // The exposure is somewhere in the first half of the span, or fills it.
    let instants = [0.15, 0.4, 0.65];
    seen.iter()
        .map(|sample| {
            let shades =
                instants.map(|part| phase_at(cycle, (sample.time_s + part * sample.span_s - start_s) / pace));
            let level = shades.iter().map(|shade| shade_level(*shade)).sum::<f64>() / instants.len() as f64;
            let off = sample.level.clamp(0.0, 1.3) - level;
            let colour = match (shades[1], sample.tint.and_then(|tint| trace.tints.get(tint))) {
                (Shade::Lit(colour, share), Some(tint)) => share * (1.0 - tint.names.of(colour)),
                _ => 0.0,
            };
            off * off + COLOUR_WEIGHT * colour
        })
        .sum()
}
