//! Which way up: from the display matrix of a clip.

use super::Quarter;

/// The share of the larger terms that the smaller ones may reach before a matrix is a slant: tools round
/// sines and cosines to 16 bits, and nobody's clip is turned by half a degree. Judgement.
const SLANT_SHARE: f64 = 0.01;

/// The quarter turn that a display matrix (`a b u c d v x y w`, ISO/IEC 14496-12, 8.3.2; 16.16 fixed point)
/// asks for. `None` if it mirrors or slants.
///
/// A point `(x, y)`, `y` downwards, is shown at `(a x + c y, b x + d y)`: `a = 0, b = 1, c = -1, d = 0` takes
/// "right" to "down", a clockwise quarter. Scale is left alone.
pub(super) fn quarter(matrix: &[i32; 9]) -> Option<Quarter> {
    let [a, b, _, c, d, ..] = matrix.map(f64::from);
    let straight = a.abs().min(d.abs());
    let across = b.abs().min(c.abs());
    let slant = |small: f64, large: f64| small > SLANT_SHARE * large;
    if straight > across && !slant(b.abs().max(c.abs()), straight) {
        match (a > 0.0, d > 0.0) {
            (true, true) => Some(Quarter::None),
            (false, false) => Some(Quarter::Half),
            _ => None,
        }
    } else if across > straight && !slant(a.abs().max(d.abs()), across) {
        match (b > 0.0, c > 0.0) {
            (true, false) => Some(Quarter::Right),
            (false, true) => Some(Quarter::Left),
            _ => None,
        }
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    const ONE: i32 = 1 << 16;
    const W: i32 = 1 << 30;

    /// Matrices as ISO/IEC 14496-12, 8.3.2 lays them out; identity is the value the clause gives for `tkhd`.
    #[rstest]
    #[case::identity([ONE, 0, 0, 0, ONE, 0, 0, 0, W], Some(Quarter::None))]
    #[case::clockwise([0, ONE, 0, -ONE, 0, 0, 1080 << 16, 0, W], Some(Quarter::Right))]
    #[case::upside_down([-ONE, 0, 0, 0, -ONE, 0, 0, 0, W], Some(Quarter::Half))]
    #[case::anticlockwise([0, -ONE, 0, ONE, 0, 0, 0, 1920 << 16, W], Some(Quarter::Left))]
    #[case::rounded_cosine([3, ONE, 0, -ONE, 3, 0, 0, 0, W], Some(Quarter::Right))]
    #[case::stretched([2 * ONE, 0, 0, 0, ONE, 0, 0, 0, W], Some(Quarter::None))]
    #[case::mirrored([-ONE, 0, 0, 0, ONE, 0, 0, 0, W], None)]
    #[case::transposed([0, ONE, 0, ONE, 0, 0, 0, 0, W], None)]
    #[case::eighth([46341, 46341, 0, -46341, 46341, 0, 0, 0, W], None)]
    #[case::nothing([0; 9], None)]
    fn quarters(#[case] matrix: [i32; 9], #[case] expected: Option<Quarter>) {
        assert_eq!(quarter(&matrix), expected);
    }

    #[test]
    fn agrees_with_the_frame_s_own_geometry() {
        // The matrix with its translation maps the coded picture onto the upright one, as Quarter::to_upright
        // does.
        let (width, height) = (1920.0, 1080.0);
        let matrix = [0, ONE, 0, -ONE, 0, 0, 1080 << 16, 0, W];
        let [a, b, _, c, d, _, x, y, _] = matrix.map(|term| f64::from(term) / f64::from(ONE));
        let turn = quarter(&matrix).unwrap();
        for point in [(0.0, 0.0), (1920.0, 0.0), (300.0, 700.0)] {
            let by_matrix = (a * point.0 + c * point.1 + x, b * point.0 + d * point.1 + y);
            assert_eq!(turn.to_upright(point, (width, height)), by_matrix);
        }
    }
}
