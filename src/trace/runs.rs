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
    /// The frames about the start, where it was a change between dark and lit, or of colours that can be parted.
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
        if sample.sighting == Sighting::Seen && !sample.tells() {
            continue;
        }
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
                let (edge, pair) = if of_colour {
                    let edge = shutter.edge_of_colour(between.0, between.1);
                    (edge, shutter.pair_of_colours(between.0, between.1))
                } else {
                    (
                        shutter.edge(samples, before, i),
                        Some(shutter.pair(between.0, between.1)),
                    )
                };
                run.to = edge;
                found.push(Run {
                    state,
                    from: edge,
                    to: end,
                    pair,
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
    without_flanks(found)
}

/// Without the colours that a light only has on its way between dark and its own: as it comes up, the camera has not
/// settled, or its exposure holds a part of what lies about it.
fn without_flanks(runs: Vec<Run>) -> Vec<Run> {
    /// Longest flank, seconds: a phone's exposure settles in a few frames (guessed).
    const FLANK_S: f64 = 0.12;
    /// Times that the light stays in its own colour at least, so that a short flash of a colour is none.
    const TIMES_LONGER: f64 = 3.0;
    let lasts_s = |run: &Run| run.to.time_s - run.from.time_s;
    let flank_only = |tint: usize| {
        let own = |run: &&Run| run.state == Some(tint);
        runs.iter().filter(own).all(|run| lasts_s(run) < FLANK_S)
    };
    let joined = |before: &Run, after: &Run| !before.open_end && !after.open_start;
    let mut kept: Vec<Run> = Vec::with_capacity(runs.len());
    let mut i = 0;
    while i < runs.len() {
        let run = runs[i];
        let next = runs.get(i + 1).filter(|next| joined(&run, next));
        let is_flank = |of: &Run, beyond: Option<&Run>| {
            of.state.is_some()
                && lasts_s(of) > TIMES_LONGER * lasts_s(&run)
                && beyond.is_some_and(|run| run.state.is_none())
        };
        let before = kept.last().copied().filter(|before| joined(before, &run));
        let short = run.state.is_some_and(flank_only);
        if let Some(next) = next.filter(|next| short && is_flank(next, before.as_ref())) {
            kept.push(Run {
                from: run.from,
                pair: run.pair,
                open_start: run.open_start,
                ..*next
            });
            i += 2;
        } else if let Some(before) = kept
            .last_mut()
            .filter(|before| short && joined(before, &run) && is_flank(before, next))
        {
            before.to = run.to;
            before.open_end = run.open_end;
            i += 1;
        } else {
            kept.push(run);
            i += 1;
        }
    }
    kept
}

/// How far beyond the middle a level must be to change the state, in its standard deviations, and at most.
const STICKS: f64 = 2.5;
const MOST_GIVE: f64 = 0.15;

/// Level from which a frame that saw one colour give way to the next is lit: half of either is in it, of which each channel may
/// have the half of one colour only, and the scale of a tint is known to a fifth (guessed).
const TURNING: f64 = 0.3;

/// State of one frame: dark, or lit in its tint; a frame between two tints goes on as before.
fn state(trace: &Trace, i: usize, before: Option<Option<usize>>) -> Option<usize> {
    let sample = &trace.samples[i];
    // A level that creeps through the middle in noise is not to switch back and forth.
    let give = match before {
        Some(Some(_)) => -(STICKS * sample.level_sd).min(MOST_GIVE),
        Some(None) => (STICKS * sample.level_sd).min(MOST_GIVE),
        None => 0.0,
    };
    let is_turning = sample.turned.is_some() && sample.level >= TURNING;
    if sample.level < MIDDLE + give && !is_turning {
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

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::trace::{Sample, Tint, Trace};

    /// A film at 30 frames a second: `.` dark, a letter lit in its tint. Its runs as letters and frames.
    fn cut(film: &str) -> String {
        cut_at(film, |_| (1.0, None))
    }

    /// The same, with the level of each lit frame, and the share of it that is the next colour's.
    fn cut_at(film: &str, of: fn(usize) -> (f64, Option<f64>)) -> String {
        let sample = |(frame, what): (usize, char)| Sample {
            time_s: frame as f64 / 30.0,
            span_s: 1.0 / 30.0,
            sighting: Sighting::Seen,
            level: if what == '.' { 0.0 } else { of(frame).0 },
            level_sd: 0.03,
            chroma: None,
            tint: (what != '.').then(|| what as usize - 'a' as usize),
            turned: of(frame).1,
        };
        let trace = Trace {
            samples: film.chars().enumerate().map(sample).collect(),
            tints: Vec::<Tint>::new(),
            beat_hz: None,
            otherwise: None,
        };
        let found = runs(&trace, &Shutter::of(&trace, 1.0 / 30.0, 0.0));
        let name = |run: &Run| run.state.map_or('.', |tint| (b'a' + tint as u8) as char);
        let frames = |run: &Run| (30.0 * (run.to.time_s - run.from.time_s)).round();
        found
            .iter()
            .map(|run| format!("{}{} ", name(run), frames(run)))
            .collect()
    }

    #[rstest]
    #[case::coming_up("....bbaaaaaaaaaa....bbaaaaaaaaaa....", ".4 a12 .4 a12 .4 ")]
    #[case::going_out("....aaaaaaaaaab....aaaaaaaaaab....", ".4 a11 .4 a11 .4 ")]
    #[case::short_flashes_of_two_colours("....bbaaa....bbaaa....", ".4 b2 a3 .4 b2 a3 .4 ")]
    #[case::a_flash_of_its_own("....bb....aaaaaaaaaa....", ".4 b2 .4 a10 .4 ")]
    #[case::elsewhere_it_stays("....bbaaaaaaaaaa....bbbbbbbb....", ".4 b2 a10 .4 b8 .4 ")]
    fn a_colour_of_the_flanks_is_none_of_the_lights(#[case] film: &str, #[case] expected: &str) {
        assert_eq!(cut(film), expected);
    }

    /// A frame that saw both colours for half of its exposure has hardly half of the level of either; one that saw neither for
    /// most of it was dark.
    #[rstest]
    #[case::of_both(|frame| if frame == 5 { (0.39, Some(0.6)) } else { (1.0, None) }, "a6 b6 ")]
    #[case::of_neither_for_most(|frame| if frame == 5 { (0.22, Some(0.6)) } else { (1.0, None) }, "a5 .0 b6 ")]
    #[case::of_one(|frame| if frame == 5 { (0.39, None) } else { (1.0, None) }, "a5 .0 b7 ")]
    fn a_frame_between_two_colours_is_not_dark(
        #[case] of: fn(usize) -> (f64, Option<f64>),
        #[case] expected: &str,
    ) {
        assert_eq!(cut_at("aaaaaabbbbbb", of), expected);
    }
}
