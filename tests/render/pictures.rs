//! Pixels against the truth that comes with them.

use lampwise::colour::ColourName;
use lampwise::footage::Samples;
use lampwise::render::{Beat, Cover, Lamp, Picture, Recipe, Shown, Upright, frames};

/// A bare dark scene without noise, in which nothing clips: pixels can be traced back to light.
fn plain(width_px: u32, height_px: u32) -> Recipe {
    let mut recipe = Recipe {
        width_px,
        height_px,
        seconds: 0.5,
        ..Recipe::default()
    };
    recipe.scene.ambient = 0.0;
    recipe.camera.shot_noise = 0.0;
    recipe.camera.read_noise = 0.0;
    recipe.camera.auto_exposure_dip = 0.0;
    recipe.lens.halo_share = 0.0;
    recipe.hand.shake_rms_px = 4.0;
    recipe
}

/// A lamp of the white of BT.709, so that luma alone tells its light.
fn neutral(x_px: f64, y_px: f64, shows: Shown) -> Lamp {
    Lamp {
        x_px,
        y_px,
        radius_px: 6.0,
        peak: 0.8,
        colour_xy: [("white".to_owned(), [0.3127, 0.3290])].into(),
        ..Lamp::showing(shows)
    }
}

fn steady() -> Shown {
    Shown::Cycle(vec![Beat::lit(ColourName::White, 1.0)])
}

/// Linear light of a pixel, from its luma, by the inverse of the curve of Rec. ITU-R BT.709-6, item 1.2.
fn light(luma: u8) -> f64 {
    let value = (f64::from(luma) - 16.0) / 219.0;
    if value < 0.081 {
        value / 4.5
    } else {
        ((value + 0.099) / 1.099).powf(1.0 / 0.45)
    }
}

fn luma(picture: &Picture) -> (usize, &[u8]) {
    match picture.as_frame().samples {
        Samples::Planar { luma, .. } => (luma.stride, luma.data),
        other => panic!("not planar: {other:?}"),
    }
}

/// Sum of the light in a picture, and its centre of gravity in the upright picture.
fn gravity(picture: &Picture) -> (f64, (f64, f64)) {
    let (stride, data) = luma(picture);
    let (mut sum, mut x, mut y) = (0.0, 0.0, 0.0);
    for (index, &sample) in data.iter().enumerate() {
        let light = light(sample);
        sum += light;
        x += light * ((index % stride) as f64 + 0.5);
        y += light * ((index / stride) as f64 + 0.5);
    }
    let frame = picture.as_frame();
    let size = (frame.width as f64, frame.height as f64);
    (sum, frame.turn.to_upright((x / sum, y / sum), size))
}

#[rstest::rstest]
#[case(Upright::AsCoded, (160, 96))]
#[case(Upright::TurnedRight, (96, 160))]
#[case(Upright::Reversed, (160, 96))]
#[case(Upright::TurnedLeft, (96, 160))]
fn lamp_is_where_the_truth_says(#[case] upright: Upright, #[case] coded: (usize, usize)) {
    let mut recipe = plain(160, 96);
    recipe.encoding.upright = upright;
    recipe.lamps = vec![neutral(61.3, 40.8, steady())];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    for frame in &truth.frames {
        let picture = frames.next_picture().unwrap();
        let seen = picture.as_frame();
        assert_eq!(
            (seen.width, seen.height, seen.time_s),
            (coded.0, coded.1, frame.time_s)
        );
        let (_, (x, y)) = gravity(picture);
        let lamp = frame.lamps[0];
        // Eight-bit steps at the lamp's edge shift its centre of gravity by a few hundredths of a pixel.
        assert!((x - lamp.x_px).abs() < 0.05, "{x} against {}", lamp.x_px);
        assert!((y - lamp.y_px).abs() < 0.05, "{y} against {}", lamp.y_px);
    }
}

#[test]
fn light_in_the_picture_is_the_level_times_the_lamps_area() {
    let mut recipe = plain(96, 96);
    recipe.camera.exposure_s = 1.0 / 30.0;
    recipe.camera.readout_s = 0.0;
    let flashing = Shown::Cycle(vec![Beat::lit(ColourName::White, 0.11), Beat::dark(0.07)]);
    recipe.lamps = vec![neutral(48.0, 48.0, flashing)];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    let full = 0.8 * std::f64::consts::PI * 36.0;
    let mut partly = 0;
    for frame in &truth.frames {
        let (sum, _) = gravity(frames.next_picture().unwrap());
        let level = frame.lamps[0].level;
        partly += usize::from(level > 0.05 && level < 0.95);
        assert!(
            (sum - full * level).abs() < 0.01 * full,
            "{} against {level}",
            sum / full
        );
    }
    assert!(partly >= 3, "the clip has frames that are lit for a part");
}

#[test]
fn background_darkens_by_the_stated_exposure_gain() {
    let mut recipe = plain(96, 96);
    recipe.seconds = 2.0;
    recipe.hand.shake_rms_px = 0.0;
    recipe.scene.ambient = 1.0;
    recipe.scene.texture_contrast = 0.0;
    recipe.scene.gradient = 0.0;
    recipe.scene.background_rgb = [0.5; 3];
    recipe.camera.auto_exposure_dip = 0.3;
    let slow = Shown::Cycle(vec![Beat::dark(0.5), Beat::lit(ColourName::White, 0.5)]);
    recipe.lamps = vec![neutral(48.0, 48.0, slow)];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    let mut least = 1.0_f64;
    for frame in &truth.frames {
        let (_, data) = luma(frames.next_picture().unwrap());
        // A step of the code is 1 % of this grey.
        let expected = 0.5 * frame.exposure_gain;
        assert!(
            (light(data[0]) - expected).abs() < 0.005,
            "{} against {expected}",
            light(data[0])
        );
        least = least.min(frame.exposure_gain);
    }
    // The first rise lasts 0.5 s at a time constant of 0.3 s: 1 - exp(-5/3) = 0.81 of the whole dip.
    assert_eq!(truth.frames[0].exposure_gain, 1.0);
    assert!((0.70..0.79).contains(&least), "{least}");
}

#[test]
fn finger_hides_the_lamp_and_its_halo() {
    let mut recipe = plain(160, 160);
    recipe.seconds = 2.0;
    recipe.hand.covers = vec![Cover {
        from_s: 0.7,
        to_s: 1.2,
        radius_px: 20.0,
    }];
    recipe.lens.halo_share = 0.2;
    recipe.lamps = vec![neutral(60.0, 60.0, steady())];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    for frame in &truth.frames {
        let (sum, _) = gravity(frames.next_picture().unwrap());
        if (0.7..1.15).contains(&frame.time_s) {
            assert!(frame.lamps[0].hidden);
            assert!(sum < 1e-9, "{sum} at {}", frame.time_s);
        } else if frame.time_s < 0.45 || frame.time_s > 1.45 {
            assert!(!frame.lamps[0].hidden);
            assert!(sum > 80.0, "{sum} at {}", frame.time_s);
        }
        // What the lamp does does not depend on who sees it.
        assert!((frame.lamps[0].level - 1.0).abs() < 1e-9);
    }
}

#[test]
fn same_recipe_gives_same_pictures() {
    let recipe = {
        let mut recipe = Recipe {
            width_px: 128,
            height_px: 72,
            seconds: 0.5,
            ..Recipe::default()
        };
        recipe.lamps = vec![neutral(40.0, 40.0, steady())];
        recipe
    };
    let pictures = |recipe: &Recipe| {
        let mut frames = frames(recipe).unwrap();
        let mut pictures = Vec::new();
        while let Some(picture) = frames.next_picture() {
            pictures.push(picture.clone());
        }
        pictures
    };
    let first = pictures(&recipe);
    assert_eq!(first.len(), 15);
    assert!(first == pictures(&recipe), "the same recipe gave other pictures");
    let other = Recipe { seed: 2, ..recipe };
    assert!(first != pictures(&other), "another seed gave the same pictures");
}
