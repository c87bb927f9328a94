//! Embedded profiles against the published colours of their spaces.

use std::fs;

use image::{Rgb, RgbImage};
use lampwise::colour::{D65, Decoder, uv, uv_of_xy};
use lampwise::footage::{ColourCode, Footage, Limits, Primaries, Samples, Transfer};
use rstest::rstest;

use crate::boxes;
use crate::icc::{ADOBE_RGB, DISPLAY_P3, SRGB, Space};
use crate::write::{Form, brand, item, write};

/// Linear light of BT.709 in the middle of a photo of one colour, and how it was said to be coded.
fn look(bytes: &[u8]) -> ([f64; 3], ColourCode) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photo");
    fs::write(&path, bytes).unwrap();
    let mut footage = Footage::open(&path, Limits::default()).unwrap();
    let frame = footage.next_frame().unwrap().unwrap();
    let (x, y) = (frame.width / 2, frame.height / 2);
    let samples = match frame.samples {
        Samples::Rgb { pixels, step, order } => {
            order.map(|offset| pixels.data[y * pixels.stride + x * step + offset])
        }
        Samples::Planar { luma, blue, red, .. } => {
            let part = y / 2 * blue.stride + x / 2;
            [luma.data[y * luma.stride + x], blue.data[part], red.data[part]]
        }
        Samples::Grey { .. } => panic!("a coloured photo"),
    };
    let light = Decoder::new(frame.colour).linear(samples.map(f32::from));
    (light.map(f64::from), frame.colour)
}

fn flat(colour: [u8; 3]) -> RgbImage {
    RgbImage::from_pixel(64, 64, Rgb(colour))
}

const PRIMARIES: [[u8; 3]; 3] = [[255, 0, 0], [0, 255, 0], [0, 0, 255]];

/// Chromaticities: IEC 61966-2-1; SMPTE EG 432-1; Adobe RGB (1998) Color Image Encoding, 4.3.1. u'v' within a
/// thousandth: the profiles state their primaries to five decimals, adapted to another white.
#[rstest]
#[case::srgb(&SRGB, [(0.64, 0.33), (0.30, 0.60), (0.15, 0.06)])]
#[case::display_p3(&DISPLAY_P3, [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060)])]
#[case::adobe_rgb(&ADOBE_RGB, [(0.64, 0.33), (0.21, 0.71), (0.15, 0.06)])]
fn primaries_of_a_profile_are_the_published_ones(
    #[values(Form::Png, Form::WebP)] form: Form,
    #[case] space: &Space,
    #[case] xy: [(f64, f64); 3],
) {
    for (colour, (x, y)) in PRIMARIES.into_iter().zip(xy) {
        let (light, code) = look(&write(&flat(colour), form, Some(&space.icc())).unwrap());
        let (got, expected) = (uv(light).unwrap(), uv_of_xy(x, y));
        let off = (got.0 - expected.0).hypot(got.1 - expected.1);
        assert!(off < 0.001, "{colour:?} is {got:?}, expected {expected:?}");
        assert!(!code.assumed);
    }
    let (white, _) = look(&write(&flat([255; 3]), form, Some(&space.icc())).unwrap());
    for channel in white {
        assert!((channel - 1.0).abs() < 0.001, "{white:?}");
    }
}

/// Linear light of BT.709 that the primaries of Display P3 are: the product of the published matrices (colour-science
/// 0.4.7), P3-D65 to XYZ and XYZ to BT.709.
const P3_IN_BT709: [[f64; 3]; 3] = [
    [1.224_940, -0.042_057, -0.019_638],
    [-0.224_940, 1.042_057, -0.078_636],
    [0.0, 0.0, 1.098_274],
];

/// Where luma and differences were coded, a step of a difference is 1.8 of 255 in the code, and near white the curve is
/// 2.3 times as steep.
#[rstest]
#[case::png(Form::Png, 0.001)]
#[case::jpeg(Form::Jpeg, 0.02)]
#[case::heic(Form::Heic, 0.02)]
#[case::avif(Form::Avif, 0.02)]
fn display_p3_is_read_as_it_was_in_every_form(#[case] form: Form, #[case] within: f64) {
    for (colour, expected) in PRIMARIES.into_iter().zip(P3_IN_BT709) {
        let Some(bytes) = write(&flat(colour), form, Some(&DISPLAY_P3.icc())) else {
            return eprintln!("skipped: this machine's FFmpeg has no encoder for {form:?}");
        };
        let (light, code) = look(&bytes);
        assert_eq!(
            (code.primaries, code.transfer),
            (Primaries::P3D65, Transfer::Srgb)
        );
        for (got, expected) in light.iter().zip(expected) {
            assert!(
                (got - expected).abs() < within,
                "{light:?}, expected {expected:?}"
            );
        }
    }
}

/// Grey keeps its linear light whatever the curve: code / 255 to the power of 2 51/256 (Adobe RGB (1998), 4.3.4.2), or by
/// IEC 61966-2-1. To within half a step of the 8-bit code that it is kept in.
#[rstest]
#[case::adobe(&ADOBE_RGB, |v: f64| v.powf(2.199_218_75))]
#[case::p3(&DISPLAY_P3, crate::icc::srgb_light)]
fn the_curve_of_a_profile_is_followed(#[case] space: &Space, #[case] light: fn(f64) -> f64) {
    for code in [0_u8, 16, 64, 128, 200, 255] {
        let (got, _) = look(&write(&flat([code; 3]), Form::Png, Some(&space.icc())).unwrap());
        let expected = light(f64::from(code) / 255.0);
        // At white, where it is steepest, the sRGB curve has a slope of 2.4 / 1.055.
        let half_step = 0.5 / 255.0 * 2.4 / 1.055 + 1e-4;
        assert!(
            (got[1] - expected).abs() < half_step,
            "{code}: {got:?}, expected {expected}"
        );
        let (u, v) = uv(got).unwrap_or(D65);
        assert!(
            (u - D65.0).abs() < 1e-3 && (v - D65.1).abs() < 1e-3,
            "{code} is no grey: {got:?}"
        );
    }
}

/// The numbers of H.273 in place of a profile: 12 is P3, 13 the sRGB curve, 6 the BT.601 equations.
#[rstest]
fn numbers_in_the_boxes_count(#[values(Form::Heic, Form::Avif)] form: Form) {
    for (colour, expected) in PRIMARIES.into_iter().zip(P3_IN_BT709) {
        let Some(mut photo) = item(&flat(colour), form) else {
            return eprintln!("skipped: this machine's FFmpeg has no encoder for {form:?}");
        };
        photo.properties.push(boxes::numbers(12, 13, 6));
        let (light, code) = look(&boxes::file(brand(form), &[photo]));
        assert_eq!(code.primaries, Primaries::P3D65);
        for (got, expected) in light.iter().zip(expected) {
            assert!((got - expected).abs() < 0.02, "{light:?}, expected {expected:?}");
        }
    }
}

#[test]
fn a_profile_that_cannot_be_read_is_left_out_and_said_to_be() {
    let plain = look(&write(&flat([200, 90, 30]), Form::Png, None).unwrap());
    let broken = look(&write(&flat([200, 90, 30]), Form::Png, Some(&[7; 500])).unwrap());
    assert_eq!(plain, broken);
    assert!(broken.1.assumed);
    assert_eq!(broken.1.primaries, Primaries::Bt709);
}
