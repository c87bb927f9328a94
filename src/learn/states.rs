//! The states of one cycle, from the flashes that were measured.

use crate::trace::{Estimate, Measured};

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

/// The states of one cycle, the longest dark last, or the longest state first where there is no dark. `None` where the
/// flashes make no cycle of the measured period.
pub(super) fn states(measured: &Measured) -> Option<Vec<State>> {
    let Estimate { value: period_s, .. } = measured.period_s?;
    let runs = longest_unbroken(measured);
    let count = (2..=MOST.min(runs.len())).find(|count| fits(&runs, *count, period_s))?;
    let mut states: Vec<State> = (0..count).map(|place| mean(&runs, count, place)).collect();
    give_back_clipping(&mut states, measured);
    turn(&mut states);
    Some(states)
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

fn mean(runs: &[Run], count: usize, place: usize) -> State {
    let own: Vec<f64> = runs[place..]
        .iter()
        .step_by(count)
        .map(|run| run.lasts_s)
        .collect();
    State {
        tint: runs[place].tint,
        lasts_s: own.iter().sum::<f64>() / own.len() as f64,
    }
}

/// A clipped lamp looks lit for longer than it is. The measured on-time allows for that; what the lit states lose, the
/// dark after each gains.
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
    let excess_s = (middle - on_s.value).max(0.0);
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
