//! A rendered picture in memory.

use crate::footage::{ColourCode, Frame, Matrix, Plane, Primaries, Quarter, Samples, Span, Transfer};

/// An owned picture: 8-bit luma and colour differences at half size (4:2:0), BT.709, limited range.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    pub(super) ticks: i64,
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) turn: Quarter,
    pub(super) luma: Vec<u8>,
    pub(super) blue: Vec<u8>,
    pub(super) red: Vec<u8>,
}

impl Picture {
    /// A black picture of even size.
    pub(super) fn black(width: usize, height: usize, turn: Quarter) -> Self {
        let quarter = width / 2 * (height / 2);
        Self {
            ticks: 0,
            width,
            height,
            turn,
            luma: vec![16; width * height],
            blue: vec![128; quarter],
            red: vec![128; quarter],
        }
    }

    /// Seconds since the first frame.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        self.ticks as f64 / super::timing::TICKS_PER_S
    }

    /// The picture as a decoder would give it.
    #[must_use]
    pub fn as_frame(&self) -> Frame<'_> {
        let plane = |data, stride| Plane { data, stride };
        Frame {
            time_s: self.time_s(),
            width: self.width,
            height: self.height,
            samples: Samples::Planar {
                luma: plane(&self.luma, self.width),
                blue: plane(&self.blue, self.width / 2),
                red: plane(&self.red, self.width / 2),
                shift_x: 1,
                shift_y: 1,
                bits: 8,
            },
            colour: ColourCode {
                matrix: Matrix::Bt709,
                span: Span::Limited,
                primaries: Primaries::Bt709,
                transfer: Transfer::Bt709,
                assumed: false,
            },
            turn: self.turn,
            damaged: false,
        }
    }
}
