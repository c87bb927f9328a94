//! A chromaticity as the features that the model of colour names is linear in.

use super::read_from::ReadFrom;
use super::space::{D65, shown_in_bt709, uv};

/// Harmonics of the hue angle. The names from red to yellow part within 30 degrees; five harmonics turn that
/// sharply and leave the gaps between trade colours smooth (guessed, then seen to hold by `tests/colour.rs`).
const HARMONICS: usize = 5;
/// Harmonics that may differ with the distance from white: clipping turns a hue while it pales.
const PALING_HARMONICS: usize = 3;
/// Harmonics that may differ with what clipped, with whether its lens is mixed in, and between lamp and halo: a clipped amber
/// looks yellow, a clipped red amber or white.
const SOURCE_HARMONICS: usize = 3;
/// Number of features.
const COUNT: usize = 9 + 2 * (HARMONICS + PALING_HARMONICS + 3 * SOURCE_HARMONICS);

/// Distance from D65 in u'v' within which an angle means little: a fifth of that of a warm white.
const NO_HUE: f64 = 0.02;
/// Distance from D65 that counts as 0 on the scale of distances: between the whites and the colours.
const PALE: f64 = 0.1;

/// Share of the strongest channel in the weakest that counts as 0 on the scale of such shares (guessed), and the one below
/// which they are all alike: that of a step of an 8-bit code in the dark.
const SOME: f64 = 0.1;
const NOTHING: f64 = 0.003;

/// Features of a chromaticity and of how it was read, in the order of [`feature_names`].
///
/// Hue is the angle about D65 in u'v', as harmonics that fade towards white; the distance from white is on a
/// logarithmic scale, and so is the share of the weakest channel: a yellow diode has no blue and a warm white has some,
/// and they are near each other. A chromaticity outside BT.709 counts as a BT.709 camera would have shown it, with no
/// channel below zero: that is what the model was fitted on, and it cannot be led astray beyond it.
#[must_use]
pub fn features(u: f64, v: f64, read_from: ReadFrom) -> [f64; COUNT] {
    let shown = shown_in_bt709(u, v);
    let (u, v) = uv(shown).unwrap_or(D65);
    let weakest = shown.into_iter().fold(f64::INFINITY, f64::min);
    let weakest = ((weakest + NOTHING) / (SOME + NOTHING)).ln();
    let (du, dv) = (u - D65.0, v - D65.1);
    let distance = du.hypot(dv);
    let angle = dv.atan2(du);
    let hue = distance / (distance + NO_HUE);
    let paling = ((distance + NO_HUE) / PALE).ln();
    let mut all = [0.0; COUNT];
    all[0] = paling;
    all[1] = paling * paling;
    let (clipped, mixed, halo) = match read_from {
        ReadFrom::Lamp { clipped, alone } => (clipped.clamp(0.0, 1.0), f64::from(!alone), 0.0),
        ReadFrom::Halo => (0.0, 0.0, 1.0),
    };
    let sources = [clipped, mixed, halo];
    all[2] = weakest;
    for (pair, source) in all[3..9].chunks_exact_mut(2).zip(sources) {
        pair.copy_from_slice(&[source, source * paling]);
    }
    let waves = (1..=HARMONICS)
        .map(|k| (k, hue))
        .chain((1..=PALING_HARMONICS).map(|k| (k, hue * paling)))
        .chain(
            sources
                .into_iter()
                .flat_map(|source| (1..=SOURCE_HARMONICS).map(move |k| (k, hue * source))),
        );
    for (pair, (k, size)) in all[9..].chunks_exact_mut(2).zip(waves) {
        let (sin, cos) = (k as f64 * angle).sin_cos();
        pair[0] = size * cos;
        pair[1] = size * sin;
    }
    all
}

/// What each of the [`features`] is: `h` the hue angle, `p` the logarithm of the distance from white,
/// `w` that of the weakest channel's share, `c` the clipped share, `s` 1 where a lens may be mixed in, `halo` 1 for a halo.
#[must_use]
pub fn feature_names() -> Vec<String> {
    let waves = |last: usize, times: &'static str| {
        (1..=last).flat_map(move |k| [format!("{times}cos {k}h"), format!("{times}sin {k}h")])
    };
    ["p", "p2", "w", "c", "c p", "s", "s p", "halo", "halo p"]
        .map(str::to_owned)
        .into_iter()
        .chain(waves(HARMONICS, ""))
        .chain(waves(PALING_HARMONICS, "p "))
        .chain(waves(SOURCE_HARMONICS, "c "))
        .chain(waves(SOURCE_HARMONICS, "s "))
        .chain(waves(SOURCE_HARMONICS, "halo "))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::space::uv;

    const HALF_CLIPPED: ReadFrom = ReadFrom::Lamp {
        clipped: 0.5,
        alone: false,
    };

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
        let across = |by: f64| features(D65.0 + by, D65.1, HALF_CLIPPED);
        for (left, right) in across(-5e-6).into_iter().zip(across(5e-6)) {
            assert!((left - right).abs() < 2e-3, "{left} {right}");
        }
    }

    /// By hand: a hue along +u' has angle 0, so that every cosine is the size and every sine 0.
    #[test]
    fn features_of_a_known_hue() {
        let got = features(D65.0 + 0.08, D65.1, HALF_CLIPPED);
        assert!(got[0].abs() < 1e-12 && got[1].abs() < 1e-12, "{got:?}");
        for k in 0..HARMONICS {
            assert!((got[9 + 2 * k] - 0.8).abs() < 1e-12, "{got:?}");
            assert!(got[10 + 2 * k].abs() < 1e-12, "{got:?}");
        }
        for (at, by_hand) in [
            (3, 0.5),
            (4, 0.0),
            (5, 1.0),
            (7, 0.0),
            (25, 0.4),
            (31, 0.8),
            (37, 0.0),
        ] {
            assert!((got[at] - by_hand).abs() < 1e-12, "{at}: {got:?}");
        }
        let of_halo = features(D65.0 + 0.08, D65.1, ReadFrom::Halo);
        for (at, by_hand) in [
            (3, 0.0),
            (5, 0.0),
            (7, 1.0),
            (8, 0.0),
            (25, 0.0),
            (31, 0.0),
            (37, 0.8),
        ] {
            assert!((of_halo[at] - by_hand).abs() < 1e-12, "{at}: {of_halo:?}");
        }
    }

    /// A 525 nm model lamp is linear (-0.563, 1, -0.040) by colour-science 0.4.7; a BT.709 camera shows pure
    /// green.
    #[test]
    fn over_saturated_counts_as_the_camera_shows_it() {
        let (u, v) = crate::colour::uv_of_xy(0.151_22, 0.758_70);
        let (green_u, green_v) = uv([0.0, 1.0, 0.0]).unwrap();
        for (outside, inside) in
            features(u, v, ReadFrom::CLEAN)
                .into_iter()
                .zip(features(green_u, green_v, ReadFrom::CLEAN))
        {
            assert!((outside - inside).abs() < 1e-6);
        }
    }
}
