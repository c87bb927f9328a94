//! How a clip is filmed: the plain clip of the accuracy bench in a picture of a quarter of the size (a crop, so lengths in
//! pixels are the same), made harder by one of that bench's effects.

use lampwise::render::{Case, Lamp, Recipe, Shown};
use rand::Rng;
use rand_pcg::Pcg64;

use super::effects::{EFFECTS, Strength};

/// Size of the picture, pixels.
const WIDTH_PX: u32 = 640;
const HEIGHT_PX: u32 = 360;

/// Distance of neighbouring lamps, radii, as on small devices; their halos hardly meet.
const APART_RADII: std::ops::Range<f64> = 6.0..9.0;

/// How a clip was made hard.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Filmed {
    pub(crate) effect: &'static str,
    pub(crate) strength: Strength,
    pub(crate) in_file: bool,
}

/// Films lamps side by side, each with its pattern time at the start of the clip.
pub(crate) fn film(lamps: &[(Shown, f64)], seconds: f64, seed: u64, random: &mut Pcg64) -> (Recipe, Filmed) {
    let mut recipe = Recipe {
        width_px: WIDTH_PX,
        height_px: HEIGHT_PX,
        seconds,
        seed,
        ..Recipe::default()
    };
    let radius_px = random.random_range(6.0..14.0);
    let apart_px = radius_px * random.random_range(APART_RADII);
    let left_px = 0.5 * f64::from(WIDTH_PX) - 0.5 * apart_px * (lamps.len() - 1) as f64;
    let x_px = left_px + random.random_range(-90.0..90.0);
    let y_px = random.random_range(0.35..0.65) * f64::from(HEIGHT_PX);
    let peak = random.random_range(1.5..5.0);
    recipe.lamps = lamps
        .iter()
        .enumerate()
        .map(|(index, (shows, starts_at_s))| Lamp {
            id: format!("lamp-{index}"),
            x_px: x_px + apart_px * index as f64,
            y_px,
            radius_px,
            peak,
            starts_at_s: *starts_at_s,
            ..Lamp::showing(shows.clone())
        })
        .collect();
    recipe.scene.ambient = random.random_range(0.2..0.6);
    recipe.scene.texture_contrast = 0.12;
    if random.random::<bool>() {
        let grey = random.random_range(0.05..0.7);
        recipe.scene.case = Some(Case {
            x_px: x_px - random.random_range(60.0..120.0),
            y_px: y_px - random.random_range(50.0..100.0),
            width_px: random.random_range(160.0..300.0) + apart_px * (lamps.len() - 1) as f64,
            height_px: random.random_range(120.0..220.0),
            rgb: [grey, grey, 0.97 * grey],
        });
    }
    recipe.camera.exposure_s = [0.004, 0.01, 0.016][random.random_range(0..3)];
    recipe.camera.red_gain = random.random_range(0.96..1.04);
    recipe.camera.blue_gain = random.random_range(0.96..1.04);
    recipe.camera.auto_exposure_dip = random.random_range(0.0..0.1);
    recipe.hand.shake_rms_px = random.random_range(0.0..4.0);
    let filmed = harden(&mut recipe, lamps.len(), random);
    (recipe, filmed)
}

/// One effect at one strength. What it does to the first lamp is done to all of the device.
fn harden(recipe: &mut Recipe, lamps: usize, random: &mut Pcg64) -> Filmed {
    // Two in ten are brutal.
    let strength = Strength::ALL[[0, 0, 0, 0, 1, 1, 1, 1, 2, 2][random.random_range(0..10)]];
    // An effect that changes what the lamp shows is not of the camera, and would change the truth; and lamps side by side
    // stay apart.
    let apart_px = recipe.lamps[..lamps]
        .windows(2)
        .map(|pair| pair[1].x_px - pair[0].x_px)
        .fold(f64::INFINITY, f64::min);
    let effect = loop {
        let effect = &EFFECTS[random.random_range(0..EFFECTS.len())];
        let mut tried = recipe.clone();
        (effect.apply)(&mut tried, strength, random);
        let apart = 3.0 * tried.lamps[0].radius_px < apart_px;
        if apart && tried.lamps[0].shows == recipe.lamps[0].shows {
            *recipe = tried;
            break effect;
        }
    };
    let first = recipe.lamps[0].clone();
    for lamp in &mut recipe.lamps[1..lamps] {
        lamp.radius_px = first.radius_px;
        lamp.peak = first.peak;
        lamp.lens_rgb = first.lens_rgb;
    }
    let frame_s = 1.0 / recipe.timing.frames_per_s;
    recipe.camera.exposure_s = recipe.camera.exposure_s.min(frame_s);
    recipe.camera.readout_s = recipe.camera.readout_s.min(frame_s);
    recipe.timing.jitter_s = recipe.timing.jitter_s.min(0.45 * frame_s);
    Filmed {
        effect: effect.name,
        strength,
        in_file: effect.in_file,
    }
}
