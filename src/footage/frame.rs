//! One picture, borrowed from the decoder.

/// One picture with its time stamp. It borrows the decoder's memory and lives until the next frame is asked
/// for.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// Seconds since the first frame of the clip; never counted from frame numbers.
    pub time_s: f64,
    /// Width of the coded picture in pixels, before [`Frame::turn`].
    pub width: usize,
    /// Height of the coded picture in pixels, before [`Frame::turn`].
    pub height: usize,
    /// The samples as decoded.
    pub samples: Samples<'a>,
    /// How the samples code colour.
    pub colour: ColourCode,
    /// The clockwise turn that makes the picture upright.
    pub turn: Quarter,
    /// The decoder reported damage in this picture.
    pub damaged: bool,
}

/// How the samples lie in memory.
#[derive(Debug, Clone, Copy)]
pub enum Samples<'a> {
    /// Three planes: luma, blue difference, red difference. Both difference planes are smaller by a power of
    /// two.
    Planar {
        /// Luma at full size.
        luma: Plane<'a>,
        /// Blue difference (Cb).
        blue: Plane<'a>,
        /// Red difference (Cr).
        red: Plane<'a>,
        /// Base-two logarithm of how many luma columns share a difference sample (0 or 1; 2 in 4:1:1).
        shift_x: u32,
        /// Base-two logarithm of how many luma rows share a difference sample.
        shift_y: u32,
        /// Bits a sample, 8 to 16. Above 8, a sample is two bytes, little-endian, value in the low bits.
        bits: u32,
    },
    /// Luma alone: a grey picture.
    Grey {
        /// Luma at full size, 8 bits.
        luma: Plane<'a>,
    },
    /// Interleaved 8-bit red, green, blue.
    Rgb {
        /// Rows of pixels.
        pixels: Plane<'a>,
        /// Bytes from one pixel to the next: 3 or 4.
        step: usize,
        /// Byte offsets of red, green and blue within a pixel.
        order: [usize; 3],
    },
}

/// Rows of samples in memory.
#[derive(Debug, Clone, Copy)]
pub struct Plane<'a> {
    /// All rows; row `y` starts at `y * stride`. The last row may end with its last sample, before a full
    /// stride.
    pub data: &'a [u8],
    /// Bytes from one row to the next.
    pub stride: usize,
}

/// A clockwise turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Quarter {
    /// Already upright.
    #[default]
    None,
    /// 90 degrees clockwise.
    Right,
    /// Upside down.
    Half,
    /// 270 degrees clockwise.
    Left,
}

impl Quarter {
    /// Size of the upright picture.
    #[must_use]
    pub const fn upright(self, width: usize, height: usize) -> (usize, usize) {
        match self {
            Self::None | Self::Half => (width, height),
            Self::Right | Self::Left => (height, width),
        }
    }

    /// Where a point of the coded picture (size `width` x `height`, pixels) lies in the upright picture.
    #[must_use]
    pub fn to_upright(self, (x, y): (f64, f64), (width, height): (f64, f64)) -> (f64, f64) {
        match self {
            Self::None => (x, y),
            Self::Right => (height - y, x),
            Self::Half => (width - x, height - y),
            Self::Left => (y, width - x),
        }
    }

    /// The inverse of [`Quarter::to_upright`]; `width` and `height` are still those of the coded picture.
    #[must_use]
    pub fn to_coded(self, (x, y): (f64, f64), (width, height): (f64, f64)) -> (f64, f64) {
        match self {
            Self::None => (x, y),
            Self::Right => (y, height - x),
            Self::Half => (width - x, height - y),
            Self::Left => (width - y, x),
        }
    }
}

/// How samples code colour, in the terms of ITU-T H.273 (CICP).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ColourCode {
    /// From luma and differences to red, green, blue.
    pub matrix: Matrix,
    /// Code values for black and white.
    pub span: Span,
    /// Which red, green and blue.
    pub primaries: Primaries,
    /// From code value to light.
    pub transfer: Transfer,
    /// The file did not say; the values are the customary ones for such footage.
    pub assumed: bool,
}

/// Luma and colour-difference equations.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Matrix {
    /// ITU-R BT.601.
    Bt601,
    /// ITU-R BT.709.
    Bt709,
    /// ITU-R BT.2020, non-constant luminance.
    Bt2020,
    /// The samples are red, green and blue already.
    Identity,
}

/// Code values used for black and white.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Span {
    /// 16 to 235 of 255 for luma, 16 to 240 for differences (times a power of two above 8 bits).
    Limited,
    /// The whole range of the code.
    Full,
}

/// The red, green and blue that the samples mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Primaries {
    /// ITU-R BT.709, also sRGB.
    Bt709,
    /// ITU-R BT.601, 625 lines.
    Bt601Lines625,
    /// ITU-R BT.601, 525 lines.
    Bt601Lines525,
    /// ITU-R BT.2020.
    Bt2020,
    /// Display P3 with a D65 white.
    P3D65,
    /// Those of a colour profile: rows of the matrix from linear light on them to linear light on BT.709's,
    /// white to white, in 1/65536.
    Profile([[i32; 3]; 3]),
}

/// From code value to light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Transfer {
    /// BT.709 camera curve (also BT.601 and BT.2020).
    Bt709,
    /// IEC 61966-2-1.
    Srgb,
    /// Hybrid log-gamma, BT.2100.
    Hlg,
    /// Perceptual quantiser, BT.2100.
    Pq,
    /// No curve.
    Linear,
}
