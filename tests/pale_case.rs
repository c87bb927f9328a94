//! Lamps that are lit all the time in a case that is paler than they are.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/recipe.rs"]
mod recipe;

use lampwise::colour::ColourName;
use lampwise::light::Watcher;
use lampwise::render::{Beat, Case, Lamp, Shown, frames};
use lampwise::trace;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rstest::rstest;

/// Of a red or blue lamp at the top of the scale the luma is 0.21 or 0.07 of white's (Rec. ITU-R BT.709-6, item 3.2): a
/// grey case has more.
#[rstest]
fn a_steady_lamp_is_found_and_named(
    #[values(ColourName::Red, ColourName::Blue, ColourName::Green)] colour: ColourName,
    #[values(0.2, 0.35)] ambient: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let seed = recipe::moved(seed);
    let mut random = Pcg64::seed_from_u64(seed);
    let mut recipe = recipe::empty(seed, 4.0);
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(250.0..390.0),
        y_px: random.random_range(130.0..230.0),
        radius_px: random.random_range(5.0..9.0),
        peak: random.random_range(1.5..2.5),
        ..Lamp::showing(Shown::Cycle(vec![Beat::lit(colour, 1.0)]))
    }];
    recipe.scene.ambient = ambient;
    recipe.scene.case = Some(Case {
        x_px: 180.0,
        y_px: 80.0,
        width_px: 280.0,
        height_px: 200.0,
        rgb: [0.62, 0.62, 0.6],
    });
    recipe.hand.shake_rms_px = random.random_range(0.5..3.0);
    let mut pictures = frames(&recipe).unwrap();
    let mut watcher = Watcher::new(None);
    while let Some(picture) = pictures.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    let lamps = watcher.finish();
    let lamp = lamps.first().expect("a lamp is there");
    let truth = &pictures.truth().frames[0].lamps[0];
    let away = (lamp.x - truth.x_px).hypot(lamp.y - truth.y_px);
    assert!(away < 4.0, "{away} px off");
    let names = trace::build(lamp).tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}
