//! From the pixels about a lamp to one glimpse a frame.

use super::glimpse::{Glimpse, Sighting};
use super::patch::{Patches, Pixel};
use super::scan::Seed;
use super::window::Window;
use crate::colour::Decoder;

/// Measures one lamp in every frame of a window.
pub(super) fn measure(window: &Window, decoder: &Decoder, gains: &[f64], seed: &Seed) -> Vec<Glimpse> {
    /// The square reaches this many radii from the centre: the lamp, its halo and enough surround to know its place by.
    const REACH: f64 = 2.6;
    let half = ((seed.radius * REACH).ceil() as usize + 3).clamp(6, 30);
    let patches = Patches::cut(window, decoder, gains, (seed.x, seed.y), half);
    let lamp = Lamp::learn(&patches, seed);
    let cover = lamp.as_ref().map(|lamp| lamp.cover(&patches)).unwrap_or_default();
    window
        .frames
        .iter()
        .enumerate()
        .map(|(i, kept)| {
            let blank = Glimpse {
                time_s: kept.picture.time_s,
                sighting: if patches.outside[i] {
                    Sighting::OutOfFrame
                } else {
                    Sighting::Hidden
                },
                excess: 0.0,
                base: 0.0,
                base_is_lit: false,
                emitted: [0.0; 3],
                clipped: 0.0,
            };
            match (&lamp, &patches.frames[i]) {
                (Some(lamp), Some(pixels)) if !cover[i] => lamp.glimpse(pixels, blank),
                _ => blank,
            }
        })
        .collect()
}

/// The look of one lamp over a window.
struct Lamp {
    /// Its darkest state, pixel by pixel.
    dark: Vec<[f32; 3]>,
    /// Its brightest state, likewise.
    bright: Vec<[f32; 3]>,
    /// Weight of each pixel in the lamp's light, summing to 1.
    shape: Vec<f32>,
    /// Pixels of the surround.
    surround: Vec<bool>,
    base: f64,
    base_is_lit: bool,
}

impl Lamp {
    fn learn(patches: &Patches, seed: &Seed) -> Option<Self> {
        let distance = |offset: &(f64, f64)| offset.0.hypot(offset.1);
        let core: Vec<bool> = patches
            .offsets
            .iter()
            .map(|o| distance(o) <= seed.radius.max(1.5))
            .collect();
        let surround: Vec<bool> = patches
            .offsets
            .iter()
            .map(|o| distance(o) > 1.9 * seed.radius.max(1.5))
            .collect();
        let mut order: Vec<(f64, usize)> = patches
            .seen()
            .map(|(i, pixels)| (mean_over(pixels, &core), i))
            .collect();
        if order.is_empty() {
            return None;
        }
        order.sort_by(|a, b| a.0.total_cmp(&b.0));
        // The second from either end, so that one bad frame decides nothing.
        let inner = usize::from(order.len() > 5);
        let (low, high) = (order[inner].0, order[order.len() - 1 - inner].0);
        let range = high - low;
        let pick = |from: f64, to: f64| -> Vec<usize> {
            order
                .iter()
                .filter(|(v, _)| (from..=to).contains(v))
                .map(|(_, i)| *i)
                .collect()
        };
        let dark_frames = pick(f64::NEG_INFINITY, low + 0.25 * range);
        let bright_frames = pick(low + 0.6 * range, f64::INFINITY);
        let dark = average(patches, &dark_frames);
        let bright = average(patches, &bright_frames);
        let ring = ring_mean(&dark, &surround);
        let base_light: f64 = dark
            .iter()
            .zip(&core)
            .filter(|(_, inside)| **inside)
            .map(|(p, _)| f64::from(sum3(p)) / 3.0)
            .sum::<f64>()
            / core.iter().filter(|inside| **inside).count() as f64;
        let base = base_light - f64::from(sum3(&ring)) / 3.0;
        let base_is_lit = looks_lit(&dark, &core, &ring);
        let reference: Vec<[f32; 3]> = if base_is_lit {
            vec![ring; dark.len()]
        } else {
            dark.clone()
        };
        let shape = shape(&bright, &reference, &patches.offsets, seed.radius);
        Some(Self {
            dark: reference,
            bright,
            shape,
            surround,
            base,
            base_is_lit,
        })
    }

    fn glimpse(&self, pixels: &[Pixel], blank: Glimpse) -> Glimpse {
        let (mut excess, mut emitted, mut clipped, mut all) = (0.0f64, [0.0f64; 3], 0.0f64, 0.0f64);
        for ((pixel, dark), &weight) in pixels.iter().zip(&self.dark).zip(&self.shape) {
            if weight == 0.0 {
                continue;
            }
            let more: [f32; 3] = std::array::from_fn(|k| pixel.light[k] - dark[k]);
            let light = f64::from(weight * sum3(&more) / 3.0);
            excess += light;
            all += light.abs();
            clipped += light.abs() * f64::from(1.0 - pixel.sound);
            for k in 0..3 {
                emitted[k] += f64::from(weight * pixel.sound * more[k]);
            }
        }
        Glimpse {
            sighting: Sighting::Seen,
            excess,
            base: self.base,
            base_is_lit: self.base_is_lit,
            emitted,
            clipped: if all > 0.0 { clipped / all } else { 0.0 },
            ..blank
        }
    }

    /// Frames in which the surround is not what it was in any state of the lamp: something lies over it.
    fn cover(&self, patches: &Patches) -> Vec<bool> {
        /// Relative difference of the surround beyond which it is something else (guessed: twice what a badly registered
        /// frame gives), and how many times the typical difference it must be.
        const FOREIGN: f64 = 0.35;
        const TIMES_USUAL: f64 = 3.0;
        let differences: Vec<Option<f64>> = patches
            .frames
            .iter()
            .map(|frame| Some(self.foreignness(frame.as_ref()?)))
            .collect();
        let mut known: Vec<f64> = differences.iter().flatten().copied().collect();
        let usual = super::score::median(&mut known).unwrap_or(0.0);
        differences
            .iter()
            .map(|difference| difference.is_some_and(|d| d > FOREIGN && d > TIMES_USUAL * usual))
            .collect()
    }

    /// Mean relative difference of the surround from the nearest mixture of its dark and bright states.
    fn foreignness(&self, pixels: &[Pixel]) -> f64 {
        [0.0f32, 0.5, 1.0]
            .into_iter()
            .map(|mix| {
                let (mut difference, mut level) = (0.0f64, 1e-6f64);
                for (i, pixel) in pixels.iter().enumerate().filter(|(i, _)| self.surround[*i]) {
                    for k in 0..3 {
                        let expected = self.dark[i][k] * (1.0 - mix) + self.bright[i][k] * mix;
                        difference += f64::from((pixel.light[k] - expected).abs());
                        level += f64::from(expected.abs());
                    }
                }
                difference / (level + 0.02)
            })
            .fold(f64::INFINITY, f64::min)
    }
}

fn sum3(v: &[f32; 3]) -> f32 {
    v[0] + v[1] + v[2]
}

fn mean_over(pixels: &[Pixel], mask: &[bool]) -> f64 {
    let (mut sum, mut count) = (0.0, 0usize);
    for (pixel, _) in pixels.iter().zip(mask).filter(|(_, inside)| **inside) {
        sum += f64::from(pixel.mean());
        count += 1;
    }
    sum / count.max(1) as f64
}

fn average(patches: &Patches, frames: &[usize]) -> Vec<[f32; 3]> {
    let mut sums = vec![[0.0f32; 3]; patches.offsets.len()];
    let mut count = 0;
    for pixels in frames.iter().filter_map(|&i| patches.frames[i].as_ref()) {
        count += 1;
        for (sum, pixel) in sums.iter_mut().zip(pixels) {
            for k in 0..3 {
                sum[k] += pixel.light[k];
            }
        }
    }
    for sum in &mut sums {
        *sum = sum.map(|v| v / f32::max(count as f32, 1.0));
    }
    sums
}

fn ring_mean(picture: &[[f32; 3]], surround: &[bool]) -> [f32; 3] {
    let mut sum = [0.0f32; 3];
    let mut count = 0.0f32;
    for (pixel, _) in picture.iter().zip(surround).filter(|(_, outside)| **outside) {
        for k in 0..3 {
            sum[k] += pixel[k];
        }
        count += 1.0;
    }
    sum.map(|v| v / count.max(1.0))
}

/// Whether a lamp's darkest state still looks like a source: its core is near the top of the scale and well above its
/// surround, in some channel.
fn looks_lit(dark: &[[f32; 3]], core: &[bool], ring: &[f32; 3]) -> bool {
    /// Linear light of a core that an unlit lens hardly reaches (guessed; scene white is at about 0.8), and how many
    /// times its surround it must be.
    const BRIGHT: f32 = 0.62;
    const TIMES_SURROUND: f32 = 1.8;
    let mut tops = [0.0f32; 3];
    for k in 0..3 {
        let mut values: Vec<f64> = dark
            .iter()
            .zip(core)
            .filter(|(_, inside)| **inside)
            .map(|(p, _)| f64::from(p[k]))
            .collect();
        values.sort_by(f64::total_cmp);
        tops[k] = values.get(values.len() * 3 / 4).map_or(0.0, |v| *v as f32);
    }
    (0..3).any(|k| tops[k] > BRIGHT && tops[k] > TIMES_SURROUND * ring[k].max(0.02))
}

/// The lamp's shape: where its light is, as weights that sum to 1.
fn shape(bright: &[[f32; 3]], dark: &[[f32; 3]], offsets: &[(f64, f64)], radius: f64) -> Vec<f32> {
    /// Pixels weaker than this share of the strongest are noise or far halo.
    const FAINT: f32 = 0.12;
    let reach = 1.9 * radius.max(1.5);
    let light: Vec<f32> = bright
        .iter()
        .zip(dark)
        .zip(offsets)
        .map(|((b, d), o)| {
            if o.0.hypot(o.1) <= reach {
                (sum3(b) - sum3(d)).max(0.0)
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
    let inside = offsets
        .iter()
        .filter(|o| o.0.hypot(o.1) <= radius.max(1.5))
        .count() as f32;
    offsets
        .iter()
        .map(|o| {
            if o.0.hypot(o.1) <= radius.max(1.5) {
                1.0 / inside
            } else {
                0.0
            }
        })
        .collect()
}
