//! HEIC and AVIF: pixels, turns, mirrors and grids.

use std::fs;

use image::{Rgb, RgbImage};
use lampwise::colour::Decoder;
use lampwise::footage::{Footage, FootageError, Kind, Limits, Quantity, Samples};
use rstest::rstest;

use crate::boxes::{self, Item};
use crate::write::{Form, brand, item};

const TOP_LEFT: [u8; 3] = [220, 30, 20];
const TOP_RIGHT: [u8; 3] = [20, 200, 40];
const BOTTOM_LEFT: [u8; 3] = [30, 40, 210];
const BOTTOM_RIGHT: [u8; 3] = [230, 220, 40];
const PLAIN: [[u8; 3]; 4] = [TOP_LEFT, TOP_RIGHT, BOTTOM_LEFT, BOTTOM_RIGHT];

/// A colour a quarter.
fn quarters(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        Rgb(PLAIN[usize::from(x >= width / 2) + 2 * usize::from(y >= height / 2)])
    })
}

fn skipped(form: Form) {
    eprintln!("skipped: this machine's FFmpeg has no encoder for {form:?}");
}

/// The upright size and the non-linear red, green, blue in the middle of each quarter, 0 to 255.
fn look(bytes: &[u8]) -> ((usize, usize), [[f32; 3]; 4]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photo");
    fs::write(&path, bytes).unwrap();
    let mut footage = Footage::open(&path, Limits::default()).unwrap();
    assert_eq!(footage.kind(), Kind::Photo);
    let frame = footage.next_frame().unwrap().unwrap();
    let decoder = Decoder::new(frame.colour);
    let (width, height) = (frame.width, frame.height);
    let at = |x: usize, y: usize| match frame.samples {
        Samples::Planar {
            luma,
            blue,
            red,
            shift_x,
            shift_y,
            bits: 8,
        } => {
            let part = (y >> shift_y) * blue.stride + (x >> shift_x);
            let samples = [luma.data[y * luma.stride + x], blue.data[part], red.data[part]];
            decoder.coded_rgb(samples.map(f32::from)).map(|v| 255.0 * v)
        }
        _ => panic!("such photos are read as luma and differences of 8 bits"),
    };
    let middles = [(1, 1), (3, 1), (1, 3), (3, 3)].map(|(x, y)| at(x * width / 4, y * height / 4));
    ((width, height), middles)
}

#[track_caller]
fn assert_shows(bytes: &[u8], size: (usize, usize), expected: [[u8; 3]; 4], form: Form) {
    let (seen_size, seen) = look(bytes);
    assert_eq!(seen_size, size);
    for (got, wanted) in seen.iter().zip(expected) {
        for (channel, code) in got.iter().zip(wanted) {
            assert!(
                (channel - f32::from(code)).abs() <= f32::from(form.loss()),
                "{seen:?}, expected {expected:?}"
            );
        }
    }
}

/// `irot` turns anticlockwise; of a turn and a mirror the first in the list is done first (ISO/IEC 23008-12, 6.5.10 and
/// 6.5.12). Hence what is seen top left, top right, bottom left, bottom right.
#[rstest]
#[case::plain(&[], PLAIN)]
#[case::left(&[boxes::turn(1)], [TOP_RIGHT, BOTTOM_RIGHT, TOP_LEFT, BOTTOM_LEFT])]
#[case::half(&[boxes::turn(2)], [BOTTOM_RIGHT, BOTTOM_LEFT, TOP_RIGHT, TOP_LEFT])]
#[case::right(&[boxes::turn(3)], [BOTTOM_LEFT, TOP_LEFT, BOTTOM_RIGHT, TOP_RIGHT])]
#[case::left_and_right_swapped(&[boxes::mirror(1)], [TOP_RIGHT, TOP_LEFT, BOTTOM_RIGHT, BOTTOM_LEFT])]
#[case::top_and_bottom_swapped(&[boxes::mirror(0)], [BOTTOM_LEFT, BOTTOM_RIGHT, TOP_LEFT, TOP_RIGHT])]
#[case::turned_then_mirrored(&[boxes::turn(1), boxes::mirror(1)], [BOTTOM_RIGHT, TOP_RIGHT, BOTTOM_LEFT, TOP_LEFT])]
fn turns_and_mirrors_are_applied(
    #[values(Form::Heic, Form::Avif)] form: Form,
    #[case] moves: &[Vec<u8>],
    #[case] expected: [[u8; 3]; 4],
) {
    let Some(mut photo) = item(&quarters(128, 96), form) else {
        return skipped(form);
    };
    photo.properties.extend(moves.to_vec());
    let quarter_turns = moves
        .iter()
        .filter(|m| &m[4..8] == b"irot" && m[8] % 2 == 1)
        .count();
    let size = if quarter_turns == 1 { (96, 128) } else { (128, 96) };
    assert_shows(&boxes::file(brand(form), &[photo]), size, expected, form);
}

/// As phones write a large picture: tiles beside one another, the last row and column cut.
#[rstest]
fn a_grid_of_tiles_is_put_together_and_turned(
    #[values(Form::Heic, Form::Avif)] form: Form,
    #[values(false, true)] turned: bool,
) {
    let (width, height, tile) = (224, 160, 64);
    let whole = quarters(width, height);
    let tiles = |x0: u32, y0: u32| {
        RgbImage::from_fn(tile, tile, |x, y| {
            *whole.get_pixel((x0 + x).min(width - 1), (y0 + y).min(height - 1))
        })
    };
    let (columns, rows) = (width.div_ceil(tile), height.div_ceil(tile));
    let (columns_byte, rows_byte) = (u8::try_from(columns).unwrap(), u8::try_from(rows).unwrap());
    let mut items = vec![Item {
        kind: *b"grid",
        data: boxes::grid(rows_byte, columns_byte, (width, height)),
        properties: vec![boxes::size(width, height)],
        parts: (1..=(rows * columns) as usize).collect(),
    }];
    items[0].properties.extend(turned.then(|| boxes::turn(3)));
    for row in 0..rows {
        for column in 0..columns {
            let Some(part) = item(&tiles(column * tile, row * tile), form) else {
                return skipped(form);
            };
            items.push(part);
        }
    }
    let bytes = boxes::file(brand(form), &items);
    if turned {
        let expected = [BOTTOM_LEFT, TOP_LEFT, BOTTOM_RIGHT, TOP_RIGHT];
        assert_shows(&bytes, (160, 224), expected, form);
    } else {
        assert_shows(&bytes, (224, 160), PLAIN, form);
    }
}

#[rstest]
fn a_cut_file_is_told_of_and_a_large_one_refused(#[values(Form::Heic, Form::Avif)] form: Form) {
    let Some(photo) = item(&quarters(128, 96), form) else {
        return skipped(form);
    };
    let whole = boxes::file(brand(form), &[photo]);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photo");
    for cut in [whole.len() / 2, whole.len() - 30] {
        fs::write(&path, &whole[..cut]).unwrap();
        let error = Footage::open(&path, Limits::default()).err().unwrap();
        assert!(matches!(error, FootageError::UploadIncomplete { .. }), "{error}");
    }
    fs::write(&path, &whole).unwrap();
    let limits = Limits {
        pixels: 128 * 96 - 1,
        ..Limits::default()
    };
    match Footage::open(&path, limits).err().unwrap() {
        FootageError::LimitExceeded { what, actual, .. } => {
            assert_eq!((what, actual), (Quantity::Pixels, 128.0 * 96.0));
        }
        error => panic!("{error}"),
    }
}

/// Bytes turned at random give a picture or an error, and never anything else.
#[test]
fn damage_is_survived() {
    use rand::{Rng, SeedableRng};
    let Some(photo) = item(&quarters(64, 64), Form::Heic) else {
        return skipped(Form::Heic);
    };
    let whole = boxes::file(b"heic", &[photo]);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("photo");
    let mut chance = rand_pcg::Pcg64::seed_from_u64(11);
    for _ in 0..300 {
        let mut damaged = whole.clone();
        for _ in 0..chance.random_range(1..6) {
            let at = chance.random_range(12..damaged.len());
            damaged[at] = chance.random();
        }
        fs::write(&path, &damaged).unwrap();
        if let Ok(mut footage) = Footage::open(&path, Limits::default()) {
            let frame = footage.next_frame().unwrap().unwrap();
            assert!(frame.width * frame.height > 0);
        }
    }
}
