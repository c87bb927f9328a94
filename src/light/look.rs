//! What one lamp looks like dark and bright over a window, and how a frame compares.

use super::glimpse::{Glimpse, Sighting};
use super::patch::{Patches, Pixel};
use super::scan::Seed;
use super::score::median;

/// Likeness to a lit lamp in a single picture above which a steady place counts as lit (guessed; unlit parts of boards and
/// cases stay below).
const LIT_LIKENESS: f64 = 0.35;

/// Where the surround of a steady lamp is taken, in radii: beyond its halo.
pub(super) const STEADY_RING: (f64, f64) = (3.0, 4.4);

/// The look of one lamp over a window.
pub(super) struct Look {
    /// Its darkest state, pixel by pixel.
    pub dark: Vec<[f32; 3]>,
    /// Its brightest state, likewise.
    pub bright: Vec<[f32; 3]>,
    /// What a frame is compared with: the darkest state, or the surround where even that is lit.
    reference: Vec<[f32; 3]>,
    /// Weight of each pixel in the lamp's light, summing to 1.
    shape: Vec<f32>,
    /// See [`pull`].
    pull: Vec<[f32; 3]>,
    offsets: Vec<(f64, f64)>,
    radius: f64,
    base: f64,
    base_is_lit: bool,
}

impl Look {
    /// Learns from the frames that the course calls dark and bright; a lamp that does not change has one state. `None` if
    /// the lamp was never in view.
    pub(super) fn learn(patches: &Patches, course: &[Option<f64>], seed: &Seed) -> Option<Self> {
        let where_course = |wanted: fn(f64) -> bool| -> Vec<usize> {
            patches
                .seen()
                .map(|(i, _)| i)
                .filter(|&i| course[i].is_some_and(wanted))
                .collect()
        };
        let (mut dark_frames, mut bright_frames) = (where_course(|c| c < 0.25), where_course(|c| c > 0.75));
        if !seed.changes || dark_frames.is_empty() || bright_frames.is_empty() {
            dark_frames = patches.seen().map(|(i, _)| i).collect();
            bright_frames.clone_from(&dark_frames);
        }
        if dark_frames.is_empty() {
            return None;
        }
        let dark = typical(patches, &dark_frames);
        let bright = typical(patches, &bright_frames);
        let radius = seed.radius.max(1.2);
        // A lamp that does not change is held against what lies beyond its halo; of one that does, the dark look tells more.
        let (from, to) = if seed.changes { (1.8, 2.8) } else { STEADY_RING };
        let ring = ring_mean(&dark, &patches.offsets, from * radius, to * radius);
        let flat = vec![ring; dark.len()];
        let changes = seed.changes && dark_frames != bright_frames;
        let own_shape = shape(
            &bright,
            if changes { &dark } else { &flat },
            &patches.offsets,
            radius,
        );
        let weighted = |picture: &[[f32; 3]]| -> f64 {
            picture
                .iter()
                .zip(&own_shape)
                .map(|(p, w)| f64::from(sum3(p) * w / 3.0))
                .sum()
        };
        let base = weighted(&dark) - f64::from(sum3(&ring)) / 3.0;
        let gain = weighted(&bright) - weighted(&dark);
        let looks_lit = seed.likeness > LIT_LIKENESS || is_bright(&dark, &own_shape, &ring);
        let base_is_lit = looks_lit && (!changes || same_lamp(&dark, &own_shape, base, gain));
        let reference = if base_is_lit { flat } else { dark.clone() };
        let shape = if base_is_lit && changes {
            shape(&bright, &reference, &patches.offsets, radius)
        } else {
            own_shape
        };
        let pull = pull(patches, &bright_frames, &bright, &reference, radius);
        Some(Self {
            dark,
            bright,
            reference,
            shape,
            pull,
            offsets: patches.offsets.clone(),
            radius,
            base,
            base_is_lit,
        })
    }

    /// The seed moved to the centre of the lamp's light, with the radius of the light.
    pub(super) fn refined(&self, seed: &Seed) -> Seed {
        let light: Vec<f64> = if seed.changes {
            self.shape.iter().map(|w| f64::from(*w)).collect()
        } else {
            self.over_surround()
        };
        // About the seed only: a neighbour may be as bright.
        let near = |offset: &(f64, f64)| offset.0.hypot(offset.1) <= 2.0 * self.radius + 2.0;
        let within = || self.offsets.iter().zip(&light).filter(|(offset, _)| near(offset));
        let top = within().map(|(_, light)| *light).fold(0.0, f64::max);
        let (mut x, mut y, mut sum, mut area) = (0.0, 0.0, 0.0, 0.0);
        for (offset, &light) in within().filter(|(_, light)| **light > 0.5 * top) {
            x += offset.0 * light;
            y += offset.1 * light;
            sum += light;
            area += 1.0;
        }
        if sum <= 0.0 {
            return *seed;
        }
        let most = if seed.changes { 1.3 } else { 2.0 };
        let radius = (area / std::f64::consts::PI)
            .sqrt()
            .clamp(0.8, most * seed.radius);
        Seed {
            x: seed.x + x / sum,
            y: seed.y + y / sum,
            radius,
            ..*seed
        }
    }

    /// What each pixel of the bright look is above the outermost part of the square, which is free of the lamp.
    fn over_surround(&self) -> Vec<f64> {
        let reach = self.offsets.iter().map(|o| o.0.abs()).fold(0.0, f64::max);
        let mut edge: Vec<f64> = self
            .offsets
            .iter()
            .zip(&self.bright)
            .filter(|(o, _)| o.0.abs().max(o.1.abs()) > 0.85 * reach)
            .map(|(_, pixel)| f64::from(sum3(pixel)))
            .collect();
        let base = median(&mut edge).unwrap_or(0.0);
        self.bright
            .iter()
            .map(|pixel| (f64::from(sum3(pixel)) - base).max(0.0))
            .collect()
    }

    /// Compares one frame.
    pub(super) fn glimpse(&self, pixels: &[Pixel], blank: Glimpse) -> Glimpse {
        let (excess, clipped) = self.excess(pixels);
        Glimpse {
            sighting: Sighting::Seen,
            excess,
            base: self.base,
            base_is_lit: self.base_is_lit,
            emitted: self.emitted(pixels),
            clipped,
            ..blank
        }
    }

    /// How far the frame is from the reference towards the bright look, in units of the lamp's light; and the share of that
    /// light that falls on clipped pixels.
    fn excess(&self, pixels: &[Pixel]) -> (f64, f64) {
        let (mut along, mut light, mut clipped) = (0.0f64, 0.0f64, 0.0f64);
        for (i, pixel) in pixels.iter().enumerate() {
            for k in 0..3 {
                along += f64::from(self.pull[i][k] * (pixel.light[k] - self.reference[i][k]));
            }
            if self.shape[i] > 0.0 {
                let gain: f32 = gained(&self.bright[i], &self.reference[i]).iter().sum();
                light += f64::from(self.shape[i] * gain / 3.0);
                clipped += f64::from(self.shape[i] * (1.0 - pixel.sound));
            }
        }
        (along * light, clipped)
    }

    /// Colour of the light that the frame has more than the reference.
    fn emitted(&self, pixels: &[Pixel]) -> [f64; 3] {
        /// Brightest and faintest a pixel may count, as a share of the brightest: the halo, which keeps its hue, is to weigh
        /// as much as the core, which is near clipping.
        const CAP: f32 = 0.08;
        const FAINT: f32 = 0.04;
        /// Radii within which the halo is looked for.
        const REACH: f64 = 2.6;
        let top = self
            .bright
            .iter()
            .zip(&self.reference)
            .zip(&self.shape)
            .filter(|(_, w)| **w > 0.0);
        let top = top
            .map(|((b, d), _)| gained(b, d).iter().sum::<f32>())
            .fold(1e-3f32, f32::max);
        let mut emitted = [0.0f64; 3];
        for (i, pixel) in pixels.iter().enumerate() {
            let offset = self.offsets[i];
            if offset.0.hypot(offset.1) > REACH * self.radius + 1.0 {
                continue;
            }
            let more = gained(&pixel.light, &self.reference[i]);
            let light: f32 = more.iter().sum();
            if light < FAINT * top {
                continue;
            }
            let counts = pixel.sound * (CAP * top / light.max(CAP * top));
            for k in 0..3 {
                emitted[k] += f64::from(counts * more[k]);
            }
        }
        emitted
    }

    /// Frames in which the surround is not what it was in any state of the lamp: something lies over it.
    pub(super) fn cover(&self, patches: &Patches) -> Vec<bool> {
        /// Relative difference of the surround beyond which it is something else, and how many times the typical difference
        /// that must be (measured: a finger on rendered lamps gives 0.25 and more, the lamp's own surround 0.02; shaken
        /// real clips up to 0.1).
        const FOREIGN: f64 = 0.12;
        const TIMES_USUAL: f64 = 4.0;
        let differences: Vec<Option<f64>> = patches
            .frames
            .iter()
            .map(|frame| Some(self.foreignness(frame.as_ref()?)))
            .collect();
        let mut known: Vec<f64> = differences.iter().flatten().copied().collect();
        let usual = median(&mut known).unwrap_or(0.0);
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
                for (i, pixel) in pixels.iter().enumerate() {
                    let offset = self.offsets[i];
                    if offset.0.hypot(offset.1) < 1.9 * self.radius {
                        continue;
                    }
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

/// What a pixel gained, channel by channel. A source takes nothing away: a channel that fell did so by an exposure that
/// answered the lamp.
fn gained(now: &[f32; 3], before: &[f32; 3]) -> [f32; 3] {
    std::array::from_fn(|k| (now[k] - before[k]).max(0.0))
}

fn sum3(v: &[f32; 3]) -> f32 {
    v[0] + v[1] + v[2]
}

/// Pixel by pixel and channel by channel the median over the frames: what covered the lamp in some of them leaves no mark.
fn typical(patches: &Patches, frames: &[usize]) -> Vec<[f32; 3]> {
    /// Frames looked at; more would cost time and hardly lower the noise further.
    const LOOKED_AT: usize = 25;
    let step = frames.len().div_ceil(LOOKED_AT).max(1);
    let pictures: Vec<&Vec<Pixel>> = frames
        .iter()
        .step_by(step)
        .filter_map(|&i| patches.frames[i].as_ref())
        .collect();
    let mut values = Vec::with_capacity(pictures.len());
    (0..patches.offsets.len())
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

/// Weights that give, from what a frame has more than the reference, how far it is towards the bright look: 0 to 1. A matched
/// filter over the pixels that even the bright look does not clip, since only those answer in proportion to the light.
fn pull(
    patches: &Patches,
    bright_frames: &[usize],
    bright: &[[f32; 3]],
    reference: &[[f32; 3]],
    radius: f64,
) -> Vec<[f32; 3]> {
    /// Radii within which light of the lamp is looked for, and share of the strongest below which a pixel is noise.
    const REACH: f64 = 2.6;
    const FAINT: f32 = 0.03;
    /// Weight of a wholly clipped pixel: it counts only where nothing better is.
    const CLIPPED: f32 = 0.02;
    let sound = |pixel: usize| -> f32 {
        let pictures = bright_frames.iter().filter_map(|&i| patches.frames[i].as_ref());
        let (sum, count) = pictures.fold((0.0, 0.0), |(s, n), picture| (s + picture[pixel].sound, n + 1.0));
        sum / f32::max(count, 1.0)
    };
    let within =
        |pixel: usize| patches.offsets[pixel].0.hypot(patches.offsets[pixel].1) <= REACH * radius + 1.0;
    let gain = |pixel: usize| gained(&bright[pixel], &reference[pixel]).iter().sum::<f32>();
    let top = (0..bright.len())
        .filter(|&i| within(i))
        .map(gain)
        .fold(0.0f32, f32::max);
    let weights: Vec<[f32; 3]> = (0..bright.len())
        .map(|i| {
            if !within(i) || gain(i) < FAINT * top {
                return [0.0; 3];
            }
            let trust = sound(i).powi(2).max(CLIPPED);
            std::array::from_fn(|k| trust * (bright[i][k] - reference[i][k]))
        })
        .collect();
    let whole: f32 = weights
        .iter()
        .zip(bright.iter().zip(reference))
        .map(|(w, (b, d))| (0..3).map(|k| w[k] * (b[k] - d[k])).sum::<f32>())
        .sum();
    weights
        .into_iter()
        .map(|w| w.map(|v| v / whole.max(1e-9)))
        .collect()
}

fn ring_mean(picture: &[[f32; 3]], offsets: &[(f64, f64)], from: f64, to: f64) -> [f32; 3] {
    let mut sum = [0.0f32; 3];
    let mut count = 0.0f32;
    for (pixel, offset) in picture.iter().zip(offsets) {
        let distance = offset.0.hypot(offset.1);
        if distance >= from && distance <= to {
            for k in 0..3 {
                sum[k] += pixel[k];
            }
            count += 1.0;
        }
    }
    sum.map(|v| v / count.max(1.0))
}

/// Whether a state looks like a source where the lamp is: near the top of the scale and well above its surround.
fn is_bright(state: &[[f32; 3]], shape: &[f32], ring: &[f32; 3]) -> bool {
    /// Linear light of a channel that an unlit lens hardly reaches (guessed; scene white is at about 0.8), and how many
    /// times its surround it must be.
    const BRIGHT: f32 = 0.5;
    const TIMES_SURROUND: f32 = 1.8;
    let level: [f32; 3] = std::array::from_fn(|k| state.iter().zip(shape).map(|(p, w)| p[k] * w).sum());
    (0..3).any(|k| level[k] > BRIGHT && level[k] > TIMES_SURROUND * ring[k].max(0.02))
}

/// Whether the light of the darker state is that of the same lamp in another colour, and not of a neighbour: a good part of
/// what the brighter state adds, and in the same place.
fn same_lamp(dark: &[[f32; 3]], shape: &[f32], base: f64, gain: f64) -> bool {
    /// Least share of the brighter state's gain (guessed), and least correlation of the two pictures over the lamp.
    const SHARE_OF_GAIN: f64 = 0.4;
    const SAME_PLACE: f64 = 0.6;
    if base < SHARE_OF_GAIN * gain {
        return false;
    }
    let n = dark.len() as f64;
    let values = || {
        dark.iter()
            .zip(shape)
            .map(|(p, w)| (f64::from(sum3(p)), f64::from(*w)))
    };
    let (mean_p, mean_w) = values().fold((0.0, 0.0), |m, v| (m.0 + v.0 / n, m.1 + v.1 / n));
    let (mut pw, mut pp, mut ww) = (0.0, 1e-12, 1e-12);
    for (p, w) in values() {
        pw += (p - mean_p) * (w - mean_w);
        pp += (p - mean_p).powi(2);
        ww += (w - mean_w).powi(2);
    }
    pw / (pp * ww).sqrt() > SAME_PLACE
}

/// The lamp's shape: where its light is, as weights that sum to 1.
fn shape(bright: &[[f32; 3]], dark: &[[f32; 3]], offsets: &[(f64, f64)], radius: f64) -> Vec<f32> {
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
    let inside = offsets.iter().filter(|o| o.0.hypot(o.1) <= radius).count() as f32;
    offsets
        .iter()
        .map(|o| {
            if o.0.hypot(o.1) <= radius {
                1.0 / inside
            } else {
                0.0
            }
        })
        .collect()
}
