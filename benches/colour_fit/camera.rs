//! Cameras that film the lamps, and what the program measures of the films.

use std::collections::BTreeMap;

use lampwise::colour::ColourName;
use lampwise::light::Watcher;
use lampwise::render::{Beat, Lamp, Recipe, Shown, frames};
use lampwise::trace::{self, Chroma};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

use crate::lamps::{Half, chromaticity};

/// A lamp as the program measured it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Measured {
    pub name: ColourName,
    pub chroma: Chroma,
    pub camera: u64,
}

/// One lamp of every name through one camera; what never looked lit is left out.
pub(crate) fn film_all(camera: u64, half: Half) -> Vec<Measured> {
    ColourName::ALL
        .into_iter()
        .filter_map(|name| {
            let chroma = film(&recipe(camera, name, half))?;
            Some(Measured { name, chroma, camera })
        })
        .collect()
}

/// The camera is the same for all lamps of one number: white balance, lens, light on the scene. Ranges are
/// guessed to be wider than those of phones.
fn recipe(camera: u64, name: ColourName, half: Half) -> Recipe {
    let side = u64::from(half == Half::HeldOut);
    let mut random = Pcg64::seed_from_u64(2 * camera + side);
    let mut recipe = Recipe {
        width_px: 240,
        height_px: 180,
        seconds: 0.4,
        seed: 2 * camera + side,
        ..Recipe::default()
    };
    recipe.camera.red_gain = random.random_range(0.88..1.12);
    recipe.camera.blue_gain = random.random_range(0.88..1.12);
    recipe.camera.gain = random.random_range(0.7..1.4);
    recipe.camera.auto_exposure_dip = random.random_range(0.0..0.15);
    recipe.camera.shot_noise = random.random_range(0.005..0.02);
    recipe.camera.read_noise = random.random_range(0.0005..0.003);
    recipe.lens.blur_px = random.random_range(0.6..1.8);
    recipe.lens.halo_share = random.random_range(0.03..0.2);
    recipe.lens.halo_radii = random.random_range(1.5..3.5);
    recipe.hand.shake_rms_px = random.random_range(0.0..1.0);
    recipe.scene.ambient = random.random_range(0.03..0.9);
    recipe.scene.texture_px = 30.0;
    let grey = random.random_range(0.05..0.6);
    recipe.scene.background_rgb = [1.0, 0.97, 0.9].map(|tone: f64| grey * tone);

    let mut random = Pcg64::seed_from_u64(random.random::<u64>() + name.index() as u64);
    let mut beats = vec![Beat::lit(name, 0.133)];
    if random.random_bool(0.5) {
        beats.push(Beat::dark(0.133));
    }
    let lens = random.random_range(0.1..0.5);
    let lens_rgb = if random.random_bool(0.5) {
        [lens; 3]
    } else {
        [0, 1, 2].map(|_| random.random_range(0.05..0.5))
    };
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(110.0..130.0),
        y_px: random.random_range(82.0..98.0),
        radius_px: random.random_range(3.0..12.0),
        // From dimmer than a white sheet to eight times what the sensor takes, evenly by ratio.
        peak: random.random_range(0.6f64.ln()..8.0f64.ln()).exp(),
        lens_rgb,
        colour_xy: BTreeMap::from([(name.as_str().to_owned(), chromaticity(name, half, &mut random))]),
        ..Lamp::showing(Shown::Cycle(beats))
    }];
    recipe
}

/// The lamp's colour as the program measures it when it is pointed to, since naming is to be learnt and not
/// finding: a name whose lamps are hard to find would otherwise be learnt as rare. `None` where it never
/// looked lit.
fn film(recipe: &Recipe) -> Option<Chroma> {
    let mut pictures = frames(recipe).expect("the recipe is within what can be rendered");
    let lamp = &recipe.lamps[0];
    let mut watcher = Watcher::new(Some((lamp.x_px, lamp.y_px)));
    while let Some(picture) = pictures.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    let found = watcher.finish().into_iter().next()?;
    Some(trace::build(&found).tints.first()?.chroma)
}
