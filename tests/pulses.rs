//! Lamps dimmed by pulse width, filmed with an exposure so short that pulses and frames beat.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::render::Pulses;
use lampwise::trace::{self, Caveat, Rhythm};
use rstest::rstest;

/// Nearly half of the lit frames fall between two pulses. The rhythm is the lamp's all the same, and the beat is said.
#[rstest]
fn a_flashing_lamp_keeps_its_rhythm(
    #[values((133.8, 13.8), (138.7, 11.3), (129.8, 9.8))] (hz, beat_hz): (f64, f64),
    #[values((0.35, 0.6), (0.5, 0.8))] (on_s, off_s): (f64, f64),
    #[values(ColourName::Red, ColourName::Blue)] colour: ColourName,
) {
    const ON_SHARE: f64 = 0.3;
    let mut recipe = clip((hz * 10.0) as u64, flashing(colour, on_s, off_s), 8.0);
    recipe.lamps[0].pulses = Some(Pulses {
        hz,
        on_share: ON_SHARE,
    });
    recipe.lamps[0].peak /= ON_SHARE;
    recipe.camera.exposure_s = 0.002;
    let (_, lamps) = look(&recipe);
    let measured = trace::measure(&trace::build(&lamps[0]), 0.5);
    assert_eq!(measured.rhythm, Rhythm::Flashing);
    let period_s = measured.period_s.unwrap().value;
    assert!((period_s / (on_s + off_s) - 1.0).abs() < 0.01, "{period_s}");
    let said = measured
        .caveats
        .iter()
        .any(|caveat| matches!(caveat, Caveat::Beat { rate_hz, .. } if (rate_hz - beat_hz).abs() < 0.1));
    assert!(said, "{:?}", measured.caveats);
}
