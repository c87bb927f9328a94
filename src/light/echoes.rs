//! Places that change in step with a better one: halos, reflections, and other parts of the same lamp.

use super::correlation::correlation;
use super::score::Scored;

/// Takes out echoes: places that change in step with a better one close by (its halo) or far off (a
/// reflection).
pub(super) fn without_echoes(mut scored: Vec<Scored>) -> Vec<Scored> {
    /// Within so many radii of a better candidate, in-step change is its halo.
    const HALO_RADII: f64 = 4.0;
    /// Times the sum of their radii within which two places that change in step are parts of one lamp (guessed: lamps
    /// that touch are at 1).
    const ONE_LAMP: f64 = 1.3;
    /// Correlation of the courses above which two places change in step.
    const IN_STEP: f64 = 0.9;
    /// Share of the stronger one's light below which a place is lit by it rather than a lamp of its own (guessed).
    const WEAKER: f64 = 0.6;
    /// The same for a place that changes against the beat: two lamps in turn are of one strength (guessed).
    const DIMMED: f64 = 0.2;
    /// A reflection stays in the list, lower down: it may yet be the lamp itself.
    const REFLECTION: f64 = 0.6;
    /// Only a place that itself looks like a lamp can have echoes.
    const PLAUSIBLE: f64 = 0.4;
    // What changes says more than what only glows. Of what changes, the lamp changes most: what it lights up changes in step,
    // by less light. In codes alone a lamp with a pale lens changes less than a dark pin that it shines on, and in light alone
    // a wide glow as much as the lamp.
    let strength = |one: &Scored| one.contrast * one.light;
    scored.sort_by(|a, b| {
        b.seed
            .changes
            .cmp(&a.seed.changes)
            .then(strength(b).total_cmp(&strength(a)))
    });
    let mut kept: Vec<Scored> = Vec::new();
    for mut candidate in scored {
        let mut is_halo = false;
        let mut is_reflection = false;
        for stronger in kept
            .iter()
            .filter(|stronger| stronger.score > PLAUSIBLE.min(candidate.score))
        {
            let distance = (stronger.seed.x - candidate.seed.x).hypot(stronger.seed.y - candidate.seed.y);
            let radius = stronger.seed.radius.max(2.0);
            let agreement = agreement(&stronger.course, &candidate.course);
            let both_change = candidate.seed.changes && stronger.seed.changes;
            let in_step = both_change && agreement > IN_STEP;
            // An exposure that answers the lamp dims whatever else glows, a little.
            let against = both_change && agreement < -IN_STEP;
            let dimmed = against && candidate.light < DIMMED * stronger.light;
            let weaker = candidate.light < WEAKER * stronger.light;
            is_halo |= distance < 1.5 * radius
                || (in_step && distance < ONE_LAMP * (stronger.seed.radius + candidate.seed.radius))
                || (in_step && weaker && distance < HALO_RADII * radius);
            is_reflection |= (in_step && weaker) || dimmed;
        }
        if is_reflection {
            candidate.score *= REFLECTION;
        }
        if !is_halo {
            kept.push(candidate);
        }
    }
    kept.sort_by(|a, b| b.rank().total_cmp(&a.rank()));
    kept
}

/// Correlation of what two places did in the frames that show both; 0 where they are too few.
fn agreement(a: &[Option<f64>], b: &[Option<f64>]) -> f64 {
    let both = a.iter().zip(b).filter_map(|(x, y)| Some(((*x)?, (*y)?)));
    let both: Vec<(f64, f64)> = both.collect();
    if both.len() < 3 { 0.0 } else { correlation(&both) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::scan::Seed;

    /// Changes by so many codes and so much light, lit in every other stretch of ten frames.
    fn place(x: f64, contrast: f64, light: f64) -> Scored {
        Scored {
            seed: Seed {
                x,
                y: 40.0,
                radius: 4.0,
                likeness: 0.0,
                changes: true,
            },
            score: 0.9,
            course: (0..80).map(|frame| Some(f64::from(frame / 10 % 2))).collect(),
            contrast,
            light,
        }
    }

    /// A lens that is pale when unlit, from code 180 to 255, and a dark pin that it shines on, from 30 to 130: sRGB has them
    /// 0.54 and 0.21 of the range apart.
    #[test]
    fn a_lamp_with_a_pale_lens_is_no_echo_of_a_dark_pin() {
        let kept = without_echoes(vec![place(120.0, 100.0, 0.21), place(40.0, 75.0, 0.54)]);
        let found: Vec<(f64, f64)> = kept.iter().map(|one| (one.seed.x, one.score)).collect();
        assert_eq!(found.len(), 2);
        assert_eq!(found[0], (40.0, 0.9));
        assert!(found[1].1 < 0.9, "the pin echoes the lamp");
    }
}
