//! Which periods and phases to try.

use super::math::log_sum;
use crate::table::{Cycle, Shade};

/// Steps are chosen so that no instant of the clip is off by more than this share of the shortest phase, once for the
/// phase and once for the period: near enough for the best members to stand out, which are then refined.
const STEP_SHARE: f64 = 1.0 / 6.0;

/// Most periods tried; a bound on time for clips of minutes with rhythms of tenths.
const MAX_PERIODS: usize = 301;

/// Most ways to place a free on-time.
const MAX_STRETCHES: usize = 7;

/// Periods to try.
pub(super) struct Periods {
    /// Each with its log weight, seconds.
    pub(super) of: Vec<(f64, f64)>,
    /// Distance of neighbours, seconds.
    pub(super) step_s: f64,
}

/// Periods to try with their log weights. The weights form a bell with half of the tolerance as its standard deviation:
/// a device keeps to its nominal rate more often than to the edge of what the table allows.
pub(super) fn periods(cycle: &Cycle, length_s: f64) -> Periods {
    let half_range = cycle.within * cycle.period_s;
    if half_range <= 0.0 {
        return Periods {
            of: vec![(cycle.period_s, 0.0)],
            step_s: 0.0,
        };
    }
    let each_side = each_side(cycle, length_s.max(cycle.period_s)).max(2);
    let periods: Vec<(f64, f64)> = (0..=2 * each_side)
        .map(|index| {
            let offset = index as f64 / each_side as f64 - 1.0;
            (
                cycle.period_s + half_range * offset,
                -0.5 * (2.0 * offset).powi(2),
            )
        })
        .collect();
    let total = log_sum(periods.iter().map(|period| period.1));
    Periods {
        of: periods
            .into_iter()
            .map(|(period, weight)| (period, weight - total))
            .collect(),
        step_s: half_range / each_side as f64,
    }
}

/// How many periods on each side of the cycle's own differ visibly in a clip of so many seconds.
pub(super) fn each_side(cycle: &Cycle, length_s: f64) -> usize {
    let step = 4.0 * STEP_SHARE * shortest_s(cycle) / length_s;
    ((cycle.within / step).ceil() as usize).min(MAX_PERIODS / 2)
}

/// How many phases to try.
pub(super) fn phases(cycle: &Cycle) -> usize {
    ((cycle.period_s / (2.0 * STEP_SHARE * shortest_s(cycle))).ceil() as usize).clamp(4, 256)
}

/// Places of the free on-times within their ranges, 0 shortest to 1 longest; the middle is what the table names.
pub(super) fn stretches(cycle: &Cycle) -> Vec<f64> {
    let freedom_s = freedom_s(cycle);
    if freedom_s <= 1e-9 {
        return vec![0.5];
    }
    let pairs = ((freedom_s / shortest_s(cycle)).ceil() as usize).clamp(1, MAX_STRETCHES / 2);
    (0..=2 * pairs)
        .map(|way| way as f64 / (2 * pairs) as f64)
        .collect()
}

/// Width of the widest range of a free on-time, seconds.
pub(super) fn freedom_s(cycle: &Cycle) -> f64 {
    cycle
        .phases
        .iter()
        .map(|phase| phase.range_s.1 - phase.range_s.0)
        .fold(0.0, f64::max)
}

/// Shortest phase, seconds.
pub(super) fn shortest_s(cycle: &Cycle) -> f64 {
    cycle
        .phases
        .iter()
        .map(|phase| phase.lasts_s)
        .fold(cycle.period_s, f64::min)
        .max(1e-3)
}

/// The fastest rate in a cycle: one over the shortest pair of neighbouring phases, in cycles per second, at the fast
/// end of the tolerance.
pub(super) fn fastest_hz(cycle: &Cycle) -> f64 {
    let count = cycle.phases.len();
    let pair = (0..count)
        .map(|index| cycle.phases[index].lasts_s + cycle.phases[(index + 1) % count].lasts_s)
        .fold(cycle.period_s, f64::min);
    let swells = cycle
        .phases
        .iter()
        .any(|phase| phase.from != phase.to && phase.from != Shade::Dark);
    let pair = if swells { cycle.period_s } else { pair };
    (1.0 + cycle.within) / pair.max(1e-3)
}

/// Whether a clip of so many frames a second can show a cycle at all, or only an alias of it (Nyquist).
pub(super) fn aliased(cycle: &Cycle, fps: f64) -> bool {
    fastest_hz(cycle) > 0.5 * fps
}
