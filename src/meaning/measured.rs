//! The rhythm of a clip, measured without the table: the shortest period at which the clip repeats itself, and what one
//! cycle of it shows.
//!
//! It is the rival of every row that fits badly. Without it the free rival would pay for every flash anew, and a row
//! that has the right number of flashes at the wrong times could outlive it.

use super::fold::{self, Folded};
use super::grid;
use super::math::median;
use super::watch::Watch;
use crate::table::{Cycle, Pattern, Phase, Shade};

/// Cycles that have to fit into what was seen: a shape is a rhythm when it came back.
const CYCLES: f64 = 2.0;

/// Least share of the frames that look as the cycle says.
const AGREES: f64 = 0.9;

/// A period that is a whole multiple of the true one agrees as well; the shortest within this of the best is taken.
const AS_GOOD: f64 = 0.06;

/// Intervals between like changes that are tried as a period reach over so many of them: flashes of a group.
const REACH: usize = 8;

/// Periods tried about each interval, and their distance as a share: intervals are seen to a frame.
const BESIDE: i32 = 4;
const BESIDE_SHARE: f64 = 0.006;

/// Most intervals tried; a bound on time for clips that flicker without a rhythm.
const MAX_TRIED: usize = 60;

/// A stretch of the cycle shorter than so many frames is an edge.
const LEAST_FRAMES: f64 = 0.6;

/// Frames that a piece takes on average, at least: what is finer comes of how frames fall and not of the light.
const FRAMES_A_PIECE: f64 = 1.25;

/// From so many cycles a frame on, a row beats with the frames; the pieces of a beat last less than so many frames.
const FAST: f64 = 0.25;
const FEW_FRAMES: f64 = 2.5;

/// A row is held to have the measured rhythm when, at the device's own pace, its times differ by no more than this share
/// beyond their ranges, and so many frames: edges are seen to a frame, and clipping makes flashes look longer.
const SLACK: f64 = 0.05;
const SLACK_FRAMES: f64 = 1.0;

/// A part of a sequence may have stayed for so much longer than the table says.
const LONGER: f64 = 1.2;

/// What a light shows at an instant: a tint by its index, or dark.
pub(super) type Look = Option<usize>;

/// One stretch of a measured cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) look: Look,
    pub(super) lasts_s: f64,
}

/// A rhythm as measured.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Measured {
    /// In order, beginning with the longest dark or, without one, the longest piece; neighbours differ.
    pub(super) pieces: Vec<Piece>,
    pub(super) period_s: f64,
    /// It swells and fades and does not switch.
    pub(super) swells: bool,
    /// Times are known to about this, seconds.
    pub(super) slack_s: f64,
    /// From the first frame seen to the last, seconds.
    pub(super) lasted_s: f64,
}

/// The rhythm of the whole clip, if it has one.
pub(super) fn measure(watch: &Watch) -> Option<Measured> {
    let looks = looks(watch);
    let seen_s = looks.len() as f64 * watch.span_s;
    let tried = intervals(&looks, CYCLES, seen_s);
    let folded = tried
        .iter()
        .flat_map(|interval| {
            (-BESIDE..=BESIDE).map(move |step| interval * (1.0 + f64::from(step) * BESIDE_SHARE))
        })
        .filter(|period_s| CYCLES * period_s <= seen_s)
        .map(|period_s| fold::fold(&looks, period_s, watch.span_s));
    let all: Vec<Folded> = folded.collect();
    let best = all.iter().map(|folded| folded.agrees).fold(0.0, f64::max);
    if best < AGREES {
        return None;
    }
    let near = |folded: &&Folded| folded.agrees >= best - AS_GOOD;
    let shortest = all
        .iter()
        .filter(near)
        .map(|folded| folded.period_s)
        .fold(f64::INFINITY, f64::min);
    // Of those about the shortest, the one that agrees best.
    let alike = all.iter().filter(|folded| folded.period_s < 1.08 * shortest);
    let chosen = alike.max_by(|a, b| a.agrees.total_cmp(&b.agrees))?;
    let pieces = chosen.pieces(LEAST_FRAMES * watch.span_s);
    let fine = chosen.period_s < FRAMES_A_PIECE * pieces.len() as f64 * watch.span_s;
    (pieces.len() > 1 && !fine).then(|| Measured {
        pieces,
        period_s: chosen.period_s,
        swells: watch.swells(chosen.period_s),
        slack_s: SLACK_FRAMES * watch.span_s,
        lasted_s: looks[looks.len() - 1].0 - looks[0].0,
    })
}

/// Every seen frame's time and look.
fn looks(watch: &Watch) -> Vec<(f64, Look)> {
    let of = |frame: usize| {
        let sample = &watch.trace.samples[frame];
        let lit = sample.level > 0.5;
        match (lit, watch.tint(frame)) {
            (false, _) => Some((sample.time_s, None)),
            (true, Some(tint)) => Some((sample.time_s, Some(tint))),
            (true, None) if watch.tints() < 2 => Some((sample.time_s, Some(0))),
            (true, None) => None,
        }
    };
    (0..watch.len())
        .filter(|frame| watch.seen(*frame))
        .filter_map(of)
        .collect()
}

/// Distances of like changes: the period is among them if the clip has one.
fn intervals(looks: &[(f64, Look)], cycles: f64, seen_s: f64) -> Vec<f64> {
    let changes: Vec<(f64, Look, Look)> = looks
        .windows(2)
        .filter(|pair| pair[0].1 != pair[1].1)
        .map(|pair| (pair[1].0, pair[0].1, pair[1].1))
        .collect();
    let mut kinds: Vec<(Look, Look)> = changes.iter().map(|change| (change.1, change.2)).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let mut found = Vec::new();
    for kind in kinds {
        let at: Vec<f64> = changes
            .iter()
            .filter(|change| (change.1, change.2) == kind)
            .map(|change| change.0)
            .collect();
        for reach in 1..=REACH.min(at.len().saturating_sub(1)) {
            let apart: Vec<f64> = at
                .windows(reach + 1)
                .map(|window| window[reach] - window[0])
                .collect();
            let usual = median(apart.clone());
            let mean = (at[at.len() - 1] - at[0]) / (at.len() - 1) as f64 * reach as f64;
            found.extend([usual, mean]);
        }
    }
    found.retain(|interval| *interval > 0.0 && cycles * interval <= seen_s);
    found.sort_by(f64::total_cmp);
    found.dedup_by(|a, b| (*a - *b).abs() < 0.004 * *b);
    found.truncate(MAX_TRIED);
    found
}

impl Measured {
    /// Whether a row of the table allows this rhythm, in whatever colours.
    pub(super) fn is_listed(&self, pattern: &Pattern) -> bool {
        match pattern {
            Pattern::Constant(_) => false,
            // A part that may not stay so long is not what was seen.
            Pattern::Sequence(parts) => parts
                .iter()
                .any(|part| self.lasted_s <= LONGER * part.for_s.1 && self.is_listed(&part.pattern)),
            Pattern::Cycle(cycle) if cycle.phases.iter().any(|phase| phase.from != phase.to) => {
                self.swells && self.pace(cycle.period_s, cycle.within).is_some()
            }
            Pattern::Cycle(cycle) => !self.swells && (self.is_cycle(cycle) || self.may_beat(cycle)),
        }
    }

    /// Whether the light of lamps on the mains beats so with the frames: it has twice the frequency of the mains. Slow beats
    /// are rates that status lights have.
    pub(super) fn beats_with_mains(&self, fps: f64) -> bool {
        const TWICE_MAINS_HZ: [f64; 2] = [100.0, 120.0];
        /// Beats a second from which it may be.
        const FAST_HZ: f64 = 3.0;
        /// Share by which a rate may differ: that of the mains wanders by less than a hundredth, and so does that of frames.
        const NEAR: f64 = 0.02;
        let rate_hz = 1.0 / self.period_s;
        TWICE_MAINS_HZ.iter().any(|hz| {
            let beat_hz = (hz - (hz / fps).round() * fps).abs();
            beat_hz >= FAST_HZ && (rate_hz / beat_hz - 1.0).abs() <= NEAR
        })
    }

    /// Whether this may be how frames fall on a row that is fast for them, and no rhythm of the light.
    fn may_beat(&self, cycle: &Cycle) -> bool {
        let span_s = self.slack_s / SLACK_FRAMES;
        let shortest_s = self
            .pieces
            .iter()
            .map(|piece| piece.lasts_s)
            .fold(f64::INFINITY, f64::min);
        grid::fastest_hz(cycle) * span_s > FAST && shortest_s < FEW_FRAMES * span_s
    }

    /// How many times slower than a period of the table, if that is within its tolerance.
    fn pace(&self, period_s: f64, within: f64) -> Option<f64> {
        let pace = self.period_s / period_s;
        ((pace - 1.0).abs() <= within * (1.0 + SLACK)).then_some(pace)
    }

    fn is_cycle(&self, cycle: &Cycle) -> bool {
        let phases = unit(cycle);
        let count = phases.len();
        let whole_s = cycle.period_s * count as f64 / cycle.phases.len() as f64;
        let Some(pace) = self.pace(whole_s, cycle.within) else {
            return false;
        };
        count == self.pieces.len() && (0..count).any(|turn| self.turned_is(phases, turn, pace))
    }

    /// Whether the cycle, begun at another piece, is that of the phases, one colour for one tint.
    fn turned_is(&self, phases: &[Phase], turn: usize, pace: f64) -> bool {
        let mut shades: Vec<(Look, Shade)> = Vec::new();
        self.pieces.iter().enumerate().all(|(index, piece)| {
            let phase = &phases[(index + turn) % phases.len()];
            let pair = (piece.look, phase.from);
            let known = shades
                .iter()
                .find(|(look, shade)| *look == pair.0 || *shade == pair.1);
            let fits = known.is_none_or(|known| *known == pair);
            shades.push(pair);
            fits && piece.look.is_none() == (phase.from == Shade::Dark)
                && allows(phase.range_s, piece.lasts_s / pace, self.slack_s)
        })
    }
}

/// The shortest run of phases whose repetition is the cycle.
fn unit(cycle: &Cycle) -> &[Phase] {
    let phases = &cycle.phases;
    let repeats = |length: &usize| phases.chunks(*length).all(|chunk| *chunk == phases[..*length]);
    let length = (1..=phases.len()).find(repeats).unwrap_or(phases.len());
    &phases[..length]
}

fn allows((least_s, most_s): (f64, f64), seconds: f64, slack_s: f64) -> bool {
    seconds >= least_s * (1.0 - SLACK) - slack_s && seconds <= most_s * (1.0 + SLACK) + slack_s
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// By hand: the distance of 100 or 120 from the nearest multiple of the frame rate.
    #[rstest]
    #[case::fifty_hertz_at_30(30.0, 10.0, true)]
    #[case::sixty_hertz_at_25(25.0, 5.0, true)]
    #[case::fifty_hertz_at_60(60.0, 20.0, true)]
    #[case::sixty_hertz_at_24(24.0, 4.0, true)]
    #[case::fifty_hertz_at_ntsc(30_000.0 / 1001.0, 10.1, true)]
    #[case::another_rate(30.0, 8.0, false)]
    #[case::a_flash_a_second(30.0, 1.0, false)]
    #[case::a_slow_beat(30_000.0 / 1001.0, 0.12, false)]
    fn a_beat_of_the_mains_is_known(#[case] fps: f64, #[case] rate_hz: f64, #[case] beats: bool) {
        let measured = Measured {
            pieces: Vec::new(),
            period_s: 1.0 / rate_hz,
            swells: false,
            slack_s: 1.0 / fps,
            lasted_s: 10.0,
        };
        assert_eq!(measured.beats_with_mains(fps), beats);
    }
}
