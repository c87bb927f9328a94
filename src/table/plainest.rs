//! The plainest form in which a table can say what a switching light does.

use super::model::{Shows, Timed};
use super::shows::on_range_s;
use crate::colour::ColourName;

/// Durations that differ from their mean by no more than this share are meant to be equal.
const EQUAL: f64 = 0.15;

/// One cycle of a switching light, as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Switching {
    /// States in turn with their durations in seconds; `None` is dark. Neighbours differ, and so do the first and the
    /// last. Which is first says nothing.
    pub states: Vec<(Option<ColourName>, f64)>,
    /// Length of one cycle, seconds.
    pub period_s: f64,
    /// Durations are known to so many seconds.
    pub known_s: f64,
    /// The tolerance that its timings are to have.
    pub within: f64,
}

impl Switching {
    /// Flashing if it is that, else alternating, else its states one by one.
    #[must_use]
    pub fn shows(&self) -> Shows {
        let states = turned(&self.states);
        self.flashing(&states)
            .or_else(|| self.alternating(&states))
            .unwrap_or_else(|| {
                let step = |(colour, lasts_s): &(Option<ColourName>, f64)| (*colour, self.timed(*lasts_s));
                Shows::Steps(states.iter().map(step).collect())
            })
    }

    /// Equal flashes of one colour, alone or in a group.
    fn flashing(&self, states: &[(Option<ColourName>, f64)]) -> Option<Shows> {
        let colour = states.first()?.0?;
        let in_turn = |(at, state): (usize, &(Option<ColourName>, f64))| {
            state.0 == at.is_multiple_of(2).then_some(colour)
        };
        let every_other = |from| states.iter().skip(from).step_by(2).map(|state| state.1);
        let (lit, dark): (Vec<f64>, Vec<f64>) = (every_other(0).collect(), every_other(1).collect());
        let (pause, gaps) = dark.split_last()?;
        let is_group = gaps.iter().all(|gap| gap < pause);
        if !states.iter().enumerate().all(in_turn)
            || lit.len() != dark.len()
            || !self.equal(&lit)
            || !self.equal(gaps)
            || !is_group
        {
            return None;
        }
        let on_s = mean(&lit);
        let apart_s = (!gaps.is_empty()).then(|| on_s + mean(gaps));
        Some(Shows::Flashing {
            colour,
            period: self.timed(self.period_s),
            on_s: on_range_s(on_s, apart_s.unwrap_or(self.period_s), self.within),
            group: u32::try_from(lit.len()).ok()?,
            apart_s,
        })
    }

    /// Different colours, equally long, without dark.
    fn alternating(&self, states: &[(Option<ColourName>, f64)]) -> Option<Shows> {
        let colours: Option<Vec<ColourName>> = states.iter().map(|state| state.0).collect();
        let lasts_s: Vec<f64> = states.iter().map(|state| state.1).collect();
        let colours = colours.filter(|colours| colours.len() > 1 && self.equal(&lasts_s))?;
        let each = self.timed(self.period_s / colours.len() as f64);
        Some(Shows::Alternating { colours, each })
    }

    fn timed(&self, seconds: f64) -> Timed {
        Timed {
            seconds,
            within: self.within,
        }
    }

    fn equal(&self, durations_s: &[f64]) -> bool {
        let mean_s = mean(durations_s);
        let allowed_s = (EQUAL * mean_s).max(self.known_s);
        durations_s
            .iter()
            .all(|lasts_s| (lasts_s - mean_s).abs() <= allowed_s)
    }
}

/// With the longest dark last, or the longest state first where there is no dark.
fn turned(states: &[(Option<ColourName>, f64)]) -> Vec<(Option<ColourName>, f64)> {
    let longest = |dark: bool| {
        let wanted = states
            .iter()
            .enumerate()
            .filter(|(_, state)| state.0.is_none() == dark);
        wanted.max_by(|a, b| a.1.1.total_cmp(&b.1.1)).map(|(at, _)| at)
    };
    let first = match longest(true) {
        Some(dark) => (dark + 1) % states.len(),
        None => longest(false).unwrap_or(0),
    };
    let mut states = states.to_vec();
    states.rotate_left(first);
    states
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use ColourName::{Blue, Red, White};

    fn of(states: &[(Option<ColourName>, f64)]) -> Shows {
        Switching {
            states: states.to_vec(),
            period_s: states.iter().map(|state| state.1).sum(),
            known_s: 0.02,
            within: 0.15,
        }
        .shows()
    }

    /// Measured states are a little unequal, and begin anywhere in the cycle.
    #[test]
    fn flashes_are_flashing_wherever_the_cycle_was_begun() {
        let states = [
            (Some(Red), 0.30),
            (None, 0.41),
            (Some(Red), 0.31),
            (None, 0.39),
            (Some(Red), 0.29),
            (None, 1.5),
        ];
        for by in 0..states.len() {
            let mut states = states;
            states.rotate_left(by);
            let Shows::Flashing {
                colour,
                period,
                on_s,
                group,
                apart_s,
            } = of(&states)
            else {
                panic!("begun at {by}: {:?}", of(&states));
            };
            assert_eq!((colour, group), (Red, 3));
            assert!((period.seconds - 3.2).abs() < 1e-9);
            assert!((apart_s.unwrap() - 0.7).abs() < 1e-9);
            assert!((on_s.0 - 0.255).abs() < 1e-9 && (on_s.1 - 0.345).abs() < 1e-9);
        }
    }

    #[test]
    fn what_is_not_regular_is_written_out() {
        // Unequal flashes; two colours with dark between; two colours, unequally long.
        for states in [
            vec![(Some(Red), 0.3), (None, 0.3), (Some(Red), 0.9), (None, 0.8)],
            vec![(Some(Red), 0.3), (None, 0.3), (Some(Blue), 0.3), (None, 0.8)],
            vec![(Some(Red), 0.9), (Some(Blue), 0.3)],
        ] {
            let Shows::Steps(steps) = of(&states) else {
                panic!("{:?}", of(&states));
            };
            let found: Vec<_> = steps
                .iter()
                .map(|(colour, timed)| (*colour, timed.seconds))
                .collect();
            assert_eq!(found, states);
        }
        let each_s = [(Some(Red), 0.31), (Some(White), 0.30), (Some(Blue), 0.29)];
        let Shows::Alternating { colours, each } = of(&each_s) else {
            panic!("{:?}", of(&each_s));
        };
        assert_eq!(colours, [Red, White, Blue]);
        assert!((each.seconds - 0.3).abs() < 1e-9);
    }
}
