//! The period that the levels about all changes allow together: Bayes' rule on a grid.
//!
//! A change that fell between two exposures is anywhere in a gap. Where the period is near a whole number of frames
//! the gaps of all cycles lie alike, and the mean of their middles is off by more than scatter tells; what the gaps
//! have in common is all that is known. A change inside an exposure is known as its level is. How long the shutter is
//! open is not known either, and is found with the period.

use super::edge::{Edge, Pair};
use super::measured::Estimate;

/// More changes than this need no such care: their gaps lie differently, and the sums would take time.
const MOST_CHANGES: usize = 120;
/// Steps of the grid each way from its middle, and how many deviations they reach.
const STEPS: i32 = 20;
const REACH: f64 = 5.0;
/// Steps over the times at which a cycle may have begun.
const START_STEPS: i32 = 24;
/// Times that the grid is laid anew where it was too wide or too narrow.
const TRIES: usize = 7;
/// Shares of a frame's time that the shutter may be open, each as likely: close enough that a level between is off by
/// no more than a camera's curve makes it.
const SHARES: [f64; 15] = [
    0.03, 0.04, 0.05, 0.065, 0.085, 0.11, 0.14, 0.19, 0.24, 0.31, 0.41, 0.53, 0.69, 0.85, 1.0,
];
/// Shares of the shutter less likely than this against the likeliest one are left out, as a logarithm.
const UNLIKELY: f64 = -9.0;

/// A change this many deviations off is off for other reasons.
const ASTRAY: f64 = 4.0;

/// A change as it was seen.
pub(super) struct Seen {
    edge: Edge,
    pair: Option<Pair>,
    /// Which change of its cycle it is, and which cycle.
    place: usize,
    cycle: f64,
}

impl Seen {
    pub(super) const fn new(edge: Edge, pair: Option<Pair>, (place, cycle): (usize, f64)) -> Self {
        Self {
            edge,
            pair,
            place,
            cycle,
        }
    }

    /// The times of the change that what was seen allows.
    fn allowed(&self, share: f64) -> (f64, f64) {
        let give = ASTRAY * self.edge.noise_s + 0.5 * self.edge.gap_s;
        self.pair.as_ref().map_or_else(
            || (self.edge.time_s - give, self.edge.time_s + give),
            |pair| pair.allowed(share, ASTRAY),
        )
    }

    /// Log of the chance of what was seen, up to a constant, if the light changed at a time.
    fn log_chance(&self, time_s: f64, share: f64) -> f64 {
        let misfit = self.pair.as_ref().map_or_else(
            || {
                let beyond = ((time_s - self.edge.time_s).abs() - 0.5 * self.edge.gap_s).max(0.0);
                (beyond / self.edge.noise_s).powi(2)
            },
            |pair| pair.misfit(time_s, share),
        );
        -0.5 * misfit.min(ASTRAY * ASTRAY)
    }
}

/// The period's mean and deviation over `n` kinds of changes in turn, from a first estimate by straight lines.
pub(super) fn refined(seen: &[Seen], n: usize, first: Estimate) -> Estimate {
    let gradual = seen
        .iter()
        .filter(|seen| seen.pair.is_some_and(|pair| pair.is_gradual()));
    if seen.len() > MOST_CHANGES || first.sd <= 0.0 || 4 * gradual.count() > seen.len() {
        return first;
    }
    let kinds: Vec<Kind> = (0..n)
        .map(|place| Kind::of(seen.iter().filter(|seen| seen.place == place)))
        .collect();
    let mut shares = SHARES.to_vec();
    let (mut best, mut reach, mut narrowed) = (first, REACH * first.sd, false);
    for _ in 0..TRIES {
        let step = reach / f64::from(STEPS);
        let periods: Vec<f64> = (-STEPS..=STEPS)
            .map(|i| best.value + f64::from(i) * step)
            .collect();
        // One row a share, one column a period.
        let logs: Vec<Vec<f64>> = shares
            .iter()
            .map(|share| {
                let of = |period_s: &f64| kinds.iter().map(|kind| kind.log_chance(*period_s, *share)).sum();
                periods.iter().map(of).collect()
            })
            .collect();
        let most = logs.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        let chances: Vec<f64> = (0..periods.len())
            .map(|column| logs.iter().map(|row| (row[column] - most).exp()).sum())
            .collect();
        best = moments(&periods, &chances);
        let mut rows = logs.iter();
        let mut likely = |_: &f64| {
            rows.next()
                .is_some_and(|row| row.iter().any(|log| *log > most + UNLIKELY))
        };
        // On a first grid that is too wide a share's best period may lie between two columns.
        if narrowed {
            shares.retain(&mut likely);
        }
        let wanted = REACH * best.sd.max(0.2 * step);
        narrowed = wanted > 0.5 * reach;
        let fits = wanted > 0.6 * reach && wanted < 1.4 * reach;
        if fits {
            break;
        }
        // Not narrower at once: where no column fits, the best one is not always next to the truth.
        reach = wanted.clamp(0.3 * reach, 2.0 * reach);
    }
    best
}

/// Changes of one kind: the first, the second, ... within a cycle.
struct Kind<'s> {
    /// Cycle number less the mean, and the change.
    seen: Vec<(f64, &'s Seen)>,
    /// Weights' sum, and the deviation of the changes' mean time if they were scattered by chance.
    weight: f64,
    sd_s: f64,
}

fn weight(seen: &Seen) -> f64 {
    seen.edge.sd_s().powi(-2)
}

impl<'s> Kind<'s> {
    fn of(seen: impl Iterator<Item = &'s Seen>) -> Self {
        let seen: Vec<(f64, &Seen)> = seen.map(|seen| (seen.cycle, seen)).collect();
        let sum: f64 = seen.iter().map(|(_, seen)| weight(seen)).sum();
        let mean = seen.iter().map(|(cycle, seen)| cycle * weight(seen)).sum::<f64>() / sum;
        Self {
            seen: seen
                .into_iter()
                .map(|(cycle, seen)| (cycle - mean, seen))
                .collect(),
            weight: sum,
            sd_s: sum.sqrt().recip(),
        }
    }

    /// Log of the chance of the changes, over all times at which the cycle may have begun.
    fn log_chance(&self, period_s: f64, share: f64) -> f64 {
        let (from_s, to_s) = self.starts(period_s, share);
        let step_s = (to_s - from_s) / f64::from(START_STEPS);
        let logs: Vec<f64> = (0..=START_STEPS)
            .map(|i| from_s + f64::from(i) * step_s)
            .map(|start_s| {
                let each = self.seen.iter();
                each.map(|(cycle, seen)| seen.log_chance(start_s + cycle * period_s, share))
                    .sum()
            })
            .collect();
        let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        most + (step_s * logs.iter().map(|log| (log - most).exp()).sum::<f64>()).ln()
    }

    /// The times at which the cycle may have begun: those that all changes allow or, where one is astray, all about
    /// their middle.
    fn starts(&self, period_s: f64, share: f64) -> (f64, f64) {
        let (mut from_s, mut to_s) = (f64::NEG_INFINITY, f64::INFINITY);
        for (cycle, seen) in &self.seen {
            let (from, to) = seen.allowed(share);
            from_s = from_s.max(from - cycle * period_s);
            to_s = to_s.min(to - cycle * period_s);
        }
        if to_s - from_s > 0.0 && (to_s - from_s).is_finite() {
            return (from_s, to_s);
        }
        let off = |(cycle, seen): &(f64, &Seen)| weight(seen) * (seen.edge.time_s - cycle * period_s);
        let middle_s = self.seen.iter().map(off).sum::<f64>() / self.weight;
        let gap_s = self
            .seen
            .iter()
            .map(|(_, seen)| seen.edge.gap_s)
            .fold(0.0, f64::max);
        let reach_s = (REACH * self.sd_s).max(gap_s);
        (middle_s - reach_s, middle_s + reach_s)
    }
}

/// Mean and standard deviation of values by their chances; a step of the grid is the least that can be told.
fn moments(values: &[f64], chances: &[f64]) -> Estimate {
    let sum: f64 = chances.iter().sum();
    let mean = values.iter().zip(chances).map(|(v, c)| v * c).sum::<f64>() / sum;
    let variance = values
        .iter()
        .zip(chances)
        .map(|(v, c)| (v - mean).powi(2) * c)
        .sum::<f64>()
        / sum;
    let step = (values[1] - values[0]) / 12f64.sqrt();
    Estimate {
        value: mean,
        sd: variance.sqrt().hypot(step),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(cycle: usize, time_s: f64, gap_s: f64, noise_s: f64) -> Seen {
        let edge = Edge {
            time_s,
            gap_s,
            noise_s,
            way_s: 0.0,
        };
        Seen::new(edge, None, (0, cycle as f64))
    }

    /// Gaussian changes only: Bayes and the straight line are then one and the same.
    #[test]
    fn without_gaps_it_is_the_straight_line() {
        let times = [0.003, 0.998, 2.004, 2.999, 3.996, 5.002];
        let changes: [Seen; 6] = std::array::from_fn(|cycle| seen(cycle, times[cycle], 0.0, 0.004));
        // Least squares by hand: the sum of the squares of -2.5, -1.5, ..., 2.5 is 17.5.
        let slope = times
            .iter()
            .enumerate()
            .map(|(i, time_s)| (i as f64 - 2.5) * time_s)
            .sum::<f64>()
            / 17.5;
        let sd = 0.004 / 17.5f64.sqrt();
        let got = refined(
            &changes,
            1,
            Estimate {
                value: 1.001,
                sd: 2.0 * sd,
            },
        );
        assert!((got.value - slope).abs() < 0.05 * sd, "{got:?}, expected {slope}");
        assert!((got.sd / sd - 1.0).abs() < 0.1, "{got:?}, expected {sd}");
    }

    /// By hand: changes in gaps of 30 ms about 0, 1, 2, ..., 9 s, all alike, allow periods from 1 s less 30/9 ms to
    /// 1 s and 30/9 ms, those near 1 s more often: a triangle, whose deviation is 30/9/sqrt(6) ms.
    #[test]
    fn gaps_that_lie_alike_leave_a_triangle() {
        let changes: Vec<Seen> = (0..10).map(|i| seen(i, i as f64, 0.030, 1e-5)).collect();
        let got = refined(
            &changes,
            1,
            Estimate {
                value: 1.0,
                sd: 0.001,
            },
        );
        let by_hand = 0.030 / 9.0 / 6f64.sqrt();
        assert!((got.value - 1.0).abs() < 1e-5, "{got:?}");
        assert!(
            (got.sd / by_hand - 1.0).abs() < 0.1,
            "{got:?}, expected {by_hand}"
        );
    }
}
