//! Rows that no clip can part.
//!
//! Two rows look the same if they have a light in common, and every such light does the same in both: the
//! same colours in the same order, and timings so near that a device which keeps the nominal timing of either
//! row is within the tolerance of the other. A light that only one of the rows names parts nothing, because
//! it may do anything in the other.

use super::model::{LightTable, Meaning};
use super::pattern::{Cycle, Part, Pattern, Phase, Shade};

/// Slack for the binary rounding of decimal times, as a share; far below any tolerance.
const ROUNDING: f64 = 1e-9;

/// Groups of rows, each of two or more, that no footage can tell apart. Rows are indices into
/// [`LightTable::meanings`]; a row is in one group at most, and within a group each row looks the same as
/// each other.
#[must_use]
pub fn same_look(table: &LightTable) -> Vec<Vec<usize>> {
    let rows = &table.meanings;
    // Looking alike is not handed on from pair to pair (1.0 s is near 1.1 s, that is near 1.2 s), so a row
    // must look the same as all of a group.
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (row, meaning) in rows.iter().enumerate() {
        let fits = |group: &&mut Vec<usize>| group.iter().all(|&other| rows_alike(&rows[other], meaning));
        match groups.iter_mut().find(fits) {
            Some(group) => group.push(row),
            None => groups.push(vec![row]),
        }
    }
    groups.retain(|group| group.len() > 1);
    groups
}

fn rows_alike(a: &Meaning, b: &Meaning) -> bool {
    let mut common = a.shows.iter().filter_map(|show| {
        let other = b.shows.iter().find(|other| other.light == show.light)?;
        Some((&show.pattern, &other.pattern))
    });
    let Some((first, other)) = common.next() else {
        return false;
    };
    looks_alike(first, other) && common.all(|(a, b)| looks_alike(a, b))
}

/// Whether two patterns look the same: the same colours in the same order, and timings within each other's tolerance.
#[must_use]
pub fn looks_alike(a: &Pattern, b: &Pattern) -> bool {
    match (a, b) {
        (Pattern::Constant(a), Pattern::Constant(b)) => a == b,
        (Pattern::Cycle(a), Pattern::Cycle(b)) => cycles_alike(a, b),
        (Pattern::Sequence(a), Pattern::Sequence(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| parts_alike(a, b))
        }
        _ => false,
    }
}

fn parts_alike(a: &Part, b: &Part) -> bool {
    let middle = |(least_s, most_s): (f64, f64)| {
        if most_s.is_finite() {
            (least_s + most_s) / 2.0
        } else {
            least_s
        }
    };
    let (a_span, b_span) = (
        Span::new(middle(a.for_s), a.for_s),
        Span::new(middle(b.for_s), b.for_s),
    );
    a_span.alike(b_span) && looks_alike(&a.pattern, &b.pattern)
}

/// A cycle has no first phase for who sees only its rhythm, so any turn of it may fit; and a cycle written
/// out twice is the same cycle.
fn cycles_alike(a: &Cycle, b: &Cycle) -> bool {
    let (a_unit, b_unit) = (unit(&a.phases), unit(&b.phases));
    let count = a_unit.len();
    count == b_unit.len()
        && whole(a, count).alike(whole(b, count))
        && (0..count).any(|turn| {
            let turned = b_unit.iter().cycle().skip(turn);
            a_unit.iter().zip(turned).all(|(phase, other)| {
                same_shades(phase, other) && span(phase, a.within).alike(span(other, b.within))
            })
        })
}

/// The shortest run of phases whose repetition is the whole.
fn unit(phases: &[Phase]) -> &[Phase] {
    let repeats = |length: usize| phases.chunks(length).all(|chunk| *chunk == phases[..length]);
    let length = (1..=phases.len())
        .find(|length| repeats(*length))
        .unwrap_or_default();
    &phases[..length]
}

/// The time that `count` phases of a cycle take, where they are its repeating unit.
fn whole(cycle: &Cycle, count: usize) -> Span {
    let length_s = cycle.period_s * count as f64 / cycle.phases.len() as f64;
    Span::new(length_s, (length_s, length_s)).widened(cycle.within)
}

fn same_shades(a: &Phase, b: &Phase) -> bool {
    let same = |a: Shade, b: Shade| a == b;
    same(a.from, b.from) && same(a.to, b.to)
}

fn span(phase: &Phase, within: f64) -> Span {
    Span::new(phase.lasts_s, phase.range_s).widened(within)
}

/// A time as nominal, least and most seconds.
#[derive(Clone, Copy)]
struct Span {
    nominal_s: f64,
    least_s: f64,
    most_s: f64,
}

impl Span {
    fn new(nominal_s: f64, (least_s, most_s): (f64, f64)) -> Self {
        Self {
            nominal_s,
            least_s,
            most_s,
        }
    }

    fn widened(self, within: f64) -> Self {
        Self {
            least_s: self.least_s * (1.0 - within),
            most_s: self.most_s * (1.0 + within),
            ..self
        }
    }

    fn alike(self, other: Self) -> bool {
        self.allows(other.nominal_s) && other.allows(self.nominal_s)
    }

    fn allows(self, seconds: f64) -> bool {
        seconds >= self.least_s * (1.0 - ROUNDING) && seconds <= self.most_s * (1.0 + ROUNDING)
    }
}
