//! What a camera of unknown white balance is expected to call a lamp of a given colour.

use super::tints::name_evidence;
use crate::colour::{ColourName, NameBelief, ReadFrom, name_colour, uv};

/// Factors on red and on blue against green that a camera's white balance may leave. Guessed: automatic white balance
/// in a plain room stays within a tenth.
const GAINS: [f64; 3] = [0.9, 1.0, 1.1];

/// How far off the chromaticity of a whole clip is in u'v' beyond the white balance, as a standard deviation: its lens, what
/// clips and the room's light turn the hue. Guessed: of rendered ambers, u' is 0.01 to 0.03 off and v' 0.005; the noise of one
/// frame is 0.005 (`trace/build.rs`). By no more than that, steady amber would be promised to be told from steady red.
const CHROMA_SD: f64 = 0.012;

/// Lamps that the trade sells under a name, as linear BT.709 with the largest component 1 and negative ones clipped, as
/// an 8-bit picture has them. Light-emitting diodes are modelled by a Gaussian spectrum (CIE 1931 observer,
/// colour-science 0.4.7), peak in nanometres beside each; whites are a phosphor white of 6070 K and Planckian radiators.
const fn lamps(colour: ColourName) -> &'static [[f64; 3]] {
    match colour {
        // 632; 605 is orange, at the edge of what is sold as red.
        ColourName::Red => &[[1.0, 0.0, 0.0]],
        // 595 and 592.
        ColourName::Amber => &[[1.0, 0.128_23, 0.0], [1.0, 0.171_58, 0.0]],
        // 590 and 585.
        ColourName::Yellow => &[[1.0, 0.205_25, 0.0], [1.0, 0.310_91, 0.0]],
        // 525.
        ColourName::Green => &[[0.0, 1.0, 0.0]],
        // 505, and green with blue in equal parts.
        ColourName::Cyan => &[[0.0, 1.0, 0.234_56], [0.0, 1.0, 1.0]],
        // 470 and 465.
        ColourName::Blue => &[[0.0, 0.040_52, 1.0], [0.0, 0.0, 1.0]],
        // Blue with half as much red.
        ColourName::Violet => &[[0.5, 0.0, 1.0]],
        // A phosphor white of 6070 K, and D65.
        ColourName::White => &[[1.0, 0.933, 0.892], [1.0, 1.0, 1.0]],
        // 2700 K.
        ColourName::WarmWhite => &[[1.0, 0.415, 0.099]],
    }
}

/// The beliefs over names that lamps of a colour give, one for each lamp and white balance.
fn beliefs(colour: ColourName) -> impl Iterator<Item = NameBelief> {
    lamps(colour).iter().flat_map(|[red, green, blue]| {
        GAINS.iter().flat_map(move |on_red| {
            GAINS.iter().filter_map(move |on_blue| {
                let (u, v) = uv([red * on_red, *green, blue * on_blue])?;
                Some(name_colour(u, v, CHROMA_SD, ReadFrom::CLEAN))
            })
        })
    })
}

/// The belief that a lamp of a colour gives on average over lamps and white balances.
pub(super) fn usual_belief(colour: ColourName) -> NameBelief {
    let mut weights = [0.0; ColourName::ALL.len()];
    for belief in beliefs(colour) {
        for (weight, name) in weights.iter_mut().zip(ColourName::ALL) {
            *weight += belief.of(name);
        }
    }
    NameBelief::from_weights(weights)
}

/// Log odds for `truth` against `rival` that the colour of one lamp gives, under the white balance that is worst for
/// it; infinite for a colour against itself.
#[must_use]
pub fn colour_odds(truth: ColourName, rival: ColourName) -> f64 {
    if truth == rival {
        return f64::INFINITY;
    }
    beliefs(truth)
        .map(|belief| name_evidence(&belief, truth) - name_evidence(&belief, rival))
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use ColourName::{Amber, Blue, Green, Red, White, Yellow};

    #[test]
    fn neighbours_along_the_spectrum_are_nearer_than_opposites() {
        // Order by dominant wavelength: red 615 and more, amber 583 to 593, green 505 to 535, blue 445 to 480 nm
        // (ANSI/VITA 40-2003).
        assert!(colour_odds(Red, Amber) < colour_odds(Red, Green));
        assert!(colour_odds(Amber, Yellow) < colour_odds(Amber, Blue));
        for (one, other) in [(Green, Blue), (Red, Blue), (White, Red)] {
            assert!(
                colour_odds(one, other) > 2.0,
                "{one} {other}: {}",
                colour_odds(one, other)
            );
        }
    }

    #[test]
    fn a_lamp_is_most_likely_called_by_a_name_of_its_neighbourhood() {
        for (colour, allowed) in [
            (Red, vec![Red]),
            (Amber, vec![Amber, Red]),
            (Yellow, vec![Yellow, Amber]),
            (Green, vec![Green]),
            (Blue, vec![Blue]),
        ] {
            let first = usual_belief(colour).ranked()[0].0;
            assert!(allowed.contains(&first), "{colour}: {first}");
        }
    }
}
