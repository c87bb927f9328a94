//! Log evidence of one pattern without parts (constant or cycle) for every stretch of a trace.

use super::grid;
use super::shape::{CAMERAS, Shape, colours, peaks};
use super::spans::Spans;
use super::tints::{Naming, TintCode, codes};
use super::watch::{LEVEL_CODES, Watch, Within, level_code};
use crate::colour::ColourName;
use crate::table::{Cycle, Pattern, Shade};

/// Ways to name the tints that are worth the time for a constant light and for a cycle.
const NAMINGS_CONSTANT: usize = 5;
const NAMINGS_CYCLE: usize = 3;

/// Members of the grid this far below the best, in nats, add nothing that counts.
const NEGLIGIBLE: f32 = 12.0;

/// Places within one cycle for which the expectation is worked out are at most this far apart, seconds.
const PLACE_S: f64 = 0.008;

/// Log evidence of a constant or a cycle, for every stretch. The period, phase, free on-time and camera are averaged
/// over (so a freer pattern pays for its freedom), and each stretch may have its own.
///
/// Stretches shorter than `shortest_s` that touch neither end of the clip are left at minus infinity: no caller lets the
/// pattern stay so briefly, and they are most of the work.
pub(super) fn evidence(pattern: &Pattern, watch: &Watch, shortest_s: f64) -> Spans {
    spans(pattern, watch, shortest_s, false)
}

/// The same with the best period, phase and camera in place of the average, for the whole trace.
pub(super) fn best_fit(pattern: &Pattern, watch: &Watch) -> f64 {
    spans(pattern, watch, 0.0, true).whole()
}

fn spans(pattern: &Pattern, watch: &Watch, shortest_s: f64, best_only: bool) -> Spans {
    let colours = colours(pattern);
    let keep = if matches!(pattern, Pattern::Cycle(_)) {
        NAMINGS_CYCLE
    } else {
        NAMINGS_CONSTANT
    };
    let namings = Naming::likeliest(&colours, watch, keep);
    let total = super::math::log_sum(namings.iter().map(|naming| naming.ln_prior));
    let scored: Vec<(Naming, Sums)> = namings
        .into_iter()
        .map(|naming| {
            let mut sums = match pattern {
                Pattern::Cycle(cycle) => cycle_sums(cycle, &colours, &naming, watch),
                Pattern::Constant(shade) => constant_sums(*shade, &colours, &naming, watch),
                Pattern::Sequence(_) => unreachable!("a sequence is scored part by part"),
            };
            sums.best_only |= best_only;
            (naming, sums)
        })
        .collect();
    let last = watch.frames.len() - 1;
    Spans::from_fn(watch.frames.len(), |a, b| {
        if a > 0 && b < last && watch.between_s(a, b) < shortest_s {
            return f64::NEG_INFINITY;
        }
        super::math::log_sum(
            scored
                .iter()
                .map(|(naming, sums)| sums.between(a, b) + naming.names(watch, a, b) + naming.ln_prior),
        ) - total
    })
}

/// Members refined for each part of the clip: enough for the neighbours of the best and for cameras that fit alike.
const LEADING: usize = 12;

/// The grid is refined until its phases are this many frames apart; finer ones explain no frame better.
const FINE_FRAMES: f64 = 0.7;

/// Most refinements, each by a factor of three: from a sixth of a phase of ten seconds down to a frame.
const MAX_REFINEMENTS: usize = 4;

/// Running sums of log evidence at the cuts, for each member of a grid.
struct Sums {
    /// Log weight of each member.
    weights: Vec<f32>,
    /// Cut by cut, one value a member.
    at: Vec<Vec<f32>>,
    /// Best member in place of the average: see [`cycle_sums`].
    best_only: bool,
}

impl Sums {
    fn new(cuts: usize) -> Self {
        Self {
            weights: Vec::new(),
            at: vec![Vec::new(); cuts],
            best_only: false,
        }
    }

    fn between(&self, a: usize, b: usize) -> f64 {
        let (from, to) = (&self.at[a], &self.at[b]);
        let member = |index: usize| to[index] - from[index] + self.weights[index];
        if self.best_only {
            return f64::from(
                (0..to.len())
                    .map(|index| to[index] - from[index])
                    .fold(f32::NEG_INFINITY, f32::max),
            );
        }
        let top = (0..to.len()).map(member).fold(f32::NEG_INFINITY, f32::max);
        let near = (0..to.len())
            .map(member)
            .filter(|value| *value > top - NEGLIGIBLE);
        let sum: f64 = near.map(|value| f64::from(value - top).exp()).sum();
        f64::from(top) + sum.ln()
    }

    /// The best members for the whole clip and for its halves and thirds, each of which may show a rhythm of its own.
    fn leading(&self) -> Vec<usize> {
        let last = self.at.len() - 1;
        let parts = [
            (0, last),
            (0, last / 2),
            (last / 2, last),
            (0, last / 3),
            (last - last / 3, last),
        ];
        let mut leading = Vec::new();
        for (a, b) in parts.into_iter().filter(|(a, b)| a < b) {
            let value = |member: usize| self.at[b][member] - self.at[a][member] + self.weights[member];
            let mut order: Vec<usize> = (0..self.weights.len()).collect();
            let kept = LEADING.min(order.len()) - 1;
            order.select_nth_unstable_by(kept, |x, y| value(*y).total_cmp(&value(*x)));
            leading.extend_from_slice(&order[..=kept]);
        }
        leading.sort_unstable();
        leading.dedup();
        leading.retain(|member| self.weights[*member].is_finite());
        leading
    }

    /// Adds a member; `frame` gives its log evidence of one frame.
    fn push(&mut self, weight: f64, frames: &[usize], frame: impl Fn(usize) -> f32) {
        self.weights.push(weight as f32);
        let mut sum = 0.0;
        self.at[0].push(sum);
        for (cut, window) in frames.windows(2).enumerate() {
            for index in window[0]..window[1] {
                sum += frame(index);
            }
            self.at[cut + 1].push(sum);
        }
    }
}

fn constant_sums(shade: Shade, colours: &[ColourName], naming: &Naming, watch: &Watch) -> Sums {
    let tints = naming.table(colours, watch);
    let (level, tint) = match shade {
        Shade::Dark => (0.0, TintCode::Dark),
        Shade::Lit(..) => (naming.gains(watch)[0], TintCode::Full(0)),
    };
    let level = usize::from(level_code(level, Within::Steady));
    let (tint, codes) = (usize::from(tint.index(colours.len())), codes(colours.len()));
    let mut sums = Sums::new(watch.frames.len());
    sums.push(0.0, &watch.frames, |frame| {
        watch.level[frame * LEVEL_CODES + level] + tints[frame * codes + tint]
    });
    sums
}

fn cycle_sums(cycle: &Cycle, colours: &[ColourName], naming: &Naming, watch: &Watch) -> Sums {
    let search = Search {
        watch,
        tints: naming.table(colours, watch),
        codes: codes(colours.len()),
        size: ((cycle.period_s / PLACE_S).ceil() as usize)
            .next_power_of_two()
            .clamp(64, 4096),
    };
    let mut sums = Sums::new(watch.frames.len());
    // What an alias looks like hangs on the device's rate to a fraction of a percent, of which no prior over the
    // tolerance knows anything. So a rhythm too fast for the clip is given its best member: it may look like this.
    sums.best_only = grid::aliased(cycle, watch.fps());
    let looks = search.looks(cycle, colours, &naming.gains(watch));
    let periods = grid::periods(cycle, watch.trace.length_s());
    let phases = grid::phases(cycle);
    let weight = -((looks.len() * phases) as f64).ln();
    let mut members = Vec::new();
    for (period_s, ln_period) in &periods.of {
        let places = search.places(*period_s);
        for (look, codes) in looks.iter().enumerate() {
            for phase in 0..phases {
                let phase = phase as f64 / phases as f64;
                search.push(&mut sums, codes, &places, phase, ln_period + weight);
                members.push(Member {
                    look,
                    period_s: *period_s,
                    phase,
                });
            }
        }
    }
    let mut steps = Steps {
        phase: 1.0 / phases as f64,
        period_s: periods.step_s,
    };
    for _ in 0..MAX_REFINEMENTS {
        if steps.phase * cycle.period_s <= FINE_FRAMES * watch.span_s {
            break;
        }
        search.refine(&mut sums, &mut members, &looks, steps);
        steps = Steps {
            phase: steps.phase / 3.0,
            period_s: steps.period_s / 3.0,
        };
    }
    sums
}

/// One member of the grid.
#[derive(Debug, Clone, Copy)]
struct Member {
    look: usize,
    period_s: f64,
    /// Share of the cycle gone by in the middle of the clip.
    phase: f64,
}

/// Distance of neighbouring members.
#[derive(Debug, Clone, Copy)]
struct Steps {
    phase: f64,
    period_s: f64,
}

/// Codes of level and tint for places within the cycle.
type Look = Vec<(u8, u8)>;

struct Search<'w, 't> {
    watch: &'w Watch<'t>,
    tints: Vec<f32>,
    codes: usize,
    /// Number of places within the cycle, a power of two.
    size: usize,
}

impl Search<'_, '_> {
    /// What the cycle looks like for every free on-time, camera and peak. The period changes the share that an exposure
    /// takes of the cycle by no more than the tolerance, so one look does for all periods.
    fn looks(&self, cycle: &Cycle, colours: &[ColourName], gains: &[f64]) -> Vec<Look> {
        let mut looks = Vec::new();
        for stretch in grid::stretches(cycle) {
            let shape = Shape::new(cycle, colours, stretch);
            for camera in CAMERAS {
                for peak in peaks(cycle) {
                    let exposure_s = camera.exposure * self.watch.span_s;
                    looks.push(shape.expect(self.size, exposure_s, camera, *peak, gains));
                }
            }
        }
        looks
    }

    /// Where in the cycle each frame falls, before the phase.
    fn places(&self, period_s: f64) -> Vec<usize> {
        let middle_s = self.watch.trace.length_s() / 2.0;
        let place = |time_s: f64| ((time_s - middle_s) / period_s).rem_euclid(1.0) * self.size as f64;
        self.watch
            .trace
            .samples
            .iter()
            .map(|sample| place(sample.time_s) as usize)
            .collect()
    }

    fn push(&self, sums: &mut Sums, look: &Look, places: &[usize], phase: f64, weight: f64) {
        let shift = (phase.rem_euclid(1.0) * self.size as f64) as usize;
        sums.push(weight, &self.watch.frames, |frame| {
            let (level, tint) = look[(places[frame] + shift) & (self.size - 1)];
            self.watch.level[frame * LEVEL_CODES + usize::from(level)]
                + self.tints[frame * self.codes + usize::from(tint)]
        });
    }

    /// Splits the best members of each part of the clip into nine finer ones that share their weight.
    fn refine(&self, sums: &mut Sums, members: &mut Vec<Member>, looks: &[Look], steps: Steps) {
        for parent in sums.leading() {
            let Member {
                look,
                period_s,
                phase,
            } = members[parent];
            let weight = f64::from(sums.weights[parent]) - f64::ln(9.0);
            sums.weights[parent] = f32::NEG_INFINITY;
            for along in [-1.0, 0.0, 1.0] {
                let period_s = period_s + along * steps.period_s / 3.0;
                let places = self.places(period_s);
                for shift in [-1.0, 0.0, 1.0] {
                    let phase = phase + shift * steps.phase / 3.0;
                    self.push(sums, &looks[look], &places, phase, weight);
                    members.push(Member {
                        look,
                        period_s,
                        phase,
                    });
                }
            }
        }
    }
}
