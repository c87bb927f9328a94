//! Primaries, XYZ and CIE 1976 u'v'.

use std::sync::LazyLock;

use nalgebra::{Matrix3, Vector3};

use crate::footage::Primaries;

/// Rows of a 3x3 matrix.
pub(super) type Mat3 = [[f32; 3]; 3];

/// D65 as BT.709 states it, u'v' of x 0.3127, y 0.3290.
pub const D65: (f64, f64) = (0.197_833, 0.468_320);

/// The matrix that takes linear light on `primaries` to linear light on BT.709's. Figures of matrices to XYZ: derived
/// from the primaries of BT.601, BT.2020 and SMPTE EG 432-1 by colour-science 0.4.7.
pub(super) fn bt709_from(primaries: Primaries) -> Mat3 {
    let to_xyz = match primaries {
        Primaries::Bt709 => BT709_TO_XYZ,
        Primaries::Profile(rows) => {
            return rows.map(|row| row.map(|term| (f64::from(term) / 65_536.0) as f32));
        }
        Primaries::Bt2020 => [
            [0.636_958_048_3, 0.144_616_903_6, 0.168_880_975_2],
            [0.262_700_212_0, 0.677_998_071_5, 0.059_301_716_5],
            [0.0, 0.028_072_693_0, 1.060_985_057_7],
        ],
        Primaries::P3D65 => [
            [0.486_570_948_6, 0.265_667_693_2, 0.198_217_285_2],
            [0.228_974_564_1, 0.691_738_521_8, 0.079_286_914_1],
            [0.0, 0.045_113_381_9, 1.043_944_368_9],
        ],
        Primaries::Bt601Lines625 => [
            [0.430_553_813_3, 0.341_549_803_5, 0.178_352_310_2],
            [0.222_004_310_0, 0.706_654_765_9, 0.071_340_924_1],
            [0.020_182_210_0, 0.129_553_373_8, 0.939_322_167_0],
        ],
        Primaries::Bt601Lines525 => [
            [0.393_520_903_7, 0.365_258_076_7, 0.191_676_946_7],
            [0.212_376_360_7, 0.701_059_856_9, 0.086_563_782_4],
            [0.018_739_090_7, 0.111_933_926_7, 0.958_384_733_4],
        ],
    };
    let both = *XYZ_TO_BT709 * Matrix3::from_fn(|row, column| to_xyz[row][column]);
    std::array::from_fn(|row| std::array::from_fn(|column| both[(row, column)] as f32))
}

const BT709_TO_XYZ: [[f64; 3]; 3] = [
    [0.412_390_799_3, 0.357_584_339_4, 0.180_480_788_4],
    [0.212_639_005_9, 0.715_168_678_8, 0.072_192_315_4],
    [0.019_330_818_7, 0.119_194_779_8, 0.950_532_152_2],
];

static XYZ_TO_BT709: LazyLock<Matrix3<f64>> = LazyLock::new(|| {
    Matrix3::from_fn(|row, column| BT709_TO_XYZ[row][column])
        .try_inverse()
        .expect("three primaries that differ span all colours")
});

#[inline]
pub(super) fn multiply(m: &Mat3, v: [f32; 3]) -> [f32; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// CIE 1976 u'v' of linear light on BT.709 primaries; `None` where there is no light (X + 15 Y + 3 Z not
/// positive).
#[must_use]
pub fn uv(rgb: [f64; 3]) -> Option<(f64, f64)> {
    let [x, y, z] = BT709_TO_XYZ.map(|row| row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2]);
    let sum = x + 15.0 * y + 3.0 * z;
    (sum > 1e-9).then(|| (4.0 * x / sum, 9.0 * y / sum))
}

/// Linear red, green and blue of a chromaticity as a camera with BT.709 primaries shows it: the largest is 1, and what lies
/// below zero is cut off.
#[must_use]
pub(super) fn shown_in_bt709(u: f64, v: f64) -> [f64; 3] {
    let xyz = Vector3::new(9.0 * u, 4.0 * v, 12.0 - 3.0 * u - 20.0 * v);
    let rgb = (*XYZ_TO_BT709 * xyz).map(|channel| channel.max(0.0));
    (rgb / rgb.max().max(f64::MIN_POSITIVE)).into()
}

/// CIE 1976 u'v' of CIE 1931 xy (CIE 015:2018).
#[must_use]
pub fn uv_of_xy(x: f64, y: f64) -> (f64, f64) {
    let sum = -2.0 * x + 12.0 * y + 3.0;
    (4.0 * x / sum, 9.0 * y / sum)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    // Figures: colour-science 0.4.7 for the sRGB primaries.
    #[rstest]
    #[case([1.0, 0.0, 0.0], (0.450_704, 0.522_887))]
    #[case([0.0, 1.0, 0.0], (0.125_0, 0.562_5))]
    #[case([0.0, 0.0, 1.0], (0.175_439, 0.157_895))]
    #[case([1.0, 1.0, 1.0], D65)]
    fn uv_of_primaries(#[case] rgb: [f64; 3], #[case] expected: (f64, f64)) {
        let got = uv(rgb).unwrap();
        assert!(
            (got.0 - expected.0).abs() < 2e-5 && (got.1 - expected.1).abs() < 2e-5,
            "{got:?}"
        );
    }

    // A 632 nm lamp filmed in BT.2020 (linear 1, 0.003 15, -0.000 02) lies outside BT.709 by the published
    // figures (1, -0.072 94, -0.011 15 once scaled to a red of 1): colour-science 0.4.7.
    #[test]
    fn wide_gamut_red_keeps_its_negative_green() {
        let rgb = multiply(&bt709_from(Primaries::Bt2020), [1.0, 0.003_15, -0.000_02]);
        assert!((rgb[1] / rgb[0] + 0.072_94).abs() < 2e-4, "{rgb:?}");
        assert!((rgb[2] / rgb[0] + 0.011_15).abs() < 2e-4, "{rgb:?}");
    }
}
