//! The answer of the inference, with its doubt.

use super::confidence::Grounds;
use super::stays::Stay;
use crate::table::Shows;

/// What a trace means under a table. Rows are indices into [`crate::table::LightTable::meanings`].
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// What can be said.
    pub outcome: Outcome,
    /// Probability that `outcome` is right, 0 to 1: for a decided reading that the row is the right one, for an unlisted one
    /// that none is. For an undecided one that of all rows together.
    pub confidence: f64,
    /// Rows that may be meant, with their probabilities, most probable first, the decided row left out. An undecided
    /// reading has every remaining row here; one without a usable light has what it would be if that is the lamp that was
    /// found all the same.
    pub rivals: Vec<Rival>,
    /// Probability that the light does something that is in no row.
    pub unlisted: f64,
    /// What would settle it; empty when nothing needs to be settled.
    pub settle: Vec<Settle>,
    /// What was shown when, in time order. Empty when unseen.
    pub timeline: Vec<Episode>,
    /// Why the reading is weaker than it could be.
    pub doubts: Vec<Doubt>,
    /// What the confidence in the likeliest answer rests on; `None` where nothing was read, and for photos.
    pub grounds: Option<Grounds>,
    /// Where no row fits: what the lights were seen to do, for a new row. A light that did nothing that a table could
    /// say is left out.
    pub shown: Vec<Shown>,
    /// Where the likeliest answer is a sequence: how long each part of it stayed, in time order.
    pub stays: Vec<Stay>,
}

/// What a light was seen to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Index into [`crate::table::LightTable::lights`].
    pub light: usize,
    /// As a table would say it.
    pub shows: Shows,
}

/// What can be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// One row.
    Decided {
        /// Which.
        row: usize,
    },
    /// Several rows fit.
    Undecided,
    /// Seen well, fits no row.
    Unlisted,
    /// No usable light.
    Unseen,
}

/// A row that may be meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rival {
    /// Which row.
    pub row: usize,
    /// Its probability.
    pub probability: f64,
}

/// Rows less probable than this are not worth a rival's line.
const NO_RIVAL: f64 = 0.005;

/// Rows that are worth a line, most probable first, from the probability of every row.
pub(super) fn ranked(rows: impl Iterator<Item = f64>) -> Vec<Rival> {
    let all = rows
        .enumerate()
        .map(|(row, probability)| Rival { row, probability });
    let mut rivals: Vec<Rival> = all.filter(|rival| rival.probability >= NO_RIVAL).collect();
    rivals.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    rivals
}

/// What would settle an undecided reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Settle {
    /// Film so many seconds more.
    FilmLonger {
        /// Seconds on top of what was filmed.
        seconds: f64,
    },
    /// Film a clip; the footage was a photo.
    FilmInstead {
        /// Seconds of clip that would do.
        seconds: f64,
    },
    /// Film with more frames a second.
    FasterFrames {
        /// Frames a second that would do.
        fps: f64,
    },
    /// Film closer or steadier, so that the colour or the level is measured better.
    Closer,
    /// Put a white sheet beside the lamp, so that the camera's white is known.
    WhiteSheet,
    /// Film with less light on the device, so that an exposure is longer than a pulse.
    LessLight,
    /// No clip can part these rows; ask.
    Ask {
        /// The rows that look alike.
        rows: Vec<usize>,
    },
}

/// One stretch of the clip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Episode {
    /// Seconds since the first frame.
    pub from_s: f64,
    /// Seconds since the first frame.
    pub to_s: f64,
    /// The row shown; `None` where no row fits.
    pub row: Option<usize>,
    /// Probability of that.
    pub confidence: f64,
}

/// Why a reading is weaker than it could be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// Fewer than two cycles of the best row's rhythm were seen.
    FewCycles {
        /// Cycles seen.
        cycles: f64,
    },
    /// The light was in view for less than the whole clip.
    PartlySeen {
        /// Share of the frames in which it was seen.
        share: f64,
    },
    /// A row's rate is too fast for the clip's frame rate.
    FastRhythm {
        /// Rate asked for by the row, in cycles per second.
        rate_hz: f64,
        /// Frames per second of the clip.
        fps: f64,
    },
    /// The end of the clip shows something else, too briefly to tell what. The reading is of what came before.
    ChangedAtEnd {
        /// Seconds since the first frame.
        from_s: f64,
    },
    /// Two colour names fit the light.
    NearColours {
        /// The likelier.
        first: crate::colour::ColourName,
        /// The other.
        second: crate::colour::ColourName,
    },
    /// Pulses may cut the flashes in pieces, or the light flashes in groups.
    PerhapsPulses {
        /// How many times a second the pulses and the frames would beat.
        rate_hz: f64,
    },
    /// The light flickers, or is lit and dimmed by pulses.
    PerhapsFlicker {
        /// How many times a second it flickers, or the pulses and the frames beat.
        rate_hz: f64,
    },
}
