//! What the confidence in the likeliest answer rests on.

use super::confidence::{self, Grounds};
use super::decide::{Case, group_of};
use super::episodes::ESTABLISHED_S;
use super::math::{log_add, log_sum, normalise};
use crate::table::Pattern;

/// Chance, before looking, that a light does something that its table lacks. Guessed.
const UNLISTED: f64 = 0.1;

/// One witness, seconds: see [`super::watch`].
const WITNESS_S: f64 = 0.1;

/// Odds beyond this many nats are not told apart.
const MOST_NATS: f64 = 20.0;

impl Case<'_> {
    /// Probabilities of every row and of "in no row", the likeliest with its confidence; and the grounds for that.
    pub(super) fn probabilities(&self) -> (Vec<f64>, Grounds) {
        let rows = self.table.meanings.len();
        let raw = self.raw();
        let answer = (0..=rows)
            .max_by(|a, b| raw[*a].total_cmp(&raw[*b]))
            .unwrap_or(rows);
        let grounds = self.grounds(&raw, answer);
        // Rows that look alike share what they have; no confidence can be in one of them.
        let alone = answer == rows || group_of(self.table, answer).len() == 1;
        let probabilities = if alone {
            confidence::recalibrated(
                &self.with_other_lamps(&raw),
                answer,
                confidence::confidence(&grounds),
            )
        } else {
            raw
        };
        (probabilities, grounds)
    }

    /// Probabilities of every row and of "in no row", before they are calibrated: those that other lamps would give are
    /// among them, and what is missing to 1 is that none of the lamps is the light.
    pub(super) fn shares(&self) -> Vec<f64> {
        self.with_other_lamps(&self.raw())
    }

    /// Probabilities if the lamps are the lights.
    pub(super) fn raw(&self) -> Vec<f64> {
        let rows = self.table.meanings.len();
        let mut weights = self.whole.last.clone();
        weights[rows] += (UNLISTED / (1.0 - UNLISTED) * rows as f64).ln();
        let recoloured = weights.iter().zip(&self.recoloured).map(|(row, odds)| row + odds);
        weights[rows] = log_add(weights[rows], log_sum(recoloured));
        normalise(&weights)
    }

    /// Shares of the answers, those included that other lamps would give.
    fn with_other_lamps(&self, raw: &[f64]) -> Vec<f64> {
        let mut shares: Vec<f64> = raw.iter().map(|p| p * self.identity.probability).collect();
        for other in &self.identity.others {
            shares[other.row] += other.probability;
        }
        shares
    }

    fn grounds(&self, raw: &[f64], answer: usize) -> Grounds {
        let rows = self.table.meanings.len();
        let others: f64 = (0..raw.len())
            .filter(|index| *index != answer)
            .map(|index| raw[index])
            .sum();
        let odds = |share: f64, rest: f64| {
            (share.max(1e-12) / rest.max(1e-12))
                .ln()
                .clamp(-MOST_NATS, MOST_NATS)
        };
        let last = self.whole.path.last().filter(|stretch| stretch.state == answer);
        let (from, to) = last.map_or((0, self.cuts.len() - 1), |stretch| (stretch.from, stretch.to));
        let seconds = self.cuts.between_s(from, to);
        let spans = self
            .evidence
            .rows
            .get(answer)
            .map_or(&self.evidence.unlisted, |row| &row.any);
        let gain = spans.at(from, to) - self.evidence.anything.at(from, to);
        Grounds {
            unlisted: answer == rows,
            log_odds: odds(raw[answer], others),
            identity: odds(self.identity.probability, 1.0 - self.identity.probability),
            fit: if gain.is_finite() {
                gain / (seconds / WITNESS_S).max(1.0)
            } else {
                -1.0
            },
            cycles: seconds / self.cycle_s(answer),
            seen_s: self.seen_s,
            seen_share: self.seen_s / self.filmed.length_s.max(1e-6),
        }
    }

    /// The longest cycle of a row, seconds; where nothing repeats, what establishes a light that does not change.
    fn cycle_s(&self, row: usize) -> f64 {
        let shows = self
            .table
            .meanings
            .get(row)
            .map_or(&[][..], |meaning| &meaning.shows);
        let period_s = |pattern: &Pattern| match pattern {
            Pattern::Cycle(cycle) => cycle.period_s,
            _ => ESTABLISHED_S,
        };
        let longest = shows
            .iter()
            .map(|show| period_s(&show.pattern))
            .fold(0.0, f64::max);
        if longest > 0.0 { longest } else { ESTABLISHED_S }
    }
}
