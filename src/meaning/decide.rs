//! From probabilities to a reading.

use super::assign::Identity;
use super::cuts::Cuts;
use super::doubts;
use super::episodes::{self, ESTABLISHED_S, Stretch, Whole};
use super::math::{log_sum, normalise};
use super::reading::{Doubt, Episode, Outcome, Reading, Rival, Settle, ranked};
use super::rows::Evidence;
use super::settings::Settings;
use super::settle::{self, Filmed};
use crate::table::{LightTable, Pattern, Shade, same_look};

/// Probability that the model itself is wrong about a stretch of the clip, spread evenly over all answers (guessed; what a whole
/// reading is believed is fitted in `confidence.rs`).
const MODEL_DOUBT: f64 = 0.02;

/// A row that came after another one is shown when it stayed for this share of what establishes it: cuts lie up to a
/// quarter of a second beside the true change.
const SHOWN: f64 = 0.8;

/// A row is not decided where the names of the colours speak against it by more nats than this.
const COLOURS_AGAINST: f64 = 3.0;

/// Nothing is called unheard of before so many seconds were seen: less of it may be a part of anything slow.
const UNHEARD_S: f64 = 3.0;

/// Cycles of a rhythm that are believed after something unheard of.
const PLAIN_CYCLES: f64 = 2.0;

/// Probabilities with the doubt about the model in them.
pub(super) fn posterior(log_weights: &[f64]) -> Vec<f64> {
    let even = MODEL_DOUBT / log_weights.len() as f64;
    normalise(log_weights)
        .into_iter()
        .map(|p| (1.0 - MODEL_DOUBT) * p + even)
        .collect()
}

/// Rows with their probabilities, most probable first, without `except`.
pub(super) fn rivals(posterior: &[f64], except: Option<usize>) -> Vec<Rival> {
    let rows = posterior[..posterior.len() - 1].iter().copied();
    let mut rivals = ranked(rows);
    rivals.retain(|rival| Some(rival.row) != except);
    rivals
}

/// The rows that look like a row, with itself.
pub(super) fn group_of(table: &LightTable, row: usize) -> Vec<usize> {
    same_look(table)
        .into_iter()
        .find(|group| group.contains(&row))
        .unwrap_or_else(|| vec![row])
}

/// Everything that a decision rests on.
pub(super) struct Case<'c> {
    pub(super) table: &'c LightTable,
    pub(super) evidence: &'c Evidence,
    pub(super) whole: &'c Whole,
    pub(super) cuts: &'c Cuts,
    pub(super) filmed: Filmed,
    /// Seconds of the clip in which a light was seen.
    pub(super) seen_s: f64,
    /// For each row, see [`recoloured::odds`](super::recoloured::odds).
    pub(super) recoloured: Vec<f64>,
    /// Which lights have a trace.
    pub(super) found: Vec<bool>,
    /// How sure it is that the traces are those of the lights.
    pub(super) identity: &'c Identity,
    pub(super) settings: &'c Settings,
}

impl Case<'_> {
    pub(super) fn reading(&self, mut doubts: Vec<Doubt>) -> Reading {
        let (posterior, grounds) = self.probabilities();
        let unlisted = posterior[posterior.len() - 1];
        let timeline = self.timeline(&posterior);
        let best = rivals(&posterior, None).first().map_or(0, |rival| rival.row);
        doubts.extend(doubts::of_rows(self.table, &posterior, best, self.filmed));
        doubts.extend(self.whole.loose_from.map(|cut| Doubt::ChangedAtEnd {
            from_s: self.cuts.time_s(cut),
        }));
        let established = self.seen_s >= ESTABLISHED_S;
        let decide_at = self.settings.decide_at;
        let outcome = if self.seen_s >= UNHEARD_S && unlisted >= decide_at {
            Outcome::Unlisted
        } else if established && posterior[best] >= decide_at && self.decided(best) {
            Outcome::Decided { row: best }
        } else {
            Outcome::Undecided
        };
        let (confidence, except, settle) = match outcome {
            Outcome::Decided { row } => (posterior[row], Some(row), Vec::new()),
            Outcome::Undecided => (1.0 - unlisted, None, self.settle(best, &posterior)),
            Outcome::Unlisted | Outcome::Unseen => (unlisted, None, Vec::new()),
        };
        Reading {
            outcome,
            confidence,
            rivals: rivals(&posterior, except),
            unlisted,
            settle,
            timeline,
            doubts,
            grounds: Some(grounds),
            shown: Vec::new(),
            stays: Vec::new(),
        }
    }

    /// A probable row is decided when its lit lights were found, its order was seen if it has one, the clip is fast
    /// enough to show its rhythm and not just an alias, and the best single story of the clip ends in it too.
    fn decided(&self, row: usize) -> bool {
        let ends_in =
            self.whole.path.last().is_some_and(|last| {
                last.state == row && self.is_shown(*last) && self.is_of_its_colours(*last)
            });
        let alone = self.group_of(row).len() == 1 && self.too_fast(row).is_none() && self.all_found(row);
        alone && ends_in && self.came_from_the_table(row) && self.order_seen(row) >= self.settings.decide_at
    }

    /// Whether the colours of a stretch do not speak against its row: no rhythm makes a blue lamp red.
    fn is_of_its_colours(&self, stretch: Stretch) -> bool {
        let row = &self.evidence.rows[stretch.state];
        let (from, to) = (stretch.from, stretch.to);
        row.nameless.at(from, to) - row.any.at(from, to) <= COLOURS_AGAINST
    }

    /// Whether a stretch shows its row: at least one cycle of it. After another meaning, the dark or lit part of a slow rhythm alone does not.
    fn is_shown(&self, stretch: Stretch) -> bool {
        let stay_s = episodes::stay_s(&self.table.meanings[stretch.state]);
        let seconds = self.cuts.between_s(stretch.from, stretch.to);
        let enough_s = if stretch.from == 0 {
            self.longest_cycle_s(stretch.state)
        } else {
            SHOWN * stay_s
        };
        self.whole.ordered[stretch.state].is_some() || seconds >= enough_s
    }

    /// Whether nothing unheard of was established before. A light that first does what no row says may be in the middle of
    /// something that only looks like the row; then a rhythm has to be seen for longer, and a sequence has its own order
    /// to tell it by.
    fn came_from_the_table(&self, row: usize) -> bool {
        let rows = self.table.meanings.len();
        let strange = self.whole.path.iter().any(|stretch| {
            stretch.state == rows && self.cuts.between_s(stretch.from, stretch.to) >= ESTABLISHED_S
        });
        let shown_twice = self
            .whole
            .path
            .iter()
            .filter(|stretch| stretch.state == row)
            .count()
            > 1;
        !strange || shown_twice || self.whole.ordered[row].is_some() || self.is_plain(row)
    }

    /// Seconds; 0 where nothing repeats.
    fn longest_cycle_s(&self, row: usize) -> f64 {
        let shows = &self.table.meanings[row].shows;
        let periods = shows.iter().filter_map(|show| match &show.pattern {
            Pattern::Cycle(cycle) => Some(cycle.period_s),
            _ => None,
        });
        periods.fold(0.0, f64::max)
    }

    /// Whether the last stretch shows a rhythm for long enough to be believed whatever came before.
    fn is_plain(&self, row: usize) -> bool {
        let longest_s = self.longest_cycle_s(row);
        let wanted_s = (PLAIN_CYCLES * longest_s).max(UNHEARD_S);
        let last = self.whole.path.last();
        longest_s > 0.0 && last.is_some_and(|last| self.cuts.between_s(last.from, last.to) >= wanted_s)
    }

    /// Whether there is a trace of every light that the row lights up. A lamp that should be lit and was not found may be out
    /// of the picture, or this may be another row.
    fn all_found(&self, row: usize) -> bool {
        self.table.meanings[row]
            .shows
            .iter()
            .all(|show| self.found[show.light] || show.pattern == Pattern::Constant(Shade::Dark))
    }

    /// Probability that the order of a row was seen, given the row; 1 for a row without parts.
    fn order_seen(&self, row: usize) -> f64 {
        self.whole.ordered[row].map_or(1.0, |ordered| (ordered - self.whole.last[row]).exp())
    }

    /// A frame rate that would do, where the clip's is too slow for the row or for another one in the best story.
    fn too_fast(&self, row: usize) -> Option<f64> {
        let told = self.whole.path.iter().map(|stretch| stretch.state);
        let rows: Vec<usize> = told
            .filter(|state| *state < self.table.meanings.len())
            .chain([row])
            .collect();
        settle::faster(self.table, &rows, self.filmed.fps)
    }

    fn group_of(&self, row: usize) -> Vec<usize> {
        group_of(self.table, row)
    }

    fn settle(&self, best: usize, posterior: &[f64]) -> Vec<Settle> {
        let group = self.group_of(best);
        let unlisted = posterior[posterior.len() - 1];
        let rest: Vec<Rival> = rivals(posterior, None)
            .into_iter()
            .filter(|rival| !group.contains(&rival.row))
            .collect();
        let second = rest.first().filter(|rival| rival.probability >= unlisted);
        let group_probability: f64 = group.iter().map(|row| posterior[*row]).sum();
        let mut settle = Vec::new();
        if let Some(fps) = self.too_fast(best) {
            settle.push(Settle::FasterFrames { fps });
        } else if self.lacks_the_lamp(&group) {
            settle.push(Settle::Closer);
        } else if group_probability < self.settings.decide_at {
            let wanted = (self.settings.decide_at / (1.0 - self.settings.decide_at)).ln();
            settle = match second {
                Some(second) => {
                    let odds = (group_probability / second.probability).ln();
                    settle::between(
                        self.table,
                        best,
                        second.row,
                        (wanted - odds).max(0.0),
                        self.filmed,
                    )
                }
                None => settle::from_unlisted(self.table, best, self.filmed),
            };
        } else if self.order_seen(best) < self.settings.decide_at {
            settle = settle::rest_of(self.table, best, self.filmed);
        }
        if group.len() > 1 {
            settle.push(Settle::Ask { rows: group });
        }
        if settle.is_empty() {
            settle = self.settle_shown(best, posterior[best] < self.settings.decide_at);
        }
        settle
    }

    /// Whether only that these lamps are the lights is in doubt, which more of the same footage does not tell.
    fn lacks_the_lamp(&self, group: &[usize]) -> bool {
        let raw = self.raw();
        let decide_at = self.settings.decide_at;
        self.identity.probability < decide_at && group.iter().map(|row| raw[*row]).sum::<f64>() >= decide_at
    }

    /// What a likely row lacks, with no rival left.
    fn settle_shown(&self, row: usize, unsure: bool) -> Vec<Settle> {
        let last = self.whole.path.last().filter(|last| last.state == row);
        if !self.all_found(row) || (unsure && self.seen_s >= ESTABLISHED_S) {
            vec![Settle::Closer]
        } else if last.is_some_and(|last| !self.is_of_its_colours(*last)) {
            vec![Settle::WhiteSheet, Settle::Closer]
        } else {
            settle::rest_of(self.table, row, self.filmed)
        }
    }

    fn timeline(&self, posterior: &[f64]) -> Vec<Episode> {
        let rows = self.table.meanings.len();
        let last = self.whole.path.len() - 1;
        let mut timeline: Vec<Episode> = Vec::new();
        for (index, stretch) in self.whole.path.iter().enumerate() {
            let confidence = if index == last {
                posterior[stretch.state]
            } else {
                self.local(stretch.from, stretch.to)[stretch.state]
            };
            timeline.push(Episode {
                from_s: self.cuts.time_s(stretch.from),
                to_s: self.cuts.time_s(stretch.to),
                row: (stretch.state < rows).then_some(stretch.state),
                confidence,
            });
        }
        if let Some(cut) = self.whole.loose_from {
            let end = self.cuts.len() - 1;
            let confidence = self.local(cut, end)[rows];
            timeline.push(Episode {
                from_s: self.cuts.time_s(cut),
                to_s: self.cuts.time_s(end),
                row: None,
                confidence,
            });
        }
        timeline
    }

    /// Probabilities from one stretch alone.
    fn local(&self, from: usize, to: usize) -> Vec<f64> {
        let rows = self.evidence.rows.iter().map(|row| row.any.at(from, to));
        let weights: Vec<f64> = rows.chain([self.evidence.unlisted.at(from, to)]).collect();
        if log_sum(weights.iter().copied()) == f64::NEG_INFINITY {
            return vec![1.0 / weights.len() as f64; weights.len()];
        }
        posterior(&weights)
    }
}
