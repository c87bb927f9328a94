//! Small errors of a lamp's place that the movement of the whole scene does not explain: parallax, zoom, a
//! soft mount.

use nalgebra::{Matrix3, Vector3};

use super::look::Look;
use super::patch::{Patches, Pixel};

/// By how much the lamp lies beside its expected place in each frame, reduced pixels of the scene.
///
/// A frame is taken as a mixture of the dark and the bright look, shifted a little; mixture and shift are
/// found together by least squares (one Gauss-Newton step of Lucas and Kanade 1981 with a brightness term).
pub(super) fn slips(patches: &Patches, look: &Look) -> Vec<(f64, f64)> {
    let side = (patches.grid.offsets.len() as f64).sqrt() as usize;
    patches
        .frames
        .iter()
        .map(|frame| {
            frame.as_ref().map_or((0.0, 0.0), |pixels| {
                slip(pixels, look, side, patches.grid.spacing)
            })
        })
        .collect()
}

fn slip(pixels: &[Pixel], look: &Look, side: usize, spacing: f64) -> (f64, f64) {
    /// Beyond this the linear model means nothing.
    const MOST: f64 = 2.0;
    let grey = |v: &[f32; 3]| f64::from(v[0] + v[1] + v[2]) / 3.0;
    let mut mix = 0.5;
    let mut best = (0.0, 0.0);
    for _ in 0..2 {
        let expected: Vec<f64> = look
            .dark
            .iter()
            .zip(&look.bright)
            .map(|(d, b)| grey(d) * (1.0 - mix) + grey(b) * mix)
            .collect();
        let mut normal = Matrix3::<f64>::zeros();
        let mut right = Vector3::<f64>::zeros();
        for row in 1..side - 1 {
            for column in 1..side - 1 {
                let i = row * side + column;
                let gx = (expected[i + 1] - expected[i - 1]) / (2.0 * spacing);
                let gy = (expected[i + side] - expected[i - side]) / (2.0 * spacing);
                let terms = Vector3::new(gx, gy, grey(&look.bright[i]) - grey(&look.dark[i]));
                normal.ger(1.0, &terms, &terms, 1.0);
                right.axpy(f64::from(pixels[i].mean()) - expected[i], &terms, 1.0);
            }
        }
        // A little damping, so that a lamp without texture about it stays where it is.
        let texture = normal[(0, 0)] + normal[(1, 1)];
        let damping = Vector3::new(0.02 * texture + 1e-4, 0.02 * texture + 1e-4, 1e-6);
        let damped = normal + Matrix3::from_diagonal(&damping);
        let Some(found) = damped.cholesky().map(|factors| factors.solve(&right)) else {
            return (0.0, 0.0);
        };
        best = (-found[0], -found[1]);
        mix = (mix + found[2]).clamp(0.0, 1.2);
    }
    if best.0.hypot(best.1) > MOST {
        (0.0, 0.0)
    } else {
        best
    }
}
