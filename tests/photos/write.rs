//! Pictures of red, green and blue written in every form.

use std::io::Cursor;

use ffmpeg_next::format::Pixel;
use image::codecs::{jpeg::JpegEncoder, png::PngEncoder, webp::WebPEncoder};
use image::{ExtendedColorType, ImageEncoder, RgbImage};

use crate::boxes::{self, Item};
use crate::encode::{Recipe, encode, fill};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Png,
    WebP,
    Jpeg,
    Heic,
    Avif,
}

impl Form {
    /// Codes by which a flat patch may come back changed: none where nothing is lost; else rounding to luma and
    /// differences and back, and the coarsest step of the coder at the quality asked for.
    pub(crate) const fn loss(self) -> u8 {
        match self {
            Self::Png | Self::WebP => 0,
            Self::Jpeg | Self::Heic | Self::Avif => 3,
        }
    }
}

/// `None`: this machine's FFmpeg lacks the encoder.
pub(crate) fn write(picture: &RgbImage, form: Form, icc: Option<&[u8]>) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let out = Cursor::new(&mut bytes);
    match form {
        Form::Png => put(PngEncoder::new(out), picture, icc),
        Form::WebP => put(WebPEncoder::new_lossless(out), picture, icc),
        Form::Jpeg => put(JpegEncoder::new_with_quality(out, 98), picture, icc),
        Form::Heic | Form::Avif => {
            let mut item = item(picture, form)?;
            item.properties.extend(icc.map(boxes::profile));
            return Some(boxes::file(brand(form), &[item]));
        }
    }
    Some(bytes)
}

fn put(mut encoder: impl ImageEncoder, picture: &RgbImage, icc: Option<&[u8]>) {
    if let Some(icc) = icc {
        encoder.set_icc_profile(icc.to_vec()).unwrap();
    }
    let (width, height) = picture.dimensions();
    encoder
        .write_image(picture.as_raw(), width, height, ExtendedColorType::Rgb8)
        .unwrap();
}

pub(crate) const fn brand(form: Form) -> &'static [u8; 4] {
    match form {
        Form::Heic => b"heic",
        _ => b"avif",
    }
}

/// The picture as a coded item with its size, as phones code it: 4:2:0, full range, BT.601 equations.
pub(crate) fn item(picture: &RgbImage, form: Form) -> Option<Item> {
    let common = [("color_range", "pc"), ("colorspace", "smpte170m")];
    let (encoder, options, kind, setup): (_, &[_], _, _) = match form {
        Form::Heic => (
            "libx265",
            &[
                ("x265-params", "crf=2:log-level=none"),
                ("preset", "fast"),
                common[0],
                common[1],
            ],
            *b"hvc1",
            b"hvcC",
        ),
        _ => (
            "libaom-av1",
            &[
                ("crf", "2"),
                ("cpu-used", "6"),
                ("still-picture", "1"),
                common[0],
                common[1],
            ],
            *b"av01",
            b"av1C",
        ),
    };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("one.mp4");
    let (width, height) = picture.dimensions();
    let recipe = Recipe {
        muxer: "mp4",
        encoder,
        pixel: Pixel::YUV420P,
        size: (width, height),
        tick: (1, 25),
        stamps: vec![0],
        b_frames: 0,
        options,
        muxing: &[],
    };
    let planes = planes(picture);
    let written = encode(&path, &recipe, |_, frame| {
        for (index, plane) in planes.iter().enumerate() {
            let columns = frame.plane_width(index) as usize;
            fill(frame, index, 8, |x, y| plane[y * columns + x]);
        }
    });
    if !written {
        return None;
    }
    let clip = std::fs::read(&path).unwrap();
    Some(Item {
        kind,
        data: find(&clip, b"mdat")[8..].to_vec(),
        properties: vec![find(&clip, setup).to_vec(), boxes::size(width, height)],
        parts: Vec::new(),
    })
}

/// A box of an MP4 by its name.
fn find<'a>(clip: &'a [u8], kind: &[u8; 4]) -> &'a [u8] {
    let at = clip.windows(4).position(|name| name == kind).unwrap() - 4;
    let size = u32::from_be_bytes(clip[at..at + 4].try_into().unwrap());
    &clip[at..][..size as usize]
}

/// Luma and differences of ITU-R BT.601-7, full range; the differences are means of four pixels.
fn planes(picture: &RgbImage) -> [Vec<u16>; 3] {
    let (width, height) = picture.dimensions();
    let coded = |x: u32, y: u32| {
        let [r, g, b] = picture.get_pixel(x, y).0.map(f64::from);
        let luma = 0.299 * r + 0.587 * g + 0.114 * b;
        [luma, 128.0 + (b - luma) / 1.772, 128.0 + (r - luma) / 1.402]
    };
    let round = |value: f64| value.round().clamp(0.0, 255.0) as u16;
    let every = |step: usize| {
        (0..height)
            .step_by(step)
            .flat_map(move |y| (0..width).step_by(step).map(move |x| (x, y)))
    };
    let luma = every(1).map(|(x, y)| round(coded(x, y)[0])).collect();
    let difference = |channel: usize| {
        let of = |(x, y): (u32, u32)| {
            let four = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(dx, dy)| coded(x + dx, y + dy)[channel]);
            round(four.iter().sum::<f64>() / 4.0)
        };
        every(2).map(of).collect()
    };
    [luma, difference(1), difference(2)]
}
