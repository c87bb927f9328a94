//! The repeating shape of a row of runs: how many runs make a cycle, and how long it lasts.

use super::edge::{Edge, Pair};
use super::measured::Estimate;
use super::period::{self, Seen};
use super::runs::Run;

/// A cycle found in runs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cycle {
    /// Runs in one cycle.
    pub runs: usize,
    pub period_s: Estimate,
}

/// Runs that one cycle may have at most: a group of eight flashes.
const MOST_RUNS: usize = 16;

/// The shortest cycle that explains the runs: after every `n` runs the same states come with the same
/// durations. `None` if nothing repeats or less than one whole cycle was seen.
///
/// The period is first the slope of a straight line through the change times against the cycle number, with an
/// intercept of its own for each change within the cycle: least squares, so that every change counts and the
/// error falls with the length of the clip to the power 3/2. [`period::refined`] then minds that a change that fell
/// between two exposures is somewhere in a gap and not about its middle.
pub(super) fn find(runs: &[Run], frame_s: f64) -> Option<Cycle> {
    // Change times: where one run meets the next.
    let mut changes: Vec<Change> = Vec::new();
    for pair in runs.windows(2) {
        if !pair[0].open_end && !pair[1].open_start {
            changes.push(Change {
                edge: Edge {
                    noise_s: pair[1].from.noise_s.max(LEAST_NOISE * frame_s),
                    ..pair[1].from
                },
                pair: pair[1].pair,
                to: pair[1].state,
            });
        } else {
            return find_in_longest_stretch(runs, frame_s);
        }
    }
    (1..=MOST_RUNS).find_map(|n| fit(&changes, n, frame_s))
}

/// Least noise of a change, as a share of a frame: time stamps are whole ticks of a clock (guessed).
const LEAST_NOISE: f64 = 0.01;

#[derive(Debug, Clone, Copy)]
struct Change {
    edge: Edge,
    pair: Option<Pair>,
    to: Option<usize>,
}

/// Where the light was hidden in between, the longest unbroken stretch speaks.
fn find_in_longest_stretch(runs: &[Run], frame_s: f64) -> Option<Cycle> {
    let mut stretches: Vec<&[Run]> = Vec::new();
    let mut from = 0;
    for i in 1..runs.len() {
        if runs[i - 1].open_end || runs[i].open_start {
            stretches.push(&runs[from..i]);
            from = i;
        }
    }
    stretches.push(&runs[from..]);
    let longest = stretches.into_iter().max_by_key(|stretch| stretch.len())?;
    (longest.len() > 2).then(|| find(longest, frame_s))?
}

fn fit(changes: &[Change], n: usize, frame_s: f64) -> Option<Cycle> {
    // At least one whole cycle, and for longer cycles two, since any few runs look like one long cycle.
    let least = if n <= 2 { n + 1 } else { 2 * n };
    if changes.len() < least || (0..changes.len() - n).any(|i| changes[i].to != changes[i + n].to) {
        return None;
    }
    let weight = |i: usize| changes[i].edge.sd_s().powi(-2);
    // Weighted mean of time and cycle number for each place within the cycle, then one common slope.
    let (mut along, mut length) = (0.0, 0.0);
    let mut means = vec![(0.0, 0.0); n];
    for (place, mean) in means.iter_mut().enumerate() {
        let own = (place..changes.len()).step_by(n);
        let sum: f64 = own.clone().map(weight).sum();
        let time_s = |i: usize| weight(i) * changes[i].edge.time_s;
        let mean_t = own.clone().map(time_s).sum::<f64>() / sum;
        let mean_k = own.clone().map(|i| weight(i) * (i / n) as f64).sum::<f64>() / sum;
        *mean = (mean_t, mean_k);
        for i in own {
            let k = (i / n) as f64 - mean_k;
            along += weight(i) * k * (changes[i].edge.time_s - mean_t);
            length += weight(i) * k * k;
        }
    }
    let period = along / length;
    if length <= 0.0 || period <= 0.0 {
        return None;
    }
    let residual = |i: usize| {
        let (mean_t, mean_k) = means[i % n];
        changes[i].edge.time_s - mean_t - period * ((i / n) as f64 - mean_k)
    };
    /// Jitter of a change that a regular device and a camera's clock may show: one frame, and a few per cent
    /// of the period.
    const JITTER_OF_PERIOD: f64 = 0.03;
    /// Share of the changes that may be off by more, and how many times as much: time stamps of phones are off by a
    /// frame here and there, while a rhythm of more flashes differs in a quarter of its changes or more (guessed).
    const STRAY: f64 = 0.125;
    const MOST_STRAY: f64 = 2.5;
    let allowed = 0.9 * frame_s + JITTER_OF_PERIOD * period;
    let beyond = |times: f64| (0..changes.len()).filter(move |&i| residual(i).abs() > times * allowed);
    if beyond(1.0).count() as f64 > STRAY * changes.len() as f64 || beyond(MOST_STRAY).next().is_some() {
        return None;
    }
    let free = changes.len().saturating_sub(n + 1);
    let chi2: f64 = (0..changes.len()).map(|i| weight(i) * residual(i).powi(2)).sum();
    let scatter = if free > 0 { chi2 / free as f64 } else { 1.0 };
    let straight = Estimate {
        value: period,
        // The larger of the stated and the seen scatter.
        sd: (scatter.max(1.0) / length).sqrt(),
    };
    // A device that is less regular than the camera is sharp has no edges in the gaps to hold on to.
    let period_s = if scatter > MOST_SCATTER {
        straight
    } else {
        let seen = changes.iter().map(|change| Seen::new(change.edge, change.pair));
        period::refined(&seen.collect::<Vec<_>>(), n, straight)
    };
    Some(Cycle { runs: n, period_s })
}

/// Seen over stated variance of the changes above which the device itself is irregular: not once in a hundred times
/// by chance with ten changes.
const MOST_SCATTER: f64 = 2.3;

#[cfg(test)]
mod tests {
    use super::*;

    fn runs(durations: &[(Option<usize>, f64)], offset: f64) -> Vec<Run> {
        let edge = |time_s| Edge {
            time_s,
            gap_s: 0.0,
            noise_s: 0.01,
        };
        let mut at = offset;
        let mut out: Vec<Run> = durations
            .iter()
            .map(|&(state, lasts)| {
                at += lasts;
                Run {
                    state,
                    from: edge(at - lasts),
                    to: edge(at),
                    pair: None,
                    open_start: false,
                    open_end: false,
                }
            })
            .collect();
        out.first_mut().unwrap().open_start = true;
        out.last_mut().unwrap().open_end = true;
        out
    }

    // CiA 303-3 double flash: 200 ms on, 200 off, 200 on, 1000 off.
    #[test]
    fn double_flash_is_one_cycle_of_four_runs() {
        let cycle = [(Some(0), 0.2), (None, 0.2), (Some(0), 0.2), (None, 1.0)].repeat(5);
        let found = find(&runs(&cycle, 0.3), 1.0 / 30.0).unwrap();
        assert_eq!(found.runs, 4);
        assert!((found.period_s.value - 1.6).abs() < 1e-9, "{found:?}");
    }

    /// A blink of one period, of whose changes one in ten is stamped a frame and a half late.
    #[test]
    fn a_stray_time_stamp_makes_no_longer_rhythm() {
        let mut blink: Vec<_> = [(Some(0), 0.3), (None, 0.3)].repeat(10);
        for late in [4, 14] {
            blink[late].1 += 0.05;
            blink[late + 1].1 -= 0.05;
        }
        let found = find(&runs(&blink, 0.3), 1.0 / 30.0).unwrap();
        assert_eq!(found.runs, 2);
        assert!((found.period_s.value - 0.6).abs() < 0.005, "{found:?}");
    }

    #[test]
    fn a_drifting_blink_does_not_repeat() {
        let growing: Vec<_> = (0..12)
            .map(|i| ((i % 2 == 0).then_some(0), 0.2 + 0.08 * f64::from(i)))
            .collect();
        assert_eq!(find(&runs(&growing, 0.0), 1.0 / 30.0), None);
    }
}
