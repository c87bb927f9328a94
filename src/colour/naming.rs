//! A colour name for a chromaticity, with the doubt that an unknown white balance leaves.
//!
//! Names go by hue line and not by region: no red or amber signal-light region of a published standard lies
//! inside BT.709, so a clip cannot show the chromaticity that the lamp has; but clipping to the camera's
//! gamut moves a colour mostly along its hue line.

use statrs::function::erf::erf;

use super::name::{ColourName, NameBelief};
use super::space::D65;

/// Boundaries between neighbouring names as hue angles about D65 in u'v', in degrees, anticlockwise from +u',
/// each with its softness. A lamp's hue line crosses BT.709 at about 12 degrees for red, 15 to 26 for the
/// lamps that the trade calls amber (605 to 592 nm), 31 to 42 for those that it calls yellow (590 to 585 nm),
/// 87 for 570 nm, 128 for green, 266 for blue; a camera that clips red turns reds, ambers and yellows on by 5
/// to 25 degrees. So red and amber part at 23, and amber and yellow, which are a near pair by any measure, at
/// 38 with a wide overlap. Guessed to a few degrees: no published figure exists for phone cameras.
const BOUNDARIES: [(ColourName, f64, f64); 7] = [
    (ColourName::Red, 23.0, 6.0),
    (ColourName::Amber, 38.0, 9.0),
    (ColourName::Yellow, 87.0, 8.0),
    (ColourName::Green, 172.0, 10.0),
    (ColourName::Cyan, 224.0, 10.0),
    (ColourName::Blue, 283.0, 8.0),
    (ColourName::Violet, 343.0, 8.0),
];

/// Distance from D65 in u'v' below which a colour reads as white: the spread of camera whites between about
/// 4500 K and 8000 K (guessed), and how soft that edge is.
const WHITE_RADIUS: f64 = 0.032;
const WHITE_RADIUS_SD: f64 = 0.010;

/// A filament at 2700 K lies 0.088 from D65 at 42 degrees (CIE 015 Planckian locus), so whites reach further
/// that way.
const WARM_ANGLE_DEG: f64 = 42.0;
const WARM_REACH: f64 = 0.050;
/// Along that direction a white reads as warm from about 4000 K (0.033) on.
const WARM_FROM: f64 = 0.030;
const WARM_SD: f64 = 0.010;

/// What a chromaticity may be called. `sd` is the noise of `u` and `v`; the camera's systematic error is
/// added here.
#[must_use]
pub fn name_colour(u: f64, v: f64, sd: f64) -> NameBelief {
    let (du, dv) = (u - D65.0, v - D65.1);
    let radius = du.hypot(dv);
    let angle = dv.atan2(du).to_degrees();
    let noise_deg = (sd / radius.max(1e-4)).to_degrees();

    let towards_warm = (angle - WARM_ANGLE_DEG).to_radians().cos();
    let edge = WHITE_RADIUS + WARM_REACH * towards_warm.max(0.0).powi(2);
    let white = normal_cdf((edge - radius) / WHITE_RADIUS_SD.hypot(sd));
    let warm = normal_cdf((radius * towards_warm - WARM_FROM) / WARM_SD.hypot(sd));

    let mut weights = [0.0; ColourName::ALL.len()];
    for (i, &(name, to, to_sd)) in BOUNDARIES.iter().enumerate() {
        let (_, from, from_sd) = BOUNDARIES[(i + BOUNDARIES.len() - 1) % BOUNDARIES.len()];
        let from = if i == 0 { from - 360.0 } else { from };
        // A hue is a circle: count the interval once more on either side.
        let share: f64 = [-360.0, 0.0, 360.0]
            .into_iter()
            .map(|turn| {
                normal_cdf((to + turn - angle) / to_sd.hypot(noise_deg))
                    - normal_cdf((from + turn - angle) / from_sd.hypot(noise_deg))
            })
            .sum();
        weights[name.index()] = share.max(0.0) * (1.0 - white);
    }
    weights[ColourName::White.index()] = white * (1.0 - warm);
    weights[ColourName::WarmWhite.index()] = white * warm;
    NameBelief::from_weights(weights)
}

fn normal_cdf(z: f64) -> f64 {
    0.5 * (1.0 + erf(z / std::f64::consts::SQRT_2))
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::colour::space::uv;

    // Lamp models of Gaussian spectrum as linear BT.709, clipped below zero as an 8-bit picture does
    // (colour-science
    // 0.4.7). Red and amber lie 14 degrees apart, two standard deviations of the white balance, so up to 15 % of doubt is
    // right. A 570 nm "green" is yellow to a camera, so both names must stay possible there.
    #[rstest]
    #[case::red_632([1.0, 0.0, 0.0], &[ColourName::Red])]
    #[case::orange_605([1.0, 0.030_91, 0.0], &[ColourName::Red, ColourName::Amber])]
    #[case::amber_592([1.0, 0.171_58, 0.0], &[ColourName::Amber, ColourName::Red])]
    #[case::yellow_585([1.0, 0.310_91, 0.0], &[ColourName::Amber, ColourName::Yellow])]
    #[case::yellow_green_573([1.0, 0.788_07, 0.0], &[ColourName::Yellow, ColourName::Green])]
    #[case::green_525([0.0, 1.0, 0.0], &[ColourName::Green])]
    #[case::blue_465([0.0, 0.0, 1.0], &[ColourName::Blue])]
    #[case::white_d65([1.0, 1.0, 1.0], &[ColourName::White])]
    fn names_published_lamp_models(#[case] rgb: [f64; 3], #[case] allowed: &[ColourName]) {
        let (u, v) = uv(rgb).unwrap();
        let belief = name_colour(u, v, 0.002);
        let mass: f64 = allowed.iter().map(|&name| belief.of(name)).sum();
        assert!(mass > 0.85, "{:?}", &belief.ranked()[..3]);
        assert!(
            allowed.contains(&belief.ranked()[0].0),
            "{:?}",
            &belief.ranked()[..3]
        );
    }

    // Planckian locus, CIE 015 figures by colour-science: 2700 K is warm white or a pale amber, never red or
    // green.
    #[test]
    fn filament_white_is_warm() {
        let (u, v) = crate::colour::uv_of_xy(0.437_0, 0.404_1);
        let belief = name_colour(u, v, 0.003);
        assert_eq!(
            belief.ranked()[0].0,
            ColourName::WarmWhite,
            "{:?}",
            &belief.ranked()[..3]
        );
    }

    #[test]
    fn noise_leaves_doubt() {
        let (u, v) = uv([1.0, 0.171_58, 0.0]).unwrap();
        let sure = name_colour(u, v, 0.001).of(ColourName::Amber);
        let unsure = name_colour(u, v, 0.06).of(ColourName::Amber);
        assert!(sure > 0.6 && unsure < 0.5, "{sure} {unsure}");
    }
}
