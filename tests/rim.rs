//! Steady lamps far too bright for the camera, whose rim alone keeps the hue.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, look};
use lampwise::colour::ColourName;
use lampwise::render::{Beat, Shown};
use lampwise::trace;
use rstest::rstest;

/// With ten times the light of the picture's white the core of a red lamp is yellow.
#[rstest]
fn a_lamp_that_clips_hard_may_be_what_it_is(
    #[values(
        ColourName::Red,
        ColourName::Amber,
        ColourName::Yellow,
        ColourName::Green,
        ColourName::Blue,
        ColourName::White
    )]
    colour: ColourName,
    #[values(9.0, 12.5)] radius_px: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    const POSSIBLE: f64 = 0.2;
    let mut recipe = clip(seed * 31 + 7, Shown::Cycle(vec![Beat::lit(colour, 1.0)]), 3.0);
    recipe.lamps[0].radius_px = radius_px;
    recipe.lamps[0].peak = 10.0;
    let (_, lamps) = look(&recipe);
    let names = trace::build(&lamps[0]).tints[0].names;
    assert!(names.of(colour) >= POSSIBLE, "{:?}", &names.ranked()[..3]);
}
