//! Zoom, turn and smear: pixels against the truth, and the truth against what was asked for.

use lampwise::render::{Case, Label, Lamp, Picture, Recipe, frames, truth};

use super::bare::{gravity, light, luma, neutral, plain, steady};

/// Sum of the light and its variance across and down.
fn extent(picture: &Picture) -> (f64, f64) {
    let (sum, (middle_x, middle_y)) = gravity(picture);
    let (stride, data) = luma(picture);
    let mut squares = 0.0;
    for (index, &code) in data.iter().enumerate() {
        let (x, y) = ((index % stride) as f64 + 0.5, (index / stride) as f64 + 0.5);
        squares += light(code) * ((x - middle_x).powi(2) + (y - middle_y).powi(2));
    }
    (sum, squares / sum)
}

#[test]
fn zoom_grows_the_lamp_about_the_middle() {
    let mut recipe = plain(320, 240);
    recipe.seconds = 3.0;
    recipe.hand.shake_rms_px = 0.0;
    recipe.hand.zoom_per_s = 0.2;
    recipe.lamps = vec![neutral(190.0, 150.0, steady())];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    for frame in &truth.frames {
        let picture = frames.next_picture().unwrap();
        let middle_s = frame.time_s + 0.5 * (recipe.camera.exposure_s + recipe.camera.readout_s);
        let scale = 1.2_f64.powf(middle_s);
        assert!((frame.scale / scale - 1.0).abs() < 1e-9);
        let (sum, (x, y)) = gravity(picture);
        let lamp = frame.lamps[0];
        assert!((lamp.x_px - (160.0 + 30.0 * scale)).abs() < 1e-9);
        assert!((lamp.y_px - (120.0 + 30.0 * scale)).abs() < 1e-9);
        assert!(
            (x - lamp.x_px).abs() < 0.05 && (y - lamp.y_px).abs() < 0.05,
            "{x}, {y}"
        );
        let area = 0.8 * std::f64::consts::PI * (6.0 * scale).powi(2);
        // Codes at the lamp's blurred edge are rounded.
        assert!((sum / area - 1.0).abs() < 0.01, "{sum} against {area}");
    }
}

/// An unlit case on a black wall: what turns it is not what turns the lamps.
#[test]
fn background_turns_and_grows_with_the_lamps() {
    let mut recipe = plain(320, 240);
    recipe.seconds = 3.0;
    recipe.scene.ambient = 1.0;
    recipe.scene.texture_contrast = 0.0;
    recipe.scene.gradient = 0.0;
    recipe.scene.background_rgb = [0.0; 3];
    recipe.scene.case = Some(Case {
        x_px: 200.0,
        y_px: 70.0,
        width_px: 40.0,
        height_px: 20.0,
        rgb: [0.5; 3],
    });
    recipe.hand.zoom_per_s = -0.1;
    recipe.hand.turn_deg = 12.0;
    // In the middle of the case, to have its place in the truth; unlit and as grey as the case.
    recipe.lamps = vec![Lamp {
        peak: 0.0,
        radius_px: 0.5,
        lens_rgb: [0.5; 3],
        ..neutral(220.0, 80.0, steady())
    }];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    for frame in &truth.frames {
        let (_, (x, y)) = gravity(frames.next_picture().unwrap());
        let lamp = frame.lamps[0];
        assert!((x - lamp.x_px).abs() < 0.1, "{x} against {}", lamp.x_px);
        assert!((y - lamp.y_px).abs() < 0.1, "{y} against {}", lamp.y_px);
    }
}

#[test]
fn turn_has_the_stated_size() {
    let mut recipe = Recipe {
        seconds: 20.0,
        ..Recipe::default()
    };
    recipe.hand.shake_rms_px = 0.0;
    recipe.hand.turn_deg = 8.0;
    recipe.lamps = vec![neutral(740.0, 360.0, steady())];
    let (mut least, mut most) = (0.0_f64, 0.0_f64);
    for frame in truth(&recipe).unwrap().frames {
        let (x, y) = (frame.lamps[0].x_px - 640.0, frame.lamps[0].y_px - 360.0);
        assert!((x.hypot(y) - 100.0).abs() < 1e-9);
        let turn_deg = y.atan2(x).to_degrees();
        assert!((turn_deg - frame.turn_deg).abs() < 1e-9);
        (least, most) = (least.min(turn_deg), most.max(turn_deg));
    }
    // Twenty seconds hold seven sways, so that some frame is near either end.
    assert!((7.9..=8.0).contains(&most), "{most}");
    assert!((-8.0..=-7.9).contains(&least), "{least}");
}

/// An even smear of length L adds L squared over 12 to the variance along it (of five points in a row, 24/25
/// of that).
#[test]
fn smear_is_as_long_as_the_hand_moved() {
    let mut recipe = plain(400, 300);
    recipe.seconds = 2.0;
    recipe.seed = 5;
    recipe.hand.shake_rms_px = 40.0;
    recipe.camera.exposure_s = 1.0 / 30.0;
    recipe.camera.readout_s = 0.0;
    recipe.lamps = vec![neutral(200.0, 150.0, steady())];
    recipe.lamps[0].radius_px = 8.0;
    let sharp: Vec<(f64, f64)> = {
        let mut frames = frames(&recipe).unwrap();
        std::iter::from_fn(|| frames.next_picture().map(extent)).collect()
    };
    recipe.hand.motion_blur = true;
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    let mut judged = 0;
    for (frame, (sum, variance)) in truth.frames.iter().zip(sharp) {
        let (smeared_sum, smeared) = extent(frames.next_picture().unwrap());
        let lamp = frame.lamps[0];
        let inside = (60.0..340.0).contains(&lamp.x_px) && (60.0..240.0).contains(&lamp.y_px);
        if !inside || lamp.smear_px < 8.0 {
            continue;
        }
        judged += 1;
        assert!((smeared_sum / sum - 1.0).abs() < 0.02, "no light is lost");
        let expected = lamp.smear_px.powi(2) / 12.0 * 24.0 / 25.0;
        // The path is a little bent, and not walked quite evenly.
        assert!(
            ((smeared - variance) / expected - 1.0).abs() < 0.1,
            "{} against {expected}",
            smeared - variance
        );
    }
    assert!(judged > 10, "{judged} frames with a long smear");
}

/// Half of the dots have ink, and five of six columns are dots.
#[test]
fn label_has_its_size_and_ink() {
    let mut recipe = plain(400, 120);
    recipe.scene.ambient = 1.0;
    recipe.scene.texture_contrast = 0.0;
    recipe.scene.gradient = 0.0;
    recipe.scene.background_rgb = [0.0; 3];
    recipe.hand.shake_rms_px = 0.0;
    recipe.scene.labels = vec![Label {
        x_px: 20.0,
        y_px: 40.0,
        height_px: 21.0,
        letters: 20,
        rgb: [0.6; 3],
    }];
    let mut frames = frames(&recipe).unwrap();
    let (stride, data) = luma(frames.next_picture().unwrap());
    let (mut ink, mut outside) = (0, 0);
    for (index, &code) in data.iter().enumerate() {
        let (x, y) = (index % stride, index / stride);
        let has_ink = light(code) > 0.3;
        if (20..20 + 20 * 18).contains(&x) && (40..61).contains(&y) {
            ink += usize::from(has_ink);
        } else {
            outside += usize::from(has_ink);
        }
    }
    assert_eq!(outside, 0);
    // 700 dots of nine pixels: three standard deviations of a half are 6 %.
    let share = ink as f64 / (20.0 * 18.0 * 21.0) * 6.0 / 5.0;
    assert!((share - 0.5).abs() < 0.06, "{share}");
}
