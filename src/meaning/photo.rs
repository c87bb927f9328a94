//! A photo shows one instant: which rows could look so, and how likely each is to be caught so.

use super::decide::{group_of, posterior, rivals};
use super::doubts;
use super::reading::{Outcome, Reading};
use super::rows::shown;
use super::settings::Settings;
use super::settle;
use super::tints::name_evidence;
use crate::table::{LightTable, Pattern, Shade};
use crate::trace::{Sample, Trace};

/// Chance that the light shows the opposite of what the picture seems to show. Guessed.
const MISTAKEN: f64 = 0.02;

/// Weights of what an unlisted light may be doing at an instant: as likely dark as lit, in whatever colour.
const UNLISTED: f64 = 0.5;

/// A row less probable than this could not look so.
const CANNOT: f64 = 0.01;

/// Level above which a light counts as lit.
const LIT: f64 = 0.5;

/// Reads one picture. Rhythm cannot be seen, so a photo decides only where every row that could look like this is
/// constant, and one of them stands out.
pub(super) fn read(
    table: &LightTable,
    lights: &[Option<&Trace>],
    identity: f64,
    settings: &Settings,
) -> Reading {
    let weights: Vec<f64> = (0..table.meanings.len())
        .map(|row| {
            let of = |(light, trace): (usize, &Option<&Trace>)| {
                trace.map_or(0.0, |trace| {
                    let sample = &trace.samples[0];
                    shown(table, row, light)
                        .map_or(UNLISTED, |pattern| chance(pattern, trace, sample))
                        .ln()
                })
            };
            lights.iter().enumerate().map(of).sum()
        })
        .chain([lights.iter().flatten().count() as f64 * UNLISTED.ln()])
        .collect();
    let posterior = posterior_of(&weights, constant_cover(table, lights));
    let best = rivals(&posterior, None).first().map_or(0, |rival| rival.row);
    let candidates: Vec<usize> = (0..table.meanings.len())
        .filter(|row| posterior[*row] > CANNOT)
        .collect();
    let all_constant = candidates.iter().all(|row| is_constant(table, *row));
    let alone = group_of(table, best).len() == 1;
    let decided = all_constant && alone && posterior[best] * identity >= settings.decide_at;
    let unlisted = posterior[posterior.len() - 1];
    Reading {
        outcome: if decided {
            Outcome::Decided { row: best }
        } else {
            Outcome::Undecided
        },
        confidence: identity * if decided { posterior[best] } else { 1.0 - unlisted },
        rivals: rivals(&posterior, decided.then_some(best)),
        unlisted,
        settle: if decided {
            Vec::new()
        } else {
            vec![settle::instead_of_photo(table, &candidates)]
        },
        timeline: Vec::new(),
        doubts: doubts::of_traces(lights.iter().flatten().copied()),
        grounds: None,
        shown: Vec::new(),
        stays: Vec::new(),
    }
}

/// The more of the constant looks a table lists, the less an unlisted one can hide among them.
fn posterior_of(weights: &[f64], covered: bool) -> Vec<f64> {
    let mut weights = weights.to_vec();
    if covered {
        let last = weights.len() - 1;
        weights[last] += MISTAKEN.ln();
    }
    posterior(&weights)
}

/// Whether the table has no rhythm at all: then nothing hints that the device has one.
fn constant_cover(table: &LightTable, lights: &[Option<&Trace>]) -> bool {
    lights.iter().any(Option::is_some) && (0..table.meanings.len()).all(|row| is_constant(table, row))
}

fn is_constant(table: &LightTable, row: usize) -> bool {
    table.meanings[row]
        .shows
        .iter()
        .all(|show| matches!(show.pattern, Pattern::Constant(_)))
}

/// Chance, against that of an unlisted light, that the pattern is caught looking like the picture.
fn chance(pattern: &Pattern, trace: &Trace, sample: &Sample) -> f64 {
    let names = sample
        .tint
        .and_then(|tint| trace.tints.get(tint))
        .map(|tint| &tint.names);
    let lit = sample.level > LIT;
    let of = |shade: Shade| match shade {
        Shade::Dark if lit => MISTAKEN,
        Shade::Dark => 1.0,
        Shade::Lit(_, level) if !lit || level < 0.05 => MISTAKEN,
        Shade::Lit(colour, _) => names.map_or(1.0, |names| name_evidence(names, colour).exp()),
    };
    match pattern {
        Pattern::Constant(shade) => of(*shade),
        Pattern::Cycle(cycle) => {
            let shares = cycle
                .phases
                .iter()
                .map(|phase| phase.lasts_s / cycle.period_s * 0.5 * (of(phase.from) + of(phase.to)));
            shares.sum()
        }
        Pattern::Sequence(parts) => {
            parts
                .iter()
                .map(|part| chance(&part.pattern, trace, sample))
                .sum::<f64>()
                / parts.len() as f64
        }
    }
}
