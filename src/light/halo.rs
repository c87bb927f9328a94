//! The colour of a lamp too bright for the camera, from the halo about it.
//!
//! Where a channel clips, an amber lamp looks yellow and a red one amber or white, and so does the rim, whose pixels share
//! their colour samples with the core. The halo is the same light at a hundredth of the strength: it keeps the hue.

use super::patch::{Patches, Pixel};
use super::states::gained;

/// Radii, and pixels beyond them, within which the halo is taken, and beyond which its surround begins.
const NEAR: (f64, f64) = (1.9, 3.5);
const FAR: (f64, f64) = (2.0, 4.5);
/// How near a clipped pixel may be, reduced pixels: colour is sampled for two by two pixels, and blended between samples.
const BLEEDS: f64 = 3.2;
/// How far from clipping a pixel must be, see [`Pixel::sound`].
const SOUND: f32 = 0.97;
/// Light of the halo over its surround, in the strongest channel, below which it tells nothing: a step of an 8-bit code
/// in a dim room.
const LEAST: f32 = 0.002;
/// Fewest pixels of halo and of surround.
const FEWEST: usize = 12;

/// Where the halo is, and what it is held against.
pub(super) struct Halo {
    /// Pixels and their weights, which sum to 1.
    near: Vec<(usize, f32)>,
    far: Vec<usize>,
    /// Light of the unlit halo as a share of that of its surround, by channel: a change of exposure or white balance
    /// changes both by the same factor.
    scale: [f32; 3],
}

impl Halo {
    /// `None` if the lamp does not clip in these frames, or no halo can be made out.
    pub(super) fn of(
        patches: &Patches,
        bright_frames: &[usize],
        bright: &[[f32; 3]],
        reference: &[[f32; 3]],
        radius: f64,
    ) -> Option<Self> {
        let offsets = &patches.grid.offsets;
        let from_centre = |i: usize| offsets[i].0.hypot(offsets[i].1);
        let sound = least_sound(patches, bright_frames);
        let clipped: Vec<usize> = (0..sound.len()).filter(|&i| sound[i] < SOUND).collect();
        if clipped.is_empty() {
            return None;
        }
        let apart = |i: usize| {
            let (x, y) = offsets[i];
            clipped
                .iter()
                .all(|&c| (offsets[c].0 - x).hypot(offsets[c].1 - y) > BLEEDS * patches.grid.spacing)
        };
        let near: Vec<(usize, f32)> = (0..sound.len())
            .filter(|&i| from_centre(i) <= NEAR.0 * radius + NEAR.1 && apart(i))
            .map(|i| (i, gained(&bright[i], &reference[i]).iter().sum::<f32>()))
            .collect();
        let far: Vec<usize> = (0..sound.len())
            .filter(|&i| from_centre(i) >= FAR.0 * radius + FAR.1 && apart(i))
            .collect();
        let weight: f32 = near.iter().map(|(_, weight)| weight).sum();
        if near.len() < FEWEST || far.len() < FEWEST || weight <= 0.0 {
            return None;
        }
        let near: Vec<(usize, f32)> = near.into_iter().map(|(i, w)| (i, w / weight)).collect();
        let scale = std::array::from_fn(|k| {
            let unlit: f32 = near.iter().map(|&(i, weight)| weight * reference[i][k]).sum();
            let about: f32 = far.iter().map(|&i| reference[i][k]).sum::<f32>() / far.len() as f32;
            if about > 1e-4 { unlit / about } else { 0.0 }
        });
        let halo = Self { near, far, scale };
        (halo.strongest(bright, reference) > LEAST).then_some(halo)
    }

    /// The rim of a steady lamp that clips, where it is not clipped itself and outshines what it may lie on; its pixels share
    /// their colour samples with the core, so what it keeps of the hue is less than a halo does.
    pub(super) fn rim_of(
        patches: &Patches,
        bright_frames: &[usize],
        bright: &[[f32; 3]],
        reference: &[[f32; 3]],
        radius: f64,
    ) -> Option<Self> {
        /// How many times the light of its surround it must have, in its strongest channel (guessed: a frame about the lamp
        /// may be paler than its surround).
        const TIMES: f32 = 2.0;
        /// Fewest pixels.
        const FEWEST_OF_RIM: usize = 6;
        let offsets = &patches.grid.offsets;
        let from_centre = |i: usize| offsets[i].0.hypot(offsets[i].1);
        let sound = least_sound(patches, bright_frames);
        if sound.iter().all(|sound| *sound >= SOUND) {
            return None;
        }
        let strongest = |light: &[f32; 3]| light.iter().copied().fold(0.0, f32::max);
        let near: Vec<(usize, f32)> = (0..sound.len())
            .filter(|&i| sound[i] >= SOUND && from_centre(i) <= NEAR.0 * radius + NEAR.1)
            .filter(|&i| strongest(&bright[i]) > TIMES * strongest(&reference[i]))
            .map(|i| (i, 1.0))
            .collect();
        let far: Vec<usize> = (0..sound.len())
            .filter(|&i| from_centre(i) >= FAR.0 * radius + FAR.1)
            .collect();
        if near.len() < FEWEST_OF_RIM || far.len() < FEWEST {
            return None;
        }
        let even = 1.0 / near.len() as f32;
        let near = near.into_iter().map(|(i, _)| (i, even)).collect();
        Some(Self {
            near,
            far,
            scale: [1.0; 3],
        })
    }

    /// Light of the bright look's halo over its surround, by its strongest channel.
    pub(super) fn strongest(&self, bright: &[[f32; 3]], reference: &[[f32; 3]]) -> f32 {
        let light = self.light(|i, k| bright[i][k] - reference[i][k]);
        light.into_iter().fold(f32::MIN, f32::max)
    }

    /// Red, green and blue of the halo in a frame.
    pub(super) fn emitted(&self, pixels: &[Pixel], reference: &[[f32; 3]]) -> [f64; 3] {
        self.light(|i, k| pixels[i].light[k] - reference[i][k])
            .map(f64::from)
    }

    fn light(&self, more: impl Fn(usize, usize) -> f32) -> [f32; 3] {
        std::array::from_fn(|k| {
            let near: f32 = self.near.iter().map(|&(i, weight)| weight * more(i, k)).sum();
            let far: f32 = self.far.iter().map(|&i| more(i, k)).sum::<f32>() / self.far.len() as f32;
            near - self.scale[k] * far
        })
    }
}

/// By pixel, how far from clipping it is in the frame where it is nearest.
fn least_sound(patches: &Patches, frames: &[usize]) -> Vec<f32> {
    let mut least = vec![1.0f32; patches.grid.offsets.len()];
    for picture in frames.iter().filter_map(|&i| patches.frames[i].as_ref()) {
        for (least, pixel) in least.iter_mut().zip(picture) {
            *least = least.min(pixel.sound);
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::super::patch::Grid;
    use super::*;

    const RADIUS: f64 = 4.0;
    /// Amber, linear BT.709, red 1.
    const LAMP: [f32; 3] = [1.0, 0.17, 0.0];

    /// A frame of a lamp whose core has `peak` times the light of white, under an exposure that is `gain` of the usual.
    fn frame(grid: &Grid, peak: f32, gain: f32) -> Vec<Pixel> {
        let pixel = |&(dx, dy): &(f64, f64)| {
            let from_centre = dx.hypot(dy);
            let share = if from_centre <= RADIUS {
                1.0
            } else {
                0.02 * (-from_centre / RADIUS).exp() as f32
            };
            let light: [f32; 3] = std::array::from_fn(|k| gain * 0.1 + peak * share * LAMP[k]);
            Pixel {
                light: light.map(|v| v.min(1.0)),
                sound: if light.iter().any(|v| *v > 1.0) { 0.1 } else { 1.0 },
            }
        };
        grid.offsets.iter().map(pixel).collect()
    }

    fn halo(peak: f32, gain: f32) -> (Option<Halo>, Vec<Pixel>, Vec<[f32; 3]>) {
        let grid = Grid::square(15);
        let lights = |frame: &[Pixel]| frame.iter().map(|pixel| pixel.light).collect::<Vec<_>>();
        let lit = frame(&grid, peak, gain);
        let dark = lights(&frame(&grid, 0.0, 1.0));
        let patches = Patches {
            frames: vec![Some(lit.clone())],
            outside: vec![false],
            grid,
        };
        (Halo::of(&patches, &[0], &lights(&lit), &dark, RADIUS), lit, dark)
    }

    #[test]
    fn the_halo_keeps_the_hue_whatever_the_exposure_did() {
        for gain in [1.0, 0.97, 1.03] {
            let (halo, lit, dark) = halo(5.0, gain);
            let [red, green, blue] = halo.expect("it clips and has a halo").emitted(&lit, &dark);
            assert!((green / red - 0.17).abs() < 0.005, "{gain}: {green} of {red}");
            assert!((blue / red).abs() < 0.005, "{gain}: {blue} of {red}");
        }
    }

    #[test]
    fn a_lamp_that_does_not_clip_needs_none() {
        assert!(halo(0.8, 1.0).0.is_none());
    }
}
