//! Parts one after the other, once: explicit stays, semi-Markov, in log space.

use super::cuts::Cuts;
use super::math::{log_add, log_sum};
use super::spans::Spans;
use crate::table::{Part, Pattern};

/// A stay may miss its range by this much, as a standard deviation: cuts sit on frames, and people time the table's
/// stays by hand. Guessed.
const STAY_SD_S: f64 = 0.08;
const STAY_SD_SHARE: f64 = 0.04;

/// Log price of what comes after the last part, which may be anything until the clip ends.
const AFTERWARDS: f64 = -1.5;

/// A part whose start or end lies outside the clip counts as seen when it was on for this share of one cycle, or of its
/// shortest stay: less of it is a moment of light that any other row has too.
const ENOUGH: f64 = 0.9;

/// A part that stands for the whole sequence, with anything else after it, has to show so many cycles.
const ENOUGH_ALONE_CYCLES: f64 = 2.0;

/// The same for a part that does not change, seconds.
const ENOUGH_ALONE_S: f64 = 1.5;

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
        let course = Course::new(a, parts, free, cuts);
        for b in a + 1..count {
            let until = course.until(b);
            any[a * count + b] = log_sum(until.0.into_iter());
            ordered[a * count + b] = until.of(Seen::Order);
        }
    }
    SequenceSpans {
        any: Spans::from_fn(count, |a, b| any[a * count + b]),
        ordered: Spans::from_fn(count, |a, b| ordered[a * count + b]),
    }
}

/// How much of a sequence was seen so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Seen {
    /// A moment of one part.
    Moment,
    /// One part.
    Part,
    /// One part, and after it the next.
    Order,
}

impl Seen {
    const ALL: [Self; 3] = [Self::Moment, Self::Part, Self::Order];

    fn and_a_part(self) -> Self {
        match self {
            Self::Moment => Self::Part,
            Self::Part | Self::Order => Self::Order,
        }
    }
}

/// Log evidence by how much was seen.
#[derive(Debug, Clone, Copy)]
struct Weights([f64; 3]);

impl Weights {
    const NOTHING: Self = Self([f64::NEG_INFINITY; 3]);

    fn of(self, seen: Seen) -> f64 {
        self.0[seen as usize]
    }

    fn add(&mut self, seen: Seen, weight: f64) {
        self.0[seen as usize] = log_add(self.0[seen as usize], weight);
    }
}

/// A sequence that starts at one cut.
struct Course<'c> {
    start: usize,
    parts: &'c [(&'c Part, &'c Spans)],
    free: &'c Spans,
    cuts: &'c Cuts,
    /// By part and cut: the part has ended there.
    ended: Vec<Vec<Weights>>,
}

impl<'c> Course<'c> {
    fn new(start: usize, parts: &'c [(&'c Part, &'c Spans)], free: &'c Spans, cuts: &'c Cuts) -> Self {
        let mut course = Self {
            start,
            parts,
            free,
            cuts,
            ended: vec![vec![Weights::NOTHING; cuts.len()]; parts.len()],
        };
        for index in 0..parts.len() {
            for b in start + 1..cuts.len() {
                course.ended[index][b] = course.part_until(index, b, false);
            }
        }
        course
    }

    /// Part `index` up to `b`, as the first one or after the one before; `open` where it goes on beyond the clip.
    fn part_until(&self, index: usize, b: usize, open: bool) -> Weights {
        let (part, spans) = self.parts[index];
        let mut weights = Weights::NOTHING;
        let open_start = self.start == 0;
        if index == 0 || open_start {
            let starts = if open_start { self.parts.len() } else { 1 };
            let seconds = self.cuts.between_s(self.start, b);
            let weight = spans.at(self.start, b) + ln_stay(part, seconds, open_start, open);
            let alone = open_start && index + 1 == self.parts.len();
            let enough = is_enough(part, seconds, open_start || open, alone);
            let seen = if enough { Seen::Part } else { Seen::Moment };
            weights.add(seen, weight - (starts as f64).ln());
        }
        if index == 0 {
            return weights;
        }
        let places = ((b - self.start) as f64).ln();
        for at in self.start + 1..b {
            let seconds = self.cuts.between_s(at, b);
            let weight = spans.at(at, b) + ln_stay(part, seconds, false, open) - places;
            if weight == f64::NEG_INFINITY {
                continue;
            }
            let enough = is_enough(part, seconds, open, false);
            for before in Seen::ALL {
                let seen = if enough { before.and_a_part() } else { before };
                weights.add(seen, self.ended[index - 1][at].of(before) + weight);
            }
        }
        weights
    }

    /// The sequence up to `b`, by how much of it was seen.
    fn until(&self, b: usize) -> Weights {
        let last = self.parts.len() - 1;
        if b + 1 < self.cuts.len() {
            return self.ended[last][b];
        }
        let mut weights = Weights::NOTHING;
        for index in 0..=last {
            let until = self.part_until(index, b, true);
            Seen::ALL
                .into_iter()
                .for_each(|seen| weights.add(seen, until.of(seen)));
        }
        let places = ((b - self.start) as f64).ln();
        for at in self.start + 1..b {
            let tail = self.free.at(at, b) + AFTERWARDS - places;
            // A moment of the last part and then anything at all is anything at all.
            for seen in [Seen::Part, Seen::Order] {
                weights.add(seen, self.ended[last][at].of(seen) + tail);
            }
        }
        weights
    }
}

/// Whether a stay shows what the part is: in whole, or long enough where `cut_off` by the clip. `alone`: no other part
/// was seen before it.
pub(super) fn is_enough(part: &Part, seconds: f64, cut_off: bool, alone: bool) -> bool {
    let cycles = if alone { ENOUGH_ALONE_CYCLES } else { 1.0 };
    let wanted_s = match &part.pattern {
        Pattern::Cycle(cycle) => cycles * cycle.period_s,
        _ => ENOUGH_ALONE_S,
    };
    !cut_off || seconds >= ENOUGH * wanted_s.min(part.for_s.0)
}

/// Log weight of a stay. Where its start or end lies outside the clip, only too long a stay speaks against it.
pub(super) fn ln_stay(part: &Part, seconds: f64, open_start: bool, open_end: bool) -> f64 {
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
    use crate::table::Shade;

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
