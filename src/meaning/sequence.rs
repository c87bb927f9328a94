//! Parts one after the other, once: explicit stays, semi-Markov, in log space.

use super::cuts::Cuts;
use super::math::{log_add, log_sum};
use super::spans::Spans;
use crate::table::Part;

/// A stay may miss its range by this much, as a standard deviation: cuts sit on frames, and people time the table's
/// stays by hand. Guessed.
const STAY_SD_S: f64 = 0.08;
const STAY_SD_SHARE: f64 = 0.04;

/// Log price of what comes after the last part, which may be anything until the clip ends.
const AFTERWARDS: f64 = -1.5;

/// Log evidence of a sequence row.
#[derive(Debug)]
pub(super) struct SequenceSpans {
    /// In whole or in part.
    pub(super) any: Spans,
    /// With at least one step from part to part seen: the order that makes it this row and no other.
    pub(super) ordered: Spans,
}

/// `parts` with the evidence of each; `free` is the evidence of anything at all. A stretch that starts with the clip may
/// start in the middle of any part, and one that ends with the clip may end in any; any other stretch holds all parts.
pub(super) fn evidence(parts: &[(&Part, &Spans)], free: &Spans, cuts: &Cuts) -> SequenceSpans {
    let count = cuts.len();
    let mut any = vec![f64::NEG_INFINITY; count * count];
    let mut ordered = any.clone();
    for a in 0..count - 1 {
        let reach = Reach::from(a, parts, cuts);
        for b in a + 1..count {
            let (one, more) = reach.until(b, parts, free, cuts);
            any[a * count + b] = log_add(one, more);
            ordered[a * count + b] = more;
        }
    }
    SequenceSpans {
        any: Spans::from_fn(count, |a, b| any[a * count + b]),
        ordered: Spans::from_fn(count, |a, b| ordered[a * count + b]),
    }
}

/// For one start: log evidence that a part has ended at a cut, by part; apart for the part that came first.
struct Reach {
    start: usize,
    first: Vec<Vec<f64>>,
    later: Vec<Vec<f64>>,
}

impl Reach {
    fn from(start: usize, parts: &[(&Part, &Spans)], cuts: &Cuts) -> Self {
        let nothing = vec![vec![f64::NEG_INFINITY; cuts.len()]; parts.len()];
        let mut reach = Self {
            start,
            first: nothing.clone(),
            later: nothing,
        };
        let starts = if start == 0 { parts.len() } else { 1 };
        let ln_starts = -(starts as f64).ln();
        for (index, (part, spans)) in parts.iter().enumerate() {
            for b in start + 1..cuts.len() {
                let open = start == 0;
                if index < starts {
                    let stay = ln_stay(part, cuts.between_s(start, b), open, false);
                    reach.first[index][b] = ln_starts + spans.at(start, b) + stay;
                }
                if index > 0 {
                    reach.later[index][b] = reach.step_into(index, b, part, spans, cuts, false);
                }
            }
        }
        reach
    }

    /// The part `index` from wherever the one before ended, up to `b`.
    fn step_into(&self, index: usize, b: usize, part: &Part, spans: &Spans, cuts: &Cuts, open: bool) -> f64 {
        let steps = (self.start + 1..b).map(|at| {
            let before = log_add(self.first[index - 1][at], self.later[index - 1][at]);
            before + spans.at(at, b) + ln_stay(part, cuts.between_s(at, b), false, open)
        });
        log_sum(steps) - ((b - self.start) as f64).ln()
    }

    /// Evidence up to `b` with one part seen, and with more.
    fn until(&self, b: usize, parts: &[(&Part, &Spans)], free: &Spans, cuts: &Cuts) -> (f64, f64) {
        let last = parts.len() - 1;
        if b + 1 < cuts.len() {
            return (
                if last == 0 {
                    self.first[0][b]
                } else {
                    f64::NEG_INFINITY
                },
                self.later[last][b],
            );
        }
        let open_start = self.start == 0;
        let (mut one, mut more) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (index, (part, spans)) in parts.iter().enumerate() {
            if index == 0 || open_start {
                let starts = if open_start { parts.len() } else { 1 };
                let stay = ln_stay(part, cuts.between_s(self.start, b), open_start, true);
                one = log_add(one, spans.at(self.start, b) + stay - (starts as f64).ln());
            }
            if index > 0 {
                more = log_add(more, self.step_into(index, b, part, spans, cuts, true));
            }
        }
        for at in self.start + 1..b {
            let tail = free.at(at, b) + AFTERWARDS - ((b - self.start) as f64).ln();
            one = log_add(one, self.first[last][at] + tail);
            more = log_add(more, self.later[last][at] + tail);
        }
        (one, more)
    }
}

/// Log weight of a stay. Where its start or end lies outside the clip, only too long a stay speaks against it.
fn ln_stay(part: &Part, seconds: f64, open_start: bool, open_end: bool) -> f64 {
    let (shortest, longest) = part.for_s;
    let missing = if open_start || open_end {
        0.0
    } else {
        (shortest - seconds).max(0.0)
    };
    let excess = if longest.is_finite() {
        (seconds - longest).max(0.0)
    } else {
        0.0
    };
    let sd = STAY_SD_S + STAY_SD_SHARE * if missing > 0.0 { shortest } else { longest.min(1e3) };
    -0.5 * ((missing + excess) / sd).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::{Pattern, Shade};

    fn part(for_s: (f64, f64)) -> Part {
        Part {
            pattern: Pattern::Constant(Shade::Dark),
            for_s,
        }
    }

    #[test]
    fn a_stay_counts_against_its_range_only_where_both_its_ends_were_seen() {
        let part = part((3.0, 4.0));
        assert_eq!(ln_stay(&part, 3.5, false, false), 0.0);
        assert!(ln_stay(&part, 1.0, false, false) < -20.0);
        assert_eq!(ln_stay(&part, 1.0, true, false), 0.0);
        assert_eq!(ln_stay(&part, 1.0, false, true), 0.0);
        assert!(ln_stay(&part, 6.0, true, true) < -20.0);
        assert_eq!(
            ln_stay(&self::part((3.0, f64::INFINITY)), 60.0, false, false),
            0.0
        );
    }

    /// Two parts that fit the first and the second half of a clip of four seconds, and nothing else.
    #[test]
    fn the_order_is_seen_only_when_both_parts_were() {
        let cuts = Cuts::even(1.0, 4);
        let fits = |from: usize, to: usize| {
            Spans::from_fn(5, move |a, b| if a >= from && b <= to { 0.0 } else { -50.0 })
        };
        let free = Spans::from_fn(5, |_, _| -20.0);
        let (first, second) = (part((1.0, 3.0)), part((1.0, f64::INFINITY)));
        let in_order = evidence(&[(&first, &fits(0, 2)), (&second, &fits(2, 4))], &free, &cuts);
        assert!(in_order.ordered.whole() > -5.0, "{in_order:?}");
        assert!((in_order.ordered.whole() - in_order.any.whole()).abs() < 1e-6);
        let turned = evidence(&[(&first, &fits(2, 4)), (&second, &fits(0, 2))], &free, &cuts);
        assert!(turned.any.whole() < -15.0, "{turned:?}");
        let only_first = evidence(&[(&second, &fits(0, 4)), (&first, &fits(9, 9))], &free, &cuts);
        assert!(
            only_first.any.whole() > -5.0 && only_first.ordered.whole() < -15.0,
            "{only_first:?}"
        );
    }
}
