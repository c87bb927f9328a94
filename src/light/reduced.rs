//! Small pictures: enough to find and measure lamps, small enough to keep some seconds of them.

use ndarray::Array2;

use super::boxes::Boxes;
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

    /// Mean samples over the pixels at `offsets` (columns, rows) about a pixel; `None` if half of them or more lie
    /// outside.
    pub(super) fn mean(&self, middle: (isize, isize), offsets: &[(isize, isize)]) -> Option<[f64; 3]> {
        let (rows, columns) = self.luma.dim();
        let half_columns = self.differences[0].ncols();
        let [luma, blue, red] = [&self.luma, &self.differences[0], &self.differences[1]]
            .map(|plane| plane.as_slice().expect("a standard array lies in row order"));
        let (mut sums, mut count) = ([0u32; 3], 0usize);
        for (dx, dy) in offsets {
            // What lies before the first row or column is a very large number here.
            let (x, y) = ((middle.0 + dx) as usize, (middle.1 + dy) as usize);
            if x < columns && y < rows {
                let half = (y / 2) * half_columns + x / 2;
                sums[0] += u32::from(luma[y * columns + x]);
                sums[1] += u32::from(blue[half]);
                sums[2] += u32::from(red[half]);
                count += 1;
            }
        }
        (count * 2 > offsets.len()).then(|| sums.map(|sum| f64::from(sum) / count as f64))
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
    /// A plane as it lies in the file, before it is turned upright.
    lying: Vec<u8>,
}

impl Reducer {
    /// Chooses the factor from the first frame.
    pub(super) fn new(frame: &Frame<'_>) -> Self {
        let short = frame.width.min(frame.height);
        Self {
            factor: short.div_ceil(SHORT_SIDE).max(1),
            turn: frame.turn,
            sums: Vec::new(),
            lying: Vec::new(),
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

    /// Reduces one frame, into a used picture of the same clip if there is one. Rows and columns that do not fill a
    /// whole block at the far edges are left out.
    pub(super) fn reduce(&mut self, frame: &Frame<'_>, used: Option<Reduced>) -> Reduced {
        let (columns, rows) = (frame.width / self.factor, frame.height / self.factor);
        let half = (rows.div_ceil(2), columns.div_ceil(2));
        let mut reduced = used.unwrap_or_else(|| Reduced {
            time_s: 0.0,
            damaged: false,
            luma: Array2::zeros(upright(self.turn, (rows, columns))),
            differences: [(); 2].map(|()| Array2::zeros(upright(self.turn, half))),
        });
        reduced.time_s = frame.time_s;
        reduced.damaged = frame.damaged;
        let (luma_out, [blue_out, red_out]) = (&mut reduced.luma, &mut reduced.differences);
        match frame.samples {
            Samples::Planar {
                luma,
                blue,
                red,
                shift_x,
                shift_y,
                bits,
            } => {
                let boxes = |factor: usize, shift: (u32, u32), size: (usize, usize)| Boxes {
                    step: if bits > 8 { 2 } else { 1 },
                    down: bits - 8,
                    block: (factor >> shift.0, factor >> shift.1),
                    samples: (
                        frame.height.div_ceil(1 << shift.1),
                        frame.width.div_ceil(1 << shift.0),
                    ),
                    size,
                };
                self.plane(&luma, boxes(self.factor, (0, 0), (rows, columns)), luma_out);
                let differences = boxes(2 * self.factor, (shift_x, shift_y), half);
                self.plane(&blue, differences, blue_out);
                self.plane(&red, differences, red_out);
            }
            Samples::Grey { luma } => {
                let boxes = Boxes {
                    step: 1,
                    down: 0,
                    block: (self.factor, self.factor),
                    samples: (frame.height, frame.width),
                    size: (rows, columns),
                };
                self.plane(&luma, boxes, luma_out);
                blue_out.fill(128);
                red_out.fill(128);
            }
            Samples::Rgb { pixels, step, order } => {
                let (luma, [blue, red]) = self.reduce_rgb(&pixels, step, order, (rows, columns), half);
                turn(luma.iter().copied(), luma.dim(), self.turn, luma_out);
                turn(blue.iter().copied(), blue.dim(), self.turn, blue_out);
                turn(red.iter().copied(), red.dim(), self.turn, red_out);
            }
        }
        reduced
    }

    /// Means over blocks of one plane, turned upright.
    fn plane(&mut self, plane: &Plane<'_>, boxes: Boxes, out: &mut Array2<u8>) {
        if self.turn == Quarter::None {
            let out = out.as_slice_mut().expect("a standard array lies in row order");
            boxes.means(plane, &mut self.sums, out);
        } else {
            self.lying.resize(boxes.size.0 * boxes.size.1, 0);
            boxes.means(plane, &mut self.sums, &mut self.lying);
            turn(self.lying.iter().copied(), boxes.size, self.turn, out);
        }
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

fn upright(turn: Quarter, (rows, columns): (usize, usize)) -> (usize, usize) {
    match turn {
        Quarter::None | Quarter::Half => (rows, columns),
        Quarter::Right | Quarter::Left => (columns, rows),
    }
}

/// Writes a plane of the file, in row order, into its upright place.
fn turn(
    plane: impl Iterator<Item = u8>,
    (rows, columns): (usize, usize),
    turn: Quarter,
    out: &mut Array2<u8>,
) {
    for (i, value) in plane.enumerate() {
        let (row, column) = (i / columns, i % columns);
        let place = match turn {
            Quarter::None => (row, column),
            Quarter::Right => (column, rows - 1 - row),
            Quarter::Half => (rows - 1 - row, columns - 1 - column),
            Quarter::Left => (columns - 1 - column, row),
        };
        out[place] = value;
    }
}
