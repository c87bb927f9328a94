//! What lies about a lamp in its two states, and how far a frame is from it.

use super::patch::{Grid, Pixel};

/// Share of the bright look that a frame may show at most: a colour of the lamp may be stronger in one channel than the
/// bright look is.
const MOST_MIX: f32 = 2.0;

/// The surround of a lamp, dark and lit, in the order of a grid's pixels.
pub(super) struct Surround<'a> {
    dark: &'a [[f32; 3]],
    bright: &'a [[f32; 3]],
    /// The pixels that are surround.
    pixels: Vec<usize>,
}

impl<'a> Surround<'a> {
    /// Of a lamp of this radius, whose typical pictures in both states are given.
    pub(super) fn between(dark: &'a [[f32; 3]], bright: &'a [[f32; 3]], grid: &Grid, radius: f64) -> Self {
        /// Radii from which on it is surround.
        const FROM_RADII: f64 = 1.9;
        let away = |&i: &usize| grid.offsets[i].0.hypot(grid.offsets[i].1) >= FROM_RADII * radius;
        Self {
            dark,
            bright,
            pixels: (0..grid.offsets.len()).filter(away).collect(),
        }
    }

    /// Mean relative difference of a frame from the nearest mixture of the dark and the bright state. The share of the
    /// bright state is free for each channel, since the lamp may light its surround in another of its colours; brighter or
    /// dimmer as a whole is no difference, since mains lighting flickers.
    pub(super) fn foreignness(&self, frame: &[Pixel]) -> f64 {
        /// How much of the light a flicker adds or takes at most, as a factor (guessed: half of it, seen for a part
        /// of its cycle).
        const FLICKER: f32 = 1.4;
        const FITS: usize = 3;
        let (mut mix, mut gain) = ([0.0f32; 3], 1.0f32);
        let expected = |mix: &[f32; 3], i: usize, k: usize| {
            self.dark[i][k] + mix[k] * (self.bright[i][k] - self.dark[i][k])
        };
        // Each is the least-squares fit with the other held.
        for _ in 0..FITS {
            for (k, mix) in mix.iter_mut().enumerate() {
                let (mut along, mut length) = (0.0f32, 1e-9f32);
                for &i in &self.pixels {
                    let more = self.bright[i][k] - self.dark[i][k];
                    along += more * (frame[i].light[k] / gain - self.dark[i][k]);
                    length += more * more;
                }
                *mix = (along / length).clamp(0.0, MOST_MIX);
            }
            let (mut along, mut length) = (0.0f32, 1e-9f32);
            for &i in &self.pixels {
                for k in 0..3 {
                    along += frame[i].light[k] * expected(&mix, i, k);
                    length += expected(&mix, i, k).powi(2);
                }
            }
            gain = (along / length).clamp(1.0 / FLICKER, FLICKER);
        }
        let (mut difference, mut level) = (0.0f64, 1e-6f64);
        for &i in &self.pixels {
            for k in 0..3 {
                let expected = gain * expected(&mix, i, k);
                difference += f64::from((frame[i].light[k] - expected).abs());
                level += f64::from(expected.abs());
            }
        }
        difference / (level + 0.02)
    }
}
