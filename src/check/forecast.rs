//! What clips of the rows will tell: every pair of rows, for usual frame rates and lengths.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::meaning::{Outlook, outlook, too_fast};
use crate::table::{LightTable, Pattern};

/// Frame rates looked at: what phones film at unless told otherwise, and what most can.
pub const FPS: [f64; 3] = [24.0, 30.0, 60.0];

/// Lengths of clip looked at, seconds: short, as asked for, patient.
pub const SECONDS: [f64; 3] = [5.0, 10.0, 20.0];

/// Odds at which a reading would be decided, as a logarithm: nine to one, the threshold unless told otherwise.
const DECIDED: f64 = 2.197;

/// Odds from which a row is called parted, as a logarithm: nineteen to one without noise, so that noise may take half
/// of them and the reading still decides.
const PARTED: f64 = 2.944;

/// The same against another row, where a washed-out lamp, whose colour shifts, may take half of the evidence.
const PARTED_FROM_ROWS: f64 = 2.0 * DECIDED;

/// A rhythm is taken for one when it was seen so often.
const CYCLES: f64 = 2.0;

/// Shortest clip that anything is read from, seconds.
const LEAST_S: f64 = 1.5;

/// What becomes of a clip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It will be read rightly.
    Safe,
    /// It may stay undecided.
    Close,
    /// It will stay undecided, or should.
    Confusable,
}

/// What clips will tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Row by row.
    pub rows: Vec<RowForecast>,
    /// Every two rows that share a light, the earlier first.
    pub pairs: Vec<Pair>,
}

/// What clips of one row will tell.
#[derive(Debug, Clone, PartialEq)]
pub struct RowForecast {
    /// By frame rate ([`FPS`]) and length ([`SECONDS`]).
    pub verdicts: [[Verdict; SECONDS.len()]; FPS.len()],
    /// Shortest clip that parts it from all other rows and from what is in no row, seconds, by frame rate; `None`
    /// where the longest looked at does not.
    pub shortest_s: [Option<f64>; FPS.len()],
    /// The row that is hardest to part from it at 30 frames a second and ten seconds.
    pub nearest: Option<usize>,
}

/// How well two rows are told from each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// The earlier row.
    pub first: usize,
    /// The later row.
    pub second: usize,
    /// Expected probability that a reading would give the wrong one of the two, by frame rate and length; the worse
    /// of the two directions. One half is a coin.
    pub confusion: [[f64; SECONDS.len()]; FPS.len()],
    /// Shortest clip that parts them, seconds, by frame rate.
    pub shortest_s: [Option<f64>; FPS.len()],
}

/// Outlooks by row, frame rate and length.
type Outlooks = Vec<[[Outlook; SECONDS.len()]; FPS.len()]>;

impl Forecast {
    /// Looks ahead. Time grows with the square of the number of rows; all cores are used.
    #[must_use]
    pub fn new(table: &LightTable) -> Self {
        let outlooks = outlooks(table);
        let rows = (0..table.meanings.len()).map(|row| RowForecast::new(table, row, &outlooks[row]));
        let pairs = (0..table.meanings.len())
            .flat_map(|first| (first + 1..table.meanings.len()).map(move |second| (first, second)))
            .filter_map(|(first, second)| Pair::new(&outlooks, first, second));
        Self {
            rows: rows.collect(),
            pairs: pairs.collect(),
        }
    }
}

fn outlooks(table: &LightTable) -> Outlooks {
    let each = FPS.len() * SECONDS.len();
    let count = table.meanings.len() * each;
    let next = AtomicUsize::new(0);
    let found = Mutex::new(vec![None; count]);
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    if index >= count {
                        return;
                    }
                    let (row, rest) = (index / each, index % each);
                    let (fps, seconds) = (FPS[rest / SECONDS.len()], SECONDS[rest % SECONDS.len()]);
                    let one = outlook(table, row, fps, seconds);
                    found.lock().expect("no other thread has panicked")[index] = Some(one);
                }
            });
        }
    });
    let mut found = found
        .into_inner()
        .expect("no thread has panicked")
        .into_iter()
        .flatten();
    let mut one = || found.next().expect("every index was worked on");
    (0..table.meanings.len())
        .map(|_| std::array::from_fn(|_| std::array::from_fn(|_| one())))
        .collect()
}

impl RowForecast {
    fn new(table: &LightTable, row: usize, outlooks: &[[Outlook; SECONDS.len()]; FPS.len()]) -> Self {
        let own_s = own_length_s(table, row);
        let fast = |fps: f64| {
            table.meanings[row]
                .shows
                .iter()
                .any(|show| too_fast(&show.pattern, fps))
        };
        let verdict = |fps: usize, seconds: usize| {
            if fast(FPS[fps]) {
                return Verdict::Confusable;
            }
            let least = least_odds(&outlooks[fps][seconds]);
            let against_rows = least_against_rows(&outlooks[fps][seconds]);
            let whole = SECONDS[seconds] >= own_s;
            match least {
                odds if odds < DECIDED => Verdict::Confusable,
                odds if odds < PARTED || against_rows < PARTED_FROM_ROWS || !whole => Verdict::Close,
                _ => Verdict::Safe,
            }
        };
        let shortest_s = std::array::from_fn(|fps| {
            let odds: [f64; SECONDS.len()] =
                std::array::from_fn(|seconds| least_odds(&outlooks[fps][seconds]));
            (!fast(FPS[fps])).then(|| shortest_s(odds, own_s))?
        });
        let nearest = outlooks[1][1]
            .against
            .iter()
            .enumerate()
            .filter_map(|(rival, odds)| Some((rival, (*odds)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(rival, _)| rival);
        Self {
            verdicts: std::array::from_fn(|fps| std::array::from_fn(|seconds| verdict(fps, seconds))),
            shortest_s,
            nearest,
        }
    }
}

/// The odds that decide: against the nearest row, against what is in no row, and for having seen the order.
fn least_odds(outlook: &Outlook) -> f64 {
    let seen = outlook.order.exp().clamp(0.0, 1.0 - 1e-9);
    let order = (seen / (1.0 - seen)).ln();
    least_against_rows(outlook)
        .min(outlook.against_unlisted)
        .min(order)
}

fn least_against_rows(outlook: &Outlook) -> f64 {
    outlook
        .against
        .iter()
        .flatten()
        .copied()
        .fold(f64::INFINITY, f64::min)
}

impl Pair {
    fn new(outlooks: &Outlooks, first: usize, second: usize) -> Option<Self> {
        let odds = |fps: usize, seconds: usize| {
            let there = outlooks[first][fps][seconds].against[second]?;
            Some(there.min(outlooks[second][fps][seconds].against[first]?))
        };
        odds(0, 0)?;
        let odds = |fps: usize, seconds: usize| odds(fps, seconds).unwrap_or(0.0);
        Some(Self {
            first,
            second,
            confusion: std::array::from_fn(|fps| {
                std::array::from_fn(|seconds| 1.0 / (1.0 + odds(fps, seconds).exp()))
            }),
            shortest_s: std::array::from_fn(|fps| {
                shortest_s(std::array::from_fn(|seconds| odds(fps, seconds)), LEAST_S)
            }),
        })
    }
}

/// The clip at which odds reach [`PARTED`] for good, at the rate at which they grow between the lengths looked at.
fn shortest_s(odds: [f64; SECONDS.len()], least_s: f64) -> Option<f64> {
    let reached = (0..SECONDS.len())
        .rev()
        .take_while(|index| odds[*index] >= PARTED)
        .last()?;
    let (before_s, before) = match reached {
        0 => (0.0, 0.0),
        index => (SECONDS[index - 1], odds[index - 1]),
    };
    let share = (PARTED - before) / (odds[reached] - before).max(1e-9);
    let seconds = before_s + share.clamp(0.0, 1.0) * (SECONDS[reached] - before_s);
    Some(seconds.max(least_s)).filter(|seconds| *seconds <= SECONDS[SECONDS.len() - 1])
}

/// Seconds that show what a row is: two cycles of its slowest rhythm, or its sequence in whole.
fn own_length_s(table: &LightTable, row: usize) -> f64 {
    let shows = table.meanings[row].shows.iter();
    shows.map(|show| length_s(&show.pattern)).fold(LEAST_S, f64::max)
}

fn length_s(pattern: &Pattern) -> f64 {
    match pattern {
        Pattern::Constant(_) => LEAST_S,
        Pattern::Cycle(cycle) => CYCLES * cycle.period_s,
        Pattern::Sequence(parts) => parts
            .iter()
            .map(|part| {
                let (least_s, most_s) = part.for_s;
                if most_s.is_finite() {
                    most_s
                } else {
                    least_s.max(1.0)
                }
            })
            .sum(),
    }
}
