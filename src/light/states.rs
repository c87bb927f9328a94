//! The dark and the bright state of a lamp: their typical pictures, where they differ, and whether they are
//! lit.

use super::clear::uncovered;
use super::cover;
use super::half_covered::without_hand;
use super::patch::{Patches, Pixel, from_centre};
use super::swell::darker;

/// The frames that show the lamp dark and bright, by its course; all frames for both where it does not change. Of the darker
/// frames only the darkest count: a lamp of several colours may spend more time in a dim colour than unlit.
pub(super) fn frames_of_states(
    patches: &Patches,
    course: &[Option<f64>],
    changes: bool,
    radius: f64,
) -> (Vec<usize>, Vec<usize>) {
    /// Share of the darker frames that count, and least number: as many as tell a cover.
    const DARKEST: f64 = 0.3;
    const FEWEST: usize = cover::FEWEST;
    /// Of a lamp of three colours the two that differ most may both be lit, with the unlit state between them by its course:
    /// what is darker than either by so much (guessed) may be it.
    const DARKER: f32 = 0.8;
    let all = || patches.seen().map(|(i, _)| i);
    let bright: Vec<usize> = all().filter(|&i| course[i].is_some_and(|c| c > 0.75)).collect();
    let below: Vec<usize> = all().filter(|&i| course[i].is_some_and(|c| c < 0.25)).collect();
    let light = |i: usize| -> Option<f32> {
        let core = patches.frames[i].as_ref()?.iter().zip(&patches.grid.offsets);
        let core = core.filter(|(_, o)| from_centre(**o) <= radius);
        Some(core.map(|(pixel, _)| pixel.mean()).sum())
    };
    let with_darker = || {
        let least = below.iter().filter_map(|&i| light(i)).reduce(f32::min)?;
        let is_darker = |&i: &usize| {
            let between = course[i].is_some_and(|c| (0.25..=0.75).contains(&c));
            between && light(i).is_some_and(|light| light < DARKER * least)
        };
        let mut all: Vec<usize> = all().filter(is_darker).chain(below.iter().copied()).collect();
        all.sort_unstable();
        Some(all).filter(|all| all.len() >= below.len() + FEWEST)
    };
    let dark = darker(patches, course, &bright, radius)
        .or_else(|| uncovered(patches, &with_darker()?, radius))
        .or_else(|| uncovered(patches, &below, radius))
        .unwrap_or_else(|| below.clone());
    if !changes || dark.is_empty() || bright.is_empty() {
        return (all().collect(), all().collect());
    }
    let (dark, bright) = without_hand(patches, (dark, bright), light, radius);
    let mut dark: Vec<(f32, usize)> = dark.into_iter().filter_map(|i| Some((light(i)?, i))).collect();
    dark.sort_by(|a, b| a.0.total_cmp(&b.0));
    dark.truncate(((dark.len() as f64 * DARKEST) as usize).max(FEWEST));
    (dark.into_iter().map(|(_, i)| i).collect(), bright)
}

/// What a pixel gained, channel by channel. A source takes nothing away: a channel that fell did so by an
/// exposure that answered the lamp.
pub(super) fn gained(now: &[f32; 3], before: &[f32; 3]) -> [f32; 3] {
    std::array::from_fn(|k| (now[k] - before[k]).max(0.0))
}

pub(super) fn sum3(v: &[f32; 3]) -> f32 {
    v[0] + v[1] + v[2]
}

/// Pixel by pixel and channel by channel the median over the frames: what covered the lamp in some of them
/// leaves no mark.
pub(super) fn typical(patches: &Patches, frames: &[usize]) -> Vec<[f32; 3]> {
    /// Frames looked at; more would cost time and hardly lower the noise further.
    const LOOKED_AT: usize = 25;
    let step = frames.len().div_ceil(LOOKED_AT).max(1);
    let pictures: Vec<&Vec<Pixel>> = frames
        .iter()
        .step_by(step)
        .filter_map(|&i| patches.frames[i].as_ref())
        .collect();
    let mut values = Vec::with_capacity(pictures.len());
    (0..patches.grid.offsets.len())
        .map(|pixel| {
            std::array::from_fn(|k| {
                values.clear();
                values.extend(pictures.iter().map(|picture| picture[pixel].light[k]));
                let middle = values.len() / 2;
                *values.select_nth_unstable_by(middle, f32::total_cmp).1
            })
        })
        .collect()
}

/// Weights of the pixels that give the lamp's light, channel by channel, from what a frame has more than the reference;
/// they sum to 1. A matched filter over the pixels that even the bright look does not clip, since only those answer in
/// proportion to the light. The same for all channels, so that every colour of the lamp counts alike.
pub(super) fn pull(
    patches: &Patches,
    bright_frames: &[usize],
    bright: &[[f32; 3]],
    reference: &[[f32; 3]],
    radius: f64,
) -> Vec<f32> {
    /// Radii within which light of the lamp is looked for, and share of the strongest below which a pixel is
    /// noise.
    const REACH: f64 = 2.6;
    const FAINT: f32 = 0.03;
    /// Weight of a wholly clipped pixel: it counts only where nothing better is.
    const CLIPPED: f32 = 0.02;
    let sound = |pixel: usize| -> f32 {
        let pictures = bright_frames.iter().filter_map(|&i| patches.frames[i].as_ref());
        let (sum, count) = pictures.fold((0.0, 0.0), |(s, n), picture| (s + picture[pixel].sound, n + 1.0));
        sum / f32::max(count, 1.0)
    };
    let within = |pixel: usize| {
        patches.grid.offsets[pixel].0.hypot(patches.grid.offsets[pixel].1) <= REACH * radius + 1.0
    };
    let gain = |pixel: usize| gained(&bright[pixel], &reference[pixel]).iter().sum::<f32>();
    let top = (0..bright.len())
        .filter(|&i| within(i))
        .map(gain)
        .fold(0.0f32, f32::max);
    let weights: Vec<f32> = (0..bright.len())
        .map(|i| {
            if within(i) && gain(i) >= FAINT * top {
                sound(i).powi(2).max(CLIPPED) * gain(i)
            } else {
                0.0
            }
        })
        .collect();
    let sum: f32 = weights.iter().sum();
    weights.into_iter().map(|w| w / sum.max(1e-9)).collect()
}

/// Mean light of the pixels between two distances from the centre.
pub(super) fn ring_mean(
    picture: impl Iterator<Item = [f32; 3]>,
    offsets: &[(f64, f64)],
    (from, to): (f64, f64),
) -> [f32; 3] {
    let (mut sum, mut count) = ([0.0f32; 3], 0.0f32);
    for (pixel, offset) in picture.zip(offsets) {
        let distance = from_centre(*offset);
        if distance >= from && distance <= to {
            for (sum, light) in sum.iter_mut().zip(pixel) {
                *sum += light;
            }
            count += 1.0;
        }
    }
    sum.map(|sum| sum / count.max(1.0))
}

/// The lamp's shape: where its light is, as weights that sum to 1.
pub(super) fn shape(bright: &[[f32; 3]], dark: &[[f32; 3]], offsets: &[(f64, f64)], radius: f64) -> Vec<f32> {
    /// Pixels weaker than this share of the strongest are noise or far halo.
    const FAINT: f32 = 0.12;
    let reach = 2.0 * radius;
    let light: Vec<f32> = bright
        .iter()
        .zip(dark)
        .zip(offsets)
        .map(|((b, d), o)| {
            if o.0.hypot(o.1) <= reach {
                sum3(&gained(b, d))
            } else {
                0.0
            }
        })
        .collect();
    let top = light.iter().copied().fold(0.0, f32::max);
    let kept: Vec<f32> = light
        .iter()
        .map(|&v| if v >= FAINT * top { v } else { 0.0 })
        .collect();
    let sum: f32 = kept.iter().sum();
    if sum > 0.0 {
        return kept.iter().map(|v| v / sum).collect();
    }
    // Nothing is brighter: weigh the disc evenly, so that a dark lamp reads as dark.
    disc(offsets, radius)
}

/// Even weights over the lamp's disc, that sum to 1.
pub(super) fn disc(offsets: &[(f64, f64)], radius: f64) -> Vec<f32> {
    let is_inside = |o: &(f64, f64)| o.0.hypot(o.1) <= radius;
    let inside = offsets.iter().filter(|o| is_inside(o)).count() as f32;
    offsets
        .iter()
        .map(|o| if is_inside(o) { 1.0 / inside } else { 0.0 })
        .collect()
}
