//! Light that switches faster than frames come: bands of a rolling shutter, beats with the frame rate; and
//! slow drifts.

use std::f64::consts::TAU;

use lampwise::footage::Samples;
use lampwise::render::{Mains, Picture, Pulses, Recipe, Reflection, frames};

use super::bare::{gravity, light, luma, neutral, plain, steady};

/// A pulsed lamp that fills the picture: a band of the rolling shutter comes every pulse, so the rows between
/// two are the pulse's period over the time from row to row.
#[rstest::rstest]
#[case(500.0, 0.016, 40.0)]
#[case(1000.0, 0.016, 20.0)]
#[case(250.0, 0.010, 128.0)]
#[case(800.0, 0.020, 20.0)]
fn bands_are_a_pulse_apart(#[case] hz: f64, #[case] readout_s: f64, #[case] rows: f64) {
    let mut recipe = plain(64, 320);
    recipe.seconds = 0.2;
    recipe.hand.shake_rms_px = 0.0;
    recipe.camera.exposure_s = 1e-4;
    recipe.camera.readout_s = readout_s;
    let mut lamp = neutral(32.0, 160.0, steady());
    lamp.radius_px = 400.0;
    lamp.pulses = Some(Pulses { hz, on_share: 0.5 });
    recipe.lamps = vec![lamp];
    let mut frames = frames(&recipe).unwrap();
    let (stride, data) = luma(frames.next_picture().unwrap());
    let column: Vec<f64> = data.chunks(stride).map(|row| light(row[32])).collect();
    // Where the light rises through the middle, between rows.
    let rises: Vec<f64> = (1..column.len())
        .filter(|&row| column[row - 1] < 0.4 && column[row] >= 0.4)
        .map(|row| row as f64 - (column[row] - 0.4) / (column[row] - column[row - 1]))
        .collect();
    assert!(rises.len() >= 2, "{} bands", rises.len());
    let apart = (rises[rises.len() - 1] - rises[0]) / (rises.len() - 1) as f64;
    assert!((apart - rows).abs() < 0.02 * rows, "{apart} rows");
}

/// Brightness of a frame's first row, over the clip.
fn course(recipe: &Recipe) -> Vec<f64> {
    let mut frames = frames(recipe).unwrap();
    let mut course = Vec::new();
    while let Some(picture) = frames.next_picture() {
        let (stride, data) = luma(picture);
        course.push(data[..stride].iter().map(|&code| light(code)).sum::<f64>() / stride as f64);
    }
    course
}

fn wall(reflectance: f64) -> Recipe {
    let mut recipe = plain(64, 48);
    recipe.hand.shake_rms_px = 0.0;
    recipe.camera.readout_s = 0.0;
    recipe.scene.ambient = 1.0;
    recipe.scene.texture_contrast = 0.0;
    recipe.scene.gradient = 0.0;
    recipe.scene.background_rgb = [reflectance; 3];
    recipe
}

/// The mains' flicker aliases to its distance from the nearest multiple of the frame rate; an exposure leaves
/// |sin(pi f T) / (pi f T)| of it.
#[rstest::rstest]
#[case(100.0, 30.0, 0.004, 10.0, 0.756_827)]
#[case(100.0, 24.0, 0.002, 4.0, 0.935_489)]
#[case(120.0, 25.0, 0.002, 5.0, 0.908_024)]
#[case(100.0, 60.0, 0.006, 20.0, 0.504_551)]
fn mains_beat_with_the_frame_rate(
    #[case] hz: f64,
    #[case] rate: f64,
    #[case] exposure_s: f64,
    #[case] beat_hz: f64,
    #[case] left: f64,
) {
    let mut recipe = wall(0.5);
    recipe.seconds = 4.0;
    recipe.timing.frames_per_s = rate;
    recipe.camera.exposure_s = exposure_s;
    recipe.mains = Some(Mains { hz, depth: 0.3 });
    let course = course(&recipe);
    let mean = course.iter().sum::<f64>() / course.len() as f64;
    assert!((mean - 0.5).abs() < 0.005, "{mean}");
    let amplitude = |at_hz: f64| {
        let (mut cosine, mut sine) = (0.0, 0.0);
        for (frame, value) in course.iter().enumerate() {
            let (s, c) = (TAU * at_hz * frame as f64 / rate).sin_cos();
            cosine += c * (value - mean);
            sine += s * (value - mean);
        }
        2.0 * cosine.hypot(sine) / course.len() as f64
    };
    let expected = 0.3 * 0.5 * left;
    let got = amplitude(beat_hz);
    assert!((got / expected - 1.0).abs() < 0.02, "{got} against {expected}");
    // Whole hertz are orthogonal over four seconds; what is elsewhere is the steps of the code.
    for other in [1.0, 3.0, 7.0, 11.0] {
        if (other - beat_hz).abs() > 0.5 {
            assert!(amplitude(other) < 0.02 * expected, "{other} Hz");
        }
    }
}

#[test]
fn mains_in_step_with_the_frames_do_not_flicker() {
    let mut recipe = wall(0.5);
    recipe.seconds = 1.0;
    recipe.timing.frames_per_s = 25.0;
    recipe.camera.exposure_s = 0.003;
    recipe.mains = Some(Mains {
        hz: 100.0,
        depth: 0.5,
    });
    let course = course(&recipe);
    assert!(course.iter().all(|value| (value - course[0]).abs() < 1e-9));
}

/// Linear red, green and blue of the first pixel, by the equations of Rec. ITU-R BT.709-6.
fn first_pixel(picture: &Picture) -> [f64; 3] {
    let Samples::Planar { luma, blue, red, .. } = picture.as_frame().samples else {
        panic!("the renderer gives planes");
    };
    let y = (f64::from(luma.data[0]) - 16.0) / 219.0;
    let b = (f64::from(blue.data[0]) - 128.0) / 224.0;
    let r = (f64::from(red.data[0]) - 128.0) / 224.0;
    let coded = [y + 1.5748 * r, y - 0.187_324 * b - 0.468_124 * r, y + 1.8556 * b];
    coded.map(|value| light((16.0 + 219.0 * value).round().clamp(0.0, 255.0) as u8))
}

#[test]
fn balance_drifts_by_the_stated_share() {
    let mut recipe = wall(0.25);
    recipe.seconds = 6.0;
    recipe.camera.balance_drift_per_s = 0.04;
    let mut frames = frames(&recipe).unwrap();
    let mut last = 0.0;
    for frame in 0..180 {
        let [red, _, blue] = first_pixel(frames.next_picture().unwrap());
        let time_s = f64::from(frame) / 30.0;
        // Red rises and blue falls by the same factor.
        let expected = 1.04_f64.powf(2.0 * time_s);
        // A step of the code is two hundredths of such a grey, of each.
        assert!(
            (red / blue / expected - 1.0).abs() < 0.04,
            "{} at {time_s}",
            red / blue
        );
        last = red / blue;
    }
    assert!(last > 1.5, "{last}");
}

#[test]
fn reflection_blinks_in_step() {
    let mut recipe = plain(200, 96);
    recipe.camera.readout_s = 0.0;
    recipe.camera.exposure_s = 1.0 / 30.0;
    let mut lamp = neutral(50.0, 48.0, super::pictures::blinking());
    lamp.reflection = Some(Reflection {
        x_px: 100.0,
        y_px: -10.0,
        share: 0.3,
    });
    recipe.lamps = vec![lamp];
    let mut frames = frames(&recipe).unwrap();
    let truth = frames.truth().clone();
    let full = 0.8 * std::f64::consts::PI * 36.0;
    for frame in &truth.frames {
        let picture = frames.next_picture().unwrap();
        let (whole, _) = gravity(picture);
        let (stride, data) = luma(picture);
        let (mut right, mut x, mut y) = (0.0, 0.0, 0.0);
        for (index, &code) in data.iter().enumerate().filter(|(index, _)| index % stride >= 100) {
            let light = light(code);
            right += light;
            x += light * ((index % stride) as f64 + 0.5);
            y += light * ((index / stride) as f64 + 0.5);
        }
        let lamp = frame.lamps[0];
        assert!((whole - right - full * lamp.level).abs() < 0.01 * full);
        assert!((right - 0.3 * full * lamp.level).abs() < 0.01 * full);
        let place = lamp.reflection_px.unwrap();
        assert_eq!(place, [lamp.x_px + 100.0, lamp.y_px - 10.0]);
        if lamp.level > 0.5 {
            // Codes of a dim lamp are coarser than those of a bright one.
            assert!(
                (x / right - place[0]).abs() < 0.15,
                "{} against {}",
                x / right,
                place[0]
            );
            assert!(
                (y / right - place[1]).abs() < 0.15,
                "{} against {}",
                y / right,
                place[1]
            );
        }
    }
}
