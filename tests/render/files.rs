//! What the files are: depth, curve and size.

use std::path::Path;

use lampwise::footage::{Footage, Limits, Matrix, Primaries, Samples, Transfer};
use lampwise::render::{Codec, DynamicRange, Recipe, RenderError, clip};

use super::bare::plain;

/// Writes the clip; the encoder that this FFmpeg lacks, if it does.
fn lacking(recipe: &Recipe, path: &Path) -> Option<&'static str> {
    match clip(recipe, path) {
        Ok(_) => None,
        Err(RenderError::NoEncoder { encoder }) => Some(encoder),
        Err(error) => panic!("{error}"),
    }
}

/// An even wall whose light is that of a 10-bit code value (colour-science 0.4.7, BT.2100, limited range),
/// white being 0.264 962 6 of the scene light of HLG or 203 cd/m2 of PQ (Report ITU-R BT.2408).
#[rstest::rstest]
#[case(DynamicRange::Hlg, Transfer::Hlg, 0.135_151_606_2 / 0.264_962_6, 600)]
#[case(DynamicRange::Hlg, Transfer::Hlg, 0.044_480_584_9 / 0.264_962_6, 384)]
#[case(DynamicRange::Pq, Transfer::Pq, 103.377_077 / 203.0, 512)]
#[case(DynamicRange::Pq, Transfer::Pq, 22.000_635 / 203.0, 384)]
fn ten_bit_wall_has_the_published_code(
    #[case] range: DynamicRange,
    #[case] transfer: Transfer,
    #[case] reflectance: f64,
    #[case] code: u16,
    #[values(Codec::Hevc, Codec::Vp9, Codec::H264)] codec: Codec,
) {
    let mut recipe = plain(128, 96);
    recipe.scene.ambient = 1.0;
    recipe.scene.texture_contrast = 0.0;
    recipe.scene.gradient = 0.0;
    recipe.scene.background_rgb = [reflectance; 3];
    recipe.encoding.codec = codec;
    recipe.encoding.range = range;
    recipe.encoding.crf = 10;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("clip.mp4");
    if let Some(encoder) = lacking(&recipe, &path) {
        eprintln!("skipped: this FFmpeg has no {encoder}");
        return;
    }
    let mut footage = Footage::open(&path, Limits::default()).unwrap();
    let mut count = 0;
    while let Some(frame) = footage.next_frame().unwrap() {
        count += 1;
        assert_eq!(
            (frame.colour.matrix, frame.colour.primaries, frame.colour.transfer),
            (Matrix::Bt2020, Primaries::Bt2020, transfer)
        );
        let Samples::Planar { luma, blue, bits, .. } = frame.samples else {
            panic!("planes were written");
        };
        assert_eq!(bits, 10);
        let sample = |data: &[u8]| u16::from_le_bytes([data[0], data[1]]);
        let middle = |stride: usize, row: usize| row * stride + stride / 2 / 2 * 2;
        let grey = sample(&luma.data[middle(luma.stride, 48)..]);
        assert!(grey.abs_diff(code) <= 1, "{grey} for {code}");
        assert!(sample(&blue.data[middle(blue.stride, 24)..]).abs_diff(512) <= 1);
    }
    assert_eq!(count, 15);
}

/// A messenger's and a phone's bit rate, for a picture that a constant quality would spend more on.
#[rstest::rstest]
fn file_keeps_to_its_bit_rate(
    #[values(Codec::H264, Codec::Hevc, Codec::Vp9)] codec: Codec,
    #[values(300, 1500)] kbit_per_s: u32,
) {
    let mut recipe = Recipe {
        width_px: 640,
        height_px: 360,
        seconds: 4.0,
        ..Recipe::default()
    };
    recipe.scene.texture_contrast = 0.4;
    recipe.scene.texture_px = 12.0;
    recipe.camera.shot_noise = 0.02;
    recipe.hand.shake_rms_px = 5.0;
    recipe.encoding.codec = codec;
    recipe.encoding.kbit_per_s = Some(kbit_per_s);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("clip.mp4");
    if let Some(encoder) = lacking(&recipe, &path) {
        eprintln!("skipped: this FFmpeg has no {encoder}");
        return;
    }
    let bits = 8.0 * std::fs::metadata(&path).unwrap().len() as f64;
    let share = bits / 4.0 / (1e3 * f64::from(kbit_per_s));
    // Rate control of a short clip is coarse, and the first key frame of a busy picture is large.
    assert!((0.6..1.4).contains(&share), "{share} of the bit rate");
}
