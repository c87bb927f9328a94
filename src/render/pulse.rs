//! What switches faster than the eye sees: lamps dimmed by pulse width, and light that follows the mains.

use std::f64::consts::{PI, TAU};

use super::course::{Course, Levels};
use super::recipe::{Mains, Pulses};

impl Pulses {
    /// Mean light of a pulsed lamp over an exposure: the course while the pulses are on, nothing between.
    /// Pulses start at whole multiples of their period in clip time.
    pub(super) fn mean(&self, course: &Course, starts_at_s: f64, from_s: f64, length_s: f64) -> Levels {
        let to_s = from_s + length_s;
        let on_s = self.on_share / self.hz;
        let mut sum = Levels::default();
        let mut pulse = (from_s * self.hz).floor();
        while pulse / self.hz < to_s {
            let begins_s = (pulse / self.hz).max(from_s);
            let lit_s = (pulse / self.hz + on_s).min(to_s) - begins_s;
            if lit_s > 0.0 {
                let levels = course.mean(starts_at_s + begins_s, lit_s);
                for (sum, level) in sum.iter_mut().zip(levels) {
                    *sum += level * lit_s / length_s;
                }
            }
            pulse += 1.0;
        }
        sum
    }
}

impl Mains {
    /// Mean factor on the scene's light over an exposure; a cosine, at its top when the clip starts.
    pub(super) fn gain(&self, from_s: f64, length_s: f64) -> f64 {
        let turns = self.hz * length_s;
        let smoothed = if turns == 0.0 {
            1.0
        } else {
            (PI * turns).sin() / (PI * turns)
        };
        1.0 + self.depth * smoothed * (TAU * self.hz * (from_s + 0.5 * length_s)).cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ColourName;
    use crate::render::{Beat, Shown};

    /// 250 Hz at a quarter: on for 1 ms of every 4 ms.
    #[rstest::rstest]
    // Of 9 to 18.5 ms: 12 to 13 and 16 to 17.
    #[case::whole_pulses(0.009, 0.0095, 2.0 / 9.5)]
    // Of 0.5 to 5.5 ms: 0.5 to 1 and 4 to 5.
    #[case::cut_at_the_start(0.0005, 0.005, 1.5 / 5.0)]
    #[case::between_pulses(0.0015, 0.002, 0.0)]
    // Whole periods give the share, wherever they start.
    #[case::whole_periods(0.00123, 0.016, 0.25)]
    fn pulses_worked_by_hand(#[case] from_s: f64, #[case] length_s: f64, #[case] expected: f64) {
        let pulses = Pulses {
            hz: 250.0,
            on_share: 0.25,
        };
        let course = Course::new(&Shown::Cycle(vec![Beat::lit(ColourName::Red, 1.0)]));
        let level = pulses.mean(&course, 0.3, from_s, length_s)[ColourName::Red.index()];
        assert!((level - expected).abs() < 1e-9, "{level} against {expected}");
    }

    /// Share of a sine that an exposure leaves, |sin(pi f T) / (pi f T)|, by f and T in ms.
    #[rstest::rstest]
    #[case(100.0, 33.3333, 0.082_699)]
    #[case(100.0, 16.6667, 0.165_399)]
    #[case(100.0, 2.0, 0.935_489)]
    #[case(120.0, 16.6667, 0.0)]
    #[case(120.0, 1.0, 0.976_481)]
    fn an_exposure_smooths_the_mains(#[case] hz: f64, #[case] exposure_ms: f64, #[case] left: f64) {
        let mains = Mains { hz, depth: 1.0 };
        let length_s = exposure_ms / 1e3;
        // Exposures whose middle is at the top of the cosine.
        let gain = mains.gain(-0.5 * length_s, length_s);
        assert!(((gain - 1.0).abs() - left).abs() < 1e-5, "{gain}");
    }
}
