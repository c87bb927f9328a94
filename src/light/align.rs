//! Aligning one picture to another by turn, scale and shift.
//!
//! Direct alignment (Lucas and Kanade 1981; the robust, coarse-to-fine form of Baker and Matthews, IJCV 56(3)
//! 2004) of locally normalised luma. Local normalisation takes out the dips of an automatic exposure and most
//! of what a lamp's glow does to the room; robust weights take out the lamp itself, hands and passers-by.

use nalgebra::{Matrix4, Vector4};
use ndarray::Array2;

use super::motion::Move;
use super::pyramid::{FINEST, LEVELS, Level, Pyramid, sample};
use super::score::median;

/// Search range of the whole-pixel start on the coarsest level, pixels of that level, about the first guess.
const SEARCH: isize = 4;
/// Correlation at the guess above which no search is needed. The coarsest pixels are a few local structures wide, so that
/// a whole pixel beside the truth gives less (guessed).
const NEAR: f64 = 0.9;
/// Residuals beyond this many units of local contrast lose weight (Cauchy).
const SOFT: f64 = 0.5;

/// Most steps at a level.
const FINEST_STEPS: usize = 5;
const COARSE_STEPS: usize = 8;

/// Correlation below which an alignment may have been misled (guessed): bands of mains light are a few coarse pixels wide,
/// and look like a shift there. Fine pixels see less of them.
const MISLED: f64 = 0.8;
/// Gain in correlation without bands that shows that there are some (guessed).
const BANDED: f64 = 0.1;

/// Aligns `picture` to `key` from a first guess; the move and the correlation at the end (-1 to 1). `banded` is whether bands of
/// mains light were seen in the clip, and is set where they are: where they lie as they do in the key, they match better than
/// the scene does, and hold it.
pub(super) fn align(key: &Pyramid, picture: &Pyramid, guess: Move, banded: &mut bool) -> (Move, f64) {
    let without_bands = || {
        let start = guess.scaled(1.0 / FINEST as f64);
        let (place, quality) = settle(key.bandless(), &picture.bandless_picture(), start, FINEST_STEPS);
        (place.scaled(FINEST as f64), quality)
    };
    let early = banded.then(without_bands);
    if let Some(found) = early.filter(|found| found.1 > MISLED) {
        return found;
    }
    let better = |one: (Move, f64), other: (Move, f64)| if other.1 > one.1 { other } else { one };
    let mut found = align_from(LEVELS - 1, key, picture, guess);
    if found.1 < MISLED {
        found = better(found, align_from(0, key, picture, guess));
    }
    if found.1 < MISLED {
        let bandless = early.unwrap_or_else(without_bands);
        *banded |= bandless.1 > found.1 + BANDED;
        found = better(found, bandless);
    }
    found
}

/// Correlation of the pictures under a move, no pixel counting more than most do: a lamp on a plain wall has nearly all
/// the contrast of the picture, and goes out.
pub(super) fn even_correlation(key: &Pyramid, picture: &Pyramid, place: &Move) -> f64 {
    let (key, picture) = (&key.levels[0], &picture.levels[0].picture);
    let mut sizes: Vec<f64> = key.features.iter().map(|f| f64::from(f.value.abs())).collect();
    let Some(most) = median(&mut sizes) else {
        return 0.0;
    };
    let most = most as f32;
    let place = place.scaled(1.0 / FINEST as f64);
    let mut agreement = Agreement::new();
    for feature in &key.features {
        let (x, y) = place.apply(feature.x, feature.y);
        if let Some(sample) = sample(picture, x, y) {
            agreement.add(feature.value.clamp(-most, most), sample.clamp(-most, most));
        }
    }
    if agreement.count * 4 < key.features.len() {
        return 0.0;
    }
    agreement.correlation()
}

/// Aligns from a level on to the finest one.
fn align_from(coarsest: usize, key: &Pyramid, picture: &Pyramid, guess: Move) -> (Move, f64) {
    let mut current = guess.scaled(1.0 / (FINEST << coarsest) as f64);
    if coarsest > 0 {
        let picture = &picture.levels[coarsest].picture;
        current = whole_pixel_start(&key.levels[coarsest], picture, current);
    }
    let mut quality = 0.0;
    for level in (0..=coarsest).rev() {
        let steps = if level == 0 { FINEST_STEPS } else { COARSE_STEPS };
        let picture = &picture.levels[level].picture;
        (current, quality) = settle(&key.levels[level], picture, current, steps);
        if level > 0 {
            current = current.scaled(2.0);
        }
    }
    (current.scaled(FINEST as f64), quality)
}

/// Steps until a place is settled, so many at most, all in pixels of the level; and the correlation there.
fn settle(key: &Level, picture: &Array2<f32>, start: Move, steps: usize) -> (Move, f64) {
    /// Step at which it is.
    const SETTLED_PX: f64 = 0.01;
    let (mut current, mut quality) = (start, 0.0);
    for _ in 0..steps {
        let (next, correlation) = step(key, picture, &current);
        quality = correlation;
        let moved = next.distance(&current, 100.0, 100.0);
        current = next;
        if moved < SETTLED_PX {
            break;
        }
    }
    (current, quality)
}

/// The best of the guess and the whole-pixel shifts about it. A guess that matches well is within reach of the finer
/// steps and is kept.
fn whole_pixel_start(key: &Level, picture: &Array2<f32>, guess: Move) -> Move {
    if correlation(key, picture, &guess) > NEAR {
        return guess;
    }
    let mut best = (f64::NEG_INFINITY, guess);
    for dy in -SEARCH..=SEARCH {
        for dx in -SEARCH..=SEARCH {
            let trial = Move {
                tx: guess.tx + dx as f64,
                ty: guess.ty + dy as f64,
                ..guess
            };
            // Of equal matches the nearest to the guess, so that a plain wall does not send it wandering.
            let score = correlation(key, picture, &trial) - 0.002 * ((dx * dx + dy * dy) as f64).sqrt();
            if score > best.0 {
                best = (score, trial);
            }
        }
    }
    best.1
}

/// Sums for a correlation.
struct Agreement {
    product: f64,
    own: f64,
    theirs: f64,
    count: usize,
}

impl Agreement {
    const fn new() -> Self {
        Self {
            product: 0.0,
            own: 1e-6,
            theirs: 1e-6,
            count: 0,
        }
    }

    fn add(&mut self, own: f32, theirs: f32) {
        self.product += f64::from(own * theirs);
        self.own += f64::from(own * own);
        self.theirs += f64::from(theirs * theirs);
        self.count += 1;
    }

    fn correlation(&self) -> f64 {
        self.product / (self.own * self.theirs).sqrt()
    }
}

fn correlation(key: &Level, picture: &Array2<f32>, place: &Move) -> f64 {
    let mut agreement = Agreement::new();
    for feature in key.features.iter().step_by(2) {
        let (x, y) = place.apply(feature.x, feature.y);
        if let Some(sample) = sample(picture, x, y) {
            agreement.add(feature.value, sample);
        }
    }
    if agreement.count * 8 < key.features.len() {
        -1.0
    } else {
        agreement.correlation()
    }
}

/// One robust Gauss-Newton step; the new move and the correlation at the old one.
fn step(key: &Level, picture: &Array2<f32>, place: &Move) -> (Move, f64) {
    // What is above the diagonal is what is below it.
    let mut lower = Matrix4::<f64>::zeros();
    let mut right = Vector4::<f64>::zeros();
    let mut agreement = Agreement::new();
    let (rows, columns) = picture.dim();
    let centre = (columns as f64 / 2.0, rows as f64 / 2.0);
    // Divides the turn and scale columns so that all four unknowns are of one size.
    let reach = centre.0.max(centre.1);
    for feature in &key.features {
        let (x, y) = place.apply(feature.x, feature.y);
        let Some(sample) = sample(picture, x, y) else {
            continue;
        };
        let residual = f64::from(sample - feature.value);
        let weight = 1.0 / (1.0 + (residual / SOFT).powi(2));
        let (ux, uy) = ((feature.x - centre.0) / reach, (feature.y - centre.1) / reach);
        let (gx, gy) = (f64::from(feature.slope_x), f64::from(feature.slope_y));
        let row = Vector4::new(gx, gy, gx * ux + gy * uy, gy * ux - gx * uy);
        let weighted = row * weight;
        for k in 0..4 {
            for j in k..4 {
                lower[(j, k)] += weighted[k] * row[j];
            }
        }
        right += weighted * residual;
        agreement.add(feature.value, sample);
    }
    if agreement.count * 4 < key.features.len() {
        return (*place, -1.0);
    }
    let quality = agreement.correlation();
    // A little damping keeps a picture without texture where it is.
    let damped = lower + Matrix4::from_diagonal(&(lower.diagonal() * 0.001).add_scalar(1e-6));
    // Of what it is given it looks at the lower half.
    let Some(delta) = damped.cholesky().map(|factors| factors.solve(&right)) else {
        return (*place, quality);
    };
    // The step was found in the key's coordinates about the centre: undo it there, then go on as before.
    let (c, s) = (1.0 - delta[2] / reach, -delta[3] / reach);
    let undo = Move {
        c,
        s,
        tx: centre.0 - (c * centre.0 - s * centre.1) - delta[0],
        ty: centre.1 - (s * centre.0 + c * centre.1) - delta[1],
    };
    (undo.then(place), quality)
}
