//! The light that a lamp of a named colour emits, as linear BT.709 red, green and blue.

use crate::colour::ColourName;

/// CIE XYZ to linear BT.709, from the primaries and white of Rec. ITU-R BT.709-6 (table 1).
const XYZ_TO_RGB: [[f64; 3]; 3] = [
    [3.240_969_941_9, -1.537_383_177_6, -0.498_610_760_3],
    [-0.969_243_636_3, 1.875_967_501_5, 0.041_555_057_4],
    [0.055_630_079_7, -0.203_976_958_9, 1.056_971_514_2],
];

/// Chromaticities (CIE 1931 x, y) of light-emitting diodes modelled by a Gaussian spectrum, computed from the
/// CIE 1931 observer with colour-science 0.4.7; peak / full width at half height in nanometres.
mod led {
    /// 625 / 18.
    pub(super) const RED: [f64; 2] = [0.695_63, 0.304_25];
    /// 592 / 15.
    pub(super) const AMBER: [f64; 2] = [0.583_48, 0.415_90];
    /// 585 / 15.
    pub(super) const YELLOW: [f64; 2] = [0.543_14, 0.456_08];
    /// 525 / 35.
    pub(super) const GREEN: [f64; 2] = [0.151_22, 0.758_70];
    /// 465 / 22.
    pub(super) const BLUE: [f64; 2] = [0.135_29, 0.045_61];
    /// 450 / 20 and half as much phosphor at 565 / 120; correlated colour temperature 6070 K.
    pub(super) const WHITE: [f64; 2] = [0.320_54, 0.333_73];
    /// Planckian radiator at 2700 K.
    pub(super) const WARM_WHITE: [f64; 2] = [0.459_86, 0.410_60];
}

/// Linear red, green and blue of a chromaticity, scaled so that the largest is 1. Components are negative
/// where the colour lies outside BT.709.
#[must_use]
pub(super) fn of_xy([x, y]: [f64; 2]) -> [f64; 3] {
    let xyz = [x / y, 1.0, (1.0 - x - y) / y];
    scaled(XYZ_TO_RGB.map(|row| row.iter().zip(xyz).map(|(m, v)| m * v).sum()))
}

/// Linear red, green and blue of a named colour, scaled so that the largest is 1.
#[must_use]
pub(super) fn of(colour: ColourName) -> [f64; 3] {
    match colour {
        ColourName::Red => of_xy(led::RED),
        ColourName::Amber => of_xy(led::AMBER),
        ColourName::Yellow => of_xy(led::YELLOW),
        ColourName::Green => of_xy(led::GREEN),
        ColourName::Blue => of_xy(led::BLUE),
        ColourName::White => of_xy(led::WHITE),
        ColourName::WarmWhite => of_xy(led::WARM_WHITE),
        // Three-colour parts mix these two from their dies; the shares are guessed, to the middle of the
        // names' ranges.
        ColourName::Cyan => mixed((led::GREEN, 1.0), (led::BLUE, 1.0)),
        ColourName::Violet => mixed((led::BLUE, 1.0), (led::RED, 0.5)),
    }
}

fn mixed((one, share_one): ([f64; 2], f64), (other, share_other): ([f64; 2], f64)) -> [f64; 3] {
    let (one, other) = (of_xy(one), of_xy(other));
    scaled(std::array::from_fn(|i| {
        share_one * one[i] + share_other * other[i]
    }))
}

fn scaled(rgb: [f64; 3]) -> [f64; 3] {
    let most = rgb.into_iter().fold(f64::MIN, f64::max);
    rgb.map(|channel| channel / most)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Linear BT.709 of the same model diodes as colour-science 0.4.7 gives them.
    #[test]
    fn agrees_with_published_conversion_of_model_diodes() {
        let expected = [
            (ColourName::Red, [1.0, -0.057_90, -0.013_01]),
            (ColourName::Amber, [1.0, 0.171_58, -0.041_33]),
            (ColourName::Yellow, [1.0, 0.310_91, -0.058_55]),
            (ColourName::Green, [-0.563_25, 1.0, -0.039_94]),
            (ColourName::Blue, [-0.046_37, -0.013_34, 1.0]),
        ];
        for (colour, rgb) in expected {
            for (got, want) in of(colour).into_iter().zip(rgb) {
                // Chromaticities are given to five places; near blue and green, y is small or x enters twofold.
                assert!((got - want).abs() < 3e-4, "{colour}: {got} against {want}");
            }
        }
    }
}
