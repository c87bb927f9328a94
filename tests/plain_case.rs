//! Lamps on a plain case that fills the picture: nothing but the lamp tells how the camera moved.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::light::{Glimpse, Sighting};
use lampwise::render::{Glance, Recipe};

fn on_a_plain_case(shake_rms_px: f64, seed: u64) -> Recipe {
    let mut recipe = clip(seed * 41 + 3, flashing(ColourName::Amber, 0.9, 0.9), 6.0);
    recipe.lamps[0].radius_px = 12.0;
    recipe.lamps[0].peak = 1.8;
    recipe.scene.texture_contrast = 0.02;
    recipe.scene.texture_px = 120.0;
    recipe.scene.background_rgb = [0.46, 0.44, 0.38];
    recipe.scene.ambient = 0.67;
    recipe.hand.shake_rms_px = shake_rms_px;
    recipe
}

fn count(glimpses: &[Glimpse], which: impl Fn(usize) -> bool) -> (usize, usize) {
    let chosen = || glimpses.iter().enumerate().filter(|(frame, _)| which(*frame));
    let seen = chosen().filter(|(_, glimpse)| glimpse.sighting == Sighting::Seen);
    (seen.count(), chosen().count())
}

/// The bound is what was measured, and no goal.
#[test]
fn a_lamp_that_goes_out_is_mostly_dark_and_not_hidden() {
    const MOST_WRONG: usize = 2;
    let mut wrong = Vec::new();
    for shake_rms_px in [1.0, 2.5, 4.0] {
        for seed in 1..=4 {
            let (_, lamps) = look(&on_a_plain_case(shake_rms_px, seed));
            let (seen, all) = count(&lamps.first().expect("a lamp is there").glimpses, |_| true);
            if seen * 20 < all * 19 {
                wrong.push((shake_rms_px, seed, seen));
            }
        }
    }
    assert!(wrong.len() <= MOST_WRONG, "{wrong:?}");
}

/// The camera looks at another part of the case, which looks the same. The bound is what was measured, and no goal.
#[test]
fn a_lamp_out_of_the_picture_is_mostly_not_dark() {
    const MOST_WRONG: usize = 2;
    let mut wrong = Vec::new();
    for shake_rms_px in [1.0, 4.0] {
        for seed in 1..=4 {
            let mut recipe = on_a_plain_case(shake_rms_px, seed);
            recipe.hand.glances = vec![Glance {
                from_s: 2.0,
                to_s: 4.0,
                x_px: 700.0,
                y_px: 0.0,
            }];
            let (truth, lamps) = look(&recipe);
            let glimpses = &lamps.first().expect("a lamp is there").glimpses;
            let (seen, away) = count(glimpses, |frame| !truth.frames[frame].lamps[0].in_frame);
            assert!(away > 30, "the lamp is out of the picture in the truth");
            if seen * 20 > away {
                wrong.push((shake_rms_px, seed, seen));
            }
        }
    }
    assert!(wrong.len() <= MOST_WRONG, "{wrong:?}");
}
