//! Whether what is dark of a lamp on a plain surround is something without a texture that lies over it.

use super::cover::middle;
use super::patch::Patches;
use super::states::{gained, sum3, typical};
use super::surround::Ring;

/// What a plain cover must show at least.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    /// Light left to explain, of the sensor's range: in a dark room a camera that opens up between the flashes lifts the
    /// black.
    seen: f32,
    /// Share of its light by which the lamp's place may differ from the rest in dark frames: a finger is bent.
    alike: f32,
    /// Only the lamp's rim is looked at: there its halo is strongest, so that its hue must be known.
    at_rim: bool,
    /// Only one side is looked at: it must lose light, and evenly, as what a neighbour's light gives is not.
    on_one_side: bool,
}

impl Least {
    /// With one colour of the lamp to go by. The black is lifted by no more (guessed: by BT.709 that of code 26 of 255);
    /// a finger's middle is lighter by up to 0.16 (measured on rendered clips), a lens differs by more (guessed).
    pub(super) const BY_ONE: Self = Self {
        seen: 0.01,
        alike: 0.2,
        at_rim: false,
        on_one_side: false,
    };
    /// With two, which agree: there is less to doubt (guessed). The middle of a finger that is not much wider than the lamp
    /// is lighter by up to 0.25 (measured on rendered clips).
    pub(super) const BY_TWO: Self = Self {
        seen: 0.005,
        alike: 0.35,
        at_rim: false,
        on_one_side: false,
    };
    /// The same at the lamp's rim alone.
    pub(super) const AT_RIM: Self = Self {
        at_rim: true,
        ..Self::BY_ONE
    };
    /// The same on one side alone.
    pub(super) const ON_ONE_SIDE: Self = Self {
        on_one_side: true,
        ..Self::BY_ONE
    };

    /// Whether a texture may tell a cover too: at a rim, or on one side, it is what a neighbour's light makes of it.
    pub(super) fn takes_texture(self) -> bool {
        !self.at_rim && !self.on_one_side
    }
}

/// Whether something without a texture lies over a lamp on a plain surround: what the surround shows in lit frames is not
/// what it shows in dark ones and some light of the lamp, all of it differs alike, and the lamp's own place is like the rest.
/// A neighbour that is lit in turn is brightest at its own side, and a halo round the lamp; a lamp of which the room's light
/// changes keeps its lens.
pub(super) fn is_plain_cover(
    patches: &Patches,
    dark_frames: &[usize],
    bright_frames: &[usize],
    (radius, ring): (f64, Ring),
    least: Least,
) -> bool {
    /// Light left to explain, as a share of what the surround has in lit frames (guessed: twice an error of the exposure
    /// that rendered clips show).
    const MUCH: f32 = 0.1;
    /// How many times what a quarter of the surround differs by another quarter may differ by (guessed: skin bends and is
    /// shaded; light from beside falls by the square of the distance).
    const EVEN: f32 = 2.0;
    /// Radius from which on it is about the lamp's rim, where its halo is strongest, as a share of that where the surround
    /// begins.
    const RIM: f64 = 0.74;
    let (dark, bright) = (typical(patches, dark_frames), typical(patches, bright_frames));
    let within = |radii: std::ops::Range<f64>| -> Vec<usize> {
        let away = |pixel: &usize| {
            patches.grid.offsets[*pixel]
                .0
                .hypot(patches.grid.offsets[*pixel].1)
                / radius
        };
        (0..dark.len())
            .filter(|pixel| radii.contains(&away(pixel)) && ring.is_on_side(patches.grid.offsets[*pixel]))
            .collect()
    };
    let (from, to) = (ring.from / radius, ring.to / radius);
    let (core, rim, about) = (within(0.0..1.0), within(RIM * from..from), within(from..to));
    let (rest_dark, rest_lit) = (mean(&dark, &about), mean(&bright, &about));
    let lamp = gained(&mean(&bright, &core), &mean(&dark, &core));
    let sound = soundness(patches, bright_frames, &core);
    let hues = hues(lamp, sound);
    let left = unexplained(&rest_lit, &rest_dark, &hues);
    let size: f32 = left.rest.iter().map(|value| value.abs()).sum();
    let place = mean(&dark, &core);
    let places = sum3(&place) - sum3(&rest_dark);
    let is_alike = places.abs() <= least.alike * sum3(&rest_dark) || is_bent(&place, &rest_dark, &least);
    if size < MUCH * sum3(&rest_lit) || size < 3.0 * least.seen || !is_alike {
        return false;
    }
    let mut shares: Vec<f32> = about.iter().map(|&i| left.share(&bright[i], &dark[i])).collect();
    let quarters = (middle(&mut shares, 0.25), middle(&mut shares, 0.75));
    let (Some(low), Some(high)) = quarters else {
        return false;
    };
    let fits_at_rim = if least.at_rim {
        left.takes_away(&rest_lit, &rest_dark) && has_hue(lamp, sound)
    } else if least.on_one_side {
        /// As `EVEN`, of a finger's side (guessed).
        const EVENLY: f32 = 1.5;
        left.takes_away(&rest_lit, &rest_dark) && high < EVENLY * low
    } else {
        let at_rim = left.share(&mean(&bright, &rim), &mean(&dark, &rim));
        at_rim < EVEN * low && high < EVEN * at_rim
    };
    low > 0.0 && high < EVEN * low && fits_at_rim
}

/// Whether the lamp's place looks like the middle of a finger, whose sides are the rest: lighter, and of its colour. Like its
/// rim, if only one side is looked at: darker.
fn is_bent(place: &[f32; 3], rest: &[f32; 3], least: &Least) -> bool {
    /// By how much lighter, as a factor (guessed: a finger hardly wider than the lamp has half of its light beside it).
    const LIGHTER: f32 = 1.8;
    /// And darker, likewise.
    const DARKER: f32 = 0.6;
    /// Sum of the differences of the channels, as a share of the light (guessed).
    const ALIKE: f32 = 0.05;
    let factor = sum3(place) / sum3(rest).max(1e-6);
    let differs: f32 = place
        .iter()
        .zip(rest)
        .map(|(place, rest)| (place / factor - rest).abs())
        .sum();
    let darkest = if least.on_one_side { DARKER } else { 1.0 };
    (darkest..LIGHTER).contains(&factor) && differs < ALIKE * sum3(rest)
}

/// What of one light is not another one and the lamp's.
struct Unexplained {
    /// Exposure and lamp's light that explain the most.
    exposure: f32,
    lamp: [f32; 3],
    rest: [f32; 3],
}

/// Share of a lamp's place that is not clipped, from which on its colour is its own (guessed).
const OWN: f32 = 0.9;

/// Whether the lamp's light tells which channel is strongest in its halo: it does not clip, or in one channel only.
fn has_hue(lamp: [f32; 3], sound: f32) -> bool {
    /// Share of the strongest channel that the others may have at most (guessed).
    const ONE: f32 = 0.8;
    let strongest = lamp.into_iter().fold(0.0, f32::max);
    let alike = lamp
        .into_iter()
        .filter(|channel| *channel > ONE * strongest)
        .count();
    sound >= OWN || alike == 1
}

/// What colours the light of a lamp may have about it: its own, and purer ones where it clips, which makes the channels
/// alike.
fn hues(lamp: [f32; 3], sound: f32) -> Vec<[f32; 3]> {
    /// What is left of the channels that are not the strongest; the first is the lamp's own colour (a clipped amber lamp with
    /// a sixth of the green in its halo was seen).
    const LEFT: [f32; 4] = [1.0, 0.5, 0.2, 0.0];
    let strongest = lamp.into_iter().fold(0.0, f32::max);
    let purer = |left: f32| {
        lamp.map(|channel| {
            if channel < strongest {
                left * channel
            } else {
                channel
            }
        })
    };
    let tried = if sound < OWN { &LEFT[..] } else { &LEFT[..1] };
    tried.iter().map(|&left| purer(left)).collect()
}

/// Mean soundness of some pixels over some frames: 0 if all of them clip.
fn soundness(patches: &Patches, frames: &[usize], pixels: &[usize]) -> f32 {
    let seen = frames.iter().filter_map(|&frame| patches.frames[frame].as_ref());
    let (mut sum, mut count) = (0.0, 0.0f32);
    for frame in seen {
        sum += pixels.iter().map(|&pixel| frame[pixel].sound).sum::<f32>();
        count += pixels.len() as f32;
    }
    sum / count.max(1.0)
}

fn unexplained(lit: &[f32; 3], dark: &[f32; 3], lamps: &[[f32; 3]]) -> Unexplained {
    /// Errors of the exposure's correction, and number of steps between them (guessed).
    const EXPOSURES: (f32, f32) = (0.8, 1.25);
    const STEPS: u8 = 30;
    let dot = |a: &[f32; 3], b: &[f32; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let at = |(lamp, step): (&[f32; 3], u8)| {
        let exposure = EXPOSURES.0 + (EXPOSURES.1 - EXPOSURES.0) * f32::from(step) / f32::from(STEPS);
        let more: [f32; 3] = std::array::from_fn(|k| lit[k] - exposure * dark[k]);
        let share = (dot(&more, lamp) / dot(lamp, lamp).max(1e-9)).max(0.0);
        let lamp = lamp.map(|channel| share * channel);
        let rest = std::array::from_fn(|k| more[k] - lamp[k]);
        Unexplained { exposure, lamp, rest }
    };
    let tried = lamps
        .iter()
        .flat_map(|lamp| (0..=STEPS).map(move |step| (lamp, step)));
    let least = tried
        .map(at)
        .min_by(|a, b| dot(&a.rest, &a.rest).total_cmp(&dot(&b.rest, &b.rest)));
    least.unwrap_or_else(|| at((&[0.0; 3], STEPS)))
}

impl Unexplained {
    /// Whether some channel has less in dark frames than it has without the lamp: what another lamp lights up instead has
    /// more in all.
    fn takes_away(&self, lit: &[f32; 3], dark: &[f32; 3]) -> bool {
        /// Share of its light that the channel must lose (guessed: twice what is left of an error of the exposure).
        const LESS: f32 = 0.06;
        (0..3).any(|k| lit[k] - self.lamp[k] - dark[k] > LESS * lit[k])
    }

    /// How much of it there is in a pair of lights: 1 in the pair that it is of.
    fn share(&self, lit: &[f32; 3], dark: &[f32; 3]) -> f32 {
        let (mut both, mut own) = (0.0, 1e-12);
        for k in 0..3 {
            both += (lit[k] - self.exposure * dark[k] - self.lamp[k]) * self.rest[k];
            own += self.rest[k] * self.rest[k];
        }
        both / own
    }
}

pub(super) fn mean(picture: &[[f32; 3]], pixels: &[usize]) -> [f32; 3] {
    let sum = |k: usize| pixels.iter().map(|&pixel| picture[pixel][k]).sum::<f32>();
    std::array::from_fn(|k| sum(k) / pixels.len().max(1) as f32)
}
