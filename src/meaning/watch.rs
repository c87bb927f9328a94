//! A trace made ready for scoring: what every frame says for every level that a pattern could expect of it.

use super::alike::{Known, Rhythm};
use super::cuts::Cuts;
use super::math::median;
use super::spans::Spans;
use super::sums::Sums;
use crate::trace::{Sighting, Trace};

/// Expected levels are rounded to tenths from 0 to 2, well below the spread of the levels themselves.
const LEVELS: usize = 21;
const LEVEL_STEP: f64 = 0.1;

/// Tints beyond the fourth longest seen are noise in every clip so far and are taken as not told.
pub(super) const MAX_TINTS: usize = 4;

/// Frames of a tint that make it seen: one may be an edge, or belong to the neighbouring stretch.
const ENOUGH_OF_TINT: f64 = 2.0;

/// Spread of the level of a frame dark throughout, on top of its noise. Guessed: stray light and compression.
const DARK_SD: f64 = 0.05;
/// Spread of a steadily lit frame. Auto-exposure and compression move lit levels by 10 to 20 %.
const LIT_SD: f64 = 0.13;
/// Spread of a frame lit for a part of its exposure: the edge's place and the clipping are known only roughly. Guessed.
const EDGE_SD: f64 = 0.22;
/// Spread of a swelling light about the nearest of the curves tried. Guessed.
const SWELL_SD: f64 = 0.1;
/// Spread of the level of a drifting light about the one before, where nothing says which way it goes. Guessed: wider
/// than the swing that auto-exposure gives a fixed light.
const DRIFT_SD: f64 = 0.2;

/// Share of frames that are spoilt in ways nobody models (a key frame, a hand, a glint), and the density of their
/// levels. Together they bound what one frame can say against a row, to about seven nats before tempering: a single dark
/// frame turns nothing, a dark frame every second is an eclipse.
const SPOILT: f64 = 0.005;
const SPOILT_DENSITY: f64 = 0.4;

/// Neighbouring frames share auto-exposure, compression and focus, so they do not err independently: a clip counts as one
/// witness a tenth of a second, whatever its frame rate. Guessed; a calibration on real clips should replace it.
const WITNESS_S: f64 = 0.1;

/// What a pattern does within one exposure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Within {
    /// Dark or lit throughout.
    Steady,
    /// Lit for a part.
    Edge,
    /// Swelling or fading.
    Swell,
}

/// Number of codes that [`level_code`] can give.
pub(super) const LEVEL_CODES: usize = 3 * LEVELS;

/// The row of the level table for an expected level.
pub(super) fn level_code(level: f64, within: Within) -> u8 {
    let step = (level / LEVEL_STEP).round().clamp(0.0, (LEVELS - 1) as f64) as u8;
    step + within as u8 * LEVELS as u8
}

/// A trace made ready for scoring.
pub(super) struct Watch<'t> {
    pub(super) trace: &'t Trace,
    /// Usual distance of frames, seconds. A dropped frame doubles the distance and not the exposure.
    pub(super) span_s: f64,
    /// Factor on the log evidence of every frame, 0 to 1.
    pub(super) temper: f64,
    /// Tempered log density by code and frame; 0 for frames not seen.
    level: Vec<f32>,
    /// Usual level of each tint.
    pub(super) gains: Vec<f64>,
    /// For each cut the index of its first frame.
    pub(super) frames: Vec<usize>,
    /// For each cut and tint the share of the tint's frames that come before.
    shares: Vec<[f64; MAX_TINTS]>,
    /// For each tint the number of its frames.
    counts: [f64; MAX_TINTS],
    /// Sums of the rhythms scored so far.
    pub(super) scores: Known<Rhythm, Sums>,
    /// What they say for every stretch, by the shortest stay in seconds, bit by bit.
    pub(super) stretches: Known<(Rhythm, u64), Spans>,
}

/// A light swells where so large a share of its frames lies between these levels; a lamp that switches passes them in a
/// frame. Guessed.
const SWELLS: f64 = 0.3;
const BETWEEN: std::ops::Range<f64> = 0.12..0.85;

impl<'t> Watch<'t> {
    pub(super) fn new(trace: &'t Trace, cuts: &Cuts) -> Self {
        let span_s = median(trace.samples.iter().map(|sample| sample.span_s).collect()).max(1e-4);
        let temper = (span_s / WITNESS_S).min(1.0);
        let mut watch = Self {
            trace,
            span_s,
            temper,
            level: level_table(trace, temper),
            gains: Vec::new(),
            frames: cuts.frames(trace),
            shares: Vec::new(),
            counts: [0.0; MAX_TINTS],
            scores: Known::default(),
            stretches: Known::default(),
        };
        watch.gains = (0..trace.tints.len().min(MAX_TINTS))
            .map(|tint| watch.usual_level(tint))
            .collect();
        (watch.shares, watch.counts) = watch.shares_before_cuts();
        watch
    }

    pub(super) fn len(&self) -> usize {
        self.trace.samples.len()
    }

    pub(super) fn tints(&self) -> usize {
        self.gains.len()
    }

    /// Tempered log density of every frame's level under a code; 0 for frames not seen.
    pub(super) fn level(&self, code: u8) -> &[f32] {
        let start = usize::from(code) * self.len();
        &self.level[start..start + self.len()]
    }

    pub(super) fn seen(&self, frame: usize) -> bool {
        self.trace.samples[frame].sighting == Sighting::Seen
    }

    /// Levels of the frames that were seen, in order of time.
    pub(super) fn seen_levels(&self) -> impl Iterator<Item = f64> {
        (0..self.len())
            .filter(|frame| self.seen(*frame))
            .map(|frame| self.trace.samples[frame].level)
    }

    /// The light swells and fades in cycles of so many seconds, and does not switch.
    pub(super) fn swells(&self, period_s: f64) -> bool {
        /// Frames that a cycle has at least: in fewer a switching light has as many levels between as a swelling one.
        const FRAMES: f64 = 12.0;
        let all = self.seen_levels().count().max(1) as f64;
        let between = self.seen_levels().filter(|level| BETWEEN.contains(level)).count();
        between as f64 > SWELLS * all && period_s >= FRAMES * self.span_s
    }

    pub(super) fn tint(&self, frame: usize) -> Option<usize> {
        self.trace.samples[frame].tint.filter(|tint| *tint < self.tints())
    }

    /// Frames per second.
    pub(super) fn fps(&self) -> f64 {
        1.0 / self.span_s
    }

    /// Seconds from cut `a` to a later cut `b`, to within a frame.
    pub(super) fn between_s(&self, a: usize, b: usize) -> f64 {
        let at_s = |cut: usize| {
            let frame = self.frames[cut].min(self.len() - 1);
            self.trace.samples[frame].time_s
        };
        at_s(b) - at_s(a) + self.span_s
    }

    /// Share of a tint's frames that lie between two cuts: the tint's name is one piece of evidence for the whole
    /// clip, so a stretch may claim no more of it than it holds.
    pub(super) fn share(&self, tint: usize, a: usize, b: usize) -> f64 {
        self.shares[b][tint] - self.shares[a][tint]
    }

    /// How much of the evidence of a tint's name a stretch has to bear. Evidence for is shared out among the stretches;
    /// evidence against counts in full wherever the tint is seen, else a wrong colour would cost a short stretch nothing.
    pub(super) fn name_share(&self, evidence: f64, tint: usize, a: usize, b: usize) -> f64 {
        let share = self.share(tint, a, b);
        if evidence < 0.0 && share * self.counts[tint] >= ENOUGH_OF_TINT {
            evidence
        } else {
            evidence * share
        }
    }

    fn usual_level(&self, tint: usize) -> f64 {
        let levels: Vec<f64> = (0..self.len())
            .filter(|frame| self.seen(*frame) && self.tint_is(*frame, tint))
            .map(|frame| self.trace.samples[frame].level)
            .collect();
        if levels.is_empty() {
            1.0
        } else {
            median(levels).clamp(0.2, 2.0)
        }
    }

    fn tint_is(&self, frame: usize, tint: usize) -> bool {
        self.trace.samples[frame].tint == Some(tint)
    }

    fn shares_before_cuts(&self) -> (Vec<[f64; MAX_TINTS]>, [f64; MAX_TINTS]) {
        let mut counts = [0.0_f64; MAX_TINTS];
        let mut before = vec![counts; self.frames.len()];
        for (cut, window) in self.frames.windows(2).enumerate() {
            for frame in window[0]..window[1] {
                if let Some(tint) = self.tint(frame).filter(|_| self.seen(frame)) {
                    counts[tint] += 1.0;
                }
            }
            before[cut + 1] = counts;
        }
        for shares in &mut before {
            for (share, total) in shares.iter_mut().zip(counts) {
                *share /= total.max(1.0);
            }
        }
        (before, counts)
    }
}

fn level_table(trace: &Trace, temper: f64) -> Vec<f32> {
    let mut table = vec![0.0; trace.samples.len() * LEVEL_CODES];
    for (code, column) in table.chunks_mut(trace.samples.len().max(1)).enumerate() {
        let expected = (code % LEVELS) as f64 * LEVEL_STEP;
        let own_sd = match code / LEVELS {
            0 => DARK_SD + (LIT_SD - DARK_SD) * expected.min(1.0),
            1 => EDGE_SD,
            _ => SWELL_SD,
        };
        for (sample, cell) in trace.samples.iter().zip(column) {
            if sample.sighting == Sighting::Seen {
                let sd = sample.level_sd.hypot(own_sd);
                *cell = (temper * level_density(sample.level, expected, sd).ln()) as f32;
            }
        }
    }
    table
}

/// Density of a measured level: a Gaussian with a floor for spoilt frames.
pub(super) fn level_density(level: f64, expected: f64, sd: f64) -> f64 {
    let z = (level - expected) / sd;
    let bell = (-0.5 * z * z).exp() / (sd * std::f64::consts::TAU.sqrt());
    (1.0 - SPOILT) * bell + SPOILT * SPOILT_DENSITY
}

/// Spread of the level of a drifting light about the one before: so wide that the slow swing of
/// auto-exposure on a fixed light is not taken for a drift.
pub(super) fn drift_sd(level_sd: f64) -> f64 {
    level_sd.hypot(DRIFT_SD)
}
