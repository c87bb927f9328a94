//! Why a reading is weaker than it could be.

use super::reading::Doubt;
use super::settle::{Filmed, row_hz};
use crate::table::{LightTable, Pattern};
use crate::trace::{Sighting, Trace};

/// Fewer cycles than this may be something else that looks the same for a while.
const ENOUGH_CYCLES: f64 = 2.0;

/// A light in view for less than this share of the clip is worth a word.
const WELL_SEEN: f64 = 0.9;

/// A second name at least this probable is worth a word.
const NEAR_NAME: f64 = 0.15;

/// A row at least this probable matters to the reading.
const MATTERS: f64 = 0.02;

/// Share of the frames in which the light was seen.
pub(super) fn seen_share(trace: &Trace) -> f64 {
    let seen = trace
        .samples
        .iter()
        .filter(|sample| sample.sighting == Sighting::Seen)
        .count();
    seen as f64 / trace.samples.len().max(1) as f64
}

/// Doubts that come with the traces.
pub(super) fn of_traces<'t>(traces: impl Iterator<Item = &'t Trace>) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    for trace in traces {
        let share = seen_share(trace);
        if share < WELL_SEEN {
            doubts.push(Doubt::PartlySeen { share });
        }
        for tint in &trace.tints {
            let ranked = tint.names.ranked();
            if ranked[1].1 >= NEAR_NAME {
                doubts.push(Doubt::NearColours {
                    first: ranked[0].0,
                    second: ranked[1].0,
                });
            }
        }
    }
    doubts
}

/// Doubts that come with the rows in question.
pub(super) fn of_rows(table: &LightTable, posterior: &[f64], best: usize, filmed: Filmed) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    for show in &table.meanings[best].shows {
        if let Pattern::Cycle(cycle) = &show.pattern {
            let cycles = filmed.length_s / cycle.period_s;
            if cycles < ENOUGH_CYCLES {
                doubts.push(Doubt::FewCycles { cycles });
            }
        }
    }
    let matters = (0..table.meanings.len()).filter(|row| *row == best || posterior[*row] >= MATTERS);
    let fastest = matters.map(|row| row_hz(table, row)).fold(0.0, f64::max);
    if 2.0 * fastest > filmed.fps {
        doubts.push(Doubt::FastRhythm {
            rate_hz: fastest,
            fps: filmed.fps,
        });
    }
    doubts
}
