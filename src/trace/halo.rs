//! The chromaticity of a lamp that clips, from its halo in many frames.

use crate::colour::{D65, uv};

/// Chromaticity of the halo over the frames of one colour, and its standard deviation in u'v'; a frame without a halo is
/// `None`. `None` where too few have one, or it is too faint to tell more than the clipped core does.
pub(super) fn hue_of_halo(frames: &[Option<[f64; 3]>]) -> Option<((f64, f64), f64)> {
    /// Standard deviation up to which it tells more (guessed: a third of what separates red from amber).
    const MOST_SD: f64 = 0.03;
    /// What remains of it however many the frames: a halo takes on some of the colour of what it falls on (guessed).
    const LEAST_SD: f64 = 0.006;
    /// How far a channel may be off, linear light (measured on rendered lamps: 0.0002).
    const OFFSET: f64 = 0.0003;
    /// Parts of the frames whose means are compared.
    const PARTS: usize = 4;
    /// Share of the frames that must have a halo.
    const ENOUGH: f64 = 0.7;
    let halos: Vec<[f64; 3]> = frames.iter().flatten().copied().collect();
    if halos.len() < PARTS || (halos.len() as f64) < ENOUGH * frames.len() as f64 {
        return None;
    }
    let light = mean(halos.iter());
    if loses_light(light) {
        return None;
    }
    let whole = chroma(light)?;
    let mut variance = LEAST_SD.powi(2);
    for k in 0..3 {
        let mut off = light;
        off[k] += OFFSET;
        variance += square_between(chroma(off)?, whole);
    }
    for part in 0..PARTS {
        let part = chroma(mean(halos.iter().skip(part).step_by(PARTS)))?;
        variance += square_between(part, whole) / (PARTS * (PARTS - 1)) as f64;
    }
    let sd = variance.sqrt();
    (sd < MOST_SD).then_some((whole, sd))
}

/// Whether a halo is farther from white than the core. Clipping washes a colour out and never makes it purer, so a paler
/// halo is the light of something else.
pub(super) fn is_purer(halo: (f64, f64), core: (f64, f64)) -> bool {
    let from_white = |(u, v): (f64, f64)| (u - D65.0).hypot(v - D65.1);
    from_white(halo) > from_white(core)
}

/// Whether a channel falls by more than any rises: another lamp's light went away, that lay there while this one was dark.
/// That of a lamp beyond the picture's primaries falls by less.
fn loses_light(light: [f64; 3]) -> bool {
    let strongest = light.into_iter().fold(f64::MIN, f64::max);
    light.into_iter().any(|channel| channel < -strongest)
}

/// Single frames of a faint channel may lie below zero by noise, so the mean is taken before they are cut off.
fn chroma(light: [f64; 3]) -> Option<(f64, f64)> {
    uv(light.map(|v| v.max(0.0)))
}

fn mean<'h>(halos: impl Iterator<Item = &'h [f64; 3]>) -> [f64; 3] {
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    for halo in halos {
        count += 1.0;
        for k in 0..3 {
            sum[k] += halo[k];
        }
    }
    sum.map(|v| v / count)
}

/// Mean square of the two coordinates' distances.
fn square_between(a: (f64, f64), b: (f64, f64)) -> f64 {
    ((a.0 - b.0).powi(2) + (a.1 - b.1).powi(2)) / 2.0
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Frames of a halo of strength `light` in red with noise of alternating sign in green.
    fn frames(light: f64, noise: f64, without: usize) -> Vec<Option<[f64; 3]>> {
        let halo = |i: usize| {
            let sign = if (i / 4).is_multiple_of(2) { 1.0 } else { -1.0 };
            Some([light, 0.1716 * light + sign * noise, 0.0])
        };
        (0..24 - without)
            .map(halo)
            .chain(std::iter::repeat_n(None, without))
            .collect()
    }

    // The chromaticity of linear BT.709 (1, 0.1716, 0): u' 0.3370, v' 0.5367, worked from the matrix of ITU-R BT.709.
    #[rstest]
    #[case::strong(0.05, 0.0, 0, true)]
    #[case::noise_that_averages_out(0.05, 0.012, 0, true)]
    #[case::too_faint(0.002, 0.0, 0, false)]
    #[case::mostly_without(0.05, 0.0, 10, false)]
    fn a_halo_that_is_strong_enough_gives_the_hue(
        #[case] light: f64,
        #[case] noise: f64,
        #[case] without: usize,
        #[case] tells: bool,
    ) {
        let found = hue_of_halo(&frames(light, noise, without));
        assert_eq!(found.is_some(), tells, "{found:?}");
        if let Some(((u, v), sd)) = found {
            assert!(
                (u - 0.3370).abs() < 2.0 * sd && (v - 0.5367).abs() < 2.0 * sd,
                "{u} {v} {sd}"
            );
            assert!(sd < 0.02, "{sd}");
        }
    }

    /// A red that went away leaves a blue; a green lamp beyond the picture's primaries takes some red with it.
    #[rstest]
    #[case::of_a_neighbour_that_went_out([-0.05, -0.002, 0.004], false)]
    #[case::of_a_green_beyond_the_primaries([-0.02, 0.05, 0.004], true)]
    fn light_that_went_away_is_no_halo(#[case] light: [f64; 3], #[case] tells: bool) {
        assert_eq!(hue_of_halo(&[Some(light); 24]).is_some(), tells);
    }

    #[test]
    fn a_paler_halo_is_of_something_else() {
        assert!(is_purer((0.336, 0.537), (0.29, 0.542)));
        assert!(!is_purer((0.226, 0.488), (0.285, 0.541)));
    }
}
