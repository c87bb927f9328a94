//! The colour of a lamp's own light in one frame.

use super::flicker::RoomGain;
use super::look::Look;
use super::patch::{Pixel, from_centre};
use super::states::{gained, ring_mean, sum3};
use crate::colour::{D65, uv};

/// What one pixel tells of the lamp's light.
struct Told {
    /// Red, green and blue that it has more than without the lamp.
    more: [f32; 3],
    /// Light by which it is chosen and weighed.
    light: f32,
    /// Share of its weight that is left by doubt about what it is without the lamp.
    sure: f32,
}

impl Look {
    /// Colour of the light that the frame has more than the reference, where the room gives `gain` times its usual light.
    pub(super) fn emitted(&self, pixels: &[Pixel], gain: RoomGain) -> [f64; 3] {
        if self.base_is_lit {
            return self.over_surround_of(pixels);
        }
        let parts = self.summed(pixels, |i, pixel| self.over_unlit(i, pixel, gain));
        // A source takes nothing away: what a camera shows darker for it, it took out to make the hue stronger.
        std::array::from_fn(|k| parts.iter().map(|part| part[k].max(0.0)).sum())
    }

    /// What a pixel has over the unlit look. Pixels are chosen by the looks, and darker ones count as such: where a frame's own
    /// noise chose them, what it adds would count and what it takes would not, and noise is white.
    fn over_unlit(&self, i: usize, pixel: &Pixel, gain: RoomGain) -> Told {
        /// Share of the room's light on a pixel that a frame may have more or less of than was reckoned with (guessed).
        const UNSURE: f32 = 0.2;
        let gain = gain.at(self.grid.offsets[i]);
        let unlit = self.reference[i].map(|light| gain * light);
        let light = sum3(&gained(&self.bright[i], &self.reference[i]));
        Told {
            more: std::array::from_fn(|k| pixel.light[k] - unlit[k]),
            light,
            sure: light / (light + UNSURE * sum3(&unlit)),
        }
    }

    /// Of a lamp that is never unlit: over its surround, which may have another light in each frame. What is about it may be a
    /// case in the room's light; but clipping makes a lamp paler than its halo, so what makes it far paler is no halo.
    fn over_surround_of(&self, pixels: &[Pixel]) -> [f64; 3] {
        /// Share of the lamp's distance from white that the light about it leaves where it is a halo (guessed: some of the room's
        /// is in every halo, and the names of colours know it).
        const LEFT: f64 = 0.7;
        let lights = pixels.iter().map(|pixel| pixel.light);
        let around = ring_mean(lights, &self.grid.offsets, self.ring);
        let [of_lamp, of_halo] = self.summed(pixels, |_, pixel| {
            let more = gained(&pixel.light, &around);
            Told {
                more,
                light: sum3(&more),
                sure: 1.0,
            }
        });
        let both = std::array::from_fn(|k| of_lamp[k] + of_halo[k]);
        let is_case = from_white(both) < LEFT * from_white(of_lamp);
        if is_case { of_lamp } else { both }
    }

    /// Sums over the lamp and over its halo.
    fn summed(&self, pixels: &[Pixel], told: impl Fn(usize, &Pixel) -> Told) -> [[f64; 3]; 2] {
        /// Brightest and faintest a pixel may count, as a share of the brightest: the halo, which keeps its
        /// hue, is to weigh as much as the core, which is near clipping.
        const CAP: f32 = 0.08;
        const FAINT: f32 = 0.04;
        /// Radii within which the halo is looked for.
        const REACH: f64 = 2.6;
        /// Radii within which light is the lamp's own (guessed: the rest is its blur).
        const RIM: f64 = 1.2;
        let looks = self.bright.iter().zip(&self.reference).zip(&self.shape);
        let top = looks
            .filter(|(_, weight)| **weight > 0.0)
            .map(|((bright, reference), _)| sum3(&gained(bright, reference)))
            .fold(1e-3f32, f32::max);
        let mut sums = [[0.0f64; 3]; 2];
        for (i, pixel) in pixels.iter().enumerate() {
            let from_centre = from_centre(self.grid.offsets[i]);
            if from_centre > REACH * self.radius + 1.0 {
                continue;
            }
            let Told { more, light, sure } = told(i, pixel);
            if light < FAINT * top {
                continue;
            }
            let counts = pixel.sound * sure * CAP * top / light.max(CAP * top);
            let part = usize::from(from_centre > RIM * self.radius + 1.0);
            for (sum, more) in sums[part].iter_mut().zip(more) {
                *sum += f64::from(counts * more);
            }
        }
        sums
    }
}

/// Distance of a light from white in u'v'.
fn from_white(light: [f64; 3]) -> f64 {
    uv(light).map_or(0.0, |(u, v)| (u - D65.0).hypot(v - D65.1))
}
