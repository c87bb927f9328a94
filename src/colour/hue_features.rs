//! A chromaticity as the features that the model of colour names is linear in.

use super::space::{D65, inside_bt709};

/// Harmonics of the hue angle. The names from red to yellow part within 30 degrees; five harmonics turn that
/// sharply and leave the gaps between trade colours smooth (guessed, then seen to hold by `tests/colour.rs`).
const HARMONICS: usize = 5;
/// Harmonics that may differ with the distance from white: clipping turns a hue while it pales.
const PALING_HARMONICS: usize = 3;
/// Number of features.
const COUNT: usize = 2 + 2 * (HARMONICS + PALING_HARMONICS);

/// Distance from D65 in u'v' within which an angle means little: a fifth of that of a warm white.
const NO_HUE: f64 = 0.02;
/// Distance from D65 that counts as 0 on the scale of distances: between the whites and the colours.
const PALE: f64 = 0.1;

/// Features of a chromaticity, in the order of [`feature_names`].
///
/// Hue is the angle about D65 in u'v', as harmonics that fade towards white; the distance from white is on a
/// logarithmic scale. A chromaticity outside BT.709 counts as a BT.709 camera would have shown it, with no
/// channel below zero: that is what the model was fitted on, and it cannot be led astray beyond it.
#[must_use]
pub fn features(u: f64, v: f64) -> [f64; COUNT] {
    let (u, v) = inside_bt709(u, v);
    let (du, dv) = (u - D65.0, v - D65.1);
    let distance = du.hypot(dv);
    let angle = dv.atan2(du);
    let hue = distance / (distance + NO_HUE);
    let paling = ((distance + NO_HUE) / PALE).ln();
    let mut all = [0.0; COUNT];
    all[0] = paling;
    all[1] = paling * paling;
    let waves = (1..=HARMONICS)
        .map(|k| (k, hue))
        .chain((1..=PALING_HARMONICS).map(|k| (k, hue * paling)));
    for (pair, (k, size)) in all[2..].chunks_exact_mut(2).zip(waves) {
        let (sin, cos) = (k as f64 * angle).sin_cos();
        pair[0] = size * cos;
        pair[1] = size * sin;
    }
    all
}

/// What each of the [`features`] is: `h` the hue angle, `p` the logarithm of the distance from white.
#[must_use]
pub fn feature_names() -> Vec<String> {
    let waves = |last: usize, times: &'static str| {
        (1..=last).flat_map(move |k| [format!("{times}cos {k}h"), format!("{times}sin {k}h")])
    };
    ["p".to_owned(), "p2".to_owned()]
        .into_iter()
        .chain(waves(HARMONICS, ""))
        .chain(waves(PALING_HARMONICS, "p "))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::space::uv;

    #[test]
    fn every_feature_has_a_name() {
        let names = feature_names();
        assert_eq!(names.len(), COUNT);
        let distinct: std::collections::BTreeSet<_> = names.iter().collect();
        assert_eq!(distinct.len(), COUNT, "{names:?}");
    }

    /// The angle is undefined at white; the features must not jump there.
    #[test]
    fn features_are_smooth_through_white() {
        let across = |by: f64| features(D65.0 + by, D65.1);
        for (left, right) in across(-1e-5).into_iter().zip(across(1e-5)) {
            assert!((left - right).abs() < 2e-3, "{left} {right}");
        }
    }

    /// By hand: a hue along +u' has angle 0, so that every cosine is the size and every sine 0.
    #[test]
    fn features_of_a_known_hue() {
        let got = features(D65.0 + 0.08, D65.1);
        assert!(got[0].abs() < 1e-12 && got[1].abs() < 1e-12, "{got:?}");
        for k in 0..HARMONICS {
            assert!((got[2 + 2 * k] - 0.8).abs() < 1e-12, "{got:?}");
            assert!(got[3 + 2 * k].abs() < 1e-12, "{got:?}");
        }
    }

    /// A 525 nm model lamp is linear (-0.563, 1, -0.040) by colour-science 0.4.7; a BT.709 camera shows pure
    /// green.
    #[test]
    fn over_saturated_counts_as_the_camera_shows_it() {
        let (u, v) = crate::colour::uv_of_xy(0.151_22, 0.758_70);
        let (green_u, green_v) = uv([0.0, 1.0, 0.0]).unwrap();
        for (outside, inside) in features(u, v).into_iter().zip(features(green_u, green_v)) {
            assert!((outside - inside).abs() < 1e-6);
        }
    }
}
