//! What a light was seen to do, in the forms of a light table: a row that its author may have forgotten.

use super::cuts::Cuts;
use super::measured::{self, Measured, Piece};
use super::rhythm;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{Shows, Switching, Timed, USUAL_WITHIN};
use crate::trace::{Sighting, Trace};

/// Both ends of a piece are seen to a frame.
const KNOWN_FRAMES: f64 = 1.5;

/// Least share of the seen frames that a light without a rhythm is lit, or dark, to be called so throughout.
const THROUGHOUT: f64 = 0.97;

/// What one light shows over the whole clip; `None` where nothing repeats.
pub(super) fn propose(trace: &Trace) -> Option<Shows> {
    let watch = Watch::new(trace, &Cuts::none(trace.length_s()));
    let names = rhythm::names(&watch);
    let name = |tint: usize| names.get(tint).copied().unwrap_or(ColourName::White);
    match measured::measure(&watch) {
        Some(measured) if measured.swells => Some(Shows::Breathing {
            colour: name(0),
            period: timed(measured.period_s),
        }),
        Some(measured) => Some(switching(&measured, watch.span_s, name).shows()),
        None => steady(trace, name(0)),
    }
}

fn switching(measured: &Measured, frame_s: f64, name: impl Fn(usize) -> ColourName) -> Switching {
    let state = |piece: &Piece| (piece.look.map(&name), piece.lasts_s);
    Switching {
        states: measured.pieces.iter().map(state).collect(),
        period_s: measured.period_s,
        known_s: KNOWN_FRAMES * frame_s,
        within: USUAL_WITHIN,
    }
}

fn steady(trace: &Trace, colour: ColourName) -> Option<Shows> {
    let seen = || {
        trace
            .samples
            .iter()
            .filter(|sample| sample.sighting == Sighting::Seen)
    };
    let all = seen().count() as f64;
    let lit = seen().filter(|sample| sample.level > 0.5).count() as f64 / all.max(1.0);
    if all > 0.0 && lit >= THROUGHOUT {
        Some(Shows::Fixed(colour))
    } else if all > 0.0 && lit <= 1.0 - THROUGHOUT {
        Some(Shows::Off)
    } else {
        None
    }
}

fn timed(seconds: f64) -> Timed {
    Timed {
        seconds,
        within: USUAL_WITHIN,
    }
}
