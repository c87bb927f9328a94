//! Light of the room that flickers, between the two looks of a lamp.

use super::patch::{Patches, from_centre};
use super::score::median;
use super::surround::begins;

/// How many times as much light of the room the bright look has as the dark one, where that flickers: each is of the frames
/// that show its state, and those may all be of one phase of the mains. Else 1.
pub(super) fn room_gain(
    patches: &Patches,
    course: &[Option<f64>],
    dark: &[[f32; 3]],
    bright: &[[f32; 3]],
    radius: f64,
) -> f32 {
    /// Change of a dark surround's light from one frame to the next without a flicker, as a share (guessed: noise and errors
    /// of the exposure stay below; a camera that opens up takes several frames).
    const STEADY: f64 = 0.05;
    /// Light about a lamp that is as good as none, of the sensor's range (guessed).
    const BLACK: f32 = 0.003;
    let about: Vec<usize> = (0..dark.len())
        .filter(|&i| from_centre(patches.grid.offsets[i]) >= begins(radius))
        .collect();
    // What is coded below black is black.
    let mean = |light: &dyn Fn(usize) -> f32| {
        let mean = about.iter().map(|&i| light(i)).sum::<f32>() / about.len().max(1) as f32;
        mean.max(0.0) + BLACK
    };
    let unlit: Vec<(usize, f32)> = patches
        .seen()
        .filter(|(i, _)| course[*i].is_some_and(|course| course < 0.25))
        .map(|(i, pixels)| (i, mean(&|k| pixels[k].mean())))
        .collect();
    let neighbours = unlit.windows(2).filter(|pair| pair[1].0 == pair[0].0 + 1);
    let mut changes: Vec<f64> = neighbours
        .map(|pair| f64::from((pair[1].1 / pair[0].1).ln().abs()))
        .collect();
    if median(&mut changes).is_none_or(|change| change < STEADY) {
        return 1.0;
    }
    let lights = || unlit.iter().map(|(_, light)| *light);
    let flicker = lights().fold(0.0, f32::max) / lights().fold(f32::INFINITY, f32::min);
    // The lamp's own light is about it too, but hardly in the channel that it has least of.
    let gain = |k: usize| mean(&|i| bright[i][k]) / mean(&|i| dark[i][k]);
    let least = (0..3).map(gain).fold(f32::INFINITY, f32::min);
    least.clamp(1.0 / flicker, flicker)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::light::patch::{Grid, Pixel};

    /// A red lamp that is lit in every other stretch of six frames, in a room whose light goes through `room` again and again.
    fn gain(room: &[f32]) -> f32 {
        let grid = Grid::square(8);
        let lit = |frame: usize| frame / 6 % 2 == 1;
        let light = |frame: usize| room[frame % room.len()];
        let frames = (0..48).map(|frame| {
            let halo = if lit(frame) { 0.02 } else { 0.0 };
            let pixel = Pixel {
                light: [light(frame) + halo, light(frame), light(frame)],
                sound: 1.0,
            };
            Some(vec![pixel; grid.offsets.len()])
        });
        let patches = Patches {
            frames: frames.collect(),
            outside: vec![false; 48],
            grid: grid.clone(),
        };
        let course: Vec<Option<f64>> = (0..48)
            .map(|frame| Some(f64::from(u8::from(lit(frame)))))
            .collect();
        let look = |light: [f32; 3]| vec![light; grid.offsets.len()];
        // The dark look is of the room's first phase, the bright one of its last.
        let (dark, bright) = (room[0], room[room.len() - 1]);
        room_gain(
            &patches,
            &course,
            &look([dark; 3]),
            &look([bright + 0.02, bright, bright]),
            2.0,
        )
    }

    #[rstest]
    #[case::flickers(&[0.05, 0.12, 0.15], 2.89)]
    #[case::is_steady(&[0.1], 1.0)]
    #[case::is_black(&[-0.004], 1.0)]
    #[case::goes_below_black(&[-0.004, 0.01, 0.03], 11.0)]
    fn the_looks_are_brought_to_one_light(#[case] room: &[f32], #[case] expected: f32) {
        assert!((gain(room) - expected).abs() < 0.01, "{}", gain(room));
    }
}
