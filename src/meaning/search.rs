//! Which periods, phases, on-times and manners explain a cycle: a coarse grid, then finer ones about its best members.

use std::collections::BTreeMap;

use super::grid;
use super::manner::{Manner, manners};
use super::score::Sums;
use super::shape::Shape;
use super::tints::{Naming, codes};
use super::watch::{LEVEL_CODES, Watch};
use crate::colour::ColourName;
use crate::table::Cycle;

/// Places within one cycle for which the expectation is worked out are at most this far apart, seconds.
const PLACE_S: f64 = 0.008;

/// Members refined for the whole clip and for each part of it, and of these at most so many of one manner: far from the
/// true period and phase the manner that smears most fits best, and would keep all others from ever coming near.
const LEADING: usize = 24;
const LEADING_PART: usize = 8;
const LEADING_OF_MANNER: usize = 4;

/// So many times as many members as are wanted are looked through for them.
const SIFTED: usize = 12;

/// A part of the clip that is refined on its own holds at least so many cycles.
const PART_CYCLES: f64 = 2.0;

/// The grid is refined until its edges are this many frames apart; finer ones explain no frame better.
const FINE_FRAMES: f64 = 0.7;

/// Most refinements, each by a factor of three: from a sixth of a phase of ten seconds down to a frame.
const MAX_REFINEMENTS: usize = 4;

/// Sums of every member of the grid.
pub(super) fn cycle_sums(cycle: &Cycle, colours: &[ColourName], naming: &Naming, watch: &Watch) -> Sums {
    let mut search = Search {
        watch,
        cycle,
        colours,
        gains: naming.gains(watch),
        manners: manners(cycle),
        tints: naming.table(colours, watch),
        codes: codes(colours.len()),
        size: ((cycle.period_s / PLACE_S).ceil() as usize)
            .next_power_of_two()
            .clamp(64, 4096),
        looks: BTreeMap::new(),
        members: Vec::new(),
        sums: Sums::new(watch.frames.len()),
    };
    // What an alias looks like hangs on the device's rate to a fraction of a percent, of which no prior over the
    // tolerance knows anything. So a rhythm too fast for the clip is given its best member: it may look like this.
    search.sums.best_only = grid::aliased(cycle, watch.fps());
    let mut steps = search.coarse();
    for _ in 0..MAX_REFINEMENTS {
        let edge_s = (steps.phase * cycle.period_s).max(steps.stretch * grid::freedom_s(cycle));
        if edge_s <= FINE_FRAMES * watch.span_s {
            break;
        }
        search.refine(steps);
        steps = steps.finer();
    }
    let leading = search.leading(SIFTED);
    search.sums.thin(&leading);
    search.sums
}

/// One member of the grid.
#[derive(Debug, Clone, Copy)]
struct Member {
    manner: usize,
    /// Place of free on-times in their ranges, 0 to 1.
    stretch: f64,
    period_s: f64,
    /// Share of the cycle gone by in the middle of the clip.
    phase: f64,
}

/// Distance of neighbouring members.
#[derive(Debug, Clone, Copy)]
struct Steps {
    phase: f64,
    period_s: f64,
    /// 0 where the table fixes the on-times.
    stretch: f64,
}

impl Steps {
    fn finer(self) -> Self {
        Self {
            phase: self.phase / 3.0,
            period_s: self.period_s / 3.0,
            stretch: self.stretch / 3.0,
        }
    }
}

/// Codes of level and tint for places within the cycle.
type Look = Vec<(u8, u8)>;

struct Search<'w, 't> {
    watch: &'w Watch<'t>,
    cycle: &'w Cycle,
    colours: &'w [ColourName],
    gains: Vec<f64>,
    manners: Vec<Manner>,
    tints: Vec<f32>,
    codes: usize,
    /// Number of places within the cycle, a power of two.
    size: usize,
    /// By manner and stretch in millionths. The period changes the share that an exposure takes of the cycle by no more
    /// than the tolerance, so one look does for all periods.
    looks: BTreeMap<(usize, u32), Look>,
    members: Vec<Member>,
    sums: Sums,
}

impl Search<'_, '_> {
    /// Scores the coarse grid.
    fn coarse(&mut self) -> Steps {
        let periods = grid::periods(self.cycle, self.watch.trace.length_s());
        let phases = grid::phases(self.cycle);
        let stretches = grid::stretches(self.cycle);
        let weight = -((self.manners.len() * stretches.len() * phases) as f64).ln();
        for (period_s, ln_period) in &periods.of {
            let places = self.places(*period_s);
            for manner in 0..self.manners.len() {
                for stretch in &stretches {
                    for phase in 0..phases {
                        let member = Member {
                            manner,
                            stretch: *stretch,
                            period_s: *period_s,
                            phase: phase as f64 / phases as f64,
                        };
                        self.push(member, &places, ln_period + weight);
                    }
                }
            }
        }
        Steps {
            phase: 1.0 / phases as f64,
            period_s: periods.step_s,
            stretch: if stretches.len() > 1 {
                1.0 / (stretches.len() - 1) as f64
            } else {
                0.0
            },
        }
    }

    /// Splits the best members of each part of the clip into finer ones that share their weight.
    fn refine(&mut self, steps: Steps) {
        let finer = steps.finer();
        let stretches: &[f64] = if steps.stretch > 0.0 {
            &[-1.0, 0.0, 1.0]
        } else {
            &[0.0]
        };
        let children = (9 * stretches.len()) as f64;
        for parent in self.leading(1) {
            let member = self.members[parent];
            let weight = f64::from(self.sums.weights[parent]) - children.ln();
            self.sums.weights[parent] = f32::NEG_INFINITY;
            for along in [-1.0, 0.0, 1.0] {
                let period_s = member.period_s + along * finer.period_s;
                let places = self.places(period_s);
                for wider in stretches {
                    for shift in [-1.0, 0.0, 1.0] {
                        let child = Member {
                            stretch: (member.stretch + wider * finer.stretch).clamp(0.0, 1.0),
                            period_s,
                            phase: member.phase + shift * finer.phase,
                            ..member
                        };
                        self.push(child, &places, weight);
                    }
                }
            }
        }
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

    fn push(&mut self, member: Member, places: &[usize], weight: f64) {
        let key = (member.manner, (member.stretch * 1e6).round() as u32);
        let look = self.looks.entry(key).or_insert_with(|| {
            let manner = self.manners[member.manner];
            Shape::new(self.cycle, self.colours, member.stretch).expect(
                self.size,
                self.watch.span_s,
                manner,
                &self.gains,
            )
        });
        let shift = (member.phase.rem_euclid(1.0) * self.size as f64) as usize;
        let (watch, tints, codes, mask) = (self.watch, &self.tints, self.codes, self.size - 1);
        self.sums.push(weight, &watch.frames, |frame| {
            let (level, tint) = look[(places[frame] + shift) & mask];
            watch.level[frame * LEVEL_CODES + usize::from(level)] + tints[frame * codes + usize::from(tint)]
        });
        self.members.push(member);
    }

    /// The best members for the whole clip and for parts of it, each of which may show a rhythm of its own; so many times
    /// more than are refined.
    fn leading(&self, more: usize) -> Vec<usize> {
        let last = self.watch.frames.len() - 1;
        let mut leading = self.best_between(0, last, more * LEADING, more);
        for share in [2, 4, 8] {
            for part in 0..2 * share - 1 {
                let (a, b) = (part * last / (2 * share), (part + 2) * last / (2 * share));
                if a < b && self.watch.between_s(a, b) >= PART_CYCLES * self.cycle.period_s {
                    leading.extend(self.best_between(a, b, LEADING_PART, 1));
                }
            }
        }
        leading.sort_unstable();
        leading.dedup();
        leading
    }

    fn best_between(&self, a: usize, b: usize, most: usize, of_each: usize) -> Vec<usize> {
        let (from, to) = (&self.sums.at[a], &self.sums.at[b]);
        let mut order: Vec<(f32, usize)> = (0..self.members.len())
            .map(|member| (to[member] - from[member] + self.sums.weights[member], member))
            .filter(|(value, _)| value.is_finite())
            .collect();
        let looked_at = SIFTED * most;
        if order.len() > looked_at {
            order.select_nth_unstable_by(looked_at, |x, y| y.0.total_cmp(&x.0));
            order.truncate(looked_at);
        }
        order.sort_unstable_by(|x, y| y.0.total_cmp(&x.0));
        let mut of_manner = vec![0; self.manners.len()];
        let mut kept = Vec::new();
        for (_, member) in order {
            let count = &mut of_manner[self.members[member].manner];
            if *count < of_each * LEADING_OF_MANNER {
                *count += 1;
                kept.push(member);
                if kept.len() == most {
                    break;
                }
            }
        }
        kept
    }
}
