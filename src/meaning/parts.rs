//! Where the parts of a sequence lie in a trace, by the edges of its flashes.

use crate::colour::ColourName;
use crate::table::{Part, Pattern, Phase, Shade};
use crate::trace::{Estimate, Flash, Trace};

/// One part of a sequence, found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartSpan {
    /// Index of the part in its sequence.
    pub part: usize,
    /// When it began, seconds since the first frame.
    pub from_s: Estimate,
    /// When it ended, likewise.
    pub to_s: Estimate,
    /// The clip began with it, or its beginning was not seen.
    pub open_start: bool,
    /// The clip ended in it, or its end was not seen.
    pub open_end: bool,
}

/// A stretch of one state.
#[derive(Debug, Clone, Copy)]
struct Run {
    tint: Option<usize>,
    dark: bool,
    from_s: Estimate,
    to_s: Estimate,
    open_start: bool,
    open_end: bool,
}

/// What a run that belongs to no part costs, in nats. A run that fits costs less than one, a run of a wrong colour or
/// of twice the length costs more. Guessed.
const OUTSIDE: f64 = 2.5;

/// A run that does not follow in its cycle: a flash was missed or split.
const SKIPPED: f64 = 3.0;

/// No single run may cost more than this inside a part, so that one spoilt flash does not cut a part in two.
const WORST: f64 = 6.0;

/// Finds the parts of a sequence within `from_s` to `to_s`, in order. Empty where nothing of it is found.
#[must_use]
pub fn parts(list: &[Part], trace: &Trace, flashes: &[Flash], within: (f64, f64)) -> Vec<PartSpan> {
    let runs = runs(trace, flashes, within);
    let states: Vec<(usize, Option<&Phase>, Shade)> = list
        .iter()
        .enumerate()
        .flat_map(|(part, p)| states(part, &p.pattern))
        .collect();
    let Some(path) = best_path(&runs, &states, trace) else {
        return Vec::new();
    };
    let mut spans: Vec<PartSpan> = Vec::new();
    for (run, state) in runs.iter().zip(&path) {
        let Some(part) = state.map(|state| states[state].0) else {
            continue;
        };
        match spans.last_mut().filter(|span| span.part == part) {
            Some(span) => (span.to_s, span.open_end) = (run.to_s, run.open_end),
            None => spans.push(PartSpan {
                part,
                from_s: run.from_s,
                to_s: run.to_s,
                open_start: run.open_start,
                open_end: run.open_end,
            }),
        }
    }
    for (part, seam_s) in seams(&runs, &path, &states) {
        for span in &mut spans {
            if span.part == part {
                span.from_s = seam_s;
            } else if span.part + 1 == part {
                span.to_s = seam_s;
            }
        }
    }
    spans
}

/// Where parts begin that go on in the colour that the part before may have ended in, so that both are one run: as long
/// before its end as their first state lasts, where that is known.
fn seams(
    runs: &[Run],
    path: &[Option<usize>],
    states: &[(usize, Option<&Phase>, Shade)],
) -> Vec<(usize, Estimate)> {
    /// By how much of its nominal time a state may differ, standard deviation (guessed).
    const SPREAD: f64 = 0.05;
    let seam = |at: usize| -> Option<(usize, Estimate)> {
        let (last, first) = (path[at - 1]?, path[at]?);
        let part = states[first].0;
        if part != states[last].0 + 1 {
            return None;
        }
        let begins = states.iter().position(|state| state.0 == part)?;
        let alike = |state: usize| states[state].2 == states[begins].2;
        let both = if first == begins {
            runs.get(at).filter(|_| alike(follower(states, last)))
        } else {
            runs.get(at - 1).filter(|_| alike(last))
        };
        let run = both?;
        let seam_s = match states[begins].1 {
            Some(own) => Estimate {
                value: (run.to_s.value - own.lasts_s).max(run.from_s.value),
                sd: run.to_s.sd.hypot(SPREAD * own.lasts_s),
            },
            // It stays: the part before went on for anything up to one of its states.
            None => {
                let most_s = states[follower(states, last)].1?.lasts_s;
                let most_s = most_s.min(run.to_s.value - run.from_s.value);
                Estimate {
                    value: run.from_s.value + most_s / 2.0,
                    sd: run.from_s.sd.hypot(most_s / 12f64.sqrt()),
                }
            }
        };
        Some((part, seam_s))
    };
    (1..runs.len()).filter_map(seam).collect()
}

/// The state that comes after another one in its cycle.
fn follower(states: &[(usize, Option<&Phase>, Shade)], state: usize) -> usize {
    let own = |other: &usize| states[*other].0 == states[state].0;
    let next = (state + 1..states.len()).find(own);
    next.or_else(|| (0..states.len()).find(own)).unwrap_or(state)
}

/// Every state of a part: which part, how long it lasts if that is known, and what it shows.
fn states(part: usize, pattern: &Pattern) -> Vec<(usize, Option<&Phase>, Shade)> {
    match pattern {
        Pattern::Constant(shade) => vec![(part, None, *shade)],
        Pattern::Cycle(cycle) => cycle
            .phases
            .iter()
            .map(|phase| {
                let shade = match (phase.from, phase.to) {
                    (lit @ Shade::Lit(..), _) | (_, lit @ Shade::Lit(..)) => lit,
                    _ => Shade::Dark,
                };
                (part, Some(phase), shade)
            })
            .collect(),
        Pattern::Sequence(_) => Vec::new(),
    }
}

/// Lit and dark runs in turn.
fn runs(trace: &Trace, flashes: &[Flash], (from_s, to_s): (f64, f64)) -> Vec<Run> {
    let frame_s = trace.samples.first().map_or(0.0, |sample| sample.span_s);
    let mut runs: Vec<Run> = Vec::new();
    for flash in flashes {
        if flash.to_s.value <= from_s || flash.from_s.value >= to_s {
            continue;
        }
        if let Some(before) = runs.last().copied()
            && flash.from_s.value - before.to_s.value > 0.5 * frame_s
        {
            runs.push(Run {
                tint: None,
                dark: true,
                from_s: before.to_s,
                to_s: flash.from_s,
                open_start: before.open_end,
                open_end: flash.open_start,
            });
        }
        runs.push(Run {
            tint: flash.tint,
            dark: false,
            from_s: flash.from_s,
            to_s: flash.to_s,
            open_start: flash.open_start,
            open_end: flash.open_end,
        });
    }
    runs
}

/// For each run the index of its state, `None` outside: the cheapest way through the sequence.
fn best_path(
    runs: &[Run],
    states: &[(usize, Option<&Phase>, Shade)],
    trace: &Trace,
) -> Option<Vec<Option<usize>>> {
    // Before the sequence, its states, after it.
    let (before, after) = (states.len(), states.len() + 1);
    let mut cost = vec![f64::INFINITY; states.len() + 2];
    cost[before] = 0.0;
    let mut came_from: Vec<Vec<usize>> = Vec::with_capacity(runs.len());
    for run in runs {
        let mut next = vec![f64::INFINITY; cost.len()];
        let mut from = vec![before; cost.len()];
        for (to, next) in next.iter_mut().enumerate() {
            let own = match to {
                to if to == before || to == after => OUTSIDE,
                to => misfit(run, states[to], trace),
            };
            for (at, so_far) in cost.iter().enumerate() {
                let total = so_far + step(states, at, to) + own;
                if total < *next {
                    *next = total;
                    from[to] = at;
                }
            }
        }
        cost = next;
        came_from.push(from);
    }
    let mut at = (0..cost.len()).min_by(|a, b| cost[*a].total_cmp(&cost[*b]))?;
    let mut path = Vec::with_capacity(runs.len());
    for from in came_from.iter().rev() {
        path.push((at < states.len()).then_some(at));
        at = from[at];
    }
    path.reverse();
    Some(path)
}

/// The price of going from one state to another.
fn step(states: &[(usize, Option<&Phase>, Shade)], at: usize, to: usize) -> f64 {
    let (before, after) = (states.len(), states.len() + 1);
    if at == to && (at >= states.len() || states[at].1.is_none()) {
        return 0.0;
    }
    if to == before || at == after {
        return f64::INFINITY;
    }
    if to == after || at == before {
        return 0.0;
    }
    let (own, next) = (states[at].0, states[to].0);
    match () {
        () if next == own && follower(states, at) == to => 0.0,
        () if next == own => SKIPPED,
        () if next == own + 1 => 0.0,
        () => f64::INFINITY,
    }
}

/// How badly a run fits a state: its length by the spread that the table and a frame allow, its colour by its name.
fn misfit(run: &Run, (_, phase, shade): (usize, Option<&Phase>, Shade), trace: &Trace) -> f64 {
    let colour = match shade {
        Shade::Dark if run.dark => 0.0,
        Shade::Lit(colour, _) if !run.dark => name_cost(run, colour, trace),
        _ => return WORST,
    };
    let length = phase.map_or(0.0, |phase| {
        let frame_s = trace.samples.first().map_or(0.0, |sample| sample.span_s);
        let lasts_s = run.to_s.value - run.from_s.value;
        let (least_s, most_s) = phase.range_s;
        let short_s = least_s.min(phase.lasts_s) - lasts_s;
        let long_s = lasts_s - most_s.max(phase.lasts_s);
        let spread_s = frame_s.max(0.15 * phase.lasts_s);
        // A run whose end was not seen may be a piece.
        let off_s = if run.open_start || run.open_end {
            long_s
        } else {
            short_s.max(long_s)
        };
        let z = off_s.max(0.0) / spread_s;
        0.5 * z * z
    });
    (colour + length).min(WORST)
}

fn name_cost(run: &Run, colour: ColourName, trace: &Trace) -> f64 {
    run.tint
        .and_then(|tint| trace.tints.get(tint))
        .map_or(0.5, |tint| -tint.names.of(colour).max(0.01).ln())
}
