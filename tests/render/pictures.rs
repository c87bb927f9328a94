//! Pixels against the truth that comes with them.

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Cover, Recipe, Shown, Upright, frames};

use super::bare::{gravity, light, luma, neutral, plain, steady};

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

/// In no whole ratio to the frames, so that some are lit for a part.
pub(crate) fn blinking() -> Shown {
    Shown::Cycle(vec![Beat::lit(ColourName::White, 0.11), Beat::dark(0.07)])
}

#[test]
fn light_in_the_picture_is_the_level_times_the_lamps_area() {
    let mut recipe = plain(96, 96);
    recipe.camera.exposure_s = 1.0 / 30.0;
    recipe.camera.readout_s = 0.0;
    recipe.lamps = vec![neutral(48.0, 48.0, blinking())];
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

/// Half of the second lamp lies under the finger that rests on the first.
#[test]
fn what_a_finger_leaves_in_view_of_a_lamp_is_as_bright_as_before() {
    let mut recipe = plain(160, 160);
    recipe.seconds = 1.5;
    recipe.hand.shake_rms_px = 0.0;
    recipe.hand.covers = vec![Cover {
        from_s: 0.6,
        to_s: 1.5,
        radius_px: 20.0,
    }];
    // Up and left of the first by the finger's radius: the finger comes from below right.
    recipe.lamps = vec![neutral(100.0, 100.0, steady()), neutral(91.0, 82.0, steady())];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    let mut halved = 0;
    let mut before = None;
    for frame in &truth.frames {
        let (width, data) = luma(frames.next_picture().unwrap());
        // Four pixels from its centre, out from the finger, and as far on its other side.
        let [in_view, under] = [(89, 78), (92, 86)].map(|(x, y): (usize, usize)| light(data[y * width + x]));
        let before = *before.get_or_insert(in_view);
        if frame.time_s > 0.65 {
            halved += 1;
            assert!(under < 0.2 * before, "{under} at {}", frame.time_s);
            assert!(
                (in_view - before).abs() < 0.02 * before,
                "{in_view} at {}",
                frame.time_s
            );
        }
    }
    assert!(halved > 10);
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
