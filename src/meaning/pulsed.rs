//! Lamps that may be dimmed by pulses: what no row shows may be a row cut in pieces.

use super::reading::{Doubt, Episode, Outcome, Reading, Rival, Settle, ranked};
use crate::trace::Trace;

/// How likely a lamp is pulsed, where its groups of flashes are in step with pulses and a row fits only if it is. An even
/// chance, as nothing speaks for either (guessed): neither is decided then.
const PULSED: f64 = 0.5;

/// A reading that no row fits, unless one fits if pulses cut the flashes; then the two are left open.
pub(super) fn unless_pulsed(
    plain: Reading,
    lights: &[Option<&Trace>],
    read: impl FnOnce(&[Option<&Trace>]) -> Reading,
) -> Reading {
    let perhaps: Vec<Option<Trace>> = lights.iter().map(|light| light.and_then(if_pulsed)).collect();
    let Some(rate_hz) = perhaps.iter().flatten().find_map(|trace| trace.beat_hz) else {
        return plain;
    };
    let lights: Vec<Option<&Trace>> = perhaps
        .iter()
        .zip(lights)
        .map(|(perhaps, light)| perhaps.as_ref().or(*light))
        .collect();
    let pulsed = read(&lights);
    if matches!(pulsed.outcome, Outcome::Unlisted | Outcome::Unseen) {
        return plain;
    }
    between(&plain, pulsed, rate_hz)
}

/// The trace as it is if the lamp is pulsed, where it may be.
fn if_pulsed(trace: &Trace) -> Option<Trace> {
    let pulsed = trace.perhaps.clone()?;
    Some(Trace {
        samples: pulsed.samples,
        tints: trace.tints.clone(),
        beat_hz: Some(pulsed.beat_hz),
        perhaps: None,
    })
}

/// Neither of two readings.
fn between(plain: &Reading, pulsed: Reading, rate_hz: f64) -> Reading {
    let rows = || rows(plain).chain(rows(&pulsed)).map(|rival| rival.row + 1);
    let of = |reading: &Reading, row: usize| {
        let rival = self::rows(reading).find(|rival| rival.row == row);
        rival.map_or(0.0, |rival| rival.probability)
    };
    let mixed = |plain: f64, pulsed: f64| (1.0 - PULSED) * plain + PULSED * pulsed;
    let probabilities = (0..rows().max().unwrap_or(0)).map(|row| mixed(of(plain, row), of(&pulsed, row)));
    let rivals = ranked(probabilities);
    let unlisted = mixed(plain.unlisted, pulsed.unlisted);
    let half = |episode: &Episode| Episode {
        confidence: PULSED * episode.confidence,
        ..*episode
    };
    Reading {
        outcome: Outcome::Undecided,
        confidence: 1.0 - unlisted,
        rivals,
        unlisted,
        settle: vec![Settle::LessLight],
        timeline: pulsed.timeline.iter().map(half).collect(),
        doubts: [pulsed.doubts, vec![Doubt::PerhapsPulses { rate_hz }]].concat(),
        ..pulsed
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
