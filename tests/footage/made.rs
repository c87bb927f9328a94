//! The usual test clip: what is painted in it and how it is made.

use std::path::PathBuf;

use ffmpeg_next::format::Pixel;
use ffmpeg_next::frame;
use tempfile::TempDir;

use crate::encode::{Recipe, fill};

/// Frames of the usual test clip.
pub(crate) const FRAMES: usize = 24;

/// Neither a multiple of 16 (so that decoders crop) nor of 32 (so that rows are padded).
pub(crate) const SIZE: (u32, u32) = (104, 72);

/// Luma climbs from frame to frame, so that order shows; the halves and the two differences differ, so that a
/// swapped plane or a wrong stride shows. 8-bit codes.
pub(crate) fn codes(frame: usize) -> [[u16; 3]; 2] {
    let luma = u16::try_from(40 + 6 * frame).unwrap();
    [[luma, 90, 170], [luma + 20, 150, 70]]
}

pub(crate) fn paint(bits: u32, frame: usize, picture: &mut frame::Video) {
    let halves = codes(frame);
    for (plane, &bits) in [bits; 3].iter().enumerate() {
        let middle = picture.plane_width(plane) as usize / 2;
        fill(picture, plane, bits, |x, _| {
            halves[usize::from(x >= middle)][plane] << (bits - 8)
        });
    }
}

pub(crate) fn recipe<'a>(muxer: &'a str, encoder: &'a str) -> Recipe<'a> {
    Recipe {
        muxer,
        encoder,
        pixel: Pixel::YUV420P,
        size: SIZE,
        tick: (1, 25),
        stamps: (0..).take(FRAMES).collect(),
        b_frames: 0,
        options: &[],
        muxing: &[],
    }
}

/// A file in a folder of its own, which goes with the first part.
pub(crate) fn place(name: &str) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    (folder, path)
}

pub(crate) const X264_LOSSLESS: &[(&str, &str)] = &[("qp", "0"), ("preset", "ultrafast")];
pub(crate) const X265_LOSSLESS: &[(&str, &str)] = &[
    ("x265-params", "lossless=1:log-level=none"),
    ("preset", "ultrafast"),
];
pub(crate) const VP9_LOSSLESS: &[(&str, &str)] =
    &[("lossless", "1"), ("deadline", "realtime"), ("cpu-used", "8")];
pub(crate) const VP8_FINE: &[(&str, &str)] = &[
    ("b", "4000000"),
    ("qmin", "0"),
    ("qmax", "4"),
    ("deadline", "realtime"),
];
pub(crate) const AV1_FINE: &[(&str, &str)] = &[("crf", "5"), ("cpu-used", "8"), ("usage", "realtime")];
pub(crate) const Q2: &[(&str, &str)] = &[("qmin", "1"), ("qmax", "2")];
