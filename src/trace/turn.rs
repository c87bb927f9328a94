//! How far into an exposure one colour of a light gave way to the next.

use super::edge::MIDDLE;
use super::sample::{Sample, Sighting};

/// For the frames about each change from one tint to another, the share of their light that is the new colour's.
pub(super) fn turned(samples: &[Sample], emitted: &[[f64; 3]]) -> Vec<Option<f64>> {
    let mut turned = vec![None; samples.len()];
    let seen = |i: usize| samples.get(i).filter(|sample| sample.sighting == Sighting::Seen);
    let tint = |i: usize| seen(i).and_then(|sample| sample.tint);
    for after in 2..samples.len() {
        // A frame that saw both for long may look like neither.
        let is_neither = |sample: &Sample| sample.tint.is_none() && sample.level >= MIDDLE;
        let last = if seen(after - 1).is_some_and(is_neither) {
            after - 2
        } else {
            after - 1
        };
        let Some(before_last) = last.checked_sub(1) else {
            continue;
        };
        let (old, new) = (tint(last), tint(after));
        if old == new || [old, new].contains(&None) || (tint(before_last), tint(after + 1)) != (old, new) {
            continue;
        }
        for i in last..=after {
            turned[i] = share_of_second(emitted[i], [emitted[before_last], emitted[after + 1]]);
        }
    }
    turned
}

/// The share of the second of two lights in a sum of them, 0 to 1: least squares of both amounts, so that a frame that
/// is brighter or darker as a whole has the same share. `None` where the two are one colour.
fn share_of_second(light: [f64; 3], [first, second]: [[f64; 3]; 2]) -> Option<f64> {
    let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let (ff, fs, ss) = (dot(first, first), dot(first, second), dot(second, second));
    let (lf, ls) = (dot(light, first), dot(light, second));
    // Both times the determinant, which is positive unless the two are one colour.
    let of_first = (lf * ss - ls * fs).max(0.0);
    let of_second = (ls * ff - lf * fs).max(0.0);
    (of_first + of_second > 0.0).then(|| of_second / (of_first + of_second))
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    const RED: [f64; 3] = [0.8, 0.1, 0.0];
    const GREEN: [f64; 3] = [0.0, 0.5, 0.1];

    fn mix(share: f64, brightness: f64) -> [f64; 3] {
        std::array::from_fn(|i| brightness * ((1.0 - share) * RED[i] + share * GREEN[i]))
    }

    #[rstest]
    #[case(0.0, 1.0)]
    #[case(0.3, 1.0)]
    #[case(0.3, 0.6)]
    #[case(1.0, 1.4)]
    fn a_sum_of_two_lights_is_parted(#[case] share: f64, #[case] brightness: f64) {
        let got = share_of_second(mix(share, brightness), [RED, GREEN]).unwrap();
        assert!((got - share).abs() < 1e-9, "{got}");
        assert_eq!(share_of_second(RED, [RED, RED]), None);
    }

    /// `r` and `g` in their tints, `?` seen but of no tint, `.` dark, `x` hidden; the light of each is half of both
    /// where it is of no tint.
    fn turned_frames(film: &str) -> String {
        let sample = |(frame, what): (usize, char)| Sample {
            time_s: frame as f64 / 30.0,
            span_s: 1.0 / 30.0,
            sighting: if what == 'x' {
                Sighting::Hidden
            } else {
                Sighting::Seen
            },
            level: if what == '.' { 0.0 } else { 1.0 },
            level_sd: 0.03,
            chroma: None,
            tint: "rg".find(what),
            turned: None,
        };
        let samples: Vec<Sample> = film.chars().enumerate().map(sample).collect();
        let emitted: Vec<[f64; 3]> = film
            .chars()
            .map(|what| mix("r?g".find(what).unwrap_or(0) as f64 / 2.0, 1.0))
            .collect();
        let about = turned(&samples, &emitted).into_iter().zip(film.chars());
        about
            .map(|(turned, what)| if turned.is_some() { what } else { ' ' })
            .collect()
    }

    #[rstest]
    #[case::at_once("rrrggg", "  rg  ")]
    #[case::within_a_frame("rrr?ggg", "  r?g  ")]
    #[case::there_and_back("rrgggrr", " rg gr ")]
    #[case::through_dark("rrr.ggg", "       ")]
    #[case::hidden_between("rrrxggg", "       ")]
    #[case::seen_for_one_frame("rrgrr", "     ")]
    fn the_frames_about_a_change_are_known(#[case] film: &str, #[case] expected: &str) {
        assert_eq!(turned_frames(film), expected);
    }
}
