//! A rendered picture in memory.

use super::coding::Coding;
use super::recipe::DynamicRange;
use crate::footage::{ColourCode, Frame, Matrix, Plane, Primaries, Quarter, Samples, Span, Transfer};

/// An owned picture: luma and colour differences at half size (4:2:0), limited range; BT.709 in 8 bits, or
/// BT.2020 in 10.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    pub(super) ticks: i64,
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) turn: Quarter,
    pub(super) range: DynamicRange,
    /// Samples of 10 bits lie in two bytes, the lower first.
    pub(super) luma: Vec<u8>,
    pub(super) blue: Vec<u8>,
    pub(super) red: Vec<u8>,
}

impl Picture {
    /// A black picture of even size.
    pub(super) fn black((width, height): (usize, usize), turn: Quarter, range: DynamicRange) -> Self {
        let bytes = Coding::of(range).sample_bytes;
        let quarter = width / 2 * (height / 2);
        let plane = |samples: usize, value: u16| match bytes {
            1 => vec![value.to_le_bytes()[0]; samples],
            _ => (4 * value).to_le_bytes().repeat(samples),
        };
        Self {
            ticks: 0,
            width,
            height,
            turn,
            range,
            luma: plane(width * height, 16),
            blue: plane(quarter, 128),
            red: plane(quarter, 128),
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
        let bytes = Coding::of(self.range).sample_bytes;
        let plane = |data, samples| Plane {
            data,
            stride: samples * bytes,
        };
        let (matrix, primaries, transfer) = match self.range {
            DynamicRange::Standard => (Matrix::Bt709, Primaries::Bt709, Transfer::Bt709),
            DynamicRange::Hlg => (Matrix::Bt2020, Primaries::Bt2020, Transfer::Hlg),
            DynamicRange::Pq => (Matrix::Bt2020, Primaries::Bt2020, Transfer::Pq),
        };
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
                bits: if bytes == 2 { 10 } else { 8 },
            },
            colour: ColourCode {
                matrix,
                span: Span::Limited,
                primaries,
                transfer,
                assumed: false,
            },
            turn: self.turn,
            damaged: false,
        }
    }
}
