//! Lamps in lit rooms, filmed by a camera with much noise.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::{ColourName, D65};
use lampwise::render::Recipe;
use lampwise::trace;
use rstest::rstest;

/// Distance of the lamp's colour from white in u'v'.
fn from_white(recipe: &Recipe) -> f64 {
    let (_, lamps) = look(recipe);
    let chroma = trace::build(&lamps[0]).tints[0].chroma;
    (chroma.u - D65.0).hypot(chroma.v - D65.1)
}

/// Noise is as often below the light as above it: it makes no lamp paler.
#[rstest]
fn noise_does_not_pale_a_lamp(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue)] colour: ColourName,
    #[values(1, 2, 3, 4)] seed: u64,
) {
    let mut recipe = clip(seed * 53 + 7, flashing(colour, 0.5, 0.5), 4.0);
    recipe.scene.ambient = 0.7;
    // Below clipping, so that the colour is read from the same pixels with the noise and without.
    recipe.lamps[0].peak = 0.8;
    (recipe.camera.shot_noise, recipe.camera.read_noise) = (0.0, 0.0);
    let clean = from_white(&recipe);
    (recipe.camera.shot_noise, recipe.camera.read_noise) = (0.06, 0.01);
    let noisy = from_white(&recipe);
    assert!(noisy > 0.95 * clean, "{noisy:.4} for {clean:.4}");
}
