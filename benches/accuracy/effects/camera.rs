//! What the camera and the hand that holds it do.

use lampwise::render::{Beat, Glance, Recipe, Shown};
use rand::Rng;
use rand_pcg::Pcg64;

use super::{Strength, away, colour_of};

pub(super) fn white_balance(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let off = strength.of(0.07, 0.15, 0.3);
    recipe.camera.red_gain = 1.0 + off * random.random_range(-1.0..=1.0);
    recipe.camera.blue_gain = 1.0 + off * random.random_range(-1.0..=1.0);
}

pub(super) fn auto_exposure(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.camera.auto_exposure_dip = strength.of(0.2, 0.45, 0.75);
}

pub(super) fn long_exposure(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.camera.exposure_s = strength.of(0.02, 0.027, 1.0 / 30.0);
}

pub(super) fn uneven_times(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.timing.jitter_s = strength.of(0.002, 0.006, 0.012);
    recipe.timing.dropped_share = strength.of(0.02, 0.08, 0.25);
    recipe.timing.repeated_share = strength.of(0.02, 0.05, 0.1);
}

pub(super) fn frame_rate(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.timing.frames_per_s = strength.of(60.0, 24.0, 15.0);
    if strength == Strength::Easy {
        recipe.camera.exposure_s = recipe.camera.exposure_s.min(0.012);
        recipe.camera.readout_s = 0.012;
    }
}

pub(super) fn hand_shake(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.hand.shake_rms_px = strength.of(8.0, 20.0, 40.0);
}

pub(super) fn out_of_frame(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let share = strength.of(0.1, 0.25, 0.45);
    let (from_s, to_s) = away(recipe, share, random);
    recipe.hand.glances = vec![Glance {
        from_s,
        to_s,
        x_px: 950.0,
        y_px: 60.0,
    }];
}

pub(super) fn blur_and_halo(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.lens.blur_px = strength.of(2.0, 4.0, 8.0);
    recipe.lens.halo_share = strength.of(0.15, 0.3, 0.5);
    recipe.lens.halo_radii = strength.of(2.5, 3.0, 4.0);
}

pub(super) fn noise(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.camera.shot_noise = strength.of(0.02, 0.05, 0.1);
    recipe.camera.read_noise = strength.of(0.002, 0.006, 0.015);
}

pub(super) fn slow_motion(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    recipe.timing.frames_per_s = strength.of(60.0, 120.0, 240.0);
    recipe.camera.exposure_s = 0.5 / recipe.timing.frames_per_s;
    // Few seconds, since there are many frames.
    let half_s = 0.2 * random.random_range(0.9..1.1);
    recipe.lamps[0].shows = Shown::Cycle(vec![Beat::lit(colour_of(recipe), half_s), Beat::dark(half_s)]);
    recipe.seconds = 3.0;
}

pub(super) fn zoom_and_turn(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.hand.zoom_per_s = strength.of(0.015, 0.03, 0.06);
    recipe.hand.turn_deg = strength.of(3.0, 8.0, 20.0);
}

pub(super) fn motion_blur(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.hand.motion_blur = true;
    recipe.hand.shake_rms_px = strength.of(6.0, 12.0, 25.0);
    recipe.camera.exposure_s = strength.of(0.016, 0.025, 1.0 / 30.0);
}

pub(super) fn balance_drift(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    let towards = if random.random() { 1.0 } else { -1.0 };
    recipe.camera.balance_drift_per_s = towards * strength.of(0.004, 0.012, 0.03);
}

pub(super) fn tone_curve(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.camera.contrast = strength.of(0.3, 0.6, 1.0);
}
