//! A measured rhythm as the rival of the table's rows: its evidence, with the price of having been measured.

use super::episodes::shortest_stay_s;
use super::measured::Measured;
use super::score;
use super::spans::Spans;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{Cycle, Pattern, Phase, Shade};

/// Tolerance about the measured period.
const WITHIN: f64 = 0.03;

/// Periods of status lights reach over this many e-folds, from 0.05 s to 10 s; all are equally likely.
const PERIOD_FOLDS: f64 = 5.3;

/// Chance that a cycle has two more pieces than it has.
const LONGER: f64 = 0.5;

/// A pattern for the rhythm, with the likeliest names for its tints, each used once.
pub(super) fn pattern(measured: &Measured, watch: &Watch) -> Pattern {
    let names = names(watch);
    let name = |tint: usize| names.get(tint).copied().unwrap_or(ColourName::White);
    if measured.swells {
        return breath(name(0), measured.period_s);
    }
    let count = measured.pieces.len();
    let shortest_s = measured
        .pieces
        .iter()
        .map(|piece| piece.lasts_s)
        .fold(f64::INFINITY, f64::min);
    let slack_s = measured.slack_s.min(0.45 * shortest_s);
    let phase = |index: usize| {
        let piece = measured.pieces[index];
        let shade = piece.look.map_or(Shade::Dark, |tint| Shade::Lit(name(tint), 1.0));
        let next_is_dark = measured.pieces[(index + 1) % count].look.is_none();
        // What a flash gains, the dark after it gives.
        let free_s = if piece.look.is_some() && next_is_dark {
            slack_s
        } else {
            0.0
        };
        Phase {
            from: shade,
            to: shade,
            lasts_s: piece.lasts_s,
            range_s: (piece.lasts_s - free_s, piece.lasts_s + free_s),
        }
    };
    Pattern::Cycle(Cycle {
        phases: (0..count).map(phase).collect(),
        period_s: measured.period_s,
        within: WITHIN,
    })
}

fn breath(colour: ColourName, period_s: f64) -> Pattern {
    let half_s = 0.5 * period_s;
    let (low, high) = (Shade::Lit(colour, 0.0), Shade::Lit(colour, 1.0));
    let ramp = |from, to| Phase {
        from,
        to,
        lasts_s: half_s,
        range_s: (half_s, half_s),
    };
    Pattern::Cycle(Cycle {
        phases: vec![ramp(low, high), ramp(high, low)],
        period_s,
        within: WITHIN,
    })
}

/// The likeliest name of every tint that no earlier tint has.
pub(super) fn names(watch: &Watch) -> Vec<ColourName> {
    let mut names: Vec<ColourName> = Vec::new();
    for tint in &watch.trace.tints {
        let ranked = tint.names.ranked();
        let free = ranked
            .iter()
            .map(|(name, _)| *name)
            .find(|name| !names.contains(name));
        names.extend(free);
    }
    names
}

/// Log evidence of the rhythm in whatever colours it has, with the price of its period, of the place of every change in
/// the cycle, and of the number of changes.
pub(super) fn evidence(measured: &Measured, watch: &Watch) -> Spans {
    let pattern = pattern(measured, watch);
    let spans = score::both(&pattern, watch, shortest_stay_s(&pattern), None).nameless;
    let changes = if measured.swells {
        1
    } else {
        measured.pieces.len() - 1
    };
    let place = (2.0 * measured.slack_s / measured.period_s).min(1.0).ln();
    let tints = (watch.tints().max(1) as f64).ln() * changes.div_ceil(2) as f64;
    let period = (2.0 * WITHIN / PERIOD_FOLDS).ln();
    let price = period + changes as f64 * place - tints + (changes as f64 / 2.0) * LONGER.ln();
    Spans::from_fn(spans.cuts(), |a, b| spans.at(a, b) + price)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::meaning::cuts::Cuts;
    use crate::meaning::expected;
    use crate::meaning::measured::measure;

    fn steps(steps: &[(Option<ColourName>, f64)]) -> Pattern {
        let phase = |(colour, lasts_s): &(Option<ColourName>, f64)| {
            let shade = colour.map_or(Shade::Dark, |colour| Shade::Lit(colour, 1.0));
            Phase {
                from: shade,
                to: shade,
                lasts_s: *lasts_s,
                range_s: (*lasts_s, *lasts_s),
            }
        };
        Pattern::Cycle(Cycle {
            phases: steps.iter().map(phase).collect(),
            period_s: steps.iter().map(|(_, lasts_s)| lasts_s).sum(),
            within: 0.15,
        })
    }

    fn flashing(on_s: f64, off_s: f64) -> Pattern {
        steps(&[(Some(ColourName::Green), on_s), (None, off_s)])
    }

    fn measured(pattern: &Pattern) -> Option<Measured> {
        let trace = expected::trace(pattern, 30.0, 8.0);
        measure(&Watch::new(&trace, &Cuts::none(8.0)))
    }

    #[test]
    fn equal_flashes_are_measured_to_a_frame() {
        let found = measured(&flashing(0.3, 0.9)).unwrap();
        assert!((found.period_s - 1.2).abs() < 0.01, "{found:?}");
        assert!((found.pieces[1].lasts_s - 0.3).abs() < 1.0 / 30.0, "{found:?}");
        assert!(found.is_listed(&flashing(0.3, 0.9)));
        assert!(found.is_listed(&flashing(0.3, 0.8)));
        assert!(!found.is_listed(&flashing(0.3, 0.6)));
        assert!(!found.is_listed(&flashing(0.6, 0.6)));
    }

    #[test]
    fn groups_and_colours_in_turn_are_measured_piece_by_piece() {
        let (red, green) = (Some(ColourName::Red), Some(ColourName::Green));
        for truth in [
            vec![
                (None, 1.1),
                (red, 0.2),
                (None, 0.35),
                (red, 0.2),
                (None, 0.35),
                (red, 0.2),
            ],
            vec![(red, 0.5), (green, 0.2)],
            vec![(None, 0.6), (red, 0.9), (None, 0.25), (green, 0.25)],
        ] {
            let found = measured(&steps(&truth)).unwrap();
            let period_s: f64 = truth.iter().map(|(_, lasts_s)| lasts_s).sum();
            assert!((found.period_s - period_s).abs() < 0.01 * period_s, "{found:?}");
            assert_eq!(found.pieces.len(), truth.len(), "{found:?}");
            assert!(found.is_listed(&steps(&truth)), "{found:?}");
            for (piece, (_, lasts_s)) in found.pieces.iter().zip(&truth) {
                assert!((piece.lasts_s - lasts_s).abs() < 1.5 / 30.0, "{found:?}");
            }
        }
    }

    #[test]
    fn a_fixed_light_and_one_cycle_are_no_rhythm() {
        assert_eq!(
            measured(&Pattern::Constant(Shade::Lit(ColourName::Green, 1.0))),
            None
        );
        assert_eq!(measured(&flashing(2.0, 5.0)), None);
    }
}
