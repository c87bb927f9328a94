//! Places that change on a lamp that is never unlit, or is lit all the time. Where a lamp clips in two colours, its rim
//! changes most, and the rim of one colour looks unlit beside the other; and the rim of a steady lamp changes as it moves.

use nalgebra::{Matrix2, Vector2};
use ndarray::Array2;
use rayon::prelude::*;

use super::measure::settled;
use super::patch::Source;
use super::scan::Seed;
use super::score::{Scored, disc};
use super::window::Window;
use crate::colour::Decoder;

/// Puts what changes on a lamp that shines throughout in the place of the whole lamp, and drops it where the lamp only
/// moved, or where it is noise.
pub(super) fn made_whole(scored: &mut Vec<Scored>, window: &Window, decoder: &Decoder) {
    /// Share of the whole lamp's radius below which a place is a part of it (guessed).
    const PART: f64 = 0.6;
    /// Contrast, 8-bit steps, and share of the whole lamp's score below which a part that changes is what compression makes
    /// of a steady lamp's rim (guessed; measured on rendered clips: up to 30, and up to 0.6).
    const FAINT: f64 = 35.0;
    const WEAK: f64 = 0.65;
    /// Radii of a place that glows within which it may be found to reach.
    const REACH: f64 = 3.0;
    let away = |a: &Seed, b: &Seed| (a.x - b.x).hypot(a.y - b.y);
    let has_changes = |glow: &Seed| {
        let mut changing = scored.iter().filter(|one| one.seed.changes);
        changing.any(|one| away(&one.seed, glow) <= REACH * glow.radius)
    };
    let gains = vec![[1.0; 3]; window.frames.len()];
    let source = Source {
        window,
        decoder,
        gains: &gains,
    };
    let whole: Vec<(Seed, f64)> = scored
        .par_iter()
        .filter(|one| !one.seed.changes && has_changes(&one.seed))
        .filter(|one| shines_throughout(window, decoder, &one.seed))
        .map(|one| (settled(source, one), one.score))
        .collect();
    scored.retain_mut(|one| {
        let seed = one.seed;
        let around = whole
            .iter()
            .filter(|(whole, _)| {
                away(whole, &seed) <= whole.radius + 0.5 * seed.radius && seed.radius < PART * whole.radius
            })
            .min_by(|a, b| away(&a.0, &seed).total_cmp(&away(&b.0, &seed)));
        let Some((whole, score)) = around.filter(|_| seed.changes) else {
            return true;
        };
        one.seed = Seed {
            changes: true,
            ..*whole
        };
        let is_noise = one.contrast < FAINT && one.score < WEAK * score;
        !is_noise && !only_moves(window, one)
    });
}

/// Whether what a part of a lamp does is the lamp moving in the picture. In the dark, where nothing tells how the camera
/// moved, a still lamp's rim comes and goes: one side loses what the other gains, both as the picture slopes there.
fn only_moves(window: &Window, part: &Scored) -> bool {
    /// Share of the difference between the part's two states that a movement must explain (measured on rendered steady
    /// lamps: 0.86 and more in dark rooms, 0.63 and more where hard compression lets go of the scene; 0.07 on a real clip of
    /// two lamps that touch and change in turn).
    const EXPLAINED: f32 = 0.5;
    /// How far beyond its rim a lamp may come to lie, in radii and in reduced pixels (guessed).
    const REACH: (f64, f64) = (1.2, 4.0);
    let half = (REACH.0 * part.seed.radius + REACH.1).ceil() as isize;
    let side = (2 * half + 1) as usize;
    let mut states = [(); 2].map(|()| Array2::<f32>::zeros((side, side)));
    let mut counts = [0.0f32; 2];
    for (kept, course) in window.frames.iter().zip(&part.course) {
        let Some(lit) = course.map(|course| usize::from(course > 0.5)) else {
            continue;
        };
        let (x, y) = kept.placed.scene.apply(part.seed.x, part.seed.y);
        let first = [y, x].map(|middle| (middle + 0.5).floor() as isize - half);
        for ((row, column), sum) in states[lit].indexed_iter_mut() {
            // What lies before the first row or column is a very large number here.
            let at = [first[0] + row.cast_signed(), first[1] + column.cast_signed()].map(|at| at as usize);
            *sum += kept.picture.luma.get(at).copied().map_or(0.0, f32::from);
        }
        counts[lit] += 1.0;
    }
    if counts.contains(&0.0) {
        return false;
    }
    let [dark, lit] = [0, 1].map(|state| &states[state] / counts[state]);
    let (more, mean) = (&lit - &dark, (&lit + &dark) * 0.5);
    explained_by_a_move(&more, &mean) > EXPLAINED
}

/// Share of the squares of a difference of two pictures that the slopes of their mean explain, 0 to 1.
fn explained_by_a_move(more: &Array2<f32>, mean: &Array2<f32>) -> f32 {
    let (rows, columns) = more.dim();
    let (mut normal, mut right, mut all) = (Matrix2::zeros(), Vector2::zeros(), 0.0);
    for row in 1..rows - 1 {
        for column in 1..columns - 1 {
            let slope = Vector2::new(
                mean[(row, column + 1)] - mean[(row, column - 1)],
                mean[(row + 1, column)] - mean[(row - 1, column)],
            );
            let more = more[(row, column)];
            normal += slope * slope.transpose();
            right += slope * more;
            all += more * more;
        }
    }
    let explained = normal
        .cholesky()
        .map_or(0.0, |factors| right.dot(&factors.solve(&right)));
    explained / all.max(f32::MIN_POSITIVE)
}

/// Whether a place is as bright as an unlit lens hardly is in nearly all frames.
fn shines_throughout(window: &Window, decoder: &Decoder, seed: &Seed) -> bool {
    /// Coded value of the strongest channel: half of the light of white (guessed).
    const BRIGHT: f32 = 0.72;
    /// One frame in so many may be blurred or covered.
    const ONE_IN: usize = 20;
    let inner = disc(0.0, (0.5 * seed.radius).clamp(1.0, 4.0));
    let (mut seen, mut dim) = (0, 0);
    for kept in window.usable() {
        let (x, y) = kept.placed.scene.apply(seed.x, seed.y);
        let middle = ((x + 0.5).floor() as isize, (y + 0.5).floor() as isize);
        let Some(samples) = kept.picture.mean(middle, &inner) else {
            continue;
        };
        let samples = decoder.narrowed(samples.map(|sample| sample as f32));
        let strongest = decoder.coded_rgb(samples).into_iter().fold(0.0, f32::max);
        seen += 1;
        dim += usize::from(strongest < BRIGHT);
    }
    seen > 0 && dim * ONE_IN <= seen
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIDE: usize = 33;

    fn lamp(x: f32, y: f32, one_side: f32) -> Array2<f32> {
        Array2::from_shape_fn((SIDE, SIDE), |(row, column)| {
            let (dx, dy) = (column as f32 - 16.0 - x, row as f32 - 16.0 - y);
            let side = if dx > 0.0 { one_side } else { 1.0 };
            side * 200.0 / (1.0 + (2.0 * (dx.hypot(dy) - 9.0)).exp())
        })
    }

    fn explained(one: &Array2<f32>, other: &Array2<f32>) -> f32 {
        explained_by_a_move(&(one - other), &((one + other) * 0.5))
    }

    #[test]
    fn a_lamp_that_moves_is_told_from_one_that_changes() {
        let still = lamp(0.0, 0.0, 1.0);
        assert!(explained(&lamp(0.4, -0.2, 1.0), &still) > 0.95);
        assert!(explained(&lamp(-2.0, 1.5, 1.0), &still) > 0.8);
        assert!(explained(&(&still * 0.6), &still) < 0.01);
        assert!(explained(&lamp(0.0, 0.0, 0.6), &still) < 0.5);
        assert!(explained(&still, &still) < 0.01);
    }
}
