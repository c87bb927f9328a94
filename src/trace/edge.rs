//! When a light changed, to a part of a frame.

use std::ops::Range;

use super::sample::{Sample, Sighting, Trace};
use super::spread::{deviation, median};

/// Levels this far from dark and lit are those of frames that were lit for a part of their exposure.
const PARTIAL: Range<f64> = 0.12..0.88;
/// As far as that range is narrowed at most for a lamp whose levels scatter.
const SURELY_PARTIAL: Range<f64> = 0.35..0.65;
/// Level that parts dark from lit.
pub(super) const MIDDLE: f64 = 0.5;

/// A change of a light: anywhere in a gap in which no shutter was open, give or take the noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Edge {
    /// Middle of the gap, seconds since the first frame.
    pub time_s: f64,
    /// Length of the gap, seconds; every time in it is as likely.
    pub gap_s: f64,
    /// Standard deviation of the rest, seconds.
    pub noise_s: f64,
    /// How long the whole way from dark to lit takes, seconds: 0 for a light that switches.
    pub way_s: f64,
}

impl Edge {
    /// Standard deviation of the time.
    pub(super) fn sd_s(&self) -> f64 {
        (self.gap_s / 12f64.sqrt()).hypot(self.noise_s)
    }

    /// Where seeing began or ended, which is not when the light changed.
    pub(super) const fn of_view(time_s: f64, span_s: f64) -> Self {
        Self {
            time_s,
            gap_s: span_s,
            noise_s: 0.0,
            way_s: 0.0,
        }
    }
}

/// The two frames between which a light changed between dark and lit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair {
    starts_s: [f64; 2],
    levels: [f64; 2],
    sds: [f64; 2],
    frame_s: f64,
}

impl Pair {
    /// Both were on their way: the light swells or fades.
    pub(super) fn is_gradual(&self) -> bool {
        self.levels.iter().all(|level| PARTIAL.contains(level))
    }

    /// What a level between may be off because the camera's curve is another than was taken back (guessed).
    const CURVE_SD: f64 = 0.06;

    /// When the shutter opened for a frame if it is open for a share of its time, and for how long. The middles of
    /// the exposures are taken to be those of the frames; where they truly are shifts all changes alike.
    fn exposure(&self, frame: usize, share: f64) -> (f64, f64) {
        let open_s = share * self.frame_s;
        (self.starts_s[frame] + 0.5 * (self.frame_s - open_s), open_s)
    }

    /// The times of a change at which both levels are within `sds` deviations of what they would be.
    pub(super) fn allowed(&self, share: f64, sds: f64) -> (f64, f64) {
        let rises = self.levels[1] >= self.levels[0];
        let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
        for frame in 0..2 {
            let (opened_s, open_s) = self.exposure(frame, share);
            let passed = if rises {
                1.0 - self.levels[frame]
            } else {
                self.levels[frame]
            };
            let give = sds * self.sds[frame].hypot(Self::CURVE_SD);
            // A frame that may be wholly before or after the change bounds it on one side only.
            if passed - give > 0.0 {
                from = from.max(opened_s + (passed - give) * open_s);
            }
            if passed + give < 1.0 {
                to = to.min(opened_s + (passed + give) * open_s);
            }
        }
        (from, to)
    }

    /// Square of how far the levels are from those of a change at a time, in deviations, if the shutter is open for a
    /// share of the frame's time.
    pub(super) fn misfit(&self, time_s: f64, share: f64) -> f64 {
        let rises = self.levels[1] >= self.levels[0];
        (0..2)
            .map(|frame| {
                let (opened_s, open_s) = self.exposure(frame, share);
                let passed = ((time_s - opened_s) / open_s).clamp(0.0, 1.0);
                let lit = if rises { 1.0 - passed } else { passed };
                let sd = self.sds[frame].hypot(Self::CURVE_SD * 2.0 * (lit * (1.0 - lit)).sqrt());
                ((self.levels[frame] - lit) / sd).powi(2)
            })
            .sum()
    }
}

/// How long the shutter is open, from how often a change fell into an exposure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Shutter {
    /// Share of the usual time from frame to frame.
    share: f64,
    /// Its standard deviation.
    share_sd: f64,
    /// Usual time from frame to frame, seconds.
    frame_s: f64,
    /// How far a level can be trusted as a share of an exposure, beyond its noise: clipped light lies.
    level_sd: f64,
    /// The share that is to be expected where clipped light hides changes that fell into an exposure.
    hidden_share: Moments,
    /// Levels of frames that a change fell into.
    partial: Range<f64>,
}

/// Mean of a quantity and of its square.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Moments {
    mean: f64,
    square: f64,
}

impl Shutter {
    /// `clipped` is the share of the lamp's lit light that fell on clipped pixels.
    pub(super) fn of(trace: &Trace, frame_s: f64, clipped: f64) -> Self {
        /// What the level of a wholly clipped lamp may be off in a frame that was lit for a part (guessed).
        const CLIPPED_SD: f64 = 0.2;
        let partial = partial_levels(trace);
        let (inside, all) = changes(trace, &partial);
        // Of the exposures that a change falls into, some have levels too near dark or lit to count. The mean and
        // variance are those of a share seen so often, nothing known before.
        let counted = partial.end - partial.start;
        let (hits, tries) = (inside as f64 + 1.0, all as f64 + 2.0);
        let chance = hits / tries;
        Self {
            share: (chance / counted).clamp(0.02, 1.0),
            share_sd: (chance * (1.0 - chance) / (tries + 1.0)).sqrt() / counted,
            frame_s,
            level_sd: CLIPPED_SD * clipped,
            hidden_share: expected_share(inside, all, counted * (1.0 - clipped)),
            partial,
        }
    }

    /// By how much a flash reads too long on average, seconds, and the standard deviation of that. A clipped lamp looks
    /// fully lit in frames that it was lit for a part of only: the lit time then reads too long by anything from nothing
    /// to one exposure.
    pub(super) fn lengthening(&self, clipped: f64) -> (f64, f64) {
        let Moments { mean, square } = self.hidden_share;
        // Evenly from nothing to the exposure, which is itself not known.
        let variance = square / 12.0 + (square - mean * mean) / 4.0;
        let lost_s = clipped * self.frame_s;
        (0.5 * lost_s * mean, lost_s * variance.sqrt())
    }

    /// A frame may come late, but its exposure is hardly longer for that.
    fn open_s(&self) -> f64 {
        self.share * self.frame_s
    }

    /// The change between frame `at` and the last one `before` it that tells anything.
    pub(super) fn edge(&self, samples: &[Sample], before: usize, at: usize) -> Edge {
        let (before, after) = (&samples[before], &samples[at]);
        let rises = after.level >= before.level;
        // Share of the exposure that passed before the change, if it fell into it.
        let passed = |sample: &Sample| {
            let lit = sample.level.clamp(0.0, 1.0);
            if rises { 1.0 - lit } else { lit }
        };
        let inside = |sample: &Sample| {
            let passed = passed(sample);
            let of_level = self.open_s() * sample.level_sd.hypot(self.level_sd);
            let of_shutter = self.share_sd * sample.span_s * (passed - 0.5).abs();
            Edge {
                time_s: sample.time_s + passed * self.open_s(),
                gap_s: 0.0,
                noise_s: of_level.hypot(of_shutter),
                way_s: 0.0,
            }
        };
        if on_its_way(before) && on_its_way(after) {
            return gradual(samples, at);
        }
        if self.partial.contains(&after.level) && (rises || !self.partial.contains(&before.level)) {
            return inside(after);
        }
        if self.partial.contains(&before.level) {
            return inside(before);
        }
        let closed_s = before.time_s + self.open_s();
        let gap_s = (after.time_s - closed_s).max(0.0);
        // What little the two levels are off dark and lit says how far into an exposure the change fell.
        let early = self.open_s() * (1.0 - passed(before));
        let late = self.open_s() * passed(after);
        Edge {
            time_s: closed_s + 0.5 * gap_s + late - early,
            gap_s,
            noise_s: self.open_s() * before.level_sd.hypot(after.level_sd)
                + 0.5 * self.share_sd * self.frame_s,
            way_s: 0.0,
        }
    }

    /// The two frames of a change, for what they allow together with others.
    pub(super) fn pair(&self, before: &Sample, after: &Sample) -> Pair {
        self.pair_of([before, after], [before.level, after.level])
    }

    /// The same of a change of colour, whose levels are the shares of the new one.
    pub(super) fn pair_of_colours(&self, before: &Sample, after: &Sample) -> Option<Pair> {
        Some(self.pair_of([before, after], [before.turned?, after.turned?]))
    }

    fn pair_of(&self, [before, after]: [&Sample; 2], levels: [f64; 2]) -> Pair {
        Pair {
            starts_s: [before.time_s, after.time_s],
            levels: levels.map(|level| level.clamp(0.0, 1.0)),
            sds: [before, after].map(|sample| sample.level_sd.hypot(self.level_sd)),
            frame_s: self.frame_s,
        }
    }

    /// The change between two frames of different colours: the frame that saw both went to the one that it saw for
    /// longer.
    pub(super) fn edge_of_colour(&self, before: &Sample, after: &Sample) -> Edge {
        let middle = |sample: &Sample| sample.time_s + 0.5 * self.open_s();
        Edge {
            time_s: 0.5 * (middle(before) + middle(after)),
            gap_s: middle(after) - middle(before),
            noise_s: 0.0,
            way_s: 0.0,
        }
    }
}

/// The share of its time that a shutter may be open, all being equally likely before looking, after `inside` of `all`
/// changes were seen to fall into an exposure, where of those that do a share `seen` is seen to.
fn expected_share(inside: usize, all: usize, seen: f64) -> Moments {
    const SHARES: usize = 50;
    let shares = (0..SHARES).map(|i| (i as f64 + 0.5) / SHARES as f64);
    let weighed = shares.map(|share| {
        let chance = (share * seen).clamp(1e-6, 1.0 - 1e-6);
        let outside = (all - inside) as f64;
        (share, inside as f64 * chance.ln() + outside * (1.0 - chance).ln())
    });
    let weighed: Vec<(f64, f64)> = weighed.collect();
    let top = weighed
        .iter()
        .map(|(_, weight)| *weight)
        .fold(f64::NEG_INFINITY, f64::max);
    let mean = |of: fn(f64) -> f64| {
        let (sum, total) = weighed.iter().fold((0.0, 0.0), |(sum, total), (share, weight)| {
            let weight = (weight - top).exp();
            (sum + weight * of(*share), total + weight)
        });
        sum / total
    };
    Moments {
        mean: mean(|share| share),
        square: mean(|share| share * share),
    }
}

/// A level that is neither dark nor lit, nor made of either by noise.
fn on_its_way(sample: &Sample) -> bool {
    let noise = 2.5 * sample.level_sd;
    PARTIAL.contains(&sample.level) && sample.level > noise && sample.level < 1.0 - noise
}

/// When a light on its way from dark to lit, or back, passed the middle: a straight line through its levels about there.
fn gradual(samples: &[Sample], at: usize) -> Edge {
    /// Frames each way at most: more are no straight line.
    const MOST: usize = 24;
    /// Levels in which a swell is near enough to a straight line.
    const STRAIGHT: std::ops::Range<f64> = 0.2..0.8;
    let straight = |i: &usize| {
        let sample = &samples[*i];
        sample.sighting == Sighting::Seen && STRAIGHT.contains(&sample.level)
    };
    let back = (0..at).rev().take(MOST).take_while(straight);
    let on = (at..samples.len()).take(MOST).take_while(straight);
    let used: Vec<(f64, f64)> = back
        .chain(on)
        .map(|i| (samples[i].time_s + 0.5 * samples[i].span_s, samples[i].level))
        .collect();
    let count = used.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| used.iter().map(of).sum::<f64>() / count;
    let (time_s, level) = (mean(|u| u.0), mean(|u| u.1));
    let length: f64 = used.iter().map(|u| (u.0 - time_s).powi(2)).sum();
    let slope = used.iter().map(|u| (u.0 - time_s) * (u.1 - level)).sum::<f64>() / length;
    let sample = &samples[at];
    if used.len() < 2 || slope.abs() * sample.span_s < 1e-4 {
        return Edge::of_view(sample.time_s, 2.0 * sample.span_s);
    }
    // Where noise has bent the line, the change is still among the frames that it goes through.
    let reach_s = used.iter().map(|u| (u.0 - time_s).abs()).fold(0.0, f64::max);
    Edge {
        time_s: time_s + ((MIDDLE - level) / slope).clamp(-reach_s, reach_s),
        gap_s: 0.0,
        noise_s: sample.level_sd / (slope.abs() * count.sqrt()),
        way_s: slope.abs().recip(),
    }
}

/// Levels of frames that were lit for a part of their exposure: beyond what the dark and the lit level scatter by while
/// the light does not change, or a level that is a little low would be taken for a change's exact time.
fn partial_levels(trace: &Trace) -> Range<f64> {
    /// Levels that a scatter can be told from, and how many deviations are beyond it (guessed: of the lit frames of a clip,
    /// some hundreds, hardly one lies farther out).
    const FEWEST: usize = 6;
    const BEYOND: f64 = 3.0;
    let settled = |lit: bool| -> Option<(f64, f64)> {
        let is = |sample: &Sample| sample.sighting == Sighting::Seen && (sample.level >= MIDDLE) == lit;
        let inner = trace.samples.windows(3).filter(|three| three.iter().all(is));
        let levels: Vec<f64> = inner.map(|three| three[1].level).collect();
        if levels.len() < FEWEST {
            return None;
        }
        let level = median(levels.clone())?;
        Some((level, BEYOND * deviation(&levels, level)?))
    };
    let from = settled(false).map_or(PARTIAL.start, |(level, reach)| level + reach);
    let to = settled(true).map_or(PARTIAL.end, |(level, reach)| level - reach);
    from.clamp(PARTIAL.start, SURELY_PARTIAL.start)..to.clamp(SURELY_PARTIAL.end, PARTIAL.end)
}

/// How many changes between dark and lit fell into an exposure, and how many there were that took no more than
/// one frame.
fn changes(trace: &Trace, within: &Range<f64>) -> (usize, usize) {
    let (mut inside, mut all) = (0, 0);
    let mut side: Option<bool> = None;
    let mut partial = 0;
    for sample in &trace.samples {
        if sample.sighting != Sighting::Seen {
            side = None;
            continue;
        }
        if within.contains(&sample.level) {
            partial += 1;
            continue;
        }
        let now = sample.level >= MIDDLE;
        if side.is_some_and(|before| before != now) && partial <= 1 {
            inside += partial;
            all += 1;
        }
        side = Some(now);
        partial = 0;
    }
    (inside, all)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: nothing known before and nothing learnt is a half; seen in every one of many is one; never seen in many
    /// where nothing is hidden is none; and where all is hidden nothing is learnt.
    #[test]
    fn the_share_is_what_was_seen_of_it() {
        assert!((expected_share(0, 0, 0.76).mean - 0.5).abs() < 1e-9);
        assert!(expected_share(40, 40, 1.0).mean > 0.95);
        assert!(expected_share(0, 40, 1.0).mean < 0.05);
        assert!((expected_share(0, 40, 0.0).mean - 0.5).abs() < 0.01);
        let flat = expected_share(0, 0, 0.76);
        assert!((flat.square - 1.0 / 3.0).abs() < 1e-3);
        // Binomial of 10 in 20 with a uniform prior: (10 + 1) / (20 + 2).
        assert!((expected_share(10, 20, 1.0).mean - 0.5).abs() < 0.01);
    }
}
