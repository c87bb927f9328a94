//! What a light was seen to do, in the forms of a light table: a row that its author may have forgotten.

use super::cuts::Cuts;
use super::measured::{self, Measured, Piece};
use super::rhythm;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{Shows, Timed};
use crate::trace::{Sighting, Trace};

/// Tolerance that a table gives a timing where it says nothing else.
const WITHIN: f64 = 0.15;

/// Durations that differ by less than this share, or one and a half frames, are meant to be equal.
const EQUAL: f64 = 0.12;
const EQUAL_FRAMES: f64 = 1.5;

/// Least share of the seen frames that a light without a rhythm is lit, or dark, to be called so throughout.
const THROUGHOUT: f64 = 0.97;

/// Times are proposed to the hundredth of a second: no clip shows them better.
const ROUND_S: f64 = 0.01;

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
        Some(measured) => Some(Form::new(&measured, watch.span_s, &name).shows()),
        None => steady(trace, name(0)),
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
        seconds: round(seconds),
        within: WITHIN,
    }
}

fn round(seconds: f64) -> f64 {
    ((seconds / ROUND_S).round() * ROUND_S).max(ROUND_S)
}

/// A cycle of switching, ready to be put into the plainest form that fits it.
struct Form<'m> {
    measured: &'m Measured,
    frame_s: f64,
    lit: Vec<(ColourName, f64)>,
    dark: Vec<f64>,
    name: &'m dyn Fn(usize) -> ColourName,
}

impl<'m> Form<'m> {
    fn new(measured: &'m Measured, frame_s: f64, name: &'m dyn Fn(usize) -> ColourName) -> Self {
        let pieces = &measured.pieces;
        let lit = |piece: &Piece| piece.look.map(|tint| (name(tint), piece.lasts_s));
        Self {
            measured,
            frame_s,
            lit: pieces.iter().filter_map(lit).collect(),
            dark: pieces
                .iter()
                .filter(|piece| piece.look.is_none())
                .map(|piece| piece.lasts_s)
                .collect(),
            name,
        }
    }

    fn shows(&self) -> Shows {
        self.flashing()
            .or_else(|| self.alternating())
            .unwrap_or_else(|| self.steps())
    }

    /// One colour, equal flashes, equally far apart; the cycle begins with the longest dark.
    fn flashing(&self) -> Option<Shows> {
        let (colour, _) = *self.lit.first()?;
        let one_colour = self.lit.iter().all(|(other, _)| *other == colour);
        let apart: Vec<f64> = self
            .lit
            .iter()
            .zip(self.dark.iter().skip(1))
            .map(|(lit, dark)| lit.1 + dark)
            .collect();
        let lit_s: Vec<f64> = self.lit.iter().map(|lit| lit.1).collect();
        if !one_colour || self.lit.len() != self.dark.len() || !self.equal(&lit_s) || !self.equal(&apart) {
            return None;
        }
        let on_s = round(mean(&lit_s));
        Some(Shows::Flashing {
            colour,
            period: timed(self.measured.period_s),
            on_s: (on_s * (1.0 - WITHIN), on_s * (1.0 + WITHIN)),
            group: u32::try_from(self.lit.len()).ok()?,
            apart_s: (!apart.is_empty()).then(|| round(mean(&apart))),
        })
    }

    fn alternating(&self) -> Option<Shows> {
        let lit_s: Vec<f64> = self.lit.iter().map(|lit| lit.1).collect();
        (self.dark.is_empty() && self.equal(&lit_s)).then(|| Shows::Alternating {
            colours: self.lit.iter().map(|lit| lit.0).collect(),
            each: timed(mean(&lit_s)),
        })
    }

    fn steps(&self) -> Shows {
        let step = |piece: &Piece| (piece.look.map(|tint| (self.name)(tint)), timed(piece.lasts_s));
        Shows::Steps(self.measured.pieces.iter().map(step).collect())
    }

    fn equal(&self, seconds: &[f64]) -> bool {
        let usual = mean(seconds);
        seconds
            .iter()
            .all(|one| (one - usual).abs() <= EQUAL * usual + EQUAL_FRAMES * self.frame_s)
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}
