//! From the model's own probability to one that holds: of the answers given at 0.9, nine in ten are right.
//!
//! The model knows nothing of what it leaves out, so its odds are put through a logistic curve, with what else tells a
//! good reading from a bad one. The curve's parameters were fitted on rendered clips, and tried on others; they stand in
//! `models/confidence.json` with the command that fits them anew.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

/// What the confidence in an answer rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grounds {
    /// The answer is "in no row of the table".
    pub unlisted: bool,
    /// Log odds of the answer against all others, by the model, in nats.
    pub log_odds: f64,
    /// Log odds that the lamps are the lights of the table, in nats.
    pub identity: f64,
    /// How much better the answer explains the last stretch than anything at all, nats for every tenth of a second.
    pub fit: f64,
    /// Cycles seen, or where nothing repeats, times 1.5 s.
    pub cycles: f64,
    /// Share of the frames in which the light was seen.
    pub seen_share: f64,
    /// Seconds in which it was seen.
    pub seen_s: f64,
}

/// Names of the features, in the order of [`Grounds::features`].
pub const FEATURES: [&str; 6] = ["log_odds", "identity", "fit", "cycles", "seen", "brief"];

impl Grounds {
    /// The features of the logistic curve, bounded so that no single one settles it, each of a size of about 1.
    #[must_use]
    pub fn features(&self) -> [f64; FEATURES.len()] {
        [
            self.log_odds.clamp(-4.0, 12.0) / 4.0,
            self.identity.clamp(-3.0, 6.0) / 3.0,
            self.fit.clamp(-1.0, 1.0) * 2.0,
            self.cycles.clamp(0.3, 6.0).ln(),
            self.seen_share.clamp(0.0, 1.0),
            (2.0 - self.seen_s).max(0.0),
        ]
    }
}

/// Probability that an answer is right.
#[must_use]
pub(super) fn confidence(grounds: &Grounds) -> f64 {
    let curve = if grounds.unlisted {
        &FITTED.unlisted
    } else {
        &FITTED.row
    };
    let of = |(name, value): (&&str, f64)| curve.weights.get(*name).copied().unwrap_or(0.0) * value;
    let sum: f64 = FEATURES.iter().zip(grounds.features()).map(of).sum();
    let probability = 1.0 / (1.0 + (-curve.offset - sum).exp());
    // The curve knows what the model leaves out, but not better than the model which of two rows it is.
    let model = chance_of(grounds.log_odds);
    // Nor do the clips of the fit know what becomes of a reading of doubtful lamps: hardly one of them was decided.
    let lamps = 1.0 - MISLED * (1.0 - chance_of(grounds.identity));
    probability.min(model).min(lamps).clamp(1.0 - SUREST, SUREST)
}

/// Chance that lamps which are not those of the table make a sure reading that is wrong (guessed: most of them show
/// nothing that the table lists).
const MISLED: f64 = 0.3;

fn chance_of(log_odds: f64) -> f64 {
    1.0 / (1.0 + (-log_odds).exp())
}

/// No reading is surer than some hundred clips, on which the curve was fitted, can tell.
const SUREST: f64 = 0.995;

#[derive(Debug, Deserialize)]
struct Curve {
    offset: f64,
    weights: BTreeMap<String, f64>,
}

#[derive(Debug, Deserialize)]
struct Fitted {
    row: Curve,
    unlisted: Curve,
}

static FITTED: LazyLock<Fitted> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../models/confidence.json"))
        .expect("a test reads the shipped parameters")
});

/// Probabilities in which the answer has its confidence and the others share the rest in the proportions given. The
/// answer stays the likeliest.
pub(super) fn recalibrated(shares: &[f64], answer: usize, confidence: f64) -> Vec<f64> {
    let rest = shares.iter().sum::<f64>() - shares[answer];
    let others = shares.len() as f64 - 1.0;
    let share = |index: usize| {
        if rest > 1e-12 {
            shares[index] / rest
        } else {
            1.0 / others
        }
    };
    let indices = || (0..shares.len()).filter(|index| *index != answer);
    let second = indices().map(share).fold(0.0, f64::max);
    let own = confidence.max(second / (1.0 + second));
    (0..shares.len())
        .map(|index| {
            if index == answer {
                own
            } else {
                (1.0 - own) * share(index)
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUNDS: Grounds = Grounds {
        unlisted: false,
        log_odds: 8.0,
        identity: 5.0,
        fit: 0.3,
        cycles: 3.0,
        seen_share: 1.0,
        seen_s: 8.0,
    };

    #[test]
    fn better_grounds_never_make_less_sure() {
        let base = confidence(&GROUNDS);
        for worse in [
            Grounds {
                log_odds: 1.0,
                ..GROUNDS
            },
            Grounds {
                identity: 0.0,
                ..GROUNDS
            },
            Grounds {
                log_odds: -2.0,
                identity: -2.0,
                ..GROUNDS
            },
        ] {
            assert!(confidence(&worse) < base, "{worse:?}");
        }
        assert!(
            confidence(&Grounds {
                unlisted: true,
                log_odds: -1.0,
                ..GROUNDS
            }) < 0.9
        );
    }

    #[test]
    fn the_rest_is_shared_as_before_and_the_order_stays() {
        let found = recalibrated(&[0.6, 0.3, 0.1], 0, 0.8);
        assert!(
            (found[0] - 0.8).abs() < 1e-12 && (found[1] - 0.15).abs() < 1e-12,
            "{found:?}"
        );
        let unsure = recalibrated(&[0.6, 0.39, 0.01], 0, 0.2);
        assert!((unsure.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(
            unsure[0] > unsure[1] - 1e-12 && unsure[1] > unsure[2],
            "{unsure:?}"
        );
    }
}
