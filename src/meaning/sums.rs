//! Running sums of log evidence of many ways in which a pattern may have been shown.

use std::ops::Range;

use super::math::log_sum;

/// Members this far below the best, in nats, add nothing that counts.
const NEGLIGIBLE: f32 = 12.0;

/// Members kept of those that lead nowhere.
const FEW: usize = 150;

/// Running sums of log evidence at the cuts, for each member of a grid.
pub(super) struct Sums {
    /// Log weight of each member.
    pub(super) weights: Vec<f32>,
    /// Cut by cut, one value a member.
    pub(super) at: Vec<Vec<f32>>,
    /// Best member in place of the average: see [`super::search::cycle_sums`].
    pub(super) best_only: bool,
}

impl Sums {
    pub(super) fn new(cuts: usize) -> Self {
        Self {
            weights: Vec::new(),
            at: vec![Vec::new(); cuts],
            best_only: false,
        }
    }

    /// Weighted log evidence of every member from cut `a` to cut `b`.
    pub(super) fn members_between(&self, a: usize, b: usize) -> impl Iterator<Item = f32> {
        let ends = self.at[a].iter().zip(&self.at[b]);
        ends.zip(&self.weights)
            .map(|((from, to), weight)| to - from + weight)
    }

    /// Log evidence from cut `a` to cut `b`, averaged over the members; or of the best, where that is asked for.
    pub(super) fn between(&self, a: usize, b: usize, best_only: bool) -> f64 {
        let (from, to) = (&self.at[a], &self.at[b]);
        if self.best_only || best_only {
            return f64::from(
                (0..to.len())
                    .map(|index| to[index] - from[index])
                    .fold(f32::NEG_INFINITY, f32::max),
            );
        }
        let members = || self.members_between(a, b);
        let top = members().fold(f32::NEG_INFINITY, f32::max);
        let near = members().filter(|value| *value > top - NEGLIGIBLE);
        let sum: f64 = near.map(|value| f64::from(value - top).exp()).sum();
        f64::from(top) + sum.ln()
    }

    /// Keeps `leading` members and a few of the others, which stand for all: near its best a row is told by the leading
    /// ones, and where the clip says little any are as good as all. Returns what the members left were before.
    pub(super) fn thin(&mut self, leading: &[usize]) -> Vec<usize> {
        let others: Vec<usize> = (0..self.weights.len())
            .filter(|member| self.weights[*member].is_finite() && leading.binary_search(member).is_err())
            .collect();
        let every = (others.len() / FEW).max(1);
        let mut kept: Vec<(usize, f32)> = leading
            .iter()
            .map(|member| (*member, self.weights[*member]))
            .collect();
        kept.retain(|(_, weight)| weight.is_finite());
        for group in others.chunks(every) {
            let weight = log_sum(group.iter().map(|member| f64::from(self.weights[*member])));
            kept.push((group[group.len() / 2], weight as f32));
        }
        self.weights = kept.iter().map(|(_, weight)| *weight).collect();
        for sums in &mut self.at {
            *sums = kept.iter().map(|(member, _)| sums[*member]).collect();
        }
        kept.into_iter().map(|(member, _)| member).collect()
    }

    /// Makes room for `count` more members.
    pub(super) fn reserve(&mut self, count: usize) {
        self.weights.reserve(count);
        for sums in &mut self.at {
            sums.reserve(count);
        }
    }

    /// Adds `count` members of the same weight; `segment` gives what they make of the frames between two cuts, in two
    /// pieces.
    pub(super) fn push_all<'s>(
        &mut self,
        count: usize,
        weight: f64,
        segment: impl Fn(usize) -> [&'s [f32]; 2],
    ) {
        let first = self.weights.len();
        self.weights.resize(first + count, weight as f32);
        self.at[0].resize(first + count, 0.0);
        for cut in 1..self.at.len() {
            let (before, after) = self.at.split_at_mut(cut);
            let mut sums = &before[cut - 1][first..];
            for piece in segment(cut - 1) {
                let (own, rest) = sums.split_at(piece.len());
                after[0].extend(own.iter().zip(piece).map(|(sum, value)| sum + value));
                sums = rest;
            }
        }
    }

    /// Adds a member like another, which stands for it before and after a part.
    pub(super) fn push_near(
        &mut self,
        like: usize,
        (from, to): (usize, usize),
        weight: f64,
        frames: &[usize],
        frame: impl Fn(usize) -> f32,
    ) {
        self.weights.push(weight as f32);
        let mut sum = 0.0;
        self.at[0].push(sum);
        for (cut, window) in frames.windows(2).enumerate() {
            sum += if (from..to).contains(&cut) {
                sum_of(window[0]..window[1], &frame)
            } else {
                self.at[cut + 1][like] - self.at[cut][like]
            };
            self.at[cut + 1].push(sum);
        }
    }

    /// Adds a member; `frame` gives its log evidence of one frame, `frames` the first frame of each cut.
    pub(super) fn push(&mut self, weight: f64, frames: &[usize], frame: impl Fn(usize) -> f32) {
        self.weights.push(weight as f32);
        let mut sum = 0.0;
        self.at[0].push(sum);
        for (cut, window) in frames.windows(2).enumerate() {
            sum += sum_of(window[0]..window[1], &frame);
            self.at[cut + 1].push(sum);
        }
    }
}

/// Sum over frames, in strands of their own: an addition need not wait for the one before it.
fn sum_of(frames: Range<usize>, value: &impl Fn(usize) -> f32) -> f32 {
    const STRANDS: usize = 4;
    let mut strands = [0.0_f32; STRANDS];
    let whole = frames.len() / STRANDS * STRANDS;
    for first in (frames.start..frames.start + whole).step_by(STRANDS) {
        for (strand, sum) in strands.iter_mut().enumerate() {
            *sum += value(first + strand);
        }
    }
    let mut sum = strands.iter().sum::<f32>();
    for frame in frames.start + whole..frames.end {
        sum += value(frame);
    }
    sum
}
