//! When each part of a sequence began and ended: how long a button was held.
//!
//! The best way through the parts is found at the cuts. Then every change of part is looked at frame by frame: both parts
//! say what they make of each frame as the first of the second part, and the change is where they agree best.

use super::cuts::Cuts;
use super::math::log_sum;
use super::score;
use super::sequence::{is_enough, ln_stay};
use super::spans::Spans;
use super::watch::Watch;
use crate::table::Part;
use crate::trace::Trace;

/// A change of part is looked for so far about the nearest cut, seconds.
const ABOUT_S: f64 = 0.4;

/// Log price of what comes after the last part.
const AFTERWARDS: f64 = -1.5;

/// How long a part of a sequence stayed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stay {
    /// Index into [`crate::table::LightTable::lights`].
    pub light: usize,
    /// Which part of the sequence, from 0.
    pub part: usize,
    /// Seconds since the first frame.
    pub from_s: f64,
    /// Seconds since the first frame.
    pub to_s: f64,
    /// It may have begun before the clip.
    pub open_start: bool,
    /// It may have gone on after the clip.
    pub open_end: bool,
}

/// The parts that the stretch from one cut to another shows. `free` is the evidence of anything at all.
pub(super) fn stays(
    (light, parts): (usize, &[Part]),
    watch: &Watch,
    free: &Spans,
    cuts: &Cuts,
    (from, to): (usize, usize),
) -> Vec<Stay> {
    let spans: Vec<Spans> = parts
        .iter()
        .map(|part| score::evidence(&part.pattern, watch, 0.0))
        .collect();
    let way = Way {
        parts,
        spans: &spans,
        free,
        cuts,
        from,
        to,
    };
    let Some((first, mut at)) = way.best() else {
        return Vec::new();
    };
    // The end of the clip shows too little of the last part to call it begun.
    let seen = at.len() - 1;
    let last_s = cuts.between_s(at[seen - 1], at[seen]);
    let begun = is_enough(
        &parts[first + seen - 1],
        last_s,
        at[seen] + 1 == cuts.len(),
        false,
    );
    if seen > 1 && !begun {
        at.remove(seen - 1);
    }
    let mut times: Vec<f64> = at.iter().map(|cut| cuts.time_s(*cut)).collect();
    for place in 1..at.len() - 1 {
        let (before, after) = (&parts[first + place - 1], &parts[first + place]);
        times[place] = change_s(
            before,
            after,
            watch.trace,
            (times[place - 1], times[place], times[place + 1]),
        );
    }
    let last = cuts.len() - 1;
    let end = at.pop().unwrap_or(last);
    times
        .windows(2)
        .enumerate()
        .map(|(place, window)| Stay {
            light,
            part: first + place,
            from_s: window[0],
            to_s: window[1],
            open_start: place == 0 && from == 0,
            open_end: place + 2 == times.len() && end == last,
        })
        .collect()
}

/// Ways through the parts, at the cuts.
struct Way<'w> {
    parts: &'w [Part],
    spans: &'w [Spans],
    free: &'w Spans,
    cuts: &'w Cuts,
    from: usize,
    to: usize,
}

impl Way<'_> {
    /// The first part seen, and the cuts at which it begins, at which each gives way to the next, and at which the last
    /// ends.
    fn best(&self) -> Option<(usize, Vec<usize>)> {
        let open_start = self.from == 0;
        let starts = if open_start { 0..self.parts.len() } else { 0..1 };
        let ways = starts.flat_map(|first| self.beginning_with(first));
        ways.max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, first, at)| (first, at))
    }

    /// The best way that begins with a part, for every part that it may end in.
    fn beginning_with(&self, first: usize) -> Vec<(f64, usize, Vec<usize>)> {
        let open_end = self.to + 1 == self.cuts.len();
        let mut ended: Vec<Option<(f64, Vec<usize>)>> = vec![None; self.to + 1];
        ended[self.from] = Some((0.0, vec![self.from]));
        let mut found = Vec::new();
        for index in first..self.parts.len() {
            let open_start = index == first && self.from == 0;
            let is_last = index + 1 == self.parts.len();
            if open_end || is_last {
                let until = self.extend(&ended, index, self.to, open_start, open_end);
                found.extend(until.map(|(value, at)| (value, first, at)));
            }
            ended = (0..=self.to)
                .map(|b| self.extend(&ended, index, b, open_start, false))
                .collect();
        }
        let tails = (self.from + 1..self.to).filter_map(|b| {
            let (value, at) = ended[b].clone()?;
            Some((value + self.free.at(b, self.to) + AFTERWARDS, first, at))
        });
        found.extend(tails);
        found
    }

    fn extend(
        &self,
        ended: &[Option<(f64, Vec<usize>)>],
        index: usize,
        b: usize,
        open_start: bool,
        open_end: bool,
    ) -> Option<(f64, Vec<usize>)> {
        let steps = (self.from..b).filter_map(|a| {
            let (before, at) = ended[a].as_ref()?;
            let stay = ln_stay(
                &self.parts[index],
                self.cuts.between_s(a, b),
                open_start,
                open_end,
            );
            let value = before + self.spans[index].at(a, b) + stay;
            value.is_finite().then_some((value, at))
        });
        let (value, at) = steps.max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((value, at.iter().copied().chain([b]).collect()))
    }
}

/// When one part gave way to the next, to a frame, on average over the frames that may be the first of the next.
fn change_s(before: &Part, after: &Part, trace: &Trace, (from_s, about_s, to_s): (f64, f64, f64)) -> f64 {
    let near = |time_s: &f64| (time_s - about_s).abs() <= ABOUT_S && *time_s > from_s && *time_s < to_s;
    let frames: Vec<f64> = trace
        .samples
        .iter()
        .map(|sample| sample.time_s)
        .filter(near)
        .collect();
    if frames.is_empty() {
        return about_s;
    }
    let cuts = Cuts::at(
        [from_s].into_iter().chain(frames.iter().copied()).chain([to_s]),
        trace.length_s(),
    );
    let watch = Watch::new(trace, &cuts);
    let first = score::evidence(&before.pattern, &watch, 0.0);
    let second = score::evidence(&after.pattern, &watch, 0.0);
    // Cuts: the start of the clip, the start of the stretch, the frames, its end, the end of the clip.
    let start = cuts.nearest(from_s);
    let end = cuts.nearest(to_s);
    let weights: Vec<f64> = frames
        .iter()
        .map(|time_s| {
            let at = cuts.nearest(*time_s);
            let stay = ln_stay(before, time_s - from_s, false, false);
            // Frames err together, but here only the difference of neighbouring ones counts.
            (first.at(start, at) + second.at(at, end)) / watch.temper + stay
        })
        .collect();
    let all = log_sum(weights.iter().copied());
    frames
        .iter()
        .zip(&weights)
        .map(|(time_s, weight)| time_s * (weight - all).exp())
        .sum()
}
