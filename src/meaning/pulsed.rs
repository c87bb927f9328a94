//! Lamps that may be dimmed by pulses: what no row shows may be a row cut in pieces, and what looks like pulses may be a row
//! that flickers.

use super::divergence::fastest_hz;
use super::reading::{Doubt, Episode, Outcome, Reading, Rival, Settle, ranked};
use crate::table::LightTable;
use crate::trace::Trace;

/// How likely either story is, where the flashes are in step with pulses and a row fits only by one of the two. An even chance,
/// as nothing speaks for either (guessed): neither is decided then.
const EITHER: f64 = 0.5;

/// A reading by the likelier story of every lamp, unless a row fits by the other: then the two are left open.
pub(super) fn unless_otherwise(
    reading: Reading,
    table: &LightTable,
    lights: &[Option<&Trace>],
    read: impl FnOnce(&[Option<&Trace>]) -> Reading,
) -> Reading {
    let Some(doubt) = doubt(&reading, table, lights) else {
        return reading;
    };
    let others: Vec<Option<Trace>> = lights
        .iter()
        .map(|light| light.and_then(by_the_other_story))
        .collect();
    let lights: Vec<Option<&Trace>> = others
        .iter()
        .zip(lights)
        .map(|(other, light)| other.as_ref().or(*light))
        .collect();
    let other = read(&lights);
    let fits = match (&doubt, &other.outcome) {
        (Doubt::PerhapsPulses { .. }, outcome) => !matches!(outcome, Outcome::Unlisted | Outcome::Unseen),
        (Doubt::PerhapsFlicker { rate_hz }, Outcome::Decided { row }) => {
            reading.outcome != other.outcome && flickers(table, *row, *rate_hz)
        }
        _ => false,
    };
    if fits {
        between(&reading, other, doubt)
    } else {
        reading
    }
}

/// What the other story would put in doubt, if it can. Pulses that are believed are in doubt only where a row flickers as fast.
fn doubt(reading: &Reading, table: &LightTable, lights: &[Option<&Trace>]) -> Option<Doubt> {
    let mut lights = lights.iter().flatten().filter(|trace| trace.otherwise.is_some());
    lights.find_map(|trace| match (trace.beat_hz, trace.otherwise.as_ref()?.beat_hz) {
        (Some(rate_hz), _) => {
            let quick = (0..table.meanings.len()).any(|row| flickers(table, row, rate_hz));
            quick.then_some(Doubt::PerhapsFlicker { rate_hz })
        }
        (None, Some(rate_hz)) if reading.outcome == Outcome::Unlisted => {
            Some(Doubt::PerhapsPulses { rate_hz })
        }
        (None, _) => None,
    })
}

/// Whether a row has flashes that come as fast, or faster, which a camera may show as slower ones.
fn flickers(table: &LightTable, row: usize, rate_hz: f64) -> bool {
    let mut shows = table.meanings[row].shows.iter();
    shows.any(|show| fastest_hz(&show.pattern) >= rate_hz)
}

/// The trace by the story that was not taken, if there is one.
fn by_the_other_story(trace: &Trace) -> Option<Trace> {
    let other = trace.otherwise.clone()?;
    Some(Trace {
        samples: other.samples,
        tints: trace.tints.clone(),
        beat_hz: other.beat_hz,
        otherwise: None,
    })
}

/// Neither of two readings.
fn between(first: &Reading, second: Reading, doubt: Doubt) -> Reading {
    let rows = || rows(first).chain(rows(&second)).map(|rival| rival.row + 1);
    let of = |reading: &Reading, row: usize| {
        let rival = self::rows(reading).find(|rival| rival.row == row);
        rival.map_or(0.0, |rival| rival.probability)
    };
    let mixed = |first: f64, second: f64| (1.0 - EITHER) * first + EITHER * second;
    let probabilities = (0..rows().max().unwrap_or(0)).map(|row| mixed(of(first, row), of(&second, row)));
    let rivals = ranked(probabilities);
    let unlisted = mixed(first.unlisted, second.unlisted);
    let half = |episode: &Episode| Episode {
        confidence: EITHER * episode.confidence,
        ..*episode
    };
    Reading {
        outcome: Outcome::Undecided,
        confidence: 1.0 - unlisted,
        rivals,
        unlisted,
        settle: vec![Settle::LessLight],
        timeline: second.timeline.iter().map(half).collect(),
        doubts: [second.doubts, vec![doubt]].concat(),
        ..second
    }
}

/// All rows of a reading that are likely at all, with the decided one.
fn rows(reading: &Reading) -> impl Iterator<Item = Rival> {
    let decided = match reading.outcome {
        Outcome::Decided { row } => Some(Rival {
            row,
            probability: reading.confidence,
        }),
        _ => None,
    };
    reading.rivals.iter().copied().chain(decided)
}
