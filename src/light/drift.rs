//! Light of the room that changes slowly about one lamp, between the two looks of it.

use super::flicker::About;
use super::patch::Patches;
use super::score::median;

/// How many times as much light of the room the bright look has as the dark one, where that drifts: a shadow moves, or the
/// camera lightens a part of the picture. Each look is of the frames that show its state, and those of the dark one are the
/// darkest. By the unlit frames before and after each bright one, in the channel that drifts least; 1 where the light about
/// the lamp leaps, or both looks are of the same frames.
pub(super) fn room_drift(
    patches: &Patches,
    course: &[Option<f64>],
    (dark_frames, bright_frames): (&[usize], &[usize]),
    radius: f64,
) -> f32 {
    /// Change from one unlit frame to the next that one in ten may exceed where light drifts, as a power of e (guessed: in a
    /// second it is as much again as there was).
    const LEAP: f64 = 0.02;
    if dark_frames == bright_frames {
        return 1.0;
    }
    let unlit: Vec<(usize, [f64; 3])> = About::of(&patches.grid, radius)
        .unlit(patches, course)
        .into_iter()
        .map(|(i, light)| (i, light.map(|channel| f64::from(channel).ln())))
        .collect();
    let next = unlit.windows(2).filter(|pair| pair[1].0 == pair[0].0 + 1);
    let mut steps: Vec<f64> = next
        .map(|pair| {
            (0..3)
                .map(|k| (pair[1].1[k] - pair[0].1[k]).abs())
                .fold(f64::INFINITY, f64::min)
        })
        .collect();
    steps.sort_by(f64::total_cmp);
    if steps.get(steps.len() * 9 / 10).is_none_or(|step| *step > LEAP) {
        return 1.0;
    }
    let drift = |k: usize| {
        let mut then: Vec<f64> = bright_frames
            .iter()
            .filter_map(|&frame| between(&unlit, frame, k))
            .collect();
        let dark = unlit.iter().filter(|(i, _)| dark_frames.contains(i));
        let mut usual: Vec<f64> = dark.map(|(_, light)| light[k]).collect();
        Some(median(&mut then)? - median(&mut usual)?)
    };
    let drifts = (0..3).filter_map(drift);
    let least = drifts.min_by(|one, other| one.abs().total_cmp(&other.abs()));
    least.map_or(1.0, |drift| drift.exp() as f32)
}

/// Light about a lamp in a frame in which it is lit, from the unlit frames next to it on both sides.
fn between(unlit: &[(usize, [f64; 3])], frame: usize, k: usize) -> Option<f64> {
    /// Unlit frames on each side.
    const FRAMES: usize = 3;
    let at = unlit.partition_point(|(i, _)| *i < frame);
    let of =
        |some: &[(usize, [f64; 3])]| median(&mut some.iter().map(|(_, light)| light[k]).collect::<Vec<_>>());
    let before = of(&unlit[at.saturating_sub(FRAMES)..at]);
    let after = of(&unlit[at..unlit.len().min(at + FRAMES)]);
    match (before, after) {
        (Some(before), Some(after)) => Some(0.5 * (before + after)),
        (one, other) => one.or(other),
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::light::patch::{Grid, Pixel};

    /// A red lamp that is lit in every other stretch of ten frames, its glow on a wall whose light is `room` by frame.
    fn drift(room: impl Fn(usize) -> f32) -> f32 {
        const FRAMES: usize = 40;
        let grid = Grid::square(8);
        let lit = |frame: usize| frame / 10 % 2 == 1;
        let frames = (0..FRAMES).map(|frame| {
            let glow = if lit(frame) { 0.1 } else { 0.0 };
            let pixel = Pixel {
                light: [room(frame) + glow, room(frame), room(frame)],
                sound: 1.0,
            };
            Some(vec![pixel; grid.offsets.len()])
        });
        let patches = Patches {
            frames: frames.collect(),
            outside: vec![false; FRAMES],
            grid: grid.clone(),
        };
        let course: Vec<Option<f64>> = (0..FRAMES)
            .map(|frame| Some(f64::from(u8::from(lit(frame)))))
            .collect();
        let bright: Vec<usize> = (10..20).collect();
        let dark: Vec<usize> = (20..30).collect();
        room_drift(&patches, &course, (&dark, &bright), 2.0)
    }

    /// The lamp is lit on the way from 0.5 in the tenth frame to 0.4 in the twentieth, and dark after that.
    #[rstest]
    #[case::steady(|_| 0.5, 1.0)]
    #[case::falls(|frame: usize| 0.5 - 0.01 * (frame.clamp(10, 20) - 10) as f32, 1.12)]
    #[case::leaps(|frame| if frame % 2 == 0 { 0.5 } else { 0.4 }, 1.0)]
    fn the_dark_look_is_brought_to_the_light_of_the_bright_one(
        #[case] room: fn(usize) -> f32,
        #[case] expected: f32,
    ) {
        let got = drift(room);
        assert!((got - expected).abs() < 0.01, "{got}");
    }
}
