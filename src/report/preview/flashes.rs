//! Flashes a second, for the caution that moving pictures of them need.
//!
//! WCAG 2.2, success criterion 2.3.1: no more than three flashes in any one second, where a flash is a pair of
//! opposing changes of relative luminance. Changes that are too small or too few pixels to count there count here: a
//! page does not know how near it is held.

use super::course::{Stretch, length_s};

/// Most flashes in one second that need no caution (WCAG 2.2, 2.3.1).
pub(super) const MOST_A_SECOND: f64 = 3.0;

/// Seconds; half open, so that a change at both ends of it counts once.
const WINDOW_S: f64 = 1.0 - 1e-9;

/// The most flashes in any second while a course repeats. A change to another colour counts as a change.
pub(super) fn most_in_a_second(course: &[Stretch]) -> f64 {
    let changes = changes_s(course);
    let within = |from: &f64| {
        let inside = changes.iter().filter(|at| (*from..from + WINDOW_S).contains(*at));
        inside.count()
    };
    changes.iter().map(within).max().unwrap_or(0) as f64 / 2.0
}

/// When the light changes, over two seconds and one more time through. A swell is one change, in its middle.
fn changes_s(course: &[Stretch]) -> Vec<f64> {
    let once_s = length_s(course);
    if once_s <= 0.0 || course.len() < 2 {
        return Vec::new();
    }
    let times = (2.0 / once_s).ceil() as usize + 2;
    let mut changes = Vec::new();
    let mut at_s = 0.0;
    let mut before: Option<&Stretch> = None;
    for stretch in course.iter().cycle().take(times * course.len()) {
        let jumps = before.is_some_and(|before| {
            before.colour != stretch.colour && (before.levels.1 - stretch.levels.0).abs() > 0.1
                || (before.colour.is_some() && stretch.colour.is_some() && before.colour != stretch.colour)
        });
        if jumps {
            changes.push(at_s);
        }
        if (stretch.levels.0 - stretch.levels.1).abs() > 0.1 {
            changes.push(at_s + 0.5 * stretch.lasts_s);
        }
        at_s += stretch.lasts_s;
        before = Some(stretch);
    }
    changes
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::colour::ColourName::{self, Blue, Red, White};

    fn stretch(colour: Option<ColourName>, lasts_s: f64) -> Stretch {
        let level = if colour.is_some() { 1.0 } else { 0.0 };
        Stretch {
            colour,
            levels: (level, level),
            lasts_s,
        }
    }

    /// Rates of square waves are what they are; the group has two flashes 0.4 s apart and then a pause.
    #[rstest]
    #[case::ten_a_second(vec![stretch(Some(Red), 0.05), stretch(None, 0.05)], 10.0)]
    #[case::two_and_a_half(vec![stretch(Some(Red), 0.2), stretch(None, 0.2)], 2.5)]
    #[case::three(vec![stretch(Some(Red), 1.0 / 6.0), stretch(None, 1.0 / 6.0)], 3.0)]
    #[case::colours_in_turn(vec![stretch(Some(Blue), 0.125), stretch(Some(White), 0.125)], 4.0)]
    #[case::group(
        vec![stretch(Some(Red), 0.2), stretch(None, 0.2), stretch(Some(Red), 0.2), stretch(None, 1.0)],
        2.0
    )]
    #[case::steady(vec![stretch(Some(Red), 2.0)], 0.0)]
    fn counts_pairs_of_changes(#[case] course: Vec<Stretch>, #[case] expected: f64) {
        assert!(
            (most_in_a_second(&course) - expected).abs() < 0.51,
            "{}",
            most_in_a_second(&course)
        );
        let over = most_in_a_second(&course) > MOST_A_SECOND;
        assert_eq!(over, expected > MOST_A_SECOND);
    }

    #[test]
    fn a_breath_is_two_changes() {
        let ramp = |from, to| Stretch {
            colour: Some(Blue),
            levels: (from, to),
            lasts_s: 0.25,
        };
        assert!((most_in_a_second(&[ramp(0.0, 1.0), ramp(1.0, 0.0)]) - 2.0).abs() < 1e-9);
    }
}
