//! Hand-held clips of one rendered lamp, and what is seen in them.

use lampwise::colour::ColourName;
use lampwise::light::{Followed, Watcher};
use lampwise::render::{Beat, Lamp, Recipe, Shown, Truth, frames};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

use crate::recipe;

/// A hand-held clip of one lamp: the camera differs with the seed.
pub(crate) fn clip(seed: u64, shows: Shown, seconds: f64) -> Recipe {
    let seed = recipe::moved(seed);
    let mut random = Pcg64::seed_from_u64(seed);
    let mut recipe = recipe::empty(seed, seconds);
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(200.0..440.0),
        y_px: random.random_range(100.0..260.0),
        radius_px: random.random_range(4.0..11.0),
        peak: random.random_range(1.2..4.0),
        starts_at_s: random.random_range(0.0..2.0),
        ..Lamp::showing(shows)
    }];
    recipe.scene.ambient = random.random_range(0.2..0.7);
    recipe.scene.texture_contrast = 0.15;
    recipe.scene.texture_px = 30.0;
    recipe.camera.exposure_s = [0.004, 0.012, 0.025][random.random_range(0..3)];
    recipe.camera.red_gain = random.random_range(0.93..1.07);
    recipe.camera.blue_gain = random.random_range(0.93..1.07);
    recipe.camera.auto_exposure_dip = random.random_range(0.0..0.15);
    recipe.hand.shake_rms_px = random.random_range(0.0..4.0);
    recipe
}

pub(crate) fn look(recipe: &Recipe) -> (Truth, Vec<Followed>) {
    let mut pictures = frames(recipe).unwrap();
    let mut watcher = Watcher::new(None);
    while let Some(picture) = pictures.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    (pictures.truth().clone(), watcher.finish())
}

pub(crate) fn flashing(colour: ColourName, on_s: f64, off_s: f64) -> Shown {
    Shown::Cycle(vec![Beat::lit(colour, on_s), Beat::dark(off_s)])
}
