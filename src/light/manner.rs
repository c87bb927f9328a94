//! How a place comes and goes over a window: by a course between its dark (0) and its lit state (1).

use super::correlation::correlation;
use super::score::{median, rising};

/// What a place is worth that changes so often: a hand or a person that goes away uncovers a bright place once.
pub(super) fn returns(course: &[f64]) -> f64 {
    match switches(course) {
        0 | 1 => ONCE,
        COMES_BACK.. => 1.0,
        _ => 0.5 * (ONCE + 1.0),
    }
}

/// Changes that show a light that comes back, and that it goes again (guessed).
const COMES_BACK: usize = 3;

/// What it is worth before (guessed).
const ONCE: f64 = 0.5;

/// How often a course goes from one state to the other.
fn switches(course: &[f64]) -> usize {
    let other = |pair: &&[f64]| (pair[0] > 0.5) != (pair[1] > 0.5);
    course.windows(2).filter(other).count()
}

/// Whether a place comes, or goes, at least three times and always after as many frames: a hand does not.
pub(super) fn keeps_pace(course: &[Option<f64>]) -> bool {
    const TIMES: usize = 3;
    /// Fewest frames between (guessed): noise about the middle goes to and fro all the time.
    const APART: f64 = 8.0;
    /// By how many frames, and by what share of the time between, that may differ (guessed: an exposure lies across a switch, and
    /// a switch across an exposure).
    const FRAMES: f64 = 2.0;
    const SHARE: f64 = 0.03;
    let frames = course.iter().enumerate();
    let known: Vec<(usize, bool)> = frames
        .filter_map(|(frame, course)| Some((frame, (*course)? > 0.5)))
        .collect();
    let even = |lit: bool| {
        let switches = known
            .windows(2)
            .filter(|pair| pair[0].1 != pair[1].1 && pair[1].1 == lit);
        let at: Vec<usize> = switches.map(|pair| pair[1].0).collect();
        let between = || at.windows(2).map(|pair| (pair[1] - pair[0]) as f64);
        let (least, most) = between().fold((f64::MAX, f64::MIN), |(least, most), n| {
            (least.min(n), most.max(n))
        });
        at.len() >= TIMES && least >= APART && most - least <= FRAMES + SHARE * least
    };
    even(true) || even(false)
}

/// What a light that swells and fades is worth beside one that switches: hands and shadows swell too, but hardly ever
/// at even intervals (both guessed).
const SWELLING: f64 = 0.5;
const SWELLING_EVENLY: f64 = 0.9;

/// How sure it is that a course comes and goes at even intervals, 0 to 1.
pub(super) fn evenness(course: &[f64]) -> f64 {
    /// Correlation with itself a period later, and how softly it rises about that (guessed).
    const ALIKE: (f64, f64) = (0.7, 0.05);
    if switches(course) < 2 {
        return 0.0;
    }
    rising(repeats(course), ALIKE.0, ALIKE.1)
}

/// Whether a course goes up and down smoothly, at least twice: correlation from frame to frame is high. Weighed by how
/// evenly it does so.
pub(super) fn swelling(course: &[f64], evenness: f64) -> f64 {
    /// Correlation from frame to frame, likewise.
    const SMOOTH: (f64, f64) = (0.9, 0.02);
    if switches(course) < 2 {
        return 0.0;
    }
    let n = course.len() as f64;
    let mean = course.iter().sum::<f64>() / n;
    let variance = course.iter().map(|c| (c - mean).powi(2)).sum::<f64>();
    let steps = course
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).powi(2))
        .sum::<f64>();
    let smooth = rising(1.0 - steps / (2.0 * variance.max(1e-9)), SMOOTH.0, SMOOTH.1);
    smooth * (SWELLING + (SWELLING_EVENLY - SWELLING) * evenness)
}

/// How alike a course is to itself some time later: the highest correlation with itself after the first at which it was
/// its opposite, -1 to 1. Two thirds of a period more than one must be there to tell.
fn repeats(course: &[f64]) -> f64 {
    let n = course.len();
    let with_itself = |lag: usize| {
        let pairs = course.iter().copied().zip(course[lag..].iter().copied());
        correlation(&pairs.collect::<Vec<_>>())
    };
    let mut lags = 1..n * 3 / 5;
    if lags.by_ref().all(|lag| with_itself(lag) > 0.0) {
        return 0.0;
    }
    lags.map(with_itself).fold(0.0, f64::max)
}

/// Largest share of the lit-to-dark distance that is passed within two frames, typical over the switches.
pub(super) fn briskness(course: &[f64]) -> f64 {
    let mut leaps = Vec::new();
    let mut side = course.first().is_some_and(|&c| c > 0.5);
    for i in 1..course.len() {
        let now = course[i] > 0.5;
        if now != side {
            side = now;
            let near = &course[i.saturating_sub(2)..(i + 2).min(course.len())];
            let high = near.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            leaps.push(high - near.iter().copied().fold(f64::INFINITY, f64::min));
        }
    }
    median(&mut leaps).unwrap_or(0.0)
}

/// Spread of the steadier of the two states about its mean, in units of the contrast.
pub(super) fn state_spread(course: &[f64]) -> f64 {
    let spread = |lit: bool| {
        let values: Vec<f64> = course.iter().copied().filter(|c| (*c > 0.5) == lit).collect();
        let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
        (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len().max(1) as f64).sqrt()
    };
    spread(false).min(spread(true))
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// A triangle of two and a half periods comes back to itself; a hand that goes by twice, once slowly and once
    /// quickly, does not.
    #[test]
    fn an_even_swell_is_worth_more_than_an_uneven_one() {
        let triangle = |t: f64, period: f64| 1.0 - (2.0 * (t / period).fract() - 1.0).abs();
        let even: Vec<f64> = (0..200).map(|i| triangle(f64::from(i), 80.0)).collect();
        let slowly = (0..120).map(|i| triangle(f64::from(i), 120.0));
        let uneven: Vec<f64> = slowly
            .chain((0..40).map(|i| triangle(f64::from(i), 40.0)))
            .chain([0.0; 40])
            .collect();
        assert!(repeats(&even) > 0.95, "{}", repeats(&even));
        assert!(repeats(&uneven) < 0.6, "{}", repeats(&uneven));
        let worth = |course: &[f64]| swelling(course, evenness(course));
        assert!(worth(&even) > 0.85 && worth(&uneven) < 0.6);
    }

    /// `L` lit, `d` dark, `x` unknown, each for five frames.
    #[rstest]
    #[case::flashes("ddLLLLddddLLLLddddLLLLdd", true)]
    #[case::flashes_partly_seen("ddLLLLddddLLxxxdddLLLLdd", true)]
    #[case::comes_at_pace_goes_at_will("ddLLLLddddLdddddddLLdd", true)]
    #[case::two_hands_over_a_steady_lamp("LLLLddddLLLLddddLLLLLLLL", false)]
    #[case::three_hands("LLLddddLLLLLLLddddLLdddLLLL", false)]
    fn a_lamp_keeps_pace(#[case] film: &str, #[case] keeps: bool) {
        let frames = |what| std::iter::repeat_n(what, 5);
        let film = film.chars().flat_map(frames);
        let course: Vec<Option<f64>> = film
            .map(|what| "d.L".find(what).map(|at| at as f64 / 2.0))
            .collect();
        assert_eq!(keeps_pace(&course), keeps);
    }

    #[test]
    fn noise_keeps_no_pace() {
        let course: Vec<Option<f64>> = (0..90).map(|frame| Some(f64::from(frame % 3 / 2))).collect();
        assert!(!keeps_pace(&course));
    }
}
