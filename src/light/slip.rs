//! Small errors of a lamp's place that the movement of the whole scene does not explain: parallax, zoom, a soft mount.

use super::look::Look;
use super::patch::{Patches, Pixel};

/// By how much the lamp lies beside its expected place in each frame, reduced pixels of the scene.
///
/// A frame is taken as a mixture of the dark and the bright look, shifted a little; mixture and shift are found together by
/// least squares (one Gauss-Newton step of Lucas and Kanade 1981 with a brightness term).
pub(super) fn slips(patches: &Patches, look: &Look) -> Vec<(f64, f64)> {
    let side = (patches.offsets.len() as f64).sqrt() as usize;
    patches
        .frames
        .iter()
        .map(|frame| {
            frame
                .as_ref()
                .map_or((0.0, 0.0), |pixels| slip(pixels, look, side))
        })
        .collect()
}

fn slip(pixels: &[Pixel], look: &Look, side: usize) -> (f64, f64) {
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
        let mut normal = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        for row in 1..side - 1 {
            for column in 1..side - 1 {
                let i = row * side + column;
                let gx = (expected[i + 1] - expected[i - 1]) / 2.0;
                let gy = (expected[i + side] - expected[i - side]) / 2.0;
                let terms = [gx, gy, grey(&look.bright[i]) - grey(&look.dark[i])];
                let residual = f64::from(pixels[i].mean()) - expected[i];
                for a in 0..3 {
                    for b in 0..3 {
                        normal[a][b] += terms[a] * terms[b];
                    }
                    right[a] += terms[a] * residual;
                }
            }
        }
        let Some([dx, dy, more]) = solve3(normal, right) else {
            return (0.0, 0.0);
        };
        best = (-dx, -dy);
        mix = (mix + more).clamp(0.0, 1.2);
    }
    if best.0.hypot(best.1) > MOST {
        (0.0, 0.0)
    } else {
        best
    }
}

/// Cramer's rule with a little damping, so that a lamp without texture about it stays where it is.
fn solve3(mut m: [[f64; 3]; 3], b: [f64; 3]) -> Option<[f64; 3]> {
    let trace = m[0][0] + m[1][1];
    m[0][0] += 0.02 * trace + 1e-4;
    m[1][1] += 0.02 * trace + 1e-4;
    m[2][2] += 1e-6;
    let determinant = |m: &[[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = determinant(&m);
    if whole.abs() < 1e-15 {
        return None;
    }
    Some(std::array::from_fn(|k| {
        let mut replaced = m;
        for row in 0..3 {
            replaced[row][k] = b[row];
        }
        determinant(&replaced) / whole
    }))
}
