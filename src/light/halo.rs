//! The colour of a lamp too bright for the camera, from the halo about it.
//!
//! Where a channel clips, an amber lamp looks yellow and a red one amber or white, and so does the rim, whose pixels share
//! their colour samples with the core. The halo is the same light at a hundredth of the strength: it keeps the hue.

use super::patch::{Grid, Patches, Pixel, from_centre};
use super::states::gained;

/// Radii, and pixels beyond them, within which the halo is taken, and beyond which its surround begins (guessed).
const NEAR: (f64, f64) = (1.9, 3.5);
const FAR: (f64, f64) = (2.0, 4.5);
/// How near a clipped pixel may be, reduced pixels: colour is sampled for two by two pixels, and blended between
/// samples (guessed).
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

/// A lamp in its bright state.
pub(super) struct Lit<'a> {
    grid: &'a Grid,
    /// By pixel, how far from clipping it is in the frame where it is nearest.
    sound: Vec<f32>,
    bright: &'a [[f32; 3]],
    reference: &'a [[f32; 3]],
    radius: f64,
}

impl<'a> Lit<'a> {
    /// `None` if it does not clip in these frames.
    pub(super) fn clipped(
        patches: &'a Patches,
        bright_frames: &[usize],
        bright: &'a [[f32; 3]],
        reference: &'a [[f32; 3]],
        radius: f64,
    ) -> Option<Self> {
        let sound = least_sound(patches, bright_frames);
        sound.iter().any(|sound| *sound < SOUND).then_some(Self {
            grid: &patches.grid,
            sound,
            bright,
            reference,
            radius,
        })
    }

    fn is_near(&self, pixel: usize) -> bool {
        from_centre(self.grid.offsets[pixel]) <= NEAR.0 * self.radius + NEAR.1
    }

    fn is_far(&self, pixel: usize) -> bool {
        from_centre(self.grid.offsets[pixel]) >= FAR.0 * self.radius + FAR.1
    }
}

impl Halo {
    /// `None` if no halo can be made out.
    pub(super) fn of(lamp: &Lit<'_>) -> Option<Self> {
        let offsets = &lamp.grid.offsets;
        let clipped: Vec<usize> = (0..offsets.len()).filter(|&i| lamp.sound[i] < SOUND).collect();
        let apart = |i: usize| {
            let (x, y) = offsets[i];
            clipped
                .iter()
                .all(|&c| (offsets[c].0 - x).hypot(offsets[c].1 - y) > BLEEDS * lamp.grid.spacing)
        };
        let near: Vec<(usize, f32)> = (0..offsets.len())
            .filter(|&i| lamp.is_near(i) && apart(i))
            .map(|i| (i, gained(&lamp.bright[i], &lamp.reference[i]).iter().sum::<f32>()))
            .collect();
        let far: Vec<usize> = (0..offsets.len())
            .filter(|&i| lamp.is_far(i) && apart(i))
            .collect();
        let weight: f32 = near.iter().map(|(_, weight)| weight).sum();
        if near.len() < FEWEST || far.len() < FEWEST || weight <= 0.0 {
            return None;
        }
        let near: Vec<(usize, f32)> = near.into_iter().map(|(i, w)| (i, w / weight)).collect();
        let scale = std::array::from_fn(|k| {
            let unlit: f32 = near
                .iter()
                .map(|&(i, weight)| weight * lamp.reference[i][k])
                .sum();
            let about: f32 = far.iter().map(|&i| lamp.reference[i][k]).sum::<f32>() / far.len() as f32;
            if about > 1e-4 { unlit / about } else { 0.0 }
        });
        let halo = Self { near, far, scale };
        (halo.strongest(lamp.bright, lamp.reference) > LEAST).then_some(halo)
    }

    /// The rim of a lamp that is never unlit, where it does not clip and outshines what it may lie on; its pixels share their
    /// colour samples with the core, so that it keeps less of the hue than a halo does.
    pub(super) fn rim_of(lamp: &Lit<'_>) -> Option<Self> {
        /// How many times the light of its surround it must have, in its strongest channel (guessed: a frame about the lamp
        /// may be paler than its surround).
        const TIMES: f32 = 2.0;
        /// Fewest pixels of it.
        const FEWEST_OF_RIM: usize = 6;
        let strongest = |light: &[f32; 3]| light.iter().copied().fold(0.0, f32::max);
        let outshines = |i: usize| strongest(&lamp.bright[i]) > TIMES * strongest(&lamp.reference[i]);
        let pixels = || 0..lamp.sound.len();
        let near: Vec<usize> = pixels()
            .filter(|&i| lamp.sound[i] >= SOUND && lamp.is_near(i) && outshines(i))
            .collect();
        let far: Vec<usize> = pixels().filter(|&i| lamp.is_far(i)).collect();
        let weight = 1.0 / near.len() as f32;
        (near.len() >= FEWEST_OF_RIM && far.len() >= FEWEST).then(|| Self {
            near: near.into_iter().map(|i| (i, weight)).collect(),
            far,
            scale: [1.0; 3],
        })
    }

    /// Light of the bright look's halo over its surround, by its strongest channel.
    pub(super) fn strongest(&self, bright: &[[f32; 3]], reference: &[[f32; 3]]) -> f32 {
        let light = self.light(|i, k| bright[i][k] - reference[i][k]);
        light.into_iter().fold(f32::MIN, f32::max)
    }

    /// Red, green and blue of the halo in a frame, in which a pixel has `gain` times the light of the reference.
    pub(super) fn emitted(
        &self,
        pixels: &[Pixel],
        reference: &[[f32; 3]],
        gain: impl Fn(usize) -> f32,
    ) -> [f64; 3] {
        self.light(|i, k| pixels[i].light[k] - gain(i) * reference[i][k])
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
        let bright = lights(&lit);
        let found = Lit::clipped(&patches, &[0], &bright, &dark, RADIUS).and_then(|lamp| Halo::of(&lamp));
        (found, lit, dark)
    }

    #[test]
    fn the_halo_keeps_the_hue_whatever_the_exposure_did() {
        for gain in [1.0, 0.97, 1.03] {
            let (halo, lit, dark) = halo(5.0, gain);
            let [red, green, blue] = halo
                .expect("it clips and has a halo")
                .emitted(&lit, &dark, |_| 1.0);
            assert!((green / red - 0.17).abs() < 0.005, "{gain}: {green} of {red}");
            assert!((blue / red).abs() < 0.005, "{gain}: {blue} of {red}");
        }
    }

    #[test]
    fn a_lamp_that_does_not_clip_needs_none() {
        assert!(halo(0.8, 1.0).0.is_none());
    }
}
