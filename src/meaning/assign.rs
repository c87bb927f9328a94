//! Which candidate lamp is which light of the table.

use super::cuts::Cuts;
use super::math::log_sum;
use super::rows::{LightEvidence, shown};
use crate::table::LightTable;
use crate::trace::Trace;

/// Log price of each place that a candidate stands further back in the list: the finder of lamps had its reasons.
const RANK: f64 = -0.5;

/// Candidates tried; the time grows with their number for each light.
const MAX_CANDIDATES: usize = 6;

/// Most lights of a table that are tried in every combination; further ones stay without a lamp.
const MAX_LIGHTS: usize = 4;

/// How well a row explains one trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowScore {
    /// Which row.
    pub row: usize,
    /// Log evidence of the row for the whole trace, in nats, over that of the free rival: above 0 where the row explains
    /// it better than "anything". 0 for a row that does not name the light.
    pub over_free: f64,
}

/// Which candidate was taken for which light.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// For each light of the table the index of its candidate.
    pub lamp_of_light: Vec<Option<usize>>,
    /// Log evidence in nats over that of the free rival, with the price of rank; to compare assignments with.
    pub score: f64,
}

/// How well each row explains a trace as that of one light, row by row in the order of the table.
#[must_use]
pub fn fit(table: &LightTable, light: usize, trace: &Trace) -> Vec<RowScore> {
    let whole = Cuts::none(trace.length_s());
    let named = |row: &usize| shown(table, *row, light).is_some();
    let rows = 0..table.meanings.len();
    let has_order = rows
        .clone()
        .filter(named)
        .any(|row| matches!(shown(table, row, light), Some(crate::table::Pattern::Sequence(_))));
    let cuts = if has_order { Cuts::of(&[trace]) } else { whole };
    let evidence = LightEvidence::new(table, light, trace, &cuts);
    let free = evidence.free.any.whole();
    let score = |row| match shown(table, row, light) {
        None => 0.0,
        Some(pattern) => evidence.of(pattern, &cuts).any.whole() - free,
    };
    rows.map(|row| RowScore {
        row,
        over_free: score(row),
    })
    .collect()
}

/// For each light of the table the candidate that makes the rows fit best together. `candidates` stand in order, the
/// likeliest lamp first. A light goes without only when the candidates run out.
#[must_use]
pub fn assign(table: &LightTable, candidates: &[&Trace]) -> Assignment {
    let candidates = &candidates[..candidates.len().min(MAX_CANDIDATES)];
    let lights = table.lights.len().min(MAX_LIGHTS);
    let scores: Vec<Vec<Vec<RowScore>>> = (0..lights)
        .map(|light| candidates.iter().map(|trace| fit(table, light, trace)).collect())
        .collect();
    let mut best = Assignment {
        lamp_of_light: vec![None; table.lights.len()],
        score: f64::NEG_INFINITY,
    };
    let mut chosen = Vec::new();
    search(table, &scores, candidates.len(), &mut chosen, &mut best);
    best
}

fn search(
    table: &LightTable,
    scores: &[Vec<Vec<RowScore>>],
    candidates: usize,
    chosen: &mut Vec<Option<usize>>,
    best: &mut Assignment,
) {
    if chosen.len() == scores.len() {
        let score = joint(table, scores, chosen);
        if score > best.score {
            best.score = score;
            best.lamp_of_light[..chosen.len()].copy_from_slice(chosen);
        }
        return;
    }
    let taken = chosen.iter().flatten().count();
    let missing = chosen.len() - taken;
    // So many lights must go without as there are lights more than candidates.
    if missing + candidates < scores.len() {
        chosen.push(None);
        search(table, scores, candidates, chosen, best);
        chosen.pop();
    }
    for candidate in 0..candidates {
        if !chosen.contains(&Some(candidate)) {
            chosen.push(Some(candidate));
            search(table, scores, candidates, chosen, best);
            chosen.pop();
        }
    }
}

fn joint(table: &LightTable, scores: &[Vec<Vec<RowScore>>], chosen: &[Option<usize>]) -> f64 {
    let rows = (0..table.meanings.len()).map(|row| {
        let lights = chosen.iter().enumerate();
        lights
            .filter_map(|(light, lamp)| lamp.map(|lamp| scores[light][lamp][row].over_free))
            .sum::<f64>()
    });
    let rank: f64 = chosen.iter().flatten().map(|lamp| *lamp as f64 * RANK).sum();
    log_sum(rows) - (table.meanings.len() as f64).ln() + rank
}
