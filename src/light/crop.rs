//! A small picture of a lamp cut out of a frame, for people to look at.

use crate::colour::{Decoder, to_srgb};
use crate::footage::{ColourCode, Frame, Matrix, Plane, Quarter, Samples};

/// A square of upright pixels.
#[derive(Debug, Clone, PartialEq)]
pub struct Crop {
    /// Pixels a side.
    pub side: usize,
    /// Red, green, blue, 8 bits, coded as IEC 61966-2-1 (sRGB), row by row.
    pub rgb: Vec<u8>,
}

/// A whole picture, upright.
#[derive(Debug, Clone, PartialEq)]
pub struct Still {
    /// Pixels a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// How many pixels of the footage are one of these.
    pub scale: f64,
    /// As in [`Crop`].
    pub rgb: Vec<u8>,
}

/// Pixels a side at most: a lamp that fills the picture is shown smaller.
const SIDE_MAX: usize = 120;

/// Cuts a square of `half` pixels to every side of a place of the upright picture, pixels. What lies outside the frame
/// repeats its edge.
#[must_use]
pub fn crop(frame: &Frame<'_>, (x, y): (f64, f64), half: f64) -> Crop {
    let side = ((2.0 * half).ceil() as usize).clamp(1, SIDE_MAX);
    let decoder = Decoder::new(code(frame));
    let size = (frame.width as f64, frame.height as f64);
    let step = 2.0 * half / side as f64;
    let mut rgb = Vec::with_capacity(3 * side * side);
    for row in 0..side {
        for column in 0..side {
            let at = |index: usize| (index as f64 + 0.5) * step - half;
            let (cx, cy) = frame.turn.to_coded((x + at(column), y + at(row)), size);
            let inside = |v: f64, limit: usize| (v.max(0.0) as usize).min(limit - 1);
            let samples = samples(frame, inside(cx, frame.width), inside(cy, frame.height));
            rgb.extend(decoder.linear(samples).map(srgb));
        }
    }
    Crop { side, rgb }
}

/// The whole upright picture, at most `widest` pixels wide.
#[must_use]
pub fn upright(frame: &Frame<'_>, widest: usize) -> Still {
    let decoder = Decoder::new(code(frame));
    let coded = (frame.width as f64, frame.height as f64);
    let size = match frame.turn {
        Quarter::None | Quarter::Half => coded,
        Quarter::Right | Quarter::Left => (coded.1, coded.0),
    };
    let scale = (size.0 / widest.max(1) as f64).max(1.0);
    let (width, height) = ((size.0 / scale) as usize, (size.1 / scale) as usize);
    let inside = |v: f64, limit: usize| (v.max(0.0) as usize).min(limit - 1);
    let mut rgb = Vec::with_capacity(3 * width * height);
    for row in 0..height {
        for column in 0..width {
            let place = ((column as f64 + 0.5) * scale, (row as f64 + 0.5) * scale);
            let (x, y) = frame.turn.to_coded(place, coded);
            let samples = samples(frame, inside(x, frame.width), inside(y, frame.height));
            rgb.extend(decoder.linear(samples).map(srgb));
        }
    }
    Still {
        width,
        height,
        scale,
        rgb,
    }
}

fn code(frame: &Frame<'_>) -> ColourCode {
    match frame.samples {
        // Without differences any matrix gives grey.
        Samples::Grey { .. } => ColourCode {
            matrix: Matrix::Bt709,
            ..frame.colour
        },
        _ => frame.colour,
    }
}

/// The three samples of a pixel of the coded picture, scaled to 8 bits.
fn samples(frame: &Frame<'_>, x: usize, y: usize) -> [f32; 3] {
    match frame.samples {
        Samples::Planar {
            luma,
            blue,
            red,
            shift_x,
            shift_y,
            bits,
        } => {
            let small = (x >> shift_x, y >> shift_y);
            [
                sample(&luma, (x, y), bits),
                sample(&blue, small, bits),
                sample(&red, small, bits),
            ]
        }
        Samples::Grey { luma } => [sample(&luma, (x, y), 8), 128.0, 128.0],
        Samples::Rgb { pixels, step, order } => {
            order.map(|place| f32::from(pixels.data[y * pixels.stride + x * step + place]))
        }
    }
}

fn sample(plane: &Plane<'_>, (x, y): (usize, usize), bits: u32) -> f32 {
    let row = y * plane.stride;
    if bits <= 8 {
        return f32::from(plane.data[row + x]);
    }
    let pair = [plane.data[row + 2 * x], plane.data[row + 2 * x + 1]];
    f32::from(u16::from_le_bytes(pair)) / (1_u32 << (bits - 8)) as f32
}

/// The code of an ordinary screen.
fn srgb(light: f32) -> u8 {
    (255.0 * to_srgb(f64::from(light.clamp(0.0, 1.0)))).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::footage::{Primaries, Span, Transfer};

    /// A picture of 4 x 2 pixels, each with a colour of its own.
    fn picture(data: &[u8], turn: Quarter) -> Frame<'_> {
        Frame {
            time_s: 0.0,
            width: 4,
            height: 2,
            samples: Samples::Rgb {
                pixels: Plane { data, stride: 12 },
                step: 3,
                order: [0, 1, 2],
            },
            colour: ColourCode {
                matrix: Matrix::Identity,
                span: Span::Full,
                primaries: Primaries::Bt709,
                transfer: Transfer::Srgb,
                assumed: false,
            },
            turn,
            damaged: false,
        }
    }

    fn data() -> Vec<u8> {
        (0..8_u8)
            .flat_map(|pixel| [pixel * 30, 10, 255 - pixel * 30])
            .collect()
    }

    /// Pixels of an sRGB picture come out as they went in.
    #[test]
    fn gives_the_pixels_about_a_place() {
        let data = data();
        let crop = crop(&picture(&data, Quarter::None), (2.0, 1.0), 1.0);
        assert_eq!(crop.side, 2);
        let expected: Vec<u8> = [1, 2, 5, 6]
            .iter()
            .flat_map(|pixel| data[3 * pixel..][..3].to_vec())
            .collect();
        assert_eq!(crop.rgb, expected);
    }

    /// Turned right, the lower left pixel of the coded picture comes to the upper left.
    #[test]
    fn is_upright() {
        let data = data();
        let crop = crop(&picture(&data, Quarter::Right), (1.0, 1.0), 1.0);
        let expected: Vec<u8> = [4, 0, 5, 1]
            .iter()
            .flat_map(|pixel| data[3 * pixel..][..3].to_vec())
            .collect();
        assert_eq!(crop.rgb, expected);
    }

    #[test]
    fn repeats_the_edge_and_stays_small() {
        let data = data();
        let crop = crop(&picture(&data, Quarter::None), (-50.0, 900.0), 300.0);
        assert_eq!(crop.side, SIDE_MAX);
        assert_eq!(crop.rgb[..3], data[3 * 4..][..3]);
    }
}
