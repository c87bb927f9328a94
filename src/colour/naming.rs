//! A colour name for a chromaticity, with the doubt that an unknown white balance leaves.
//!
//! Names go by hue line and not by region: no red or amber signal-light region of a published standard lies
//! inside BT.709, so a clip cannot show the chromaticity that the lamp has; but clipping to the camera's
//! gamut moves a colour mostly along its hue line. Where one name ends and the next begins is fitted to
//! rendered lamps (`models/colour-names.json`).

use std::f64::consts::SQRT_2;
use std::sync::LazyLock;

use super::name::NameBelief;
use super::name_model::NameModel;
use super::read_from::ReadFrom;

static MODEL: LazyLock<NameModel> = LazyLock::new(|| {
    NameModel::from_json(include_str!("../../models/colour-names.json"))
        .expect("the file is part of the program and its tests read it")
});

/// What a chromaticity may be called. `sd` is the noise of `u` and `v`; the camera's systematic error is in
/// the model, and so is what clipping does to it.
#[must_use]
pub fn name_colour(u: f64, v: f64, sd: f64, read_from: ReadFrom) -> NameBelief {
    name_by(&MODEL, u, v, sd, read_from)
}

/// [`name_colour`] by a given model.
///
/// The noise is averaged over the point itself and eight about it at two standard deviations, the point with
/// the weight of all eight: that has the moments of a normal distribution in the plane up to the fifth order.
#[must_use]
pub fn name_by(model: &NameModel, u: f64, v: f64, sd: f64, read_from: ReadFrom) -> NameBelief {
    const POINTS: [(f64, f64); 9] = [
        (0.0, 0.0),
        (2.0, 0.0),
        (SQRT_2, SQRT_2),
        (0.0, 2.0),
        (-SQRT_2, SQRT_2),
        (-2.0, 0.0),
        (-SQRT_2, -SQRT_2),
        (0.0, -2.0),
        (SQRT_2, -SQRT_2),
    ];
    const ON_RING: f64 = 1.0 / 16.0;
    let points = POINTS.map(|(across, up)| (u + sd * across, v + sd * up));
    let mut weights = [ON_RING; POINTS.len()];
    weights[0] = 0.5;
    model.mean_belief(points, weights, read_from)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::colour::ColourName;
    use crate::colour::space::uv;

    // Lamp models of Gaussian spectrum as linear BT.709, clipped below zero as an 8-bit picture does
    // (colour-science 0.4.7). A matrix fitted to surfaces takes the green from ambers of 600 nm and above, so that
    // pure red may be one of them. The trade sells 583 to 593 nm as amber and as yellow. A filament of 2360 K is
    // (1, 0.341, 0.048): by a little more blue than a 585 nm lamp, which thinned colour or a leaking filter gives.
    // A 570 nm "green" is yellow to a camera, so both names must stay possible there.
    #[rstest]
    #[case::red_632([1.0, 0.0, 0.0], &[ColourName::Red, ColourName::Amber])]
    #[case::orange_605([1.0, 0.030_91, 0.0], &[ColourName::Red, ColourName::Amber])]
    #[case::amber_592([1.0, 0.171_58, 0.0], &[ColourName::Amber, ColourName::Yellow])]
    #[case::yellow_585(
        [1.0, 0.310_91, 0.0],
        &[ColourName::Amber, ColourName::Yellow, ColourName::WarmWhite]
    )]
    #[case::yellow_green_573([1.0, 0.788_07, 0.0], &[ColourName::Yellow, ColourName::Green])]
    #[case::green_525([0.0, 1.0, 0.0], &[ColourName::Green])]
    #[case::blue_465([0.0, 0.0, 1.0], &[ColourName::Blue])]
    #[case::white_d65([1.0, 1.0, 1.0], &[ColourName::White])]
    fn names_published_lamp_models(#[case] rgb: [f64; 3], #[case] allowed: &[ColourName]) {
        let (u, v) = uv(rgb).unwrap();
        let belief = name_colour(u, v, 0.002, ReadFrom::CLEAN);
        let mass: f64 = allowed.iter().map(|&name| belief.of(name)).sum();
        assert!(mass > 0.8, "{:?}", &belief.ranked()[..3]);
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
        let belief = name_colour(u, v, 0.003, ReadFrom::CLEAN);
        assert_eq!(
            belief.ranked()[0].0,
            ColourName::WarmWhite,
            "{:?}",
            &belief.ranked()[..3]
        );
    }

    #[test]
    fn noise_leaves_doubt() {
        let (u, v) = uv([0.0, 1.0, 0.0]).unwrap();
        let sure = name_colour(u, v, 0.001, ReadFrom::CLEAN).of(ColourName::Green);
        let unsure = name_colour(u, v, 0.06, ReadFrom::CLEAN).of(ColourName::Green);
        assert!(sure > 0.8 && unsure < sure - 0.1, "{sure} {unsure}");
    }
}
