//! A lamp is learnt anew as the clip goes on, and its light may then be held against something else.

use super::sample::{Sample, Sighting};
use crate::light::Glimpse;

/// Share by which a steady level varies, and by which a level differs that is put right (guessed).
const STEADY: f64 = 0.15;

/// Where a lamp stays as it is over the frame from which it is learnt anew, in one colour and steady on either side, its
/// level does so, too; and where it wavers or flashes, if it leaps at that frame only.
pub(super) fn level_by_look(samples: &mut [Sample], glimpses: &[Glimpse]) {
    for at in 1..samples.len() {
        let base = glimpses[at].base.to_bits();
        let of_look = |glimpse: &Glimpse| glimpse.base.to_bits() == base;
        if of_look(&glimpses[at - 1]) {
            continue;
        }
        let frames = glimpses[at..]
            .iter()
            .take_while(|glimpse| of_look(glimpse))
            .count();
        let (before, after) = (&samples[..at], &samples[at..at + frames]);
        let ratio = over_lit(before, after).or_else(|| over_dark(before, after));
        if let Some(ratio) = ratio.filter(|ratio| (ratio - 1.0).abs() > STEADY) {
            let own = samples
                .iter_mut()
                .zip(glimpses)
                .filter(|(_, glimpse)| of_look(glimpse));
            own.for_each(|(sample, _)| sample.level *= ratio);
        }
    }
}

/// How many times the level after a frame the one before it is, if the lamp is lit in one colour on either side.
fn over_lit(before: &[Sample], after: &[Sample]) -> Option<f64> {
    /// Frames looked at on either side, and that must be there.
    const NEAR: usize = 6;
    const FEWEST: usize = 3;
    let tint = after.first()?.tint?;
    let same = |sample: &&Sample| sample.sighting == Sighting::Seen && sample.tint == Some(tint);
    let level = |sample: &Sample| sample.level;
    let before: Vec<f64> = before
        .iter()
        .rev()
        .take(NEAR)
        .take_while(same)
        .map(level)
        .collect();
    let after: Vec<f64> = after.iter().take(NEAR).take_while(same).map(level).collect();
    let steady = |levels: &[f64]| {
        let low = levels.iter().copied().fold(f64::INFINITY, f64::min);
        levels.len() >= FEWEST && low > 0.0 && highest(levels) - low < STEADY * highest(levels)
    };
    let goes_on = steady(&before) && steady(&after) || leaps(&before, &after);
    goes_on.then(|| highest(&before) / highest(&after))
}

/// The same if it flashes in one colour on either side.
fn over_dark(before: &[Sample], after: &[Sample]) -> Option<f64> {
    let tint = after.iter().find_map(|sample| sample.tint)?;
    let before = flashes(before.iter().rev(), tint);
    let after = flashes(after.iter(), tint);
    leaps(&before, &after).then(|| highest(&before) / highest(&after))
}

/// The levels of the nearest flashes of a colour, going away from a frame, up to where the lamp is not seen or has another
/// colour; a flash that the frame cuts in two is left out.
fn flashes<'s>(side: impl Iterator<Item = &'s Sample>, tint: usize) -> Vec<f64> {
    /// Flashes looked at.
    const NEAR: usize = 6;
    let same =
        |sample: &&Sample| sample.sighting == Sighting::Seen && sample.tint.is_none_or(|other| other == tint);
    let mut flashes = Vec::new();
    let mut flash: Option<f64> = None;
    for sample in side.take_while(same).skip_while(|sample| sample.tint.is_some()) {
        match (sample.tint, flash) {
            (Some(_), so_far) => flash = Some(so_far.unwrap_or(0.0).max(sample.level)),
            (None, Some(level)) => {
                flashes.push(level);
                flash = None;
            }
            (None, None) => {}
        }
    }
    flashes.truncate(NEAR);
    flashes
}

fn highest(levels: &[f64]) -> f64 {
    levels.iter().copied().fold(0.0, f64::max)
}

/// Whether a level leaps from one side of a frame to the other, and wavers far less on either; levels going away from it.
fn leaps(before: &[f64], after: &[f64]) -> bool {
    /// Frames or flashes that must be there on either side.
    const FEWEST: usize = 3;
    /// How many times more a leap is than the most that the level wavers by from one to the next (guessed).
    const TIMES: f64 = 3.0;
    /// A level below which its logarithm says nothing.
    const NOISE: f64 = 0.05;
    if before.len().min(after.len()) < FEWEST {
        return false;
    }
    let step = |one: f64, other: f64| (one.max(NOISE) / other.max(NOISE)).ln().abs();
    let steps = [before, after].into_iter().flat_map(|side| side.windows(2));
    let most = steps.map(|pair| step(pair[0], pair[1])).fold(0.0, f64::max);
    step(before[0], after[0]) > TIMES * most
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Of a lamp that is learnt anew after 20 frames: only a level that leaps by the look alone is put right.
    #[rstest]
    #[case::learnt_anew(20, |frame| if frame < 20 { 1.0 } else { 2.2 }, 1.0)]
    #[case::turned_up_before(20, |frame| if frame < 12 { 1.0 } else { 2.2 }, 2.2)]
    #[case::swells(20, |frame| 0.1 * frame as f64, 3.9)]
    #[case::wavers(20, |frame| [1.0, 0.8, 0.95, 1.1][frame % 4] * if frame < 20 { 1.0 } else { 2.6 }, 1.1)]
    #[case::wavers_as_much(20, |frame| [1.0, 0.5, 0.9, 1.2][frame % 4] * if frame < 20 { 1.0 } else { 2.6 }, 3.12)]
    #[case::not_learnt_anew(60, |frame| if frame < 20 { 1.0 } else { 2.2 }, 2.2)]
    #[case::flashes(22, |frame| if frame % 6 > 2 { 0.0 } else if frame < 22 { 1.0 } else { 2.2 }, 1.0)]
    #[case::flashes_brighter_from_earlier(22, |frame| if frame % 6 > 2 { 0.0 } else if frame < 18 { 1.0 } else { 2.2 }, 2.2)]
    #[case::flashes_as_unlike(22, |frame| if frame % 6 > 2 { 0.0 } else if frame % 12 > 5 { 0.5 } else if frame < 22 { 1.0 } else { 2.2 }, 2.2)]
    fn a_level_goes_on_where_the_lamp_is_learnt_anew(
        #[case] anew: usize,
        #[case] level: fn(usize) -> f64,
        #[case] last: f64,
    ) {
        let glimpses: Vec<Glimpse> = (0..40)
            .map(|frame| Glimpse {
                time_s: frame as f64 / 30.0,
                place: (0.0, 0.0),
                sighting: Sighting::Seen,
                excess: level(frame),
                base: if frame < anew { 0.3 } else { 0.1 },
                base_is_lit: true,
                alone: false,
                emitted: [level(frame), 0.0, 0.0],
                halo: None,
                clipped: 0.0,
            })
            .collect();
        let sample = |(frame, glimpse): (usize, &Glimpse)| Sample {
            time_s: glimpse.time_s,
            span_s: 1.0 / 30.0,
            sighting: Sighting::Seen,
            level: level(frame),
            level_sd: 0.03,
            chroma: None,
            tint: (level(frame) > 0.0).then_some(0),
            turned: None,
        };
        let mut samples: Vec<Sample> = glimpses.iter().enumerate().map(sample).collect();
        level_by_look(&mut samples, &glimpses);
        let highest = samples[34..]
            .iter()
            .map(|sample| sample.level)
            .fold(0.0, f64::max);
        assert!((highest - last).abs() < 1e-9, "{highest}");
        assert!((samples[0].level - level(0)).abs() < 1e-9);
    }
}
