//! Whether what is dark of a lamp on a plain surround is something without a texture that lies over it.

use super::cover::middle;
use super::patch::Patches;
use super::states::{gained, sum3, typical};
use super::surround::begins;

/// What a plain cover must show at least.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    /// Light left to explain, of the sensor's range: in a dark room a camera that opens up between the flashes lifts the
    /// black.
    seen: f32,
    /// Share of its light by which the lamp's place may differ from the rest in dark frames: a finger is bent.
    alike: f32,
}

impl Least {
    /// With one colour of the lamp to go by. The black is lifted by no more (guessed: by BT.709 that of code 26 of 255);
    /// a finger's middle is lighter by up to 0.16 (measured on rendered clips), a lens differs by more (guessed).
    pub(super) const BY_ONE: Self = Self {
        seen: 0.01,
        alike: 0.2,
    };
    /// With two, which agree: there is less to doubt (guessed). The middle of a finger that is not much wider than the lamp
    /// is lighter by up to 0.25 (measured on rendered clips).
    pub(super) const BY_TWO: Self = Self {
        seen: 0.005,
        alike: 0.35,
    };
}

/// Whether something without a texture lies over a lamp on a plain surround: what the surround shows in lit frames is not
/// what it shows in dark ones and some light of the lamp, all of it differs alike, and the lamp's own place is like the rest.
/// A neighbour that is lit in turn is brightest at its own side, and a halo round the lamp; a lamp of which the room's light
/// changes keeps its lens.
pub(super) fn is_plain_cover(
    patches: &Patches,
    dark_frames: &[usize],
    bright_frames: &[usize],
    (radius, reach): (f64, f64),
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
            .filter(|pixel| radii.contains(&away(pixel)))
            .collect()
    };
    let from = begins(radius) / radius;
    let (core, rim, about) = (
        within(0.0..1.0),
        within(RIM * from..from),
        within(from..reach / radius),
    );
    let (rest_dark, rest_lit) = (mean(&dark, &about), mean(&bright, &about));
    let lamp = gained(&mean(&bright, &core), &mean(&dark, &core));
    let hues = hues(lamp, soundness(patches, bright_frames, &core));
    let left = unexplained(&rest_lit, &rest_dark, &hues);
    let size: f32 = left.rest.iter().map(|value| value.abs()).sum();
    let places = sum3(&mean(&dark, &core)) - sum3(&rest_dark);
    if size < MUCH * sum3(&rest_lit)
        || size < 3.0 * least.seen
        || places.abs() > least.alike * sum3(&rest_dark)
    {
        return false;
    }
    let mut shares: Vec<f32> = about.iter().map(|&i| left.share(&bright[i], &dark[i])).collect();
    let at_rim = left.share(&mean(&bright, &rim), &mean(&dark, &rim));
    let quarters = (middle(&mut shares, 0.25), middle(&mut shares, 0.75));
    let (Some(low), Some(high)) = quarters else {
        return false;
    };
    low > 0.0 && high < EVEN * low && at_rim < EVEN * low && high < EVEN * at_rim
}

/// What of one light is not another one and the lamp's.
struct Unexplained {
    /// Exposure and lamp's light that explain the most.
    exposure: f32,
    lamp: [f32; 3],
    rest: [f32; 3],
}

/// What colours the light of a lamp may have about it: its own, and purer ones where it clips, which makes the channels
/// alike.
fn hues(lamp: [f32; 3], sound: f32) -> Vec<[f32; 3]> {
    /// Share of the lamp's place that is not clipped, from which on its colour is its own (guessed).
    const OWN: f32 = 0.9;
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
