//! Photos: one upright picture with the colours that went in.

use std::fs;

use image::codecs::jpeg::JpegEncoder;
use image::{ImageFormat, Rgb, RgbImage};
use lampwise::footage::{
    Footage, FootageError, Kind, Limits, Matrix, Primaries, Quantity, Quarter, Span, Transfer,
};
use rstest::rstest;

use crate::made::place;
use crate::seen::{assert_near, read, read_with, sample_at};

const TOP_LEFT: [u8; 3] = [220, 30, 20];
const TOP_RIGHT: [u8; 3] = [20, 200, 40];
const BOTTOM_LEFT: [u8; 3] = [30, 40, 210];
const BOTTOM_RIGHT: [u8; 3] = [230, 220, 40];

/// 96 x 64, a colour a quarter.
fn quarters() -> RgbImage {
    RgbImage::from_fn(96, 64, |x, y| {
        Rgb(match (x < 48, y < 32) {
            (true, true) => TOP_LEFT,
            (false, true) => TOP_RIGHT,
            (true, false) => BOTTOM_LEFT,
            (false, false) => BOTTOM_RIGHT,
        })
    })
}

#[rstest]
fn lossless_photo_comes_back_exactly(#[values(ImageFormat::Png, ImageFormat::WebP)] format: ImageFormat) {
    let (_folder, path) = place("photo.mp4");
    quarters().save_with_format(&path, format).unwrap();
    let mut footage = Footage::open(&path, Limits::default()).unwrap();
    assert_eq!(footage.kind(), Kind::Photo);
    assert!(footage.summary().is_none());

    let frame = footage.next_frame().unwrap().unwrap();
    assert_eq!(
        (frame.width, frame.height, frame.time_s, frame.turn),
        (96, 64, 0.0, Quarter::None)
    );
    assert!(!frame.damaged);
    let colour = frame.colour;
    assert_eq!((colour.matrix, colour.span), (Matrix::Identity, Span::Full));
    assert_eq!(
        (colour.primaries, colour.transfer),
        (Primaries::Bt709, Transfer::Srgb)
    );
    for (x, y, pixel) in quarters().enumerate_pixels() {
        assert_eq!(
            sample_at(frame.samples, x as usize, y as usize),
            pixel.0.map(u16::from)
        );
    }
    assert!(footage.next_frame().unwrap().is_none());
    let summary = footage.summary().unwrap();
    assert_eq!((summary.frames, summary.length_s, summary.fps), (1, 0.0, 0.0));
}

fn jpeg(exif_orientation: Option<u8>) -> Vec<u8> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 98)
        .encode_image(&quarters())
        .unwrap();
    if let Some(value) = exif_orientation {
        // One TIFF entry: tag 0x0112, type SHORT, one value (Exif 2.3, 4.6.4 A).
        let tiff = [
            b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0",
            &[value, 0, 0, 0, 0, 0, 0, 0][..],
        ]
        .concat();
        let segment = [&b"Exif\0\0"[..], &tiff].concat();
        let size = u16::try_from(segment.len() + 2).unwrap().to_be_bytes();
        let app1 = [&[0xFF, 0xE1][..], &size, &segment].concat();
        bytes.splice(2..2, app1);
    }
    bytes
}

/// Exif 2.3, 4.6.4 A, tag Orientation: where the stored first row and first column are in the picture as it
/// is to be seen; hence what is seen top left, top right, bottom left, bottom right.
#[rstest]
#[case::plain(1, [TOP_LEFT, TOP_RIGHT, BOTTOM_LEFT, BOTTOM_RIGHT])]
#[case::mirrored(2, [TOP_RIGHT, TOP_LEFT, BOTTOM_RIGHT, BOTTOM_LEFT])]
#[case::upside_down(3, [BOTTOM_RIGHT, BOTTOM_LEFT, TOP_RIGHT, TOP_LEFT])]
#[case::mirrored_upside_down(4, [BOTTOM_LEFT, BOTTOM_RIGHT, TOP_LEFT, TOP_RIGHT])]
#[case::row_left_column_top(5, [TOP_LEFT, BOTTOM_LEFT, TOP_RIGHT, BOTTOM_RIGHT])]
#[case::row_right_column_top(6, [BOTTOM_LEFT, TOP_LEFT, BOTTOM_RIGHT, TOP_RIGHT])]
#[case::row_right_column_bottom(7, [BOTTOM_RIGHT, TOP_RIGHT, BOTTOM_LEFT, TOP_LEFT])]
#[case::row_left_column_bottom(8, [TOP_RIGHT, BOTTOM_RIGHT, TOP_LEFT, BOTTOM_LEFT])]
fn exif_orientation_is_applied(#[case] value: u8, #[case] expected: [[u8; 3]; 4]) {
    let (_folder, path) = place("photo.jpg");
    fs::write(&path, jpeg(Some(value))).unwrap();
    let mut footage = Footage::open(&path, Limits::default()).unwrap();
    let frame = footage.next_frame().unwrap().unwrap();
    let (width, height) = if value < 5 { (96, 64) } else { (64, 96) };
    assert_eq!(
        (frame.width, frame.height, frame.turn),
        (width, height, Quarter::None)
    );
    let (left, right, top, bottom) = (width / 4, 3 * width / 4, height / 4, 3 * height / 4);
    for ((x, y), colour) in [(left, top), (right, top), (left, bottom), (right, bottom)]
        .into_iter()
        .zip(expected)
    {
        // Flat fields at quality 98: a code or two by the colour conversion and back.
        assert_near(
            sample_at(frame.samples, x, y),
            colour.map(u16::from),
            3,
            &format!("({x}, {y})"),
        );
    }
}

#[test]
fn cut_jpeg_is_marked() {
    let (_folder, path) = place("photo.jpg");
    let whole = jpeg(None);
    fs::write(&path, &whole).unwrap();
    let (seen, summary) = read(&path).unwrap();
    assert_eq!((seen[0].damaged, summary.ended_early), (false, false));

    fs::write(&path, &whole[..whole.len() - 40]).unwrap();
    match read(&path) {
        Ok((seen, summary)) => assert_eq!((seen[0].damaged, summary.ended_early), (true, true)),
        Err(error) => assert!(matches!(error, FootageError::UploadIncomplete { .. }), "{error}"),
    }
    fs::write(&path, &whole[..60]).unwrap();
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::UploadIncomplete { .. }), "{error}");
}

#[rstest]
fn cut_photo_of_other_forms_is_refused(#[values(ImageFormat::Png, ImageFormat::WebP)] format: ImageFormat) {
    let (_folder, path) = place("photo");
    quarters().save_with_format(&path, format).unwrap();
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    let error = read(&path).unwrap_err();
    assert!(matches!(error, FootageError::UploadIncomplete { .. }), "{error}");
}

#[rstest]
fn photo_larger_than_allowed(
    #[values(ImageFormat::Png, ImageFormat::WebP, ImageFormat::Jpeg)] format: ImageFormat,
) {
    let (_folder, path) = place("photo");
    quarters().save_with_format(&path, format).unwrap();
    match read_with(
        &path,
        Limits {
            pixels: 6143,
            ..Limits::default()
        },
    )
    .unwrap_err()
    {
        FootageError::LimitExceeded {
            what, actual, limit, ..
        } => {
            assert_eq!((what, actual, limit), (Quantity::Pixels, 6144.0, 6143.0));
        }
        error => panic!("{error}"),
    }
}
