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
    let mean = |light: &dyn Fn(usize) -> f32| {
        about.iter().map(|&i| light(i)).sum::<f32>() / about.len().max(1) as f32
    };
    let unlit: Vec<(usize, f32)> = patches
        .seen()
        .filter(|(i, _)| course[*i].is_some_and(|course| course < 0.25))
        .map(|(i, pixels)| (i, mean(&|k| pixels[k].mean()) + BLACK))
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
    let gain = |k: usize| (mean(&|i| bright[i][k]) + BLACK) / (mean(&|i| dark[i][k]) + BLACK);
    let least = (0..3).map(gain).fold(f32::INFINITY, f32::min);
    least.clamp(1.0 / flicker, flicker)
}
