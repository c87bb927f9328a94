//! Lamps that fill a good part of the picture, as after the advice to go closer, or that give far more light than it shows.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::render::{Beat, Shown};
use lampwise::trace;
use rstest::rstest;

#[rstest]
fn a_lamp_is_found_and_named(
    #[values(ColourName::Red, ColourName::Green, ColourName::White)] colour: ColourName,
    #[values(25.0, 45.0, 80.0)] radius: f64,
    #[values(false, true)] flashes: bool,
    #[values(1, 2)] seed: u64,
) {
    let steady = Shown::Cycle(vec![Beat::lit(colour, 1.0)]);
    let shows = if flashes {
        flashing(colour, 0.4, 0.4)
    } else {
        steady
    };
    let mut recipe = clip(seed * 43 + 3, shows, 4.0);
    recipe.lamps[0].radius_px = radius;
    // A green that clips two channels is cyan as well.
    recipe.lamps[0].peak = 1.5;
    recipe.scene.ambient = 0.4;
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.first().expect("a lamp is there");
    let at = &truth.frames[0].lamps[0];
    let away = (lamp.x - at.x_px).hypot(lamp.y - at.y_px);
    assert!(away < recipe.lamps[0].radius_px, "{away:.1} px off");
    assert!(lamp.score > 0.5, "looks like a lamp: {:.2}", lamp.score);
    let names = trace::build(lamp).tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}

/// Its middle is as bright as all about it, and its parts are lamps in nothing but that.
#[rstest]
fn a_lamp_that_clips_is_found_whole(
    #[values(ColourName::Red, ColourName::Amber, ColourName::Green, ColourName::Blue)] colour: ColourName,
    #[values(60.0, 80.0)] radius_px: f64,
) {
    let mut recipe = clip(17, Shown::Cycle(vec![Beat::lit(colour, 1.0)]), 1.5);
    recipe.lamps[0].radius_px = radius_px;
    recipe.lamps[0].peak = 3.5;
    recipe.scene.ambient = 0.4;
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.first().expect("a lamp is there");
    let at = &truth.frames[0].lamps[0];
    let away = (lamp.x - at.x_px).hypot(lamp.y - at.y_px);
    assert!(away < 0.1 * radius_px, "{away:.1} px off");
    assert!(
        (lamp.radius / radius_px - 1.0).abs() < 0.1,
        "{:.1} px",
        lamp.radius
    );
    assert!(!trace::build(lamp).tints.is_empty(), "it is not dark");
}

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
