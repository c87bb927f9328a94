//! Lamps in dark pictures: of a dark room, where nothing but the lamp tells how the camera moved, and of a room whose
//! brightness was drawn down until the lamp no longer clips, as the advice for a washed-out lamp asks.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::light::Followed;
use lampwise::render::{Beat, Case, Cover, Recipe, Shown, Stretch};
use lampwise::trace::{self, Rhythm};
use rstest::rstest;

fn shows(colour: ColourName, flashes: bool) -> Shown {
    if flashes {
        flashing(colour, 0.4, 0.4)
    } else {
        Shown::Cycle(vec![Beat::lit(colour, 1.0)])
    }
}

/// The likeliest lamp of a clip, which is the lamp of the recipe.
fn found(recipe: &Recipe) -> Followed {
    let (truth, lamps) = look(recipe);
    let lamp = lamps.into_iter().next().expect("a lamp is there");
    let at = &truth.frames[0].lamps[0];
    let away = (lamp.x - at.x_px).hypot(lamp.y - at.y_px);
    assert!(away < recipe.lamps[0].radius_px, "{away:.1} px off");
    lamp
}

#[rstest]
fn a_lamp_that_does_not_clip_is_found_and_named(
    #[values(
        ColourName::Red,
        ColourName::Green,
        ColourName::Blue,
        ColourName::Violet,
        ColourName::White
    )]
    colour: ColourName,
    #[values(false, true)] flashes: bool,
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 41 + 3, shows(colour, flashes), 4.0);
    recipe.lamps[0].peak = 0.5;
    recipe.scene.ambient = 0.035;
    let names = trace::build(&found(&recipe)).tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}

/// Seen unlit only in the first seconds, which are worked through before the rest.
#[rstest]
fn a_lamp_once_seen_unlit_is_held_against_that(#[values(1, 2, 3)] seed: u64) {
    let green = |from: f64, to: f64| Beat {
        from,
        to,
        ..Beat::lit(ColourName::Green, 2.8)
    };
    let shows = Shown::Sequence(vec![
        Stretch {
            for_s: 8.8,
            cycle: vec![green(0.0, 1.0), green(1.0, 0.0)],
        },
        Stretch {
            for_s: 5.0,
            cycle: vec![Beat::lit(ColourName::White, 1.0)],
        },
    ]);
    let mut recipe = clip(seed * 59 + 3, shows, 13.5);
    recipe.lamps[0].starts_at_s = 0.0;
    recipe.lamps[0].peak = 0.9;
    recipe.scene.ambient = 0.09;
    recipe.scene.case = Some(Case {
        x_px: 200.0,
        y_px: 100.0,
        width_px: 270.0,
        height_px: 155.0,
        rgb: [0.47, 0.47, 0.46],
    });
    let tints = trace::build(&found(&recipe)).tints;
    let names: Vec<_> = tints.iter().map(|tint| tint.names.ranked()[0]).collect();
    let white = names.iter().find(|(name, _)| *name == ColourName::White);
    assert!(white.is_some_and(|(_, belief)| *belief > 0.8), "{names:?}");
}

/// Paper gives back about twenty times the light that black plastic does, and red paint twelve times as much red.
#[rstest]
fn a_label_on_a_black_device_is_no_lamp(
    #[values([0.85, 0.85, 0.85], [0.55, 0.05, 0.05])] rgb: [f64; 3],
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 53 + 3, shows(ColourName::White, false), 3.0);
    recipe.lamps.clear();
    recipe.scene.ambient = 0.7;
    recipe.scene.background_rgb = [0.045; 3];
    recipe.scene.case = Some(Case {
        x_px: 300.0,
        y_px: 150.0,
        width_px: 44.0,
        height_px: 24.0,
        rgb,
    });
    let (_, lamps) = look(&recipe);
    let best = lamps.iter().map(|lamp| lamp.score).fold(0.0, f64::max);
    assert!(best < 0.3, "{best}");
}

/// For most of the time it is far below its top, which is far below the scale's.
#[rstest]
fn a_white_lamp_that_swells_in_a_dark_picture_is_found(
    #[values(0.5, 0.7)] peak: f64,
    #[values(0.7, 1.2)] swell_s: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let white = |from: f64, to: f64| Beat {
        from,
        to,
        ..Beat::lit(ColourName::White, swell_s)
    };
    let swells = Shown::Cycle(vec![white(0.0, 1.0), white(1.0, 0.0)]);
    let mut recipe = clip(seed * 61 + 3, swells, 5.5);
    recipe.lamps[0].peak = peak;
    recipe.scene.ambient = 0.12 * peak;
    let measured = trace::measure(&trace::build(&found(&recipe)), 0.5);
    assert_eq!(measured.rhythm, Rhythm::Breathing);
}

/// A white button on black plastic: as bright as a lamp in a picture that was drawn down, and it comes and goes.
#[rstest]
fn a_button_under_a_finger_again_and_again_is_no_lamp(#[values(1, 2, 3)] seed: u64) {
    let mut recipe = clip(seed * 71 + 3, Shown::Cycle(vec![Beat::dark(1.0)]), 6.0);
    recipe.lamps[0].lens_rgb = [0.85; 3];
    recipe.scene.ambient = 0.7;
    recipe.scene.background_rgb = [0.045; 3];
    recipe.hand.covers = [(0.8, 1.6), (2.3, 2.8), (4.3, 5.3)]
        .map(|(from_s, to_s)| Cover {
            from_s,
            to_s,
            radius_px: recipe.lamps[0].radius_px + 30.0,
        })
        .to_vec();
    let (_, lamps) = look(&recipe);
    let best = lamps.iter().map(|lamp| lamp.score).fold(0.0, f64::max);
    assert!(best < 0.4, "{best}");
}

#[rstest]
fn in_a_dark_room_a_shaking_hand_is_no_rhythm(
    #[values(ColourName::Red, ColourName::Green, ColourName::White)] colour: ColourName,
    #[values(6.0, 15.0)] radius: f64,
    #[values(false, true)] flashes: bool,
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 43 + 3, shows(colour, flashes), 4.0);
    recipe.lamps[0].radius_px = radius;
    recipe.scene.ambient = 0.01;
    recipe.hand.shake_rms_px = 3.5;
    let trace = trace::build(&found(&recipe));
    let measured = trace::measure(&trace, 0.5);
    let rhythm = if flashes { Rhythm::Flashing } else { Rhythm::Fixed };
    assert_eq!(measured.rhythm, rhythm);
}

/// A still hand: the rim of a steady lamp comes and goes by a little, and looks like a light of its own.
#[rstest]
fn in_a_dark_room_the_rim_of_a_lamp_is_no_lamp(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue, ColourName::White)] colour: ColourName,
    #[values(6.0, 11.0, 16.0)] radius: f64,
    #[values(0.4, 1.2)] shake_rms_px: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 47 + 3, shows(colour, false), 8.0);
    recipe.lamps[0].radius_px = radius;
    recipe.scene.ambient = 0.06;
    recipe.hand.shake_rms_px = shake_rms_px;
    let trace = trace::build(&found(&recipe));
    let measured = trace::measure(&trace, 0.5);
    assert_eq!(measured.rhythm, Rhythm::Fixed);
    assert!(measured.seen_share > 0.99, "{}", measured.seen_share);
}
