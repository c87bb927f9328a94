//! The simplest rhythm that a table may have forgotten: equal flashes at equal intervals, of whatever period and on-time.
//!
//! Without it the free rival would pay for every flash anew, and a row that fits badly could outlive it.

use super::episodes::shortest_stay_s;
use super::math::median;
use super::score;
use super::spans::Spans;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{Cycle, Pattern, Phase, Shade};

/// Share by which intervals between flashes may differ from their median and still be called equal.
const EQUAL: f64 = 0.25;

/// Fewest flashes whose starts were seen: two intervals, to be equal.
const FEWEST: usize = 3;

/// Tolerance about the measured period. Intervals measured to a frame give it better than that.
const WITHIN: f64 = 0.03;

/// Periods of status lights reach over this many e-folds, from 0.05 s to 10 s; all are equally likely.
const PERIOD_FOLDS: f64 = 5.3;

/// A row is held to have the measured rhythm when the on-time differs by no more than this share beyond its range, and
/// so many frames: edges are seen to a frame, and clipping makes flashes look longer.
const ON_SLACK: f64 = 0.15;
const ON_SLACK_FRAMES: f64 = 1.2;

/// A rhythm as measured, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Measured {
    period_s: f64,
    on_s: f64,
}

/// Equal flashes at equal intervals, if that is what the trace has.
pub(super) fn measure(watch: &Watch) -> Option<Measured> {
    let mut starts = Vec::new();
    let mut lit_s = Vec::new();
    let mut last = None;
    for sample in (0..watch.len())
        .filter(|frame| watch.seen(*frame))
        .map(|frame| &watch.trace.samples[frame])
    {
        let lit = sample.level > 0.5;
        match (last, lit) {
            (Some(false), true) => starts.push(sample.time_s),
            (Some(true), false) => lit_s.extend(starts.last().map(|start| sample.time_s - start)),
            _ => {}
        }
        last = Some(lit);
    }
    if starts.len() < FEWEST {
        return None;
    }
    let intervals: Vec<f64> = starts.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let usual = median(intervals.clone());
    let equal = intervals
        .iter()
        .all(|interval| (interval - usual).abs() <= EQUAL * usual + watch.span_s);
    let period_s = (starts[starts.len() - 1] - starts[0]) / (starts.len() - 1) as f64;
    let shortest_s = 0.5 * watch.span_s;
    let on_s = median(lit_s).max(shortest_s);
    (equal && period_s > on_s + shortest_s).then_some(Measured { period_s, on_s })
}

impl Measured {
    /// Whether a row of the table allows this rhythm.
    pub(super) fn is_listed(self, pattern: &Pattern, span_s: f64) -> bool {
        let Pattern::Cycle(cycle) = pattern else {
            return matches!(pattern, Pattern::Sequence(parts) if parts.iter().any(|part| self.is_listed(&part.pattern, span_s)));
        };
        let lit: Vec<&Phase> = cycle
            .phases
            .iter()
            .filter(|phase| phase.from != Shade::Dark || phase.to != Shade::Dark)
            .collect();
        let [flash] = lit[..] else { return false };
        let slack_s = ON_SLACK_FRAMES * span_s;
        (self.period_s / cycle.period_s - 1.0).abs() <= cycle.within
            && self.on_s >= flash.range_s.0 * (1.0 - ON_SLACK) - slack_s
            && self.on_s <= flash.range_s.1 * (1.0 + ON_SLACK) + slack_s
    }

    /// Log evidence of this rhythm, with the price of having found its period and on-time among all others.
    pub(super) fn evidence(self, colour: ColourName, watch: &Watch) -> Spans {
        let slack_s = (ON_SLACK_FRAMES * watch.span_s)
            .min(0.45 * self.on_s)
            .min(0.45 * (self.period_s - self.on_s));
        let phase = |shade, lasts_s: f64, slack_s: f64| Phase {
            from: shade,
            to: shade,
            lasts_s,
            range_s: (lasts_s - slack_s, lasts_s + slack_s),
        };
        let phases = vec![
            phase(Shade::Lit(colour, 1.0), self.on_s, slack_s),
            phase(Shade::Dark, self.period_s - self.on_s, 0.0),
        ];
        let pattern = Pattern::Cycle(Cycle {
            phases,
            period_s: self.period_s,
            within: WITHIN,
        });
        let price = (2.0 * WITHIN / PERIOD_FOLDS).ln() + (2.0 * slack_s / self.period_s).ln();
        let spans = score::evidence(&pattern, watch, shortest_stay_s(&pattern));
        Spans::from_fn(spans.cuts(), |a, b| spans.at(a, b) + price)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::meaning::cuts::Cuts;
    use crate::meaning::expected;

    fn flashing(on_s: f64, off_s: f64) -> Pattern {
        let phase = |shade, lasts_s| Phase {
            from: shade,
            to: shade,
            lasts_s,
            range_s: (lasts_s, lasts_s),
        };
        let phases = vec![
            phase(Shade::Lit(ColourName::Green, 1.0), on_s),
            phase(Shade::Dark, off_s),
        ];
        Pattern::Cycle(Cycle {
            phases,
            period_s: on_s + off_s,
            within: 0.15,
        })
    }

    fn measured(pattern: &Pattern) -> Option<Measured> {
        let trace = expected::trace(pattern, 30.0, 8.0);
        measure(&Watch::new(&trace, &Cuts::none(8.0)))
    }

    #[test]
    fn equal_flashes_are_measured_to_a_frame() {
        let found = measured(&flashing(0.3, 0.9)).unwrap();
        assert!((found.period_s - 1.2).abs() < 0.01, "{found:?}");
        assert!((found.on_s - 0.3).abs() < 1.0 / 30.0, "{found:?}");
        assert!(found.is_listed(&flashing(0.3, 0.9), 1.0 / 30.0));
        assert!(found.is_listed(&flashing(0.3, 0.8), 1.0 / 30.0));
        assert!(!found.is_listed(&flashing(0.3, 0.6), 1.0 / 30.0));
        assert!(!found.is_listed(&flashing(0.6, 0.6), 1.0 / 30.0));
    }

    #[test]
    fn a_fixed_light_has_no_flashes() {
        assert_eq!(
            measured(&Pattern::Constant(Shade::Lit(ColourName::Green, 1.0))),
            None
        );
    }
}
