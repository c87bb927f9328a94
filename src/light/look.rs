//! What one lamp looks like dark and bright over a window, and how a frame compares.

use super::cover::cover_shows_in;
use super::drift::room_drift;
use super::flicker::{RoomGain, room_gain};
use super::glimpse::{Glimpse, Sighting};
use super::halo::{Halo, Lit};
use super::levels::{Levels, is_in_place};
use super::manner::keeps_pace;
use super::paper;
use super::patch::{Grid, Patches, Pixel, from_centre};
use super::scan::Seed;
use super::score::median;
use super::states::{disc, frames_of_states, gained, pull, ring_mean, shape, sum3, typical};
use super::surround::{Comparison, Ring, Surround, usual};

/// Likeness to a lit lamp in a single picture above which a steady place counts as lit (guessed; unlit parts
/// of boards and cases stay below).
const LIT_LIKENESS: f64 = 0.35;

/// Share of a lamp's light on clipped pixels from which its own colour is no longer believed.
const CLIPS: f64 = 0.1;

/// How much larger than its seed a changing lamp may turn out at one look: its seed is where it changes most, which for
/// a large clipped lamp is a part of it.
pub(super) const GROWTH: f64 = 1.3;

/// Where the surround of a steady lamp is taken, in radii: beyond its halo.
pub(super) const STEADY_RING: (f64, f64) = (3.0, 4.4);

/// The frames that show the lamp dark and bright, and if all dark ones showed what lay over it, where that shows:
/// a lamp that is dark only there is lit all the time. `None` if it was never in view.
fn uncovered_states(
    patches: &Patches,
    course: &[Option<f64>],
    seed: &Seed,
    radius: f64,
) -> Option<(Vec<usize>, Vec<usize>, Option<Ring>)> {
    let (dark, bright) = frames_of_states(patches, course, seed.changes, radius);
    if dark.is_empty() {
        return None;
    }
    let covered = (dark != bright && !keeps_pace(course))
        .then(|| cover_shows_in(patches, &dark, &bright, radius))
        .flatten();
    let dark = if covered.is_some() { bright.clone() } else { dark };
    Some((dark, bright, covered))
}

/// Where the surround is taken, in pixels from the centre. A lamp that does not change is held against what lies beyond its halo;
/// of one that does, the dark look tells more. Of a lamp that fills the picture it is the outermost that there is.
fn surround_of(grid: &Grid, changes: bool, radius: f64) -> (f64, f64) {
    let (from, to) = if changes { (1.8, 2.8) } else { STEADY_RING };
    let within = (grid.reach() / (to * radius)).min(1.0);
    (within * from * radius, within * to * radius)
}

/// Whether the darker state looks like a source, over the lamp's shape or, where its rim is dim, in its middle.
fn looks_lit(shape: &Levels, middle: &Levels) -> bool {
    /// How many times its surround the middle gives then (guessed: a half of what a strong colour could in the room's light).
    const STANDS_OUT: f64 = 8.0;
    shape.dark_is_bright() || (middle.dark_is_bright() && middle.outshine(STANDS_OUT))
}

/// The look of one lamp over a window.
pub(super) struct Look {
    /// Its darkest state, pixel by pixel.
    pub dark: Vec<[f32; 3]>,
    /// Its brightest state, likewise.
    pub bright: Vec<[f32; 3]>,
    /// What a frame is compared with: the darkest state, or the surround where even that is lit.
    pub reference: Vec<[f32; 3]>,
    /// Weight of each pixel in the lamp's light, summing to 1.
    pub shape: Vec<f32>,
    /// See [`pull`].
    pull: Vec<f32>,
    /// Where the colour is read if the lamp clips.
    halo: Option<Halo>,
    pub grid: Grid,
    /// Learnt from frames that show the lamp dark and from others that show it bright.
    pub has_both_states: bool,
    pub radius: f64,
    /// Where the surround is taken, in pixels from the centre.
    pub ring: (f64, f64),
    base: f64,
    /// See [`Glimpse::base_is_lit`].
    pub base_is_lit: bool,
    /// See [`Glimpse::alone`].
    alone: bool,
    /// How far the surround usually is from that of the states, in the frames that it was learnt from.
    usual: f64,
    /// Where about the lamp it shows whether something lies over it.
    telling: Ring,
    /// The room's light flickers.
    flickers: bool,
}

impl Look {
    /// Learns from the frames that the course calls dark and bright; a lamp that does not change has one
    /// state. `None` if the lamp was never in view.
    pub(super) fn learn(patches: &Patches, course: &[Option<f64>], seed: &Seed) -> Option<Self> {
        let radius = seed.radius.max(1.2);
        let (dark_frames, bright_frames, covered) = uncovered_states(patches, course, seed, radius)?;
        let bright = typical(patches, &bright_frames);
        let mut dark = typical(patches, &dark_frames);
        let flicker = (dark_frames != bright_frames)
            .then(|| room_gain(patches, course, &dark, &bright, radius))
            .flatten();
        let frames = (dark_frames.as_slice(), bright_frames.as_slice());
        let gain = flicker.unwrap_or_else(|| room_drift(patches, course, frames, radius));
        dark.iter_mut().flatten().for_each(|light| *light *= gain);
        let about = surround_of(&patches.grid, seed.changes, radius);
        let ring = ring_mean(dark.iter().copied(), &patches.grid.offsets, about);
        let flat = vec![ring; dark.len()];
        let changes = seed.changes && dark_frames != bright_frames;
        let own_shape = shape(
            &bright,
            if changes { &dark } else { &flat },
            &patches.grid.offsets,
            radius,
        );
        let states = Levels::over(&own_shape, &dark, &bright, &ring);
        let base = states.dark_over_surround();
        let within = |share: f64| {
            let disc = disc(&patches.grid.offsets, share * radius);
            Levels::over(&disc, &dark, &bright, &ring)
        };
        let looks_lit = covered.is_some() || seed.likeness > LIT_LIKENESS || looks_lit(&states, &within(0.5));
        let same_lamp =
            || states.dark_is_as_strong() && is_in_place(&dark, &own_shape, &patches.grid.offsets, radius);
        let takes_over = states.dark_gives_colour() || within(1.0).dark_shines(&states);
        let base_is_lit = (changes && takes_over) || (looks_lit && (!changes || same_lamp()));
        let reference = if base_is_lit { flat } else { dark.clone() };
        let shape = if base_is_lit && changes {
            shape(&bright, &reference, &patches.grid.offsets, radius)
        } else {
            own_shape
        };
        let pull = pull(patches, &bright_frames, &bright, &reference, radius);
        let mut look = Self {
            dark,
            bright,
            reference,
            shape,
            pull,
            halo: None,
            grid: patches.grid.clone(),
            has_both_states: changes,
            radius,
            ring: about,
            base,
            base_is_lit,
            alone: !base_is_lit || states.outshine(paper::WHITE),
            usual: 0.0,
            telling: covered.unwrap_or(Ring::all(radius)),
            flickers: flicker.is_some(),
        };
        look.usual = usual(&look.compare(patches), &look.shining(patches));
        Some(look)
    }

    /// Looks for a halo to read the colour from, once the lamp's place and size are settled. Only of a lamp that was seen
    /// dark, or whose halo outshines what it falls on: a surround of its own colours may look like a halo. Of another one the
    /// rim.
    pub(super) fn find_halo(&mut self, patches: &Patches, course: &[Option<f64>], seed: &Seed) {
        /// Share of its own light by which one part of a surround may differ from another (guessed; halos of rendered
        /// lamps have a seventh of it in a lit room and nearly all of it in a dark one).
        const SURROUND_DIFFERS: f32 = 0.5;
        let (_, bright_frames) = frames_of_states(patches, course, seed.changes, self.radius);
        let Some(lamp) = Lit::clipped(
            patches,
            &bright_frames,
            &self.bright,
            &self.reference,
            self.radius,
        ) else {
            return;
        };
        let outshines = |halo: &Halo| {
            let surround = self.reference.iter().flatten().copied().fold(0.0, f32::max);
            halo.strongest(&self.bright, &self.reference) > SURROUND_DIFFERS * surround
        };
        let halo = self.alone.then(|| Halo::of(&lamp)).flatten();
        let halo = halo.filter(|halo| !self.base_is_lit || outshines(halo));
        let rim = || self.base_is_lit.then(|| Halo::rim_of(&lamp)).flatten();
        self.halo = halo.or_else(rim);
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
        let within = || {
            self.grid
                .offsets
                .iter()
                .zip(&light)
                .filter(|(offset, _)| near(offset))
        };
        let top = within().map(|(_, light)| *light).fold(0.0, f64::max);
        let (mut x, mut y, mut sum, mut area) = (0.0, 0.0, 0.0, 0.0);
        for (offset, &light) in within().filter(|(_, light)| **light > 0.5 * top) {
            x += offset.0 * light;
            y += offset.1 * light;
            sum += light;
            area += self.grid.spacing * self.grid.spacing;
        }
        if sum <= 0.0 {
            return *seed;
        }
        let most = if seed.changes { GROWTH } else { 2.0 };
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
        let reach = self.grid.reach();
        let mut edge: Vec<f64> = self
            .grid
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

    /// Compares one frame, whose surround has so many times its usual light.
    pub(super) fn glimpse(&self, pixels: &[Pixel], gain: f32, blank: Glimpse) -> Glimpse {
        // An unlit lens is brighter and dimmer with its surround, a lit one is not.
        let gain = match (self.base_is_lit, self.flickers) {
            (true, _) => RoomGain::Even(1.0),
            (_, true) => RoomGain::of_bands(&self.grid, self.ring, pixels, &self.dark),
            _ => RoomGain::Even(gain),
        };
        let (excess, clipped) = self.excess(pixels, gain);
        Glimpse {
            sighting: Sighting::Seen,
            excess,
            base: self.base,
            base_is_lit: self.base_is_lit,
            alone: self.alone,
            emitted: self.emitted(pixels, gain),
            halo: self
                .halo
                .as_ref()
                .filter(|_| clipped > CLIPS)
                .map(|halo| halo.emitted(pixels, &self.reference, |i| gain.at(self.grid.offsets[i]))),
            clipped,
            ..blank
        }
    }

    /// The lamp's light in a frame beyond the reference, by its strongest channel, in units of its own light; and the share
    /// of that light that falls on clipped pixels.
    fn excess(&self, pixels: &[Pixel], gain: RoomGain) -> (f64, f64) {
        let (mut now, mut whole) = ([0.0f64; 3], [0.0f64; 3]);
        let (mut light, mut clipped) = (0.0f64, 0.0f64);
        for (i, pixel) in pixels.iter().enumerate() {
            let gain = gain.at(self.grid.offsets[i]);
            for k in 0..3 {
                now[k] += f64::from(self.pull[i] * (pixel.light[k] - gain * self.reference[i][k]));
                whole[k] += f64::from(self.pull[i] * (self.bright[i][k] - self.reference[i][k]));
            }
            if self.shape[i] > 0.0 {
                let whole: f32 = gained(&self.bright[i], &self.reference[i]).iter().sum();
                light += f64::from(self.shape[i] * whole / 3.0);
                clipped += f64::from(self.shape[i] * (1.0 - pixel.sound));
            }
        }
        let strongest = |channels: [f64; 3]| channels.into_iter().fold(f64::NEG_INFINITY, f64::max);
        (strongest(now) / strongest(whole).max(1e-9) * light, clipped)
    }

    /// Frames in which the surround is not what it was in any state of the lamp.
    pub(super) fn foreign(&self, compared: &[Option<Comparison>], patches: &Patches) -> Vec<bool> {
        /// How many times what was usual when the look was learnt may be usual later (guessed: the hand is less steady, the
        /// focus worse).
        const MOST_OF_LEARNT: f64 = 2.0;
        let usual = usual(compared, &self.shining(patches)).min(MOST_OF_LEARNT * self.usual);
        let foreign = |compared: &Option<Comparison>| compared.is_some_and(|c| c.is_foreign(usual));
        compared.iter().map(foreign).collect()
    }

    /// By frame, how the surround compares with that of the lamp's states.
    pub(super) fn compare(&self, patches: &Patches) -> Vec<Option<Comparison>> {
        let surround = Surround::between(&self.dark, &self.bright, &self.grid, self.telling);
        let of = |frame: &Option<Vec<Pixel>>| Some(surround.compare(frame.as_ref()?));
        patches.frames.iter().map(of).collect()
    }

    /// Frames in which it shines.
    pub(super) fn shining(&self, patches: &Patches) -> Vec<bool> {
        let shines = |frame: &Option<Vec<Pixel>>| frame.as_ref().is_some_and(|pixels| self.shines(pixels));
        patches.frames.iter().map(shines).collect()
    }

    /// The lamp itself is seen lit, in whatever colour, so that nothing lies over it, whatever its light makes of its surround.
    fn shines(&self, pixels: &[Pixel]) -> bool {
        /// Share of the bright look's light over that without the lamp (guessed: skin in a bright room gives a third).
        const LIT: f32 = 0.6;
        let core = (0..pixels.len()).filter(|&i| from_centre(self.grid.offsets[i]) <= self.radius);
        let (mut now, mut whole) = ([0.0f32; 3], [0.0f32; 3]);
        for i in core {
            for k in 0..3 {
                now[k] += pixels[i].light[k] - self.reference[i][k];
                whole[k] += self.bright[i][k] - self.reference[i][k];
            }
        }
        let strongest = |channels: [f32; 3]| channels.into_iter().fold(0.0, f32::max);
        strongest(whole) > 0.0 && strongest(now) > LIT * strongest(whole)
    }
}
