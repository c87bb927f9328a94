//! What the lamp, its surroundings and a finger do.

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Cover, Label, Lamp, Mains, Pulses, Recipe, Reflection, Shown};
use rand::Rng;
use rand_pcg::Pcg64;

use super::{Strength, away, colour_of};

pub(super) fn nothing(_: &mut Recipe, _: Strength, _: &mut Pcg64) {}

pub(super) fn clipping(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.lamps[0].peak = strength.of(4.0, 10.0, 40.0);
}

pub(super) fn bright_room(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.scene.ambient = strength.of(0.8, 1.0, 1.4);
    recipe.lamps[0].peak = strength.of(3.0, 1.5, 0.8);
}

/// Down to nothing to be seen but the lamp.
pub(super) fn dark_room(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.scene.ambient = strength.of(0.06, 0.02, 0.0);
}

/// The picture's brightness drawn down until the lamp does not clip, as the advice for a washed-out lamp asks.
pub(super) fn drawn_down(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    let darker = strength.of(0.9, 0.6, 0.35) / recipe.lamps[0].peak;
    recipe.scene.ambient *= darker;
    for lamp in &mut recipe.lamps {
        lamp.peak *= darker;
    }
}

pub(super) fn coloured_lens(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let tint = strength.of(0.1, 0.25, 0.4);
    recipe.lamps[0].lens_rgb = std::array::from_fn(|_| 0.4 + tint * random.random_range(-1.0..=1.0));
    recipe.lamps[0].peak = strength.of(2.0, 1.2, 0.7);
}

pub(super) fn fast_blinking(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    // Cycles a frame; from 0.5 on no camera can tell.
    let pace = strength.of(0.15, 0.28, 0.4) * random.random_range(0.95..1.05);
    let half_s = 0.5 / (pace * recipe.timing.frames_per_s);
    recipe.lamps[0].shows = Shown::Cycle(vec![Beat::lit(colour_of(recipe), half_s), Beat::dark(half_s)]);
}

pub(super) fn small_lamp(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.lamps[0].radius_px = strength.of(5.0, 3.0, 1.5);
}

/// From near by, as the advice for a small lamp asks.
pub(super) fn large_lamp(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.lamps[0].radius_px = strength.of(25.0, 45.0, 80.0);
    recipe
        .hand
        .covers
        .iter_mut()
        .for_each(|cover| cover.radius_px = finger_px(&recipe.lamps[0]));
}

/// Half the width of a fingertip over a lamp. Near by it grows with the lamp: it is over twice as wide as an indicator
/// lamp of 8 mm (common practice, no source).
fn finger_px(lamp: &Lamp) -> f64 {
    f64::max(90.0, 2.2 * lamp.radius_px)
}

pub(super) fn busy_background(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.scene.texture_contrast = strength.of(0.2, 0.35, 0.6);
    recipe.scene.texture_px = strength.of(60.0, 40.0, 20.0);
}

pub(super) fn other_lamps(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    // Steady and smaller, as power lamps are: of two lamps that are alike, neither is the right one.
    for _ in 0..strength.of(1, 2, 4) {
        let turn = random.random_range(0.0..std::f64::consts::TAU);
        let apart = random.random_range(5.0..14.0) * recipe.lamps[0].radius_px.max(8.0);
        let colour = ColourName::ALL[random.random_range(0..ColourName::ALL.len())];
        recipe.lamps.push(Lamp {
            id: "other".to_owned(),
            x_px: recipe.lamps[0].x_px + apart * turn.cos(),
            y_px: recipe.lamps[0].y_px + apart * turn.sin(),
            radius_px: 0.6 * recipe.lamps[0].radius_px,
            peak: 0.7 * recipe.lamps[0].peak,
            ..Lamp::showing(Shown::Cycle(vec![Beat::lit(colour, 1.0)]))
        });
    }
}

pub(super) fn covered(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let share = strength.of(0.15, 0.3, 0.5);
    let (from_s, to_s) = away(recipe, share, random);
    recipe.hand.covers = vec![Cover {
        from_s,
        to_s,
        radius_px: finger_px(&recipe.lamps[0]),
    }];
}

pub(super) fn pulse_width(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let hz = strength.of(1000.0, 400.0, 130.0) * random.random_range(0.9..1.1);
    recipe.lamps[0].pulses = Some(Pulses {
        hz,
        on_share: strength.of(0.5, 0.4, 0.3),
    });
    recipe.lamps[0].peak /= strength.of(0.5, 0.4, 0.3);
    recipe.camera.exposure_s = strength.of(0.008, 0.004, 0.002);
}

pub(super) fn mains(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    recipe.mains = Some(Mains {
        hz: if random.random() { 100.0 } else { 120.0 },
        depth: strength.of(0.1, 0.3, 0.6),
    });
    recipe.camera.exposure_s = strength.of(0.01, 0.006, 0.003);
}

pub(super) fn reflection(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let turn = random.random_range(0.0..std::f64::consts::TAU);
    let apart = random.random_range(4.0..12.0) * recipe.lamps[0].radius_px;
    recipe.lamps[0].reflection = Some(Reflection {
        x_px: apart * turn.cos(),
        y_px: apart * turn.sin(),
        share: strength.of(0.1, 0.3, 0.7),
    });
}

pub(super) fn print(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let inks = [[0.03; 3], [0.85; 3], [0.5, 0.05, 0.04], [0.05, 0.12, 0.5]];
    for line in 0..strength.of(2, 5, 10) {
        let height_px = random.random_range(9.0..28.0);
        // Beside the lamp, above it and below it, never over it.
        let side = if line % 2 == 0 { 1.0 } else { -1.0 };
        let down = side * (recipe.lamps[0].radius_px + random.random_range(1.5..8.0) * height_px);
        recipe.scene.labels.push(Label {
            x_px: recipe.lamps[0].x_px - random.random_range(2.0..12.0) * height_px,
            y_px: recipe.lamps[0].y_px + down - if side < 0.0 { height_px } else { 0.0 },
            height_px,
            letters: random.random_range(4..18),
            rgb: inks[random.random_range(0..inks.len())],
        });
    }
}
