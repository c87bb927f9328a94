//! A rendered lamp as a picture in whatever colour space.

use image::{Rgb, RgbImage};
use lampwise::colour::ColourName;
use lampwise::footage::Samples;
use lampwise::render::{Beat, Lamp, Recipe, Shown, frames};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

use crate::icc::Space;

/// The first picture of a clip, in linear light on BT.709's primaries, 0 to 1.
pub(crate) struct Still {
    width: u32,
    light: Vec<[f64; 3]>,
}

/// So bright that the lamp washes out, as in most photos.
pub(crate) const BRIGHT: (f64, f64) = (1.5, 4.0);

/// So dim that its colour is plain to see.
pub(crate) const DIM: (f64, f64) = (0.7, 0.9);

/// A photo of one lamp, lit in a colour or dark, of a brightness between two; the camera differs with the seed, and `LAMPWISE_SEED` moves all seeds.
pub(crate) fn photo(seed: u64, lit: Option<ColourName>, peak: (f64, f64)) -> Still {
    let moved: u64 = std::env::var("LAMPWISE_SEED").map_or(0, |text| text.parse().unwrap());
    let seed = seed + 1000 * moved;
    let mut random = Pcg64::seed_from_u64(seed);
    let mut recipe = Recipe {
        width_px: 640,
        height_px: 360,
        seconds: 0.2,
        seed,
        ..Recipe::default()
    };
    let beat = lit.map_or_else(|| Beat::dark(1.0), |colour| Beat::lit(colour, 1.0));
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(200.0..440.0),
        y_px: random.random_range(100.0..260.0),
        radius_px: random.random_range(6.0..12.0),
        peak: random.random_range(peak.0..peak.1),
        ..Lamp::showing(Shown::Cycle(vec![beat]))
    }];
    recipe.scene.ambient = random.random_range(0.2..0.5);
    recipe.scene.texture_contrast = 0.15;
    recipe.scene.texture_px = 30.0;
    let mut pictures = frames(&recipe).unwrap();
    let frame = pictures.next_picture().unwrap().as_frame();
    let Samples::Planar { luma, blue, red, .. } = frame.samples else {
        panic!("rendered pictures are luma and differences");
    };
    let at = |index: usize| {
        let (x, y) = (index % frame.width, index / frame.width);
        let part = y / 2 * blue.stride + x / 2;
        from_bt709([luma.data[y * luma.stride + x], blue.data[part], red.data[part]])
    };
    Still {
        width: u32::try_from(frame.width).unwrap(),
        light: (0..frame.width * frame.height).map(at).collect(),
    }
}

impl Still {
    pub(crate) fn coded(&self, space: &Space) -> RgbImage {
        let height = u32::try_from(self.light.len()).unwrap() / self.width;
        let pixels = self.light.iter().flat_map(|light| {
            space
                .code(*light)
                .map(|v| (255.0 * v).round().clamp(0.0, 255.0) as u8)
        });
        RgbImage::from_raw(self.width, height, pixels.collect()).unwrap()
    }
}

/// ITU-R BT.709-6, limited range, cut to what the primaries hold.
fn from_bt709(samples: [u8; 3]) -> [f64; 3] {
    let [y, b, r] = samples.map(f64::from);
    let (y, b, r) = ((y - 16.0) / 219.0, (b - 128.0) / 224.0, (r - 128.0) / 224.0);
    let red = y + 1.574_8 * r;
    let blue = y + 1.855_6 * b;
    let green = (y - 0.212_6 * red - 0.072_2 * blue) / 0.715_2;
    [red, green, blue].map(|v| {
        let v = v.clamp(0.0, 1.0);
        if v < 0.081 {
            v / 4.5
        } else {
            ((v + 0.099) / 1.099).powf(1.0 / 0.45)
        }
    })
}

/// One pixel, for tests of the above.
#[test]
fn the_white_of_the_code_is_white() {
    for channel in from_bt709([235, 128, 128]) {
        assert!((channel - 1.0).abs() < 1e-9);
    }
    assert_eq!(Rgb(from_bt709([16, 128, 128])), Rgb([0.0; 3]));
}
