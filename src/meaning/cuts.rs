//! The instants at which one meaning may give way to another.
//!
//! Two patterns that meet while the light looks the same leave no mark, so a cut may be moved to the nearest visible
//! change without loss. That keeps the number of stretches small whatever the frame rate.

use crate::trace::{Sample, Sighting, Trace};

/// Most cuts inside a clip. Evidence is worked out for every pair, so time grows with the square; 30 puts them a third
/// of a second apart in a clip of ten seconds, before they are moved to visible changes.
const MAX_INNER: usize = 30;

/// Longest distance between cuts, seconds, where nothing visible happens (a light that goes from breathing to fixed).
const QUIET_STEP_S: f64 = 0.5;

/// Seconds since the first frame, ascending; the first lies before and the last after every frame.
#[derive(Debug, Clone)]
pub(super) struct Cuts(Vec<f64>);

impl Cuts {
    /// No cut inside the clip.
    pub(super) fn none(length_s: f64) -> Self {
        Self(vec![0.0, length_s])
    }

    /// At given times and at both ends of the clip.
    pub(super) fn at(inner: impl Iterator<Item = f64>, length_s: f64) -> Self {
        let mut times: Vec<f64> = inner
            .filter(|time| *time > 1e-6 && *time < length_s - 1e-6)
            .collect();
        times.extend([0.0, length_s]);
        times.sort_by(f64::total_cmp);
        times.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        Self(times)
    }

    /// Evenly spaced, for tests of what is built on cuts.
    #[cfg(test)]
    pub(super) fn even(step_s: f64, steps: usize) -> Self {
        Self((0..=steps).map(|index| index as f64 * step_s).collect())
    }

    /// At visible changes of the traces.
    pub(super) fn of(traces: &[&Trace]) -> Self {
        let length_s = traces.iter().map(|trace| end_s(trace)).fold(0.0, f64::max);
        let mut changes: Vec<f64> = traces.iter().flat_map(|trace| changes(trace)).collect();
        changes.sort_by(f64::total_cmp);
        let step = QUIET_STEP_S.max(length_s / MAX_INNER as f64);
        let mut inner = Vec::new();
        if changes.len() + (length_s / step) as usize <= MAX_INNER {
            inner.clone_from(&changes);
        }
        for index in 1..(length_s / step).ceil() as usize {
            let even = index as f64 * step;
            let nearest = changes
                .iter()
                .copied()
                .min_by(|a, b| (a - even).abs().total_cmp(&(b - even).abs()));
            inner.push(
                nearest
                    .filter(|change| (change - even).abs() <= step / 2.0)
                    .unwrap_or(even),
            );
        }
        inner.extend(around_quiet(&changes, step).take(MAX_INNER));
        inner.sort_by(f64::total_cmp);
        inner.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        let mut times = vec![0.0];
        times.extend(inner.into_iter().filter(|time| *time > 0.0 && *time < length_s));
        times.push(length_s);
        Self(times)
    }

    /// The cut nearest to a time.
    pub(super) fn nearest(&self, time_s: f64) -> usize {
        let apart = |cut: &usize| (self.0[*cut] - time_s).abs();
        (0..self.0.len())
            .min_by(|a, b| apart(a).total_cmp(&apart(b)))
            .unwrap_or(0)
    }

    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// Seconds since the first frame.
    pub(super) fn time_s(&self, cut: usize) -> f64 {
        self.0[cut]
    }

    /// Seconds from cut `a` to cut `b`.
    pub(super) fn between_s(&self, a: usize, b: usize) -> f64 {
        self.0[b] - self.0[a]
    }

    /// For each cut the index of the first frame at or after it.
    pub(super) fn frames(&self, trace: &Trace) -> Vec<usize> {
        let last = self.0.len() - 1;
        (0..=last)
            .map(|cut| match cut {
                0 => 0,
                cut if cut == last => trace.samples.len(),
                cut => trace
                    .samples
                    .partition_point(|sample| sample.time_s < self.0[cut] - 1e-9),
            })
            .collect()
    }
}

/// The last change before a quiet stretch and the first one after it: the likeliest places for a new meaning.
fn around_quiet(changes: &[f64], step_s: f64) -> impl Iterator<Item = f64> {
    let ends = [changes.first(), changes.last()].into_iter().flatten().copied();
    let gaps = changes.windows(2).filter(move |pair| pair[1] - pair[0] > step_s);
    ends.chain(gaps.flat_map(|pair| [pair[0], pair[1]]))
}

fn end_s(trace: &Trace) -> f64 {
    trace
        .samples
        .last()
        .map_or(0.0, |sample| sample.time_s + sample.span_s)
}

/// When the light visibly went on, off or to another tint.
fn changes(trace: &Trace) -> impl Iterator<Item = f64> {
    let look = |sample: &Sample| (sample.level > 0.5).then_some(sample.tint);
    let mut last = None;
    trace.samples.iter().filter_map(move |sample| {
        if sample.sighting != Sighting::Seen {
            return None;
        }
        let now = look(sample);
        let changed = last.is_some_and(|before| before != now);
        last = Some(now);
        changed.then_some(sample.time_s)
    })
}
