//! What a reader saw of a frame, owned, so that a test can look at a whole clip.

use std::path::Path;

use lampwise::footage::{
    ColourCode, Footage, FootageError, Frame, Limits, Plane, Quarter, Samples, Span, Summary,
};

#[derive(Debug)]
pub(crate) struct Seen {
    pub(crate) time_s: f64,
    pub(crate) size: (usize, usize),
    pub(crate) colour: ColourCode,
    pub(crate) turn: Quarter,
    pub(crate) damaged: bool,
    pub(crate) form: Form,
    /// Sample triples (luma, blue, red difference; or red, green, blue) at the centres of the left and right
    /// halves.
    pub(crate) halves: [[u16; 3]; 2],
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Planar { shift: (u32, u32), bits: u32 },
    Grey,
    Rgb,
}

/// Every frame of a file and its summary.
pub(crate) fn read_with(path: &Path, limits: Limits) -> Result<(Vec<Seen>, Summary), FootageError> {
    let mut footage = Footage::open(path, limits)?;
    let mut seen = Vec::new();
    while let Some(frame) = footage.next_frame()? {
        seen.push(look(&frame));
    }
    assert!(footage.next_frame()?.is_none(), "the end stays the end");
    Ok((seen, footage.summary().expect("frames were read")))
}

pub(crate) fn read(path: &Path) -> Result<(Vec<Seen>, Summary), FootageError> {
    read_with(path, Limits::default())
}

fn look(frame: &Frame<'_>) -> Seen {
    let (width, height) = (frame.width, frame.height);
    let middle = height / 2;
    Seen {
        time_s: frame.time_s,
        size: (width, height),
        colour: frame.colour,
        turn: frame.turn,
        damaged: frame.damaged,
        form: form(frame.samples),
        halves: [width / 4, 3 * width / 4].map(|x| sample_at(frame.samples, x, middle)),
    }
}

fn form(samples: Samples<'_>) -> Form {
    match samples {
        Samples::Planar {
            shift_x,
            shift_y,
            bits,
            ..
        } => Form::Planar {
            shift: (shift_x, shift_y),
            bits,
        },
        Samples::Grey { .. } => Form::Grey,
        Samples::Rgb { .. } => Form::Rgb,
    }
}

pub(crate) fn sample_at(samples: Samples<'_>, x: usize, y: usize) -> [u16; 3] {
    match samples {
        Samples::Planar {
            luma,
            blue,
            red,
            shift_x,
            shift_y,
            bits,
        } => {
            let (part_x, part_y) = (x >> shift_x, y >> shift_y);
            [
                value(luma, bits, x, y),
                value(blue, bits, part_x, part_y),
                value(red, bits, part_x, part_y),
            ]
        }
        Samples::Grey { luma } => [value(luma, 8, x, y), 0, 0],
        Samples::Rgb { pixels, step, order } => {
            order.map(|offset| u16::from(pixels.data[y * pixels.stride + x * step + offset]))
        }
    }
}

fn value(plane: Plane<'_>, bits: u32, x: usize, y: usize) -> u16 {
    if bits > 8 {
        let at = y * plane.stride + 2 * x;
        u16::from_le_bytes([plane.data[at], plane.data[at + 1]])
    } else {
        u16::from(plane.data[y * plane.stride + x])
    }
}

/// `actual` is within `within` of `expected` in every sample.
#[track_caller]
pub(crate) fn assert_near(actual: [u16; 3], expected: [u16; 3], within: u16, what: &str) {
    for (a, e) in actual.iter().zip(expected) {
        assert!(
            a.abs_diff(e) <= within,
            "{what}: {actual:?}, expected {expected:?} within {within}"
        );
    }
}

pub(crate) fn is_full(seen: &Seen) -> bool {
    seen.colour.span == Span::Full
}

/// Says that a case was not run and why; the test runner shows it with `--nocapture`.
pub(crate) fn skipped(why: &str) {
    eprintln!("skipped: {why}");
}
