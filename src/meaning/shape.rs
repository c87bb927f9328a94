//! A cycle integrated over exposures.

use super::manner::{Manner, lit_levels};
use super::tints::TintCode;
use super::watch::{Within, level_code};
use crate::colour::ColourName;
use crate::table::{Cycle, Pattern, Phase, Shade};

/// A frame counts as lit or dark throughout when all but this share of its exposure is so.
const EDGE_SHARE: f64 = 0.03;

/// Two colours share an exposure when the lesser gives at least this share of the light.
const MIXED_SHARE: f64 = 0.15;

/// The colours of a pattern, each once, in order of appearance.
pub(super) fn colours(pattern: &Pattern) -> Vec<ColourName> {
    let shades: Vec<Shade> = match pattern {
        Pattern::Constant(shade) => vec![*shade],
        Pattern::Cycle(cycle) => cycle
            .phases
            .iter()
            .flat_map(|phase| [phase.from, phase.to])
            .collect(),
        Pattern::Sequence(parts) => {
            return parts.iter().fold(Vec::new(), |found, part| {
                colours(&part.pattern).into_iter().fold(found, with)
            });
        }
    };
    let lit = shades.into_iter().filter_map(|shade| match shade {
        Shade::Dark => None,
        Shade::Lit(colour, _) => Some(colour),
    });
    lit.fold(Vec::new(), with)
}

fn with(mut found: Vec<ColourName>, colour: ColourName) -> Vec<ColourName> {
    if !found.contains(&colour) {
        found.push(colour);
    }
    found
}

/// One stretch of one colour.
#[derive(Debug, Clone, Copy)]
struct Piece {
    colour: Option<usize>,
    from: f64,
    to: f64,
    lasts_s: f64,
}

/// A cycle with its free durations chosen, levels relative to the brightest.
#[derive(Debug, Clone)]
pub(super) struct Shape {
    pieces: Vec<Piece>,
    period_s: f64,
    colours: usize,
}

/// Light received per colour, and time lit, from the start of the cycle.
type Received = ([f64; ColourName::ALL.len()], f64);

impl Shape {
    /// `stretch` places every phase within its range, 0 shortest to 1 longest.
    pub(super) fn new(cycle: &Cycle, colours: &[ColourName], stretch: f64) -> Self {
        let brightest = lit_levels(cycle).fold(0.0, f64::max).max(1e-6);
        let mut pieces: Vec<Piece> = cycle
            .phases
            .iter()
            .map(|phase| piece(phase, colours, brightest))
            .collect();
        stretch_lit(&mut pieces, &cycle.phases, stretch);
        let period_s = pieces.iter().map(|piece| piece.lasts_s).sum();
        Self {
            pieces,
            period_s,
            colours: colours.len(),
        }
    }

    /// What a frame is expected to show, for `size` equally spaced starts of the exposure within the cycle: its level
    /// code and its tint code. `span_s` is the distance of frames, `gains` the usual level of each colour.
    pub(super) fn expect(&self, size: usize, span_s: f64, manner: Manner, gains: &[f64]) -> Vec<(u8, u8)> {
        let exposure = (manner.camera.exposure * span_s).max(1e-6);
        let glimpses: Vec<Glimpse> = (0..size)
            .map(|index| self.glimpse(self.period_s * index as f64 / size as f64, exposure, gains))
            .collect();
        let fullest = glimpses.iter().map(|glimpse| glimpse.raw).fold(0.0, f64::max);
        // Where no frame is lit throughout, the usual lit level is that of a frame lit for a part.
        let gain = if fullest > 0.0 && fullest < 1.0 {
            1.0 / fullest
        } else {
            1.0
        };
        glimpses
            .iter()
            .map(|glimpse| glimpse.codes(manner, gain, self.colours))
            .collect()
    }

    fn glimpse(&self, start: f64, exposure: f64, gains: &[f64]) -> Glimpse {
        let (before, after) = (self.received(start), self.received(start + exposure));
        let lit_share = (after.1 - before.1) / exposure;
        let (mut raw, mut level) = (0.0, 0.0);
        let (mut first, mut second) = ((0.0, 0), 0.0_f64);
        for (colour, gain) in gains.iter().enumerate() {
            let light = (after.0[colour] - before.0[colour]) / exposure;
            raw += light;
            level += light * gain;
            if light > first.0 {
                second = second.max(first.0);
                first = (light, colour);
            } else {
                second = second.max(light);
            }
        }
        let swells = self.swells_between(start, start + exposure);
        Glimpse {
            raw,
            level,
            lit_share,
            colour: first.1,
            mixed: second > MIXED_SHARE * raw,
            swells,
            top: gains[first.1],
        }
    }

    fn received(&self, at_s: f64) -> Received {
        let cycles = (at_s / self.period_s).floor();
        let mut rest = at_s - cycles * self.period_s;
        let mut sum: Received = ([0.0; ColourName::ALL.len()], 0.0);
        let mut all = sum;
        for piece in &self.pieces {
            let stay = rest.clamp(0.0, piece.lasts_s);
            rest -= stay;
            if let Some(colour) = piece.colour {
                let slope = (piece.to - piece.from) / piece.lasts_s;
                sum.0[colour] += piece.from * stay + 0.5 * slope * stay * stay;
                sum.1 += stay;
                all.0[colour] += 0.5 * (piece.from + piece.to) * piece.lasts_s;
                all.1 += piece.lasts_s;
            }
        }
        for (light, whole) in sum.0.iter_mut().zip(all.0) {
            *light += cycles * whole;
        }
        sum.1 += cycles * all.1;
        sum
    }

    fn swells_between(&self, from_s: f64, to_s: f64) -> bool {
        let mut start = 0.0;
        self.pieces.iter().any(|piece| {
            let end = start + piece.lasts_s;
            let changing =
                (piece.from - piece.to).abs() > 1e-9 || (piece.colour.is_some() && piece.to < 0.99);
            let touches = [0.0, self.period_s]
                .iter()
                .any(|turn| from_s < end + turn && to_s > start + turn);
            start = end;
            changing && touches
        })
    }
}

fn piece(phase: &Phase, colours: &[ColourName], brightest: f64) -> Piece {
    let split = |shade| match shade {
        Shade::Dark => (None, 0.0),
        Shade::Lit(colour, level) => (
            colours.iter().position(|known| *known == colour),
            level / brightest,
        ),
    };
    let ((from_colour, from), (to_colour, to)) = (split(phase.from), split(phase.to));
    Piece {
        colour: if from >= to { from_colour } else { to_colour },
        from,
        to,
        lasts_s: phase.lasts_s,
    }
}

/// Moves every free phase to its place in its range; the dark phase that follows gives the time back.
fn stretch_lit(pieces: &mut [Piece], phases: &[Phase], stretch: f64) {
    for index in 0..pieces.len() {
        let (shortest, longest) = phases[index].range_s;
        if pieces[index].colour.is_none() || longest <= shortest {
            continue;
        }
        let gain = shortest + stretch * (longest - shortest) - pieces[index].lasts_s;
        let next = (1..pieces.len()).map(|step| (index + step) % pieces.len());
        let mut dark = next.filter(|other| pieces[*other].colour.is_none());
        if let Some(dark) = dark.next().filter(|dark| pieces[*dark].lasts_s - gain > 0.0) {
            pieces[dark].lasts_s -= gain;
            pieces[index].lasts_s += gain;
        }
    }
}

/// What one exposure receives.
struct Glimpse {
    raw: f64,
    level: f64,
    lit_share: f64,
    colour: usize,
    mixed: bool,
    swells: bool,
    top: f64,
}

impl Glimpse {
    fn codes(&self, manner: Manner, gain: f64, colours: usize) -> (u8, u8) {
        if self.lit_share < EDGE_SHARE {
            return (level_code(0.0, Within::Steady), TintCode::Dark.index(colours));
        }
        let whole = self.lit_share > 1.0 - EDGE_SHARE;
        let (level, within) = match (self.swells, whole) {
            (true, _) => (
                self.top * manner.curve.at(self.raw * gain) * manner.peak,
                Within::Swell,
            ),
            (false, true) => (self.level * gain * manner.peak, Within::Steady),
            (false, false) => (
                (self.level * manner.camera.clipping * gain).min(self.top) * manner.peak,
                Within::Edge,
            ),
        };
        let tint = match (self.mixed, within) {
            (true, _) => TintCode::Mixed,
            (false, Within::Steady) => TintCode::Full(self.colour),
            (false, Within::Edge) => TintCode::Edge(self.colour),
            (false, Within::Swell) => TintCode::Swell(self.colour),
        };
        (level_code(level, within), tint.index(colours))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ColourName::{Blue, White};

    fn phase(from: Shade, to: Shade, lasts_s: f64) -> Phase {
        Phase {
            from,
            to,
            lasts_s,
            range_s: (lasts_s, lasts_s),
        }
    }

    fn breathing_then_white() -> Cycle {
        let (blue, white) = (Shade::Lit(Blue, 0.8), Shade::Lit(White, 0.4));
        Cycle {
            phases: vec![
                phase(Shade::Dark, blue, 0.5),
                phase(blue, blue, 0.3),
                phase(Shade::Dark, Shade::Dark, 0.2),
                phase(white, white, 0.25),
            ],
            period_s: 1.25,
            within: 0.1,
        }
    }

    /// Light by colour and lit time of an exposure, summed over fine instants.
    fn naive(shape: &Shape, from_s: f64, exposure_s: f64) -> (f64, f64, f64) {
        const INSTANTS: usize = 20_000;
        let mut sums = (0.0, 0.0, 0.0);
        for instant in 0..INSTANTS {
            let at_s = from_s + exposure_s * (instant as f64 + 0.5) / INSTANTS as f64;
            let mut rest = at_s % shape.period_s;
            for piece in &shape.pieces {
                if rest < piece.lasts_s {
                    let level = piece.from + (piece.to - piece.from) * rest / piece.lasts_s;
                    sums.0 += if piece.colour == Some(0) { level } else { 0.0 };
                    sums.1 += if piece.colour == Some(1) { level } else { 0.0 };
                    sums.2 += if piece.colour.is_some() { 1.0 } else { 0.0 };
                    break;
                }
                rest -= piece.lasts_s;
            }
        }
        let scale = exposure_s / INSTANTS as f64;
        (sums.0 * scale, sums.1 * scale, sums.2 * scale)
    }

    #[test]
    fn the_closed_form_equals_a_fine_sum() {
        let shape = Shape::new(&breathing_then_white(), &[Blue, White], 0.5);
        // Within a phase, over an edge, over the end of the cycle, over more than two cycles.
        for (from_s, exposure_s) in [(0.1, 0.04), (0.45, 0.1), (1.2, 0.1), (0.3, 2.9)] {
            let (before, after) = (shape.received(from_s), shape.received(from_s + exposure_s));
            let truth = naive(&shape, from_s, exposure_s);
            assert!(
                (after.0[0] - before.0[0] - truth.0).abs() < 1e-3,
                "{from_s} {exposure_s}: {truth:?}"
            );
            assert!(
                (after.0[1] - before.0[1] - truth.1).abs() < 1e-3,
                "{from_s} {exposure_s}: {truth:?}"
            );
            assert!(
                (after.1 - before.1 - truth.2).abs() < 1e-3,
                "{from_s} {exposure_s}: {truth:?}"
            );
        }
    }

    #[test]
    fn a_free_on_time_takes_from_the_dark_that_follows() {
        let white = Shade::Lit(White, 1.0);
        let on = Phase {
            range_s: (0.2, 0.6),
            ..phase(white, white, 0.4)
        };
        let cycle = Cycle {
            phases: vec![on, phase(Shade::Dark, Shade::Dark, 0.6)],
            period_s: 1.0,
            within: 0.1,
        };
        for (stretch, lit_s) in [(0.0, 0.2), (0.5, 0.4), (1.0, 0.6)] {
            let shape = Shape::new(&cycle, &[White], stretch);
            assert!((shape.received(1.0).1 - lit_s).abs() < 1e-12);
            assert!((shape.period_s - 1.0).abs() < 1e-12);
        }
    }
}
