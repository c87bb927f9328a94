//! From stretches to the whole clip: which meaning gave way to which, and when.

use super::cuts::Cuts;
use super::math::{log_add, log_sum};
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

/// `[changes][cut][state]`: log weight of the state having ended at the cut after so many changes.
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

    fn forward(&self) -> Table {
        let states = self.spans.len();
        let mut table = vec![vec![vec![f64::NEG_INFINITY; states]; self.cuts.len()]; MAX_CHANGES + 1];
        for changes in 0..=MAX_CHANGES {
            for to in 1..self.cuts.len() {
                for state in 0..states {
                    table[changes][to][state] = self.arrive(&table, changes, to, state, self.spans[state]);
                }
            }
        }
        table
    }

    /// Log weight of `state` reaching from some cut to `to` as the stretch after so many changes.
    fn arrive(&self, table: &Table, changes: usize, to: usize, state: usize, spans: &Spans) -> f64 {
        if changes == 0 {
            return spans.at(0, to);
        }
        let from = (1..to).filter(|from| self.may_stay(*from, to, state));
        let steps = from.map(|from| {
            let before = log_sum(self.before(state).map(|other| table[changes - 1][from][other]));
            before + self.price(changes, to) + spans.at(from, to)
        });
        log_sum(steps)
    }

    /// What may come before a state. What follows a sequence may be anything and still belongs to the sequence's row,
    /// so there "unlisted" is no meaning of its own.
    fn before(&self, state: usize) -> impl Iterator<Item = usize> + Clone {
        let unlisted = self.spans.len() - 1;
        (0..self.spans.len())
            .filter(move |other| *other != state && !(state == unlisted && self.sequences[*other]))
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
        let mut best = vec![vec![vec![nowhere; states]; cuts]; MAX_CHANGES + 1];
        for changes in 0..=MAX_CHANGES {
            for to in 1..cuts {
                for state in 0..states {
                    best[changes][to][state] = self.best_step(&best, changes, to, state).unwrap_or(nowhere);
                }
            }
        }
        self.trace_back(&best)
    }

    fn best_step(&self, best: &[Vec<Vec<Step>>], changes: usize, to: usize, state: usize) -> Option<Step> {
        if changes == 0 {
            return Some(Step {
                value: self.spans[state].at(0, to),
                from: 0,
                before: state,
            });
        }
        let from = (1..to).filter(|from| self.may_stay(*from, to, state));
        let steps = from.flat_map(|from| {
            self.before(state).map(move |before| {
                let value = best[changes - 1][from][before].value
                    + self.price(changes, to)
                    + self.spans[state].at(from, to);
                Step { value, from, before }
            })
        });
        steps.max_by(|a, b| a.value.total_cmp(&b.value))
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

/// The best way to a state at a cut.
#[derive(Debug, Clone, Copy)]
struct Step {
    value: f64,
    from: usize,
    before: usize,
}
