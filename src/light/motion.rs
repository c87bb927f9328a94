//! How the camera moved: where the scene of the first frame lies in every later one.
//!
//! Direct alignment (Lucas and Kanade 1981; the robust, coarse-to-fine form of Baker and Matthews, IJCV 56(3) 2004) of locally
//! normalised luma. Local normalisation takes out the dips of an automatic exposure and most of what a lamp's glow does to
//! the room; robust weights take out the lamp itself, hands and passers-by.

use ndarray::Array2;

/// A turn, scale and shift: `x' = c x - s y + tx`, `y' = s x + c y + ty`, in pixels of the reduced luma picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Move {
    pub c: f64,
    pub s: f64,
    pub tx: f64,
    pub ty: f64,
}

impl Move {
    pub(super) const NONE: Self = Self {
        c: 1.0,
        s: 0.0,
        tx: 0.0,
        ty: 0.0,
    };

    /// Where a point of the scene lies in the frame.
    #[inline]
    pub(super) fn apply(&self, x: f64, y: f64) -> (f64, f64) {
        (
            self.c * x - self.s * y + self.tx,
            self.s * x + self.c * y + self.ty,
        )
    }

    /// First `self`, then `next`.
    pub(super) fn then(&self, next: &Self) -> Self {
        let (tx, ty) = next.apply(self.tx, self.ty);
        Self {
            c: next.c * self.c - next.s * self.s,
            s: next.s * self.c + next.c * self.s,
            tx,
            ty,
        }
    }

    /// Root mean square shift of the corners of a picture between two moves.
    pub(super) fn distance(&self, other: &Self, width: f64, height: f64) -> f64 {
        let corners = [(0.0, 0.0), (width, 0.0), (0.0, height), (width, height)];
        let sum: f64 = corners
            .iter()
            .map(|&(x, y)| {
                let (a, b) = (self.apply(x, y), other.apply(x, y));
                (a.0 - b.0).powi(2) + (a.1 - b.1).powi(2)
            })
            .sum();
        (sum / 4.0).sqrt()
    }

    fn scaled(&self, factor: f64) -> Self {
        Self {
            tx: self.tx * factor,
            ty: self.ty * factor,
            ..*self
        }
    }
}

/// Levels of the pyramid, finest first: pixels are averaged 4, 8, 16 times from reduced luma.
const LEVELS: usize = 3;
/// Averaging of the finest level. A twentieth of its pixel, the usual precision of such an alignment, is a fifth of a
/// reduced pixel.
const FINEST: usize = 4;
/// Steepest pixels used a level: enough that noise averages out, few enough to take well under a millisecond a frame.
const FEATURES: usize = 2500;
/// Half width of the window of local normalisation, pixels of the level.
const NORMALISE_HALF: usize = 10;
/// Local contrast, in 8-bit luma, below which a place counts as plain and is not stretched (guessed: about twice the
/// noise of a dim phone clip).
const PLAIN: f32 = 5.0;
/// Correlation of the aligned pictures above which an alignment is believed (guessed; unrelated pictures give about 0.1).
const BELIEVED: f64 = 0.45;
/// Above this correlation a picture is still good enough to go on measuring against the same key picture.
const KEY_WORN: f64 = 0.70;
/// Search range of the whole-pixel start on the coarsest level, pixels of that level, about the previous place.
const SEARCH: isize = 4;

struct Level {
    picture: Array2<f32>,
    /// (column, row, value, d/dx, d/dy) of the steepest pixels; filled for key pictures.
    features: Vec<(f32, f32, f32, f32, f32)>,
}

struct Pyramid(Vec<Level>);

impl Pyramid {
    fn new(luma: &Array2<u8>) -> Self {
        let mut picture = average(&luma.map(|&v| f32::from(v)), FINEST);
        let mut levels = Vec::with_capacity(LEVELS);
        for level in 0..LEVELS {
            let next = (level + 1 < LEVELS).then(|| average(&picture, 2));
            levels.push(Level {
                picture: normalised(&picture),
                features: Vec::new(),
            });
            if let Some(next) = next {
                picture = next;
            }
        }
        Self(levels)
    }

    fn find_features(&mut self) {
        for level in &mut self.0 {
            level.features = features(&level.picture);
        }
    }
}

/// Follows the camera from frame to frame.
pub(super) struct Motion {
    key: Option<(Pyramid, Move)>,
    last: Option<(Pyramid, Move)>,
    previous: Move,
}

/// The scene's place in one frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// From the first frame to this one.
    pub scene: Move,
    /// False where the frame could not be matched (blur, cover, cut): `scene` is then the last known one.
    pub found: bool,
}

impl Motion {
    pub(super) const fn new() -> Self {
        Self {
            key: None,
            last: None,
            previous: Move::NONE,
        }
    }

    /// Places the next frame.
    pub(super) fn place(&mut self, luma: &Array2<u8>) -> Placed {
        let mut pyramid = Pyramid::new(luma);
        let Some((key, key_scene)) = &self.key else {
            pyramid.find_features();
            self.key = Some((pyramid, Move::NONE));
            return Placed {
                scene: Move::NONE,
                found: true,
            };
        };
        // With hardly any texture there is nothing to hold on to, and nothing to be misled by.
        if key.0[0].features.len() < 60 {
            return Placed {
                scene: Move::NONE,
                found: true,
            };
        }
        let start = between(key_scene, &self.previous);
        let (from_key, match_key) = align(key, &pyramid, start);
        let mut scene = key_scene.then(&from_key);
        let mut quality = match_key;
        if match_key < KEY_WORN
            && let Some((last, last_scene)) = &mut self.last
        {
            if last.0[0].features.is_empty() {
                last.find_features();
            }
            let (from_last, match_last) = align(last, &pyramid, Move::NONE);
            if match_last > match_key + 0.05 {
                scene = last_scene.then(&from_last);
                quality = match_last;
                self.key = self.last.take();
            }
        }
        if quality < BELIEVED {
            return Placed {
                scene: self.previous,
                found: false,
            };
        }
        self.previous = scene;
        self.last = Some((pyramid, scene));
        Placed { scene, found: true }
    }
}

/// The move from the frame at `from` to the frame at `to`, both given from the scene.
fn between(from: &Move, to: &Move) -> Move {
    let scale = from.c * from.c + from.s * from.s;
    let back = Move {
        c: from.c / scale,
        s: -from.s / scale,
        tx: -(from.c * from.tx + from.s * from.ty) / scale,
        ty: (from.s * from.tx - from.c * from.ty) / scale,
    };
    back.then(to)
}

/// Aligns `picture` to `key` from a first guess; the move and the correlation at the end (-1 to 1).
fn align(key: &Pyramid, picture: &Pyramid, guess: Move) -> (Move, f64) {
    let coarsest = LEVELS - 1;
    let per_level = |level: usize| 1.0 / (FINEST << level) as f64;
    let mut current = guess.scaled(per_level(coarsest));
    current = whole_pixel_start(&key.0[coarsest], &picture.0[coarsest].picture, current);
    let mut quality = 0.0;
    for level in (0..LEVELS).rev() {
        let steps = if level == 0 { 5 } else { 8 };
        for _ in 0..steps {
            let (next, correlation) = step(&key.0[level], &picture.0[level].picture, &current);
            quality = correlation;
            let moved = next.distance(&current, 100.0, 100.0);
            current = next;
            if moved < 0.01 {
                break;
            }
        }
        if level > 0 {
            current = current.scaled(2.0);
        }
    }
    (current.scaled(FINEST as f64), quality)
}

fn whole_pixel_start(key: &Level, picture: &Array2<f32>, guess: Move) -> Move {
    let mut best = (f64::NEG_INFINITY, guess);
    for dy in -SEARCH..=SEARCH {
        for dx in -SEARCH..=SEARCH {
            let trial = Move {
                tx: guess.tx + dx as f64,
                ty: guess.ty + dy as f64,
                ..guess
            };
            let score = correlation(key, picture, &trial);
            // Of equal matches the nearest to the guess, so that a plain wall does not send it wandering.
            let score = score - 0.002 * ((dx * dx + dy * dy) as f64).sqrt();
            if score > best.0 {
                best = (score, trial);
            }
        }
    }
    best.1
}

fn correlation(key: &Level, picture: &Array2<f32>, place: &Move) -> f64 {
    let (mut product, mut own, mut theirs, mut count) = (0.0, 1e-6, 1e-6, 0usize);
    for &(x, y, value, ..) in key.features.iter().step_by(2) {
        let (px, py) = place.apply(f64::from(x), f64::from(y));
        if let Some(sample) = sample(picture, px, py) {
            product += f64::from(value * sample);
            own += f64::from(value * value);
            theirs += f64::from(sample * sample);
            count += 1;
        }
    }
    if count * 8 < key.features.len() {
        -1.0
    } else {
        product / (own * theirs).sqrt()
    }
}

/// One robust Gauss-Newton step; the new move and the correlation at the old one.
fn step(key: &Level, picture: &Array2<f32>, place: &Move) -> (Move, f64) {
    // Residuals beyond this many units of local contrast lose weight (Cauchy).
    const SOFT: f64 = 0.5;
    let mut normal = [[0.0f64; 4]; 4];
    let mut right = [0.0f64; 4];
    let (mut product, mut own, mut theirs, mut count) = (0.0, 1e-6, 1e-6, 0usize);
    let (rows, columns) = picture.dim();
    let centre = (columns as f64 / 2.0, rows as f64 / 2.0);
    // Divides the turn and scale columns so that all four unknowns are of one size.
    let reach = centre.0.max(centre.1);
    for &(x, y, value, gx, gy) in &key.features {
        let (fx, fy) = (f64::from(x), f64::from(y));
        let (px, py) = place.apply(fx, fy);
        let Some(sample) = sample(picture, px, py) else {
            continue;
        };
        let residual = f64::from(sample - value);
        let weight = 1.0 / (1.0 + (residual / SOFT).powi(2));
        let (ux, uy) = ((fx - centre.0) / reach, (fy - centre.1) / reach);
        let (gx, gy) = (f64::from(gx), f64::from(gy));
        let row = [gx, gy, gx * ux + gy * uy, gy * ux - gx * uy];
        for i in 0..4 {
            for j in i..4 {
                normal[i][j] += weight * row[i] * row[j];
            }
            right[i] += weight * row[i] * residual;
        }
        product += f64::from(value * sample);
        own += f64::from(value * value);
        theirs += f64::from(sample * sample);
        count += 1;
    }
    if count * 4 < key.features.len() {
        return (*place, -1.0);
    }
    let quality = product / (own * theirs).sqrt();
    let Some(delta) = solve(normal, right) else {
        return (*place, quality);
    };
    // The step was found in the key's coordinates about the centre: undo it there, then go on as before.
    let (dx, dy, scale, turn) = (delta[0], delta[1], delta[2] / reach, delta[3] / reach);
    let c = 1.0 - scale;
    let s = -turn;
    let undo = Move {
        c,
        s,
        tx: centre.0 - (c * centre.0 - s * centre.1) - dx,
        ty: centre.1 - (s * centre.0 + c * centre.1) - dy,
    };
    (undo.then(place), quality)
}

/// Solves the symmetric 4x4 system by Gaussian elimination with a little damping; `None` if it is singular.
fn solve(mut a: [[f64; 4]; 4], mut b: [f64; 4]) -> Option<[f64; 4]> {
    for i in 0..4 {
        for j in 0..i {
            a[i][j] = a[j][i];
        }
        a[i][i] = a[i][i] * 1.001 + 1e-6;
    }
    for pivot in 0..4 {
        if a[pivot][pivot].abs() < 1e-9 {
            return None;
        }
        for row in pivot + 1..4 {
            let factor = a[row][pivot] / a[pivot][pivot];
            for column in pivot..4 {
                a[row][column] -= factor * a[pivot][column];
            }
            b[row] -= factor * b[pivot];
        }
    }
    let mut x = [0.0; 4];
    for row in (0..4).rev() {
        let known: f64 = (row + 1..4).map(|column| a[row][column] * x[column]).sum();
        x[row] = (b[row] - known) / a[row][row];
    }
    Some(x)
}

/// Bilinear sample; `None` outside.
#[inline]
fn sample(picture: &Array2<f32>, x: f64, y: f64) -> Option<f32> {
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

fn average(picture: &Array2<f32>, factor: usize) -> Array2<f32> {
    let (rows, columns) = (picture.nrows() / factor, picture.ncols() / factor);
    let count = (factor * factor) as f32;
    Array2::from_shape_fn((rows, columns), |(r, c)| {
        picture
            .slice(ndarray::s![
                r * factor..(r + 1) * factor,
                c * factor..(c + 1) * factor
            ])
            .sum()
            / count
    })
}

/// Subtracts the local mean and divides by the local contrast.
fn normalised(picture: &Array2<f32>) -> Array2<f32> {
    let (rows, columns) = picture.dim();
    let mut sums = Array2::<f64>::zeros((rows + 1, columns + 1));
    let mut squares = sums.clone();
    for r in 0..rows {
        let (mut row_sum, mut row_square) = (0.0, 0.0);
        for c in 0..columns {
            let v = f64::from(picture[(r, c)]);
            row_sum += v;
            row_square += v * v;
            sums[(r + 1, c + 1)] = sums[(r, c + 1)] + row_sum;
            squares[(r + 1, c + 1)] = squares[(r, c + 1)] + row_square;
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
        let over = |t: &Array2<f64>| t[(r1, c1)] - t[(r0, c1)] - t[(r1, c0)] + t[(r0, c0)];
        let count = ((r1 - r0) * (c1 - c0)) as f64;
        let mean = over(&sums) / count;
        let spread = (over(&squares) / count - mean * mean).max(0.0).sqrt();
        (picture[(r, c)] - mean as f32) / (spread as f32 + PLAIN)
    })
}

fn features(picture: &Array2<f32>) -> Vec<(f32, f32, f32, f32, f32)> {
    /// Gradient of normalised luma below which a pixel tells nothing (a tenth of the local contrast a pixel).
    const FLAT: f32 = 0.1;
    let (rows, columns) = picture.dim();
    let mut found = Vec::new();
    for r in 2..rows.saturating_sub(2) {
        for c in 2..columns.saturating_sub(2) {
            let gx = (picture[(r, c + 1)] - picture[(r, c - 1)]) / 2.0;
            let gy = (picture[(r + 1, c)] - picture[(r - 1, c)]) / 2.0;
            if gx * gx + gy * gy > FLAT * FLAT {
                found.push((c as f32, r as f32, picture[(r, c)], gx, gy));
            }
        }
    }
    if found.len() > FEATURES {
        let steepness = |f: &(f32, f32, f32, f32, f32)| f.3 * f.3 + f.4 * f.4;
        found.select_nth_unstable_by(FEATURES, |a, b| steepness(b).total_cmp(&steepness(a)));
        found.truncate(FEATURES);
        // Row order: neighbours in memory when they are sampled.
        found.sort_unstable_by(|a, b| a.1.total_cmp(&b.1).then(a.0.total_cmp(&b.0)));
    }
    found
}

#[cfg(test)]
mod tests {
    use rand::{Rng, SeedableRng};
    use rand_pcg::Pcg64;
    use rstest::rstest;

    use super::*;

    /// A scene of soft blobs, sampled through a move: exact truth at any place.
    fn scene(seed: u64, place: &Move, gain: f64) -> Array2<u8> {
        let mut random = Pcg64::seed_from_u64(seed);
        let blobs: Vec<(f64, f64, f64, f64)> = (0..120)
            .map(|_| {
                (
                    random.random_range(-60.0..460.0),
                    random.random_range(-60.0..340.0),
                    random.random_range(6.0..22.0),
                    random.random_range(-90.0..90.0),
                )
            })
            .collect();
        let back = between(place, &Move::NONE);
        Array2::from_shape_fn((270, 400), |(r, c)| {
            let (x, y) = back.apply(c as f64, r as f64);
            let sum: f64 = blobs
                .iter()
                .map(|&(bx, by, size, height)| {
                    height * (-((x - bx).powi(2) + (y - by).powi(2)) / (2.0 * size * size)).exp()
                })
                .sum();
            let noise = random.random_range(-3.0..3.0);
            (gain * (110.0 + sum) + noise).clamp(0.0, 255.0) as u8
        })
    }

    #[rstest]
    #[case::shift(Move { c: 1.0, s: 0.0, tx: 13.0, ty: -9.0 }, 1.0)]
    #[case::turn(Move { c: 0.05f64.cos(), s: 0.05f64.sin(), tx: 4.0, ty: -10.0 }, 1.0)]
    #[case::zoom(Move { c: 1.02, s: 0.0, tx: -8.0, ty: -6.0 }, 1.0)]
    #[case::dip(Move { c: 1.0, s: 0.01, tx: -6.0, ty: 5.0 }, 0.6)]
    fn recovers_a_known_move(#[case] truth: Move, #[case] gain: f64, #[values(1, 2, 3)] seed: u64) {
        let mut motion = Motion::new();
        motion.place(&scene(seed, &Move::NONE, 1.0));
        let placed = motion.place(&scene(seed, &truth, gain));
        let error = placed.scene.distance(&truth, 400.0, 270.0);
        assert!(
            placed.found && error < 0.6,
            "{error} px: {:?}, expected {truth:?}",
            placed.scene
        );
    }

    #[test]
    fn another_scene_is_not_found() {
        let mut motion = Motion::new();
        motion.place(&scene(1, &Move::NONE, 1.0));
        assert!(!motion.place(&scene(99, &Move::NONE, 1.0)).found);
    }
}
