//! Runs of one state, dark or lit in one tint, with the times between them to a part of a frame.

use super::sample::{Sighting, Trace};

/// A stretch in which the light kept one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Run {
    /// `None` is dark.
    pub state: Option<usize>,
    /// Seconds since the first frame.
    pub from_s: f64,
    /// Seconds since the first frame.
    pub to_s: f64,
    /// Standard deviation of either end.
    pub sd_s: f64,
    /// The true start was not seen (start of the clip, or just before it the light was hidden).
    pub open_start: bool,
    /// The true end was not seen.
    pub open_end: bool,
}

/// Level that parts dark from lit.
const MIDDLE: f64 = 0.5;

/// Cuts a trace into runs. Stretches in which the light was hidden belong to no run. A lit run whose colour
/// could not be told takes the tint of the frames about it.
pub(super) fn runs(trace: &Trace) -> Vec<Run> {
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
        let end = sample.time_s + sample.span_s;
        match (previous, found.last_mut()) {
            (Some(before), Some(run)) if run.state != state => {
                let (edge, sd) = edge(trace, before, i);
                run.to_s = edge;
                let sd_s = run.sd_s.max(sd);
                run.sd_s = sd_s;
                found.push(Run {
                    state,
                    from_s: edge,
                    to_s: end,
                    sd_s: sd,
                    open_start: false,
                    open_end: false,
                });
            }
            (Some(_), Some(run)) => run.to_s = end,
            _ => found.push(Run {
                state,
                from_s: sample.time_s,
                to_s: end,
                sd_s: 0.3 * sample.span_s,
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

/// State of one frame: dark, or lit in its tint; a frame between two tints goes on as before.
fn state(trace: &Trace, i: usize, before: Option<Option<usize>>) -> Option<usize> {
    let sample = &trace.samples[i];
    if sample.level < MIDDLE {
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

/// When the state changed between two frames, and how sure that is.
///
/// A frame that was lit for a part of its exposure has a level between the states: the edge then lies inside
/// it, at that part of its span. Where both frames are at their state's level, the edge is somewhere between
/// them, evenly: its standard deviation is the span over the square root of 12.
fn edge(trace: &Trace, before: usize, after: usize) -> (f64, f64) {
    /// Levels this far from both states are partial exposures.
    const PARTIAL: std::ops::Range<f64> = 0.12..0.88;
    let (a, b) = (&trace.samples[before], &trace.samples[after]);
    let rises = b.level >= a.level;
    let span = b.time_s - a.time_s;
    let part = |level: f64| if rises { 1.0 - level } else { level };
    // The frame's own exposure is unknown, between a short one and the whole span: the edge within it is
    // known to about a seventh of the span.
    let inside_sd = 0.15 * span;
    if PARTIAL.contains(&b.level) && b.level < MIDDLE || PARTIAL.contains(&b.level) && rises {
        (b.time_s + part(b.level) * b.span_s, inside_sd)
    } else if PARTIAL.contains(&a.level) {
        (a.time_s + part(a.level) * a.span_s, inside_sd)
    } else {
        (b.time_s, span / 12f64.sqrt())
    }
}
