//! Lamps that clip in two colours in turn and are never dark: white in the middle in both, each is told by its rim.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/recipe.rs"]
mod recipe;

use lampwise::colour::ColourName;
use lampwise::light::Watcher;
use lampwise::render::{Beat, Lamp, Shown, frames};
use lampwise::trace;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rstest::rstest;

#[rstest]
#[case::violet_and_cyan([ColourName::Violet, ColourName::Cyan], 13.6)]
#[case::violet_and_warm_white([ColourName::Violet, ColourName::WarmWhite], 5.2)]
fn neither_is_the_unlit_lamp(
    #[case] colours: [ColourName; 2],
    #[case] radius_px: f64,
    #[values(1, 2, 3, 4)] seed: u64,
) {
    let seed = recipe::moved(seed);
    let mut random = Pcg64::seed_from_u64(seed);
    let mut recipe = recipe::empty(seed, 5.0);
    let cycle = colours.map(|colour| Beat::lit(colour, random.random_range(0.3..0.8)));
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(250.0..390.0),
        y_px: random.random_range(130.0..230.0),
        radius_px,
        peak: 6.0,
        ..Lamp::showing(Shown::Cycle(cycle.to_vec()))
    }];
    recipe.scene.ambient = random.random_range(0.3..0.8);
    recipe.hand.shake_rms_px = random.random_range(0.5..2.0);
    recipe.camera.exposure_s = random.random_range(0.004..0.02);
    let mut pictures = frames(&recipe).unwrap();
    let mut watcher = Watcher::new(None);
    while let Some(picture) = pictures.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    let lamp = watcher.finish().into_iter().next().expect("a lamp is there");
    let trace = trace::build(&lamp);
    let dark = trace.samples.iter().filter(|sample| sample.level < 0.25).count();
    assert!(dark <= 1, "{dark} of {} frames are dark", trace.samples.len());
    let names: Vec<ColourName> = trace.tints.iter().map(|tint| tint.names.ranked()[0].0).collect();
    assert!(names.contains(&colours[0]), "{names:?}");
}
