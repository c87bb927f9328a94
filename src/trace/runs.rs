//! Runs of one state, dark or lit in one tint, with the changes between them.

use super::edge::{Edge, MIDDLE, Pair, Shutter};
use super::sample::{Sighting, Trace};

/// A stretch in which the light kept one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Run {
    /// `None` is dark.
    pub state: Option<usize>,
    pub from: Edge,
    pub to: Edge,
    /// The frames about the start, where it was a change between dark and lit.
    pub pair: Option<Pair>,
    /// The true start was not seen (start of the clip, or just before it the light was hidden).
    pub open_start: bool,
    /// The true end was not seen.
    pub open_end: bool,
}

/// Cuts a trace into runs. Stretches in which the light was hidden belong to no run. A lit run whose colour
/// could not be told takes the tint of the frames about it.
pub(super) fn runs(trace: &Trace, shutter: &Shutter) -> Vec<Run> {
    let samples = &trace.samples;
    let mut found: Vec<Run> = Vec::new();
    let mut previous: Option<usize> = None;
    for (i, sample) in samples.iter().enumerate() {
        if sample.sighting != Sighting::Seen {
            previous = None;
            if let Some(run) = found.last_mut() {
                run.open_end = true;
            }
            continue;
        }
        let state = state(trace, i, previous.and_then(|_| found.last()).map(|run| run.state));
        let end = Edge::of_view(sample.time_s + sample.span_s, sample.span_s);
        match (previous, found.last_mut()) {
            (Some(before), Some(run)) if run.state != state => {
                let between = (&samples[before], sample);
                let of_colour = run.state.is_some() && state.is_some();
                let edge = if of_colour {
                    shutter.edge_of_colour(between.0, between.1)
                } else {
                    shutter.edge(samples, i)
                };
                run.to = edge;
                found.push(Run {
                    state,
                    from: edge,
                    to: end,
                    pair: (!of_colour).then(|| shutter.pair(between.0, between.1)),
                    open_start: false,
                    open_end: false,
                });
            }
            (Some(_), Some(run)) => run.to = end,
            _ => found.push(Run {
                state,
                from: Edge::of_view(sample.time_s, sample.span_s),
                to: end,
                pair: None,
                open_start: true,
                open_end: false,
            }),
        }
        previous = Some(i);
    }
    if let Some(run) = found.last_mut() {
        run.open_end = true;
    }
    found
}

/// How far beyond the middle a level must be to change the state, in its standard deviations, and at most.
const STICKS: f64 = 2.5;
const MOST_GIVE: f64 = 0.15;

/// State of one frame: dark, or lit in its tint; a frame between two tints goes on as before.
fn state(trace: &Trace, i: usize, before: Option<Option<usize>>) -> Option<usize> {
    let sample = &trace.samples[i];
    // A level that creeps through the middle in noise is not to switch back and forth.
    let give = match before {
        Some(Some(_)) => -(STICKS * sample.level_sd).min(MOST_GIVE),
        Some(None) => (STICKS * sample.level_sd).min(MOST_GIVE),
        None => 0.0,
    };
    if sample.level < MIDDLE + give {
        return None;
    }
    sample.tint.or_else(|| {
        let next = trace.samples[i..].iter().take(3).find_map(|s| s.tint);
        before
            .flatten()
            .or(next)
            .or((!trace.tints.is_empty()).then_some(0))
    })
}
