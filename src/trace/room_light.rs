//! Frames in which a lamp is dark and the light of the room on it rose a little, or its place is known less well.

use super::sample::{Sample, Sighting};
use super::tints::Lit;
use crate::colour::D65;

/// Level up to which a frame may be so, and from which a lamp is surely lit (guessed).
const FAINT: f64 = 0.4;
const STRONG: f64 = 0.6;
/// Distance from D65 in u'v' within which light may be that of the room, under a wrong white balance (guessed, as in
/// `one_name.rs`).
const NEUTRAL: f64 = 0.035;

/// The lit frames without those of faint white light that only go on what the dark ones do. A lamp that has a faint white
/// beside a strong colour has few frames between dark and white; where the unlit lens is now brighter and now darker, there
/// are many.
pub(super) fn without_room_light(lit: Vec<Lit>, samples: &[Sample]) -> Vec<Lit> {
    /// Level from which a frame lies between, and how many there are at least for each faint white one (guessed).
    const BETWEEN_FROM: f64 = 0.1;
    const BETWEEN: f64 = 0.5;
    let is_faint_white = |one: &Lit| samples[one.frame].level < FAINT && !is_coloured(one);
    let faint = lit.iter().filter(|one| is_faint_white(one)).count();
    if faint == 0 || !is_mostly_coloured(&lit, samples) {
        return lit;
    }
    let top = lit
        .iter()
        .filter(|one| is_faint_white(one))
        .map(|one| samples[one.frame].level)
        .fold(0.0, f64::max);
    let above = samples
        .iter()
        .filter(|sample| sample.sighting == Sighting::Seen && (BETWEEN_FROM..=top).contains(&sample.level))
        .count();
    // What lies between is neither lit in any colour nor among the faint white.
    let of_lit = lit.iter().filter(|one| samples[one.frame].level <= top).count();
    let between = above.saturating_sub(of_lit);
    if (between as f64) < BETWEEN * faint as f64 {
        return lit;
    }
    lit.into_iter().filter(|one| !is_faint_white(one)).collect()
}

fn is_coloured(one: &Lit) -> bool {
    (one.chroma.u - D65.0).hypot(one.chroma.v - D65.1) > NEUTRAL
}

/// Whether most of the frames with surely a lit lamp have a colour.
fn is_mostly_coloured(lit: &[Lit], samples: &[Sample]) -> bool {
    let strong = || lit.iter().filter(|one| samples[one.frame].level > STRONG);
    let coloured = strong().filter(|one| is_coloured(one)).count();
    2 * coloured > strong().count()
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::trace::Chroma;

    /// A green lamp, in three of ten frames, with these levels in the others, of which those from 0.18 on are white.
    fn left(dark: &[f64]) -> usize {
        let (green, white) = ((0.125, 0.562), (0.2, 0.47));
        let mut samples = Vec::new();
        let mut lit = Vec::new();
        for i in 0..100 {
            let (level, (u, v)) = match i % 10 {
                0..3 => (1.0, green),
                _ => (dark[i * 7 % dark.len()], white),
            };
            let chroma = Chroma { u, v, sd: 0.005 };
            samples.push(Sample {
                time_s: i as f64 / 30.0,
                span_s: 1.0 / 30.0,
                sighting: Sighting::Seen,
                level,
                level_sd: 0.03,
                chroma: None,
                tint: None,
                turned: None,
            });
            if level > 0.18 {
                lit.push(Lit {
                    frame: i,
                    chroma,
                    level,
                    halo: None,
                    clipped: 0.0,
                    alone: true,
                    full: false,
                });
            }
        }
        let all = lit.len();
        assert!(all > 30, "the levels have faint white frames");
        without_room_light(lit, &samples).len()
    }

    #[rstest]
    #[case::of_the_room(&[-0.05, 0.0, 0.04, 0.08, 0.11, 0.13, 0.15, 0.17, 0.2, 0.22, 0.26], true)]
    #[case::of_the_lamp(&[-0.02, 0.0, 0.02, 0.24, 0.25, 0.26, 0.25, 0.12, 0.25, 0.23, 0.24], false)]
    fn a_faint_white_is_the_rooms_where_it_goes_on_the_dark(#[case] dark: &[f64], #[case] of_room: bool) {
        assert_eq!(left(dark) == 30, of_room);
    }
}
