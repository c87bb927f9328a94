//! A picture at several sizes, locally normalised, for aligning.

use std::cell::OnceCell;
use std::iter::{once, successors};

use ndarray::{Array2, Axis};

/// Levels of the pyramid, finest first: reduced luma averaged 4, 8 and 16 times.
pub(super) const LEVELS: usize = 3;
/// Averaging of the finest level. A twentieth of its pixel, the usual precision of such an alignment, is a
/// fifth of a reduced pixel.
pub(super) const FINEST: usize = 4;
/// Steepest pixels used a level: enough that noise averages out, few enough to take well under a millisecond
/// a frame.
const FEATURES: usize = 2500;
/// Half width of the window of local normalisation, pixels of the level.
const NORMALISE_HALF: usize = 10;
/// Local contrast, in 8-bit luma, below which a place counts as plain and is not stretched (guessed: about
/// twice the noise of a dim phone clip).
const PLAIN: f32 = 5.0;
/// Gradient of normalised luma below which a pixel tells nothing (a tenth of the local contrast a pixel).
const FLAT: f32 = 0.1;

/// A pixel that helps to align, in pixels of its level.
#[derive(Debug, Clone, Copy)]
pub(super) struct Feature {
    pub x: f64,
    pub y: f64,
    pub value: f32,
    pub slope_x: f32,
    pub slope_y: f32,
}

/// One size of a picture.
pub(super) struct Level {
    /// Normalised luma.
    pub picture: Array2<f32>,
    /// The steepest pixels; empty until asked for.
    pub features: Vec<Feature>,
}

/// Sum and sum of squares over all pixels above and to the left of a corner, in row order.
pub(super) type Sums = Vec<[f64; 2]>;

/// A picture at several sizes, finest first.
pub(super) struct Pyramid {
    pub levels: Vec<Level>,
    /// Luma of the finest level.
    luma: Array2<f32>,
    bandless: OnceCell<Level>,
}

impl Pyramid {
    /// `sums` is room to work in.
    pub(super) fn new(luma: &Array2<u8>, sums: &mut Sums) -> Self {
        let luma = average::<FINEST, _>(luma);
        let halves = |picture: &Array2<f32>| Some(average::<2, _>(picture));
        let coarser = successors(halves(&luma), halves).take(LEVELS - 1);
        let mut level = |picture: &Array2<f32>| Level {
            picture: normalised(picture, sums),
            features: Vec::new(),
        };
        let levels = once(level(&luma))
            .chain(coarser.map(|picture| level(&picture)))
            .collect();
        Self {
            levels,
            luma,
            bandless: OnceCell::new(),
        }
    }

    /// The finest level [`without_bands`].
    pub(super) fn bandless(&self) -> &Level {
        self.bandless.get_or_init(|| {
            let picture = self.bandless_picture();
            let features = features(&picture);
            Level { picture, features }
        })
    }

    pub(super) fn bandless_picture(&self) -> Array2<f32> {
        normalised(&without_bands(&self.luma), &mut Sums::new())
    }

    pub(super) fn find_features(&mut self) {
        for level in &mut self.levels {
            if level.features.is_empty() {
                level.features = features(&level.picture);
            }
        }
    }
}

/// Bilinear sample; `None` outside.
#[inline]
pub(super) fn sample(picture: &Array2<f32>, x: f64, y: f64) -> Option<f32> {
    let (rows, columns) = picture.dim();
    if !(x >= 0.0 && y >= 0.0 && x < columns as f64 - 1.0 && y < rows as f64 - 1.0) {
        return None;
    }
    let (column, row) = (x as usize, y as usize);
    let (fx, fy) = ((x - column as f64) as f32, (y - row as f64) as f32);
    let top = picture[(row, column)] * (1.0 - fx) + picture[(row, column + 1)] * fx;
    let bottom = picture[(row + 1, column)] * (1.0 - fx) + picture[(row + 1, column + 1)] * fx;
    Some(top * (1.0 - fy) + bottom * fy)
}

fn average<const FACTOR: usize, T: Copy + Into<f32>>(picture: &Array2<T>) -> Array2<f32> {
    let (rows, columns) = (picture.nrows() / FACTOR, picture.ncols() / FACTOR);
    let share = 1.0 / (FACTOR * FACTOR) as f32;
    let mut out = Array2::zeros((rows, columns));
    for (r, mut out) in out.rows_mut().into_iter().enumerate() {
        for line in r * FACTOR..(r + 1) * FACTOR {
            let source = picture.row(line);
            let source = source
                .as_slice()
                .expect("rows of a standard array are contiguous");
            for (value, group) in out.iter_mut().zip(source.as_chunks::<FACTOR>().0) {
                *value += group.iter().map(|&v| v.into()).sum::<f32>() * share;
            }
        }
    }
    out
}

/// Subtracts the local mean and divides by the local contrast.
fn normalised(picture: &Array2<f32>, sums: &mut Sums) -> Array2<f32> {
    let (rows, columns) = picture.dim();
    let wide = columns + 1;
    sums.clear();
    sums.resize((rows + 1) * wide, [0.0; 2]);
    for (r, row) in picture.rows().into_iter().enumerate() {
        let (above, below) = sums[r * wide..(r + 2) * wide].split_at_mut(wide);
        let mut line = [0.0; 2];
        for ((value, above), below) in row.iter().zip(&above[1..]).zip(&mut below[1..]) {
            let value = f64::from(*value);
            line = [line[0] + value, line[1] + value * value];
            *below = [above[0] + line[0], above[1] + line[1]];
        }
    }
    Array2::from_shape_fn((rows, columns), |(r, c)| {
        let (r0, r1) = (
            r.saturating_sub(NORMALISE_HALF),
            (r + NORMALISE_HALF + 1).min(rows),
        );
        let (c0, c1) = (
            c.saturating_sub(NORMALISE_HALF),
            (c + NORMALISE_HALF + 1).min(columns),
        );
        let corners = [(r1, c1), (r0, c1), (r1, c0), (r0, c0)].map(|(r, c)| sums[r * wide + c]);
        let over = |k: usize| corners[0][k] - corners[1][k] - corners[2][k] + corners[3][k];
        let count = ((r1 - r0) * (c1 - c0)) as f64;
        let mean = over(0) / count;
        let spread = (over(1) / count - mean * mean).max(0.0).sqrt();
        (picture[(r, c)] - mean as f32) / (spread as f32 + PLAIN)
    })
}

/// Every row and every column brought to the same mean: flickering mains light darkens whole rows of the sensor, which are
/// columns of a picture that was turned upright.
fn without_bands(picture: &Array2<f32>) -> Array2<f32> {
    let mut picture = picture.clone();
    for axis in [Axis(1), Axis(0)] {
        let (Some(means), Some(mean)) = (picture.mean_axis(axis), picture.mean()) else {
            return picture;
        };
        // Black rows have nothing to bring up.
        picture *= &means.mapv(|own| mean / own.max(1.0)).insert_axis(axis);
    }
    picture
}

fn features(picture: &Array2<f32>) -> Vec<Feature> {
    let (rows, columns) = picture.dim();
    let mut found = Vec::new();
    for r in 2..rows.saturating_sub(2) {
        for c in 2..columns.saturating_sub(2) {
            let slope_x = (picture[(r, c + 1)] - picture[(r, c - 1)]) / 2.0;
            let slope_y = (picture[(r + 1, c)] - picture[(r - 1, c)]) / 2.0;
            if slope_x * slope_x + slope_y * slope_y > FLAT * FLAT {
                found.push(Feature {
                    x: c as f64,
                    y: r as f64,
                    value: picture[(r, c)],
                    slope_x,
                    slope_y,
                });
            }
        }
    }
    if found.len() > FEATURES {
        let steepness = |f: &Feature| f.slope_x * f.slope_x + f.slope_y * f.slope_y;
        found.select_nth_unstable_by(FEATURES, |a, b| steepness(b).total_cmp(&steepness(a)));
        found.truncate(FEATURES);
        // Row order: neighbours in memory when they are sampled.
        found.sort_unstable_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    }
    found
}
