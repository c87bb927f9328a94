//! Bare scenes whose pixels can be traced back to light.

use lampwise::colour::ColourName;
use lampwise::footage::Samples;
use lampwise::render::{Beat, Lamp, Picture, Recipe, Shown};

/// A bare dark scene without noise, in which nothing clips: pixels can be traced back to light.
pub(crate) fn plain(width_px: u32, height_px: u32) -> Recipe {
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
pub(crate) fn neutral(x_px: f64, y_px: f64, shows: Shown) -> Lamp {
    Lamp {
        x_px,
        y_px,
        radius_px: 6.0,
        peak: 0.8,
        colour_xy: [("white".to_owned(), [0.3127, 0.3290])].into(),
        ..Lamp::showing(shows)
    }
}

pub(crate) fn steady() -> Shown {
    Shown::Cycle(vec![Beat::lit(ColourName::White, 1.0)])
}

/// Linear light of a pixel, from its luma, by the inverse of the curve of Rec. ITU-R BT.709-6, item 1.2.
pub(crate) fn light(luma: u8) -> f64 {
    let value = (f64::from(luma) - 16.0) / 219.0;
    if value < 0.081 {
        value / 4.5
    } else {
        ((value + 0.099) / 1.099).powf(1.0 / 0.45)
    }
}

pub(crate) fn luma(picture: &Picture) -> (usize, &[u8]) {
    match picture.as_frame().samples {
        Samples::Planar { luma, .. } => (luma.stride, luma.data),
        other => panic!("not planar: {other:?}"),
    }
}

/// Sum of the light in a picture, and its centre of gravity in the upright picture.
pub(crate) fn gravity(picture: &Picture) -> (f64, (f64, f64)) {
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
