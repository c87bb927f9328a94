//! Small pictures: enough to find and measure lamps, small enough to keep some seconds of them.

use ndarray::Array2;

use crate::footage::{ColourCode, Frame, Matrix, Plane, Primaries, Quarter, Samples, Span, Transfer};

/// Longest short side of a reduced picture, pixels. A trade: a lamp of 3 px radius in 1080 rows must still
/// cover several reduced pixels, and ten seconds of pictures must fit [`super::window::BUDGET_BYTES`].
const SHORT_SIDE: usize = 400;

/// A frame reduced by a whole factor: mean luma, and mean colour differences at half that resolution. 8 bits,
/// upright.
#[derive(Debug, Clone)]
pub(super) struct Reduced {
    /// Seconds since the first frame.
    pub time_s: f64,
    /// The decoder found damage.
    pub damaged: bool,
    /// Mean luma, rows by columns.
    pub luma: Array2<u8>,
    /// Mean blue and red difference, half as many rows and columns.
    pub differences: [Array2<u8>; 2],
}

impl Reduced {
    /// Bytes held.
    pub(super) fn bytes(&self) -> usize {
        self.luma.len() + 2 * self.differences[0].len()
    }

    /// The three samples at a luma pixel.
    #[inline]
    pub(super) fn samples(&self, row: usize, column: usize) -> [f32; 3] {
        let (half_rows, half_columns) = self.differences[0].dim();
        let half = ((row / 2).min(half_rows - 1), (column / 2).min(half_columns - 1));
        [
            f32::from(self.luma[(row, column)]),
            f32::from(self.differences[0][half]),
            f32::from(self.differences[1][half]),
        ]
    }
}

/// Reduces the frames of one clip, all by the same factor.
#[derive(Debug)]
pub(super) struct Reducer {
    factor: usize,
    turn: Quarter,
    /// Sums of one row of blocks, column by column: up to 256 rows of 8-bit samples fit.
    sums: Vec<u16>,
}

impl Reducer {
    /// Chooses the factor from the first frame.
    pub(super) fn new(frame: &Frame<'_>) -> Self {
        let short = frame.width.min(frame.height);
        Self {
            factor: short.div_ceil(SHORT_SIDE).max(1),
            turn: frame.turn,
            sums: Vec::new(),
        }
    }

    /// Source pixels a side of one reduced pixel.
    pub(super) const fn factor(&self) -> usize {
        self.factor
    }

    /// How the reduced pictures code colour: as the frame does, but RGB frames are stored as luma and
    /// differences.
    pub(super) fn code(frame: &Frame<'_>) -> ColourCode {
        match frame.samples {
            Samples::Planar { .. } => frame.colour,
            Samples::Grey { .. } => ColourCode {
                matrix: Matrix::Bt709,
                ..frame.colour
            },
            Samples::Rgb { .. } => ColourCode {
                matrix: Matrix::Bt601,
                span: Span::Full,
                primaries: if frame.colour.assumed {
                    Primaries::Bt709
                } else {
                    frame.colour.primaries
                },
                transfer: if frame.colour.assumed {
                    Transfer::Srgb
                } else {
                    frame.colour.transfer
                },
                assumed: frame.colour.assumed,
            },
        }
    }

    /// Reduces one frame. Rows and columns that do not fill a whole block at the far edges are left out.
    pub(super) fn reduce(&mut self, frame: &Frame<'_>) -> Reduced {
        let (columns, rows) = (frame.width / self.factor, frame.height / self.factor);
        let half = (rows.div_ceil(2), columns.div_ceil(2));
        let (luma, differences) = match frame.samples {
            Samples::Planar {
                luma,
                blue,
                red,
                shift_x,
                shift_y,
                bits,
            } => {
                let step = if bits > 8 { 2 } else { 1 };
                let block = ((2 * self.factor) >> shift_x, (2 * self.factor) >> shift_y);
                let size = (
                    frame.width.div_ceil(1 << shift_x),
                    frame.height.div_ceil(1 << shift_y),
                );
                let down = bits - 8;
                (
                    self.boxes(&luma, step, down, (self.factor, self.factor), (rows, columns)),
                    [blue, red].map(|plane| self.edge_boxes(&plane, step, down, block, half, size)),
                )
            }
            Samples::Grey { luma } => (
                self.boxes(&luma, 1, 0, (self.factor, self.factor), (rows, columns)),
                [Array2::from_elem(half, 128), Array2::from_elem(half, 128)],
            ),
            Samples::Rgb { pixels, step, order } => {
                self.reduce_rgb(&pixels, step, order, (rows, columns), half)
            }
        };
        let turn = self.turn;
        Reduced {
            time_s: frame.time_s,
            damaged: frame.damaged,
            luma: turned(luma, turn),
            differences: differences.map(|plane| turned(plane, turn)),
        }
    }

    /// Means over blocks of `(columns, rows)` samples.
    fn boxes(
        &mut self,
        plane: &Plane<'_>,
        step: usize,
        down: u32,
        block: (usize, usize),
        size: (usize, usize),
    ) -> Array2<u8> {
        let (block_columns, block_rows) = (block.0.max(1), block.1.max(1));
        let (rows, columns) = size;
        let width = columns * block_columns;
        let count = (block_columns * block_rows) as u32;
        let mut out = Array2::zeros((rows, columns));
        for (row, mut out_row) in out.rows_mut().into_iter().enumerate() {
            self.sums.clear();
            self.sums.resize(width, 0);
            for line in row * block_rows..(row + 1) * block_rows {
                let source = &plane.data[line * plane.stride..][..width * step];
                if step == 1 {
                    for (sum, &sample) in self.sums.iter_mut().zip(source) {
                        *sum += u16::from(sample);
                    }
                } else {
                    for (sum, pair) in self.sums.iter_mut().zip(source.chunks_exact(2)) {
                        *sum += u16::from_le_bytes([pair[0], pair[1]]) >> down;
                    }
                }
            }
            let out_row = out_row
                .as_slice_mut()
                .expect("rows of a standard array are contiguous");
            match block_columns {
                1 => group::<1>(out_row, &self.sums, count),
                2 => group::<2>(out_row, &self.sums, count),
                3 => group::<3>(out_row, &self.sums, count),
                _ => {
                    for (value, sums) in out_row.iter_mut().zip(self.sums.chunks_exact(block_columns)) {
                        *value = mean(sums.iter().map(|&s| u32::from(s)).sum(), count);
                    }
                }
            }
        }
        out
    }

    /// [`Reducer::boxes`] for a difference plane, whose last half-filled block repeats its neighbour.
    fn edge_boxes(
        &mut self,
        plane: &Plane<'_>,
        step: usize,
        down: u32,
        block: (usize, usize),
        size: (usize, usize),
        samples: (usize, usize),
    ) -> Array2<u8> {
        let whole = (
            size.0.min(samples.1 / block.1.max(1)).max(1),
            size.1.min(samples.0 / block.0.max(1)).max(1),
        );
        let inner = self.boxes(plane, step, down, block, whole);
        if whole == size {
            return inner;
        }
        Array2::from_shape_fn(size, |(r, c)| inner[(r.min(whole.0 - 1), c.min(whole.1 - 1))])
    }

    fn reduce_rgb(
        &self,
        pixels: &Plane<'_>,
        step: usize,
        order: [usize; 3],
        (rows, columns): (usize, usize),
        half: (usize, usize),
    ) -> (Array2<u8>, [Array2<u8>; 2]) {
        let factor = self.factor;
        let mut mean = Array2::from_elem((rows, columns), [0f32; 3]);
        for ((row, column), value) in mean.indexed_iter_mut() {
            let mut sums = [0u32; 3];
            for line in row * factor..(row + 1) * factor {
                let from = line * pixels.stride + column * factor * step;
                for pixel in pixels.data[from..from + factor * step].chunks_exact(step) {
                    for (sum, &at) in sums.iter_mut().zip(&order) {
                        *sum += u32::from(pixel[at]);
                    }
                }
            }
            let [r, g, b] = sums.map(|sum| sum as f32 / (factor * factor) as f32);
            // ITU-T T.871 (JFIF) equations: BT.601, full range.
            let y = 0.299 * r + 0.587 * g + 0.114 * b;
            *value = [y, 128.0 + (b - y) / 1.772, 128.0 + (r - y) / 1.402];
        }
        let byte = |v: f32| v.round().clamp(0.0, 255.0) as u8;
        let luma = mean.map(|v| byte(v[0]));
        let difference = |k: usize| {
            Array2::from_shape_fn(half, |(r, c)| {
                let (mut sum, mut count) = (0.0, 0.0);
                for row in 2 * r..(2 * r + 2).min(rows) {
                    for column in 2 * c..(2 * c + 2).min(columns) {
                        sum += mean[(row, column)][k];
                        count += 1.0;
                    }
                }
                byte(sum / count)
            })
        };
        (luma, [difference(1), difference(2)])
    }
}

/// Means of groups of `N` sums. A constant width lets the compiler unroll.
fn group<const N: usize>(out: &mut [u8], sums: &[u16], count: u32) {
    for (value, sums) in out.iter_mut().zip(sums.as_chunks::<N>().0) {
        *value = mean(sums.iter().map(|&s| u32::from(s)).sum(), count);
    }
}

fn mean(total: u32, count: u32) -> u8 {
    u8::try_from((total + count / 2) / count).unwrap_or(u8::MAX)
}

fn turned(plane: Array2<u8>, turn: Quarter) -> Array2<u8> {
    let (rows, columns) = plane.dim();
    match turn {
        Quarter::None => plane,
        Quarter::Right => Array2::from_shape_fn((columns, rows), |(r, c)| plane[(rows - 1 - c, r)]),
        Quarter::Half => {
            Array2::from_shape_fn((rows, columns), |(r, c)| plane[(rows - 1 - r, columns - 1 - c)])
        }
        Quarter::Left => Array2::from_shape_fn((columns, rows), |(r, c)| plane[(c, columns - 1 - r)]),
    }
}
