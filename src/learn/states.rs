//! The states of one cycle, from the flashes that were measured.

use crate::trace::{Estimate, Measured, Sighting, Trace};

/// States of one cycle add up to its period to within this share.
const FITS: f64 = 0.1;

/// Most states of a cycle: a group of eight flashes.
const MOST: usize = 16;

/// A run of one state whose both ends were seen.
#[derive(Debug, Clone, Copy)]
struct Run {
    /// `None` is dark.
    tint: Option<usize>,
    lasts_s: f64,
}

/// One state of a cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct State {
    /// Index of the tint; `None` is dark.
    pub(super) tint: Option<usize>,
    /// Mean duration, seconds.
    pub(super) lasts_s: f64,
}

/// A cycle explains a clip when at least this share of the frames in view is as it says. The frames at edges may be
/// either.
const EXPLAINED: f64 = 0.85;

/// The states of one cycle, the longest dark last, or the longest state first where there is no dark. `None` where the
/// flashes make no cycle of the measured period, or the cycle does not explain the clip: where the lamp was hidden for
/// a while, the rhythm was measured on a part of the clip, and a group of flashes alone looks like plain flashing.
pub(super) fn states(trace: &Trace, measured: &Measured) -> Option<Vec<State>> {
    let Estimate { value: period_s, .. } = measured.period_s?;
    let runs = longest_unbroken(measured);
    let count = (2..=MOST.min(runs.len())).find(|count| fits(&runs, *count, period_s))?;
    let mut states: Vec<State> = (0..count).map(|place| mean(&runs, count, place)).collect();
    if explained(&states, period_s, trace, measured) < EXPLAINED {
        return None;
    }
    give_back_clipping(&mut states, measured);
    turn(&mut states);
    Some(states)
}

/// Share of the frames in view that are lit or dark as the cycle says, with its start where it fits best.
fn explained(states: &[State], period_s: f64, trace: &Trace, measured: &Measured) -> f64 {
    let length_s: f64 = states.iter().map(|state| state.lasts_s).sum();
    let lit_at = |at_s: f64| {
        let mut rest = (at_s / period_s).rem_euclid(1.0) * length_s;
        let now = states.iter().find(|state| {
            rest -= state.lasts_s;
            rest < 0.0
        });
        now.is_some_and(|state| state.tint.is_some())
    };
    let seen: Vec<(f64, bool)> = trace
        .samples
        .iter()
        .filter(|sample| sample.sighting == Sighting::Seen)
        .map(|sample| (sample.time_s + 0.5 * sample.span_s, sample.level > 0.5))
        .collect();
    let first_lit_s: f64 = states
        .iter()
        .take_while(|state| state.tint.is_none())
        .map(|state| state.lasts_s)
        .sum();
    let agrees = |start_s: f64| {
        let right = seen
            .iter()
            .filter(|(at_s, lit)| lit_at(at_s - start_s + first_lit_s) == *lit);
        right.count() as f64 / seen.len().max(1) as f64
    };
    let starts = measured.flashes.iter().filter(|flash| !flash.open_start);
    starts.map(|flash| agrees(flash.from_s.value)).fold(0.0, f64::max)
}

/// Runs of the longest stretch in which nothing was hidden.
fn longest_unbroken(measured: &Measured) -> Vec<Run> {
    let mut best: Vec<Run> = Vec::new();
    let mut now: Vec<Run> = Vec::new();
    let mut lit_until: Option<f64> = None;
    for flash in &measured.flashes {
        match lit_until.filter(|_| !flash.open_start) {
            Some(end_s) if flash.from_s.value > end_s + 1e-6 => now.push(Run {
                tint: None,
                lasts_s: flash.from_s.value - end_s,
            }),
            Some(_) => {}
            None => best = longer(best, std::mem::take(&mut now)),
        }
        if !flash.open_start && !flash.open_end {
            now.push(Run {
                tint: flash.tint,
                lasts_s: flash.to_s.value - flash.from_s.value,
            });
        }
        lit_until = (!flash.open_end).then_some(flash.to_s.value);
    }
    longer(best, now)
}

fn longer(a: Vec<Run>, b: Vec<Run>) -> Vec<Run> {
    if b.len() > a.len() { b } else { a }
}

fn fits(runs: &[Run], count: usize, period_s: f64) -> bool {
    let repeats = (count..runs.len()).all(|at| runs[at].tint == runs[at - count].tint);
    let sum: f64 = (0..count).map(|place| mean(runs, count, place).lasts_s).sum();
    repeats && (sum / period_s - 1.0).abs() <= FITS
}

/// The usual length of a state: the mean of those near the median, since a gap in which the lamp was hidden for a moment
/// may hold more than one state.
fn mean(runs: &[Run], count: usize, place: usize) -> State {
    let mut own: Vec<f64> = runs[place..]
        .iter()
        .step_by(count)
        .map(|run| run.lasts_s)
        .collect();
    own.sort_by(f64::total_cmp);
    let median_s = own[own.len() / 2];
    own.retain(|lasts_s| (lasts_s / median_s - 1.0).abs() <= 0.5);
    State {
        tint: runs[place].tint,
        lasts_s: own.iter().sum::<f64>() / own.len() as f64,
    }
}

/// A clipped lamp looks lit for longer than it is. The measured on-time allows for that; what each lit state loses, the
/// dark after it gains. Where one colour follows another the on-time is none of a state's.
fn give_back_clipping(states: &mut [State], measured: &Measured) {
    let Some(on_s) = measured.on_s else { return };
    let lit: Vec<f64> = states
        .iter()
        .filter(|state| state.tint.is_some())
        .map(|state| state.lasts_s)
        .collect();
    let mut sorted = lit.clone();
    sorted.sort_by(f64::total_cmp);
    let Some(middle) = sorted.get(sorted.len() / 2) else {
        return;
    };
    let nexts = states.iter().cycle().skip(1);
    if states
        .iter()
        .zip(nexts)
        .any(|(state, next)| state.tint.is_some() && next.tint.is_some())
    {
        return;
    }
    // A flash that is far shorter than the others still lasts.
    let excess_s = (middle - on_s.value).clamp(0.0, 0.5 * sorted[0]);
    for state in states {
        state.lasts_s += if state.tint.is_some() { -excess_s } else { excess_s };
    }
}

fn turn(states: &mut [State]) {
    let longest = |dark: bool| {
        let wanted = states
            .iter()
            .enumerate()
            .filter(|(_, state)| state.tint.is_none() == dark);
        wanted
            .max_by(|a, b| a.1.lasts_s.total_cmp(&b.1.lasts_s))
            .map(|(at, _)| at)
    };
    if let Some(dark) = longest(true) {
        states.rotate_left((dark + 1) % states.len());
    } else if let Some(first) = longest(false) {
        states.rotate_left(first);
    }
}
