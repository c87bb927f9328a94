//! Lamps filmed by a camera whose white balance drifts while it films.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::trace;
use rstest::rstest;

/// Long enough to be worked through in two goes. The lamp keeps its one colour, and what the wall gains is not the lamp's.
#[rstest]
fn a_lamp_keeps_its_colour(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue, ColourName::White)] colour: ColourName,
    #[values(-0.02, 0.02)] drift_per_s: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 67 + 5, flashing(colour, 0.4, 0.9), 16.0);
    recipe.camera.balance_drift_per_s = drift_per_s;
    let (_, lamps) = look(&recipe);
    let trace = trace::build(&lamps[0]);
    let names: Vec<_> = trace.tints.iter().map(|tint| tint.names.ranked()[0]).collect();
    assert_eq!(names.len(), 1, "{names:?}");
    assert_eq!(names[0].0, colour, "{names:?}");
}
