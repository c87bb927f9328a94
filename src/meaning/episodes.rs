//! From stretches to the whole clip: which meaning gave way to which, and when.

use super::cuts::Cuts;
use super::math::{log_add, log_sum, log_sums_of_others};
use super::rows::Evidence;
use super::spans::Spans;
use crate::table::{LightTable, Meaning, Pattern};

/// Log price of the first change of meaning within a clip, and the power by which the price of each further one grows.
/// A clip of seconds seldom shows one change and hardly ever two: a light that changes again and again has a rhythm,
/// and if no row has it, the reading should say so and not give a row for each of its flashes. Guessed.
const CHANGE_GROWTH: f64 = 1.5;
const CHANGE: f64 = -3.0;

/// Most changes of meaning.
const MAX_CHANGES: usize = 3;

/// A meaning counts as established only after so many seconds, and cycles of its rhythm. Guessed: below that a part of
/// another pattern looks the same.
pub(super) const ESTABLISHED_S: f64 = 1.5;
const ESTABLISHED_CYCLES: f64 = 2.0;

/// Log price of a known row after something unheard of: as likely it is a part of that.
const AFTER_UNHEARD: f64 = -3.0;

/// Log price of an end of the clip that the established row does not explain, too short to establish anything else.
const LOOSE_END: f64 = -6.0;

/// What the whole clip says.
#[derive(Debug)]
pub(super) struct Whole {
    /// Log weight of each row as the last established one, then of "unlisted".
    pub(super) last: Vec<f64>,
    /// For rows that are sequences: the same with their order seen.
    pub(super) ordered: Vec<Option<f64>>,
    /// The best path: stretches with their row, or the number of rows for "unlisted".
    pub(super) path: Vec<Stretch>,
    /// Where the last established row stops explaining the clip, if it does.
    pub(super) loose_from: Option<usize>,
}

/// One stretch of the path, between two cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stretch {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) state: usize,
}

/// Shortest stay that establishes a pattern, seconds.
pub(super) fn shortest_stay_s(pattern: &Pattern) -> f64 {
    match pattern {
        Pattern::Cycle(cycle) => (ESTABLISHED_CYCLES * cycle.period_s).max(ESTABLISHED_S),
        Pattern::Constant(_) => ESTABLISHED_S,
        Pattern::Sequence(parts) => parts
            .iter()
            .map(|part| part.for_s.0)
            .sum::<f64>()
            .max(ESTABLISHED_S),
    }
}

/// Shortest stay that establishes a row, seconds.
pub(super) fn stay_s(row: &Meaning) -> f64 {
    let stays = row.shows.iter().map(|show| shortest_stay_s(&show.pattern));
    stays.fold(0.0, f64::max)
}

/// Shortest stay of each row, then of "unlisted", seconds.
fn shortest_stays(table: &LightTable) -> Vec<f64> {
    table.meanings.iter().map(stay_s).chain([ESTABLISHED_S]).collect()
}

/// Log weight of each row as the last established one, then of "unlisted".
pub(super) fn weights(table: &LightTable, evidence: &Evidence, cuts: &Cuts) -> Vec<f64> {
    let lattice = Lattice::new(table, evidence, cuts);
    let sums = lattice.forward();
    (0..lattice.spans.len())
        .map(|state| lattice.total(&sums, state, lattice.spans[state]))
        .collect()
}

/// Decodes the clip.
pub(super) fn decode(table: &LightTable, evidence: &Evidence, cuts: &Cuts) -> Whole {
    let lattice = Lattice::new(table, evidence, cuts);
    let sums = lattice.forward();
    let ordered = evidence
        .rows
        .iter()
        .enumerate()
        .map(|(state, row)| {
            row.ordered
                .as_ref()
                .map(|spans| lattice.total(&sums, state, spans))
        })
        .collect();
    let last = (0..lattice.spans.len())
        .map(|state| lattice.total(&sums, state, lattice.spans[state]))
        .collect();
    let (path, loose_from) = lattice.best_path();
    Whole {
        last,
        ordered,
        path,
        loose_from,
    }
}

struct Lattice<'e> {
    spans: Vec<&'e Spans>,
    sequences: Vec<bool>,
    stays: Vec<f64>,
    cuts: &'e Cuts,
    anything: &'e Spans,
}

/// `[changes][cut][state]`: log weight of anything that may come before the state having ended at the cut after so many
/// changes.
type Table = Vec<Vec<Vec<f64>>>;

impl<'e> Lattice<'e> {
    fn new(table: &LightTable, evidence: &'e Evidence, cuts: &'e Cuts) -> Self {
        let rows = || evidence.rows.iter();
        Self {
            spans: rows().map(|row| &row.any).chain([&evidence.unlisted]).collect(),
            sequences: rows().map(|row| row.ordered.is_some()).chain([false]).collect(),
            stays: shortest_stays(table),
            cuts,
            anything: &evidence.anything,
        }
    }

    /// Log weight of what came before each state, by changes and cut.
    fn forward(&self) -> Table {
        let mut before: Table = Vec::new();
        for changes in 0..MAX_CHANGES {
            let ended = |to: usize| -> Vec<f64> {
                let states = 0..self.spans.len();
                states
                    .map(|state| self.arrive(&before, changes, to, state, self.spans[state]))
                    .collect()
            };
            let nothing = vec![f64::NEG_INFINITY; self.spans.len()];
            let later = (1..self.cuts.len()).map(|to| self.before(&ended(to)));
            let at_cuts = [nothing].into_iter().chain(later).collect();
            before.push(at_cuts);
        }
        before
    }

    /// Log weight of `state` reaching from some cut to `to` as the stretch after so many changes.
    fn arrive(&self, before: &Table, changes: usize, to: usize, state: usize, spans: &Spans) -> f64 {
        if changes == 0 {
            return spans.at(0, to);
        }
        let from = (1..to).filter(|from| self.may_stay(*from, to, state));
        let steps = from.map(|from| before[changes - 1][from][state] + spans.at(from, to));
        log_sum(steps) + self.price(changes, to)
    }

    /// What may come before each state: any other. What follows a sequence may be anything and still belongs to the
    /// sequence's row, so there "unlisted" is no meaning of its own; and a known row after something unheard of may be a
    /// part of that.
    fn before(&self, ended: &[f64]) -> Vec<f64> {
        let unlisted = self.spans.len() - 1;
        let mut priced = ended.to_vec();
        priced[unlisted] += AFTER_UNHEARD;
        let mut before = log_sums_of_others(&priced);
        let known = (0..unlisted).filter(|state| !self.sequences[*state]);
        before[unlisted] = log_sum(known.map(|state| ended[state]));
        before
    }

    /// Whether a stretch may be of a state. One that the end of the clip cuts off may have lasted much longer, so there
    /// every row may compete as soon as any is established.
    fn may_stay(&self, from: usize, to: usize, state: usize) -> bool {
        let shortest_s = if to + 1 == self.cuts.len() {
            ESTABLISHED_S
        } else {
            self.stays[state]
        };
        self.cuts.between_s(from, to) >= shortest_s
    }

    /// A change costs its price, one choice among the other meanings, and one among the places.
    fn price(&self, changes: usize, to: usize) -> f64 {
        let others = (self.spans.len() as f64 - 1.0).max(1.0);
        CHANGE * (changes as f64).powf(CHANGE_GROWTH) - others.ln() - 0.5 * (to as f64).ln()
    }

    /// Log weight of `state` as the last established one, over all paths.
    fn total(&self, table: &Table, state: usize, spans: &Spans) -> f64 {
        let end = self.cuts.len() - 1;
        let mut total = f64::NEG_INFINITY;
        for changes in 0..=MAX_CHANGES {
            total = log_add(total, self.arrive(table, changes, end, state, spans));
            for at in self.loose_ends(state) {
                let established = self.arrive(table, changes, at, state, spans);
                total = log_add(total, established + self.loose(at));
            }
        }
        total
    }

    /// Cuts so close to the end that nothing else can be established after them.
    fn loose_ends(&self, state: usize) -> impl Iterator<Item = usize> {
        let end = self.cuts.len() - 1;
        let known = state + 1 < self.spans.len();
        (1..end).filter(move |at| {
            known
                && self.cuts.between_s(*at, end) < ESTABLISHED_S
                && self.cuts.time_s(*at) >= self.stays[state]
        })
    }

    fn loose(&self, at: usize) -> f64 {
        self.anything.at(at, self.cuts.len() - 1) + LOOSE_END
    }

    /// The single best path, and where its loose end starts.
    fn best_path(&self) -> (Vec<Stretch>, Option<usize>) {
        let (states, cuts) = (self.spans.len(), self.cuts.len());
        let nowhere = Step {
            value: f64::NEG_INFINITY,
            from: 0,
            before: 0,
        };
        let mut best: Vec<Vec<Vec<Step>>> = Vec::new();
        for changes in 0..=MAX_CHANGES {
            let before = best.last().map(|at_cuts| self.best_before(at_cuts));
            let step = |to, state| self.best_step(before.as_deref(), changes, to, state);
            let at = |to| {
                (0..states)
                    .map(|state| step(to, state).unwrap_or(nowhere))
                    .collect()
            };
            let start = vec![nowhere; states];
            let at_cuts = [start].into_iter().chain((1..cuts).map(at)).collect();
            best.push(at_cuts);
        }
        self.trace_back(&best)
    }

    /// `before` is what [`Self::best_before`] made of the layer with one change less.
    fn best_step(
        &self,
        before: Option<&[Vec<Before>]>,
        changes: usize,
        to: usize,
        state: usize,
    ) -> Option<Step> {
        let Some(before) = before else {
            return Some(Step {
                value: self.spans[state].at(0, to),
                from: 0,
                before: state,
            });
        };
        let from = (1..to).filter(|from| self.may_stay(*from, to, state));
        let price = self.price(changes, to);
        let steps = from.filter_map(|from| {
            let (value, other) = before[from][state]?;
            Some(Step {
                value: value + price + self.spans[state].at(from, to),
                from,
                before: other,
            })
        });
        steps.max_by(|a, b| a.value.total_cmp(&b.value))
    }

    /// The best of what may come before each state, by cut and state.
    fn best_before(&self, at_cuts: &[Vec<Step>]) -> Vec<Vec<Before>> {
        let unlisted = self.spans.len() - 1;
        let of = |ended: &Vec<Step>, state: usize| {
            let others = (0..self.spans.len())
                .filter(|other| *other != state && !(state == unlisted && self.sequences[*other]));
            let values = others.map(|other| {
                let price = if other == unlisted { AFTER_UNHEARD } else { 0.0 };
                (ended[other].value + price, other)
            });
            values.max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let states = || 0..self.spans.len();
        at_cuts
            .iter()
            .map(|ended| states().map(|state| of(ended, state)).collect())
            .collect()
    }

    fn trace_back(&self, best: &[Vec<Vec<Step>>]) -> (Vec<Stretch>, Option<usize>) {
        let end = self.cuts.len() - 1;
        let mut goal = (f64::NEG_INFINITY, 0, end, 0);
        for (changes, at_cuts) in best.iter().enumerate() {
            for state in (0..self.spans.len()).rev() {
                let ends = self.loose_ends(state).map(|at| (self.loose(at), at));
                for (loose, at) in ends.chain([(0.0, end)]) {
                    let value = at_cuts[at][state].value + loose;
                    if value > goal.0 {
                        goal = (value, changes, at, state);
                    }
                }
            }
        }
        let (_, changes, last, mut state) = goal;
        let mut to = last;
        let mut path = Vec::new();
        for step in best[..=changes].iter().rev() {
            let Step { from, before, .. } = step[to][state];
            path.push(Stretch { from, to, state });
            (to, state) = (from, before);
        }
        path.reverse();
        (path, (last < end).then_some(last))
    }
}

/// Value and state of what came before.
type Before = Option<(f64, usize)>;

/// The best way to a state at a cut.
#[derive(Debug, Clone, Copy)]
struct Step {
    value: f64,
    from: usize,
    before: usize,
}
