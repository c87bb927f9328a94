//! What a clip of a row would say against every other row, before anybody films one.
//!
//! The row's pattern makes the trace that a camera would give without noise; the inference itself then weighs it, so
//! that a table is checked with the model that reads it.

use super::cuts::Cuts;
use super::expected;
use super::grid;
use super::rows::{Evidence, LightEvidence, shown};
use super::shape::colours;
use super::usual_lamps::usual_belief;
use crate::table::{LightTable, Part, Pattern, Shade};
use crate::trace::Trace;

/// Stretches of the clip at whose ends a rival that is a sequence may go from part to part.
const STRETCHES: usize = 8;

/// What a clip says. All odds are natural logarithms.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// Odds for the row against each row of the table; `None` for the row itself and for rows that have no light in
    /// common with it, which may hold at the same time.
    pub against: Vec<Option<f64>>,
    /// Odds against "something that is not in the table".
    pub against_unlisted: f64,
    /// For a sequence, log of the share of its evidence in which its order is seen; 0 for other rows.
    pub order: f64,
}

/// What a clip of `seconds` at `fps` frames a second would say of a row. The clip begins with a sequence, and just after
/// the first phase of a cycle: of a slow rhythm that is the moment at which a short clip shows the least.
#[must_use]
pub fn outlook(table: &LightTable, row: usize, fps: f64, seconds: f64) -> Outlook {
    let patterns: Vec<Option<Pattern>> = (0..table.lights.len())
        .map(|light| shown(table, row, light).map(as_filmed))
        .collect();
    let traces: Vec<Option<Trace>> = patterns
        .iter()
        .map(|pattern| Some(trace(pattern.as_ref()?, fps, seconds)))
        .collect();
    let even = (1..STRETCHES).map(|index| seconds * index as f64 / STRETCHES as f64);
    let mut inner: Vec<f64> = even
        .chain(patterns.iter().flatten().flat_map(boundaries_s))
        .collect();
    inner.sort_by(f64::total_cmp);
    inner.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let cuts = Cuts::at(inner.into_iter(), seconds);
    let lights: Vec<Option<LightEvidence>> = traces
        .iter()
        .enumerate()
        .map(|(light, trace)| Some(LightEvidence::new(table, light, trace.as_ref()?, &cuts)))
        .collect();
    let evidence = Evidence::of_one(table, &lights, &cuts);
    let own = &evidence.rows[row];
    let any = own.any.whole();
    let against = (0..table.meanings.len()).map(|rival| {
        (rival != row && share_a_light(table, row, rival)).then(|| any - evidence.rows[rival].any.whole())
    });
    Outlook {
        against: against.collect(),
        against_unlisted: any - evidence.unlisted.whole(),
        order: own
            .ordered
            .as_ref()
            .map_or(0.0, |ordered| (ordered.whole() - any).min(0.0)),
    }
}

/// Whether a clip of so many frames a second can show only an alias of a pattern's rhythm.
#[must_use]
pub fn too_fast(pattern: &Pattern, fps: f64) -> bool {
    match pattern {
        Pattern::Constant(_) => false,
        Pattern::Cycle(cycle) => grid::aliased(cycle, fps),
        Pattern::Sequence(parts) => parts.iter().any(|part| too_fast(&part.pattern, fps)),
    }
}

fn share_a_light(table: &LightTable, row: usize, rival: usize) -> bool {
    (0..table.lights.len())
        .any(|light| shown(table, row, light).is_some() && shown(table, rival, light).is_some())
}

/// A sequence with each stay at the middle of its range, or the shortest where the range is open, and dark after it.
fn as_filmed(pattern: &Pattern) -> Pattern {
    let Pattern::Sequence(parts) = pattern else {
        return pattern.clone();
    };
    let stay = |part: &Part| {
        let (least_s, most_s) = part.for_s;
        let stay_s = if most_s.is_finite() {
            0.5 * (least_s + most_s)
        } else {
            least_s
        };
        Part {
            pattern: part.pattern.clone(),
            for_s: (stay_s, stay_s),
        }
    };
    let after = Part {
        pattern: Pattern::Constant(Shade::Dark),
        for_s: (0.0, f64::INFINITY),
    };
    Pattern::Sequence(parts.iter().map(stay).chain([after]).collect())
}

/// Seconds at which the parts of a sequence that [`as_filmed`] made end.
fn boundaries_s(pattern: &Pattern) -> Vec<f64> {
    let Pattern::Sequence(parts) = pattern else {
        return Vec::new();
    };
    let mut end_s = 0.0;
    let ends = parts[..parts.len() - 1].iter().map(|part| {
        end_s += part.for_s.0;
        end_s
    });
    ends.collect()
}

/// The noiseless trace of a pattern, its tints named as a camera of unknown white balance would.
fn trace(pattern: &Pattern, fps: f64, seconds: f64) -> Trace {
    let from_s = match pattern {
        Pattern::Cycle(cycle) => cycle.phases[0].lasts_s,
        Pattern::Constant(_) | Pattern::Sequence(_) => 0.0,
    };
    let mut trace = expected::trace_from(pattern, fps, seconds, from_s);
    for (tint, colour) in trace.tints.iter_mut().zip(colours(pattern)) {
        tint.names = usual_belief(colour);
    }
    trace
}
