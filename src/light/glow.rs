//! Steady lamps: spots that look like a source in a single picture.
//!
//! A lamp that is lit overexposes its core and colours its rim and halo: a bright middle, a ring that is more
//! strongly coloured than the middle and than the wider surround, in one hue. White paper, labels and glints
//! are bright without the ring. Where the picture was made so dark that nothing clips, a lamp has more light than paper
//! could have in it.

use ndarray::Array2;

use super::brights::Brights;
use super::paper::{self, Paper};
use super::scan::Seed;
use super::score::rising;
use crate::colour::{Decoder, to_linear};
use crate::footage::Transfer;

/// Mean pictures of a scene, luma 0 to 255 and the two colour differences about 128, on cells.
pub(super) struct Picture<'a> {
    pub luma: &'a Array2<f32>,
    pub differences: [&'a Array2<f32>; 2],
}

/// Sizes of spots looked for: half widths of the middle, in cells. The surround of the largest is as large as the picture.
const SIZES: [usize; 7] = [1, 2, 3, 5, 8, 13, 21];
/// The largest that may be white: larger ones are windows and sheets of paper (guessed).
const LARGEST_WHITE: usize = 8;
/// Candidates handed on.
const MOST: usize = 14;
/// Least brightness of a middle over its surround, 8-bit steps, to be looked at closely.
const LEAST_OVER: f64 = 8.0;
/// Share of the picture that may be as bright elsewhere before a white spot is nothing special (guessed: a lamp of a
/// fiftieth of the picture's height, ten times over).
const RARE: f64 = 0.012;
/// Likeness below which a spot is dropped.
const LEAST_LIKENESS: f64 = 0.05;

/// The spots most like a lit lamp, best first, with their likeness, 0 to 1.
pub(super) fn glowing(picture: &Picture<'_>, paper: &Paper, decoder: &Decoder) -> Vec<Seed> {
    let sums = Sums::new(picture, paper, decoder);
    let (rows, columns) = picture.luma.dim();
    let mut found: Vec<Seed> = Vec::new();
    for half in SIZES {
        let step = half.div_ceil(2);
        for row in (half..rows.saturating_sub(half)).step_by(step) {
            for column in (half..columns.saturating_sub(half)).step_by(step) {
                if let Some(likeness) = sums.likeness(row, column, half) {
                    found.push(Seed {
                        x: 2.0 * column as f64 + 0.5,
                        y: 2.0 * row as f64 + 0.5,
                        radius: 2.0 * half as f64 + 1.0,
                        likeness,
                        changes: false,
                    });
                }
            }
        }
    }
    found.sort_by(|a, b| b.likeness.total_cmp(&a.likeness));
    let mut kept: Vec<Seed> = Vec::new();
    for seed in found {
        let apart = |other: &Seed| {
            (other.x - seed.x).hypot(other.y - seed.y) > 1.5 * other.radius.max(seed.radius)
                && !sums.are_one(other, &seed)
        };
        if kept.iter().all(apart) {
            kept.push(seed);
        }
        if kept.len() == MOST {
            break;
        }
    }
    kept
}

/// Summed-area tables of luma and colour differences, what is bright in the picture, and what paper would be in it.
struct Sums<'p> {
    tables: [Array2<f64>; 3],
    brights: Brights,
    paper: &'p Paper,
    decoder: &'p Decoder,
}

/// Means over an area: luma, and the colour differences about 0.
#[derive(Clone, Copy)]
pub(super) struct Means {
    pub luma: f64,
    pub blue: f64,
    pub red: f64,
}

impl<'p> Sums<'p> {
    fn new(picture: &Picture<'_>, paper: &'p Paper, decoder: &'p Decoder) -> Self {
        let table = |plane: &Array2<f32>| {
            let (rows, columns) = plane.dim();
            let mut sums = Array2::zeros((rows + 1, columns + 1));
            for r in 0..rows {
                let mut row = 0.0;
                for c in 0..columns {
                    row += f64::from(plane[(r, c)]);
                    sums[(r + 1, c + 1)] = sums[(r, c + 1)] + row;
                }
            }
            sums
        };
        Self {
            tables: [
                table(picture.luma),
                table(picture.differences[0]),
                table(picture.differences[1]),
            ],
            brights: Brights::new(picture.luma),
            paper,
            decoder,
        }
    }

    /// Sum and count of cells over the square of half width `half`, cut at the edges.
    fn square(&self, row: usize, column: usize, half: usize) -> ([f64; 3], f64) {
        let (rows, columns) = (self.tables[0].nrows() - 1, self.tables[0].ncols() - 1);
        let (r0, r1) = (row.saturating_sub(half), (row + half + 1).min(rows));
        let (c0, c1) = (column.saturating_sub(half), (column + half + 1).min(columns));
        let sums = [0, 1, 2].map(|k| {
            let t = &self.tables[k];
            t[(r1, c1)] - t[(r0, c1)] - t[(r1, c0)] + t[(r0, c0)]
        });
        (sums, ((r1 - r0) * (c1 - c0)) as f64)
    }

    /// Means over the square ring between two half widths.
    fn ring(&self, row: usize, column: usize, inner: usize, outer: usize) -> Means {
        let (big, big_count) = self.square(row, column, outer);
        let (small, small_count) = self.square(row, column, inner);
        let count = (big_count - small_count).max(1.0);
        Means::of([0, 1, 2].map(|k| (big[k] - small[k]) / count))
    }

    /// Whether two spots are parts of one: all the way from one to the other it is as bright as in them. A large lamp
    /// would otherwise be found many times over, and leave no place for others.
    fn are_one(&self, a: &Seed, b: &Seed) -> bool {
        /// Share of the brightness of the dimmer spot that a dip must fall below to part them (guessed; between lamps that
        /// touch it falls to the halo).
        const DIP: f64 = 0.85;
        let (rows, columns) = (self.tables[0].nrows() - 1, self.tables[0].ncols() - 1);
        let cell = |v: f64, cells: usize| (((v - 0.5) / 2.0).round().max(0.0) as usize).min(cells - 1);
        let top = |x: f64, y: f64| {
            let (sums, count) = self.square(cell(y, rows), cell(x, columns), 0);
            Means::of(sums.map(|sum| sum / count)).top(self.decoder)
        };
        let least = DIP * top(a.x, a.y).min(top(b.x, b.y));
        let steps = (0.5 * (a.x - b.x).hypot(a.y - b.y)).ceil();
        (1..steps as usize).all(|i| {
            let share = i as f64 / steps;
            top(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)) >= least
        })
    }

    /// How much a spot looks like a lit lamp; `None` if hardly at all.
    fn likeness(&self, row: usize, column: usize, half: usize) -> Option<f64> {
        let (middle, count) = self.square(row, column, half - half.div_ceil(3));
        let middle = Means::of(middle.map(|sum| sum / count));
        let rim = self.ring(row, column, half, 2 * half + 1);
        let far = self.ring(row, column, 2 * half + 2, 4 * half + 3);
        let over = middle.top(self.decoder) - far.top(self.decoder);
        // By the strongest channel: a red or blue lamp has less luma than a pale case.
        if over < LEAST_OVER || middle.top(self.decoder) < rim.top(self.decoder) {
            return None;
        }
        let halo = (rim.blue - far.blue).hypot(rim.red - far.red);
        let own = middle.blue.hypot(middle.red);
        let rim_colour = rim.blue.hypot(rim.red);
        let emits = rising(middle.top(self.decoder), 222.0, 7.0)
            .max(self.paper.is_outshone(middle.top(self.decoder), paper::COLOURED));
        let stands_out = rising(over.max(middle.luma - far.luma), 34.0, 9.0);
        let coloured = rising(halo, 13.0, 3.5);
        // White in a coloured rim, or strongly coloured at the top of the scale: paint is neither.
        let hollow = rising(rim_colour - own, 4.0, 6.0);
        let saturated = rising(own, 50.0, 10.0);
        // Rim and halo have one hue: what the rim has more than the far ring points the same way as its own
        // colour.
        let (du, dv) = (rim.blue - far.blue, rim.red - far.red);
        let one_hue = ((rim.blue * du + rim.red * dv) / (rim_colour * halo).max(1e-6)).clamp(0.0, 1.0);
        let lamp = stands_out * coloured * emits * one_hue * (0.3 + 0.7 * hollow.max(saturated));
        // White with no colour about it is a lamp where hardly anything else in the picture is as bright; among white
        // paper and glints it is one of many.
        let alone = 0.3 + 0.6 * rising(RARE - self.brights.others(row, column), 0.0, 0.25 * RARE);
        let dazzling = rising(middle.luma, 240.0, 4.0).max(self.paper.is_outshone(middle.luma, paper::WHITE));
        let white = alone * dazzling * rising(over, 70.0, 12.0);
        let likeness = if half > LARGEST_WHITE {
            lamp
        } else {
            lamp.max(white)
        };
        (likeness > LEAST_LIKENESS).then_some(likeness)
    }
}

impl Means {
    /// From samples with differences about 128.
    pub(super) fn of(samples: [f64; 3]) -> Self {
        Self {
            luma: samples[0],
            blue: samples[1] - 128.0,
            red: samples[2] - 128.0,
        }
    }

    /// The highest of red, green and blue, non-linear, in 8-bit steps.
    pub(super) fn top(&self, decoder: &Decoder) -> f64 {
        let rgb = decoder.narrowed_rgb(self.luma, self.blue, self.red);
        rgb.into_iter().fold(f64::MIN, f64::max).min(255.0)
    }

    /// Linear red, green and blue, each of the sensor's range.
    pub(super) fn linear(&self, decoder: &Decoder) -> [f64; 3] {
        let rgb = decoder.narrowed_rgb(self.luma, self.blue, self.red);
        rgb.map(|code| to_linear(Transfer::Srgb, (code / 255.0).clamp(0.0, 1.0)))
    }
}
