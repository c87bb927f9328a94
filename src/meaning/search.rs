//! Which periods, phases, on-times and manners explain a cycle: a coarse grid, then finer ones about its best members.

use std::collections::{BTreeMap, BTreeSet};

use super::grid;
use super::looks::Looks;
use super::manner::{Manner, is_first, manners};
use super::math::fraction;
use super::member::{Member, Parents, Steps};
use super::shape::Shape;
use super::spans::Spans;
use super::sums::Sums;
use super::sweep::Sweep;
use super::tints::Naming;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::Cycle;

/// Places within one cycle for which the expectation is worked out are at most this far apart, seconds.
const PLACE_S: f64 = 0.008;

/// Members refined for the whole clip and for each part of it, and of these at most so many of one manner: far from the
/// true period and phase the manner that smears most fits best, and would keep all others from ever coming near.
const LEADING: usize = 24;
const LEADING_PART: usize = 8;
const LEADING_OF_MANNER: usize = 4;

/// So many times as many members as are refined are kept in the end.
const KEPT: usize = 12;

/// A part of the clip that is refined on its own holds at least so many cycles.
const PART_CYCLES: f64 = 2.0;

/// The grid is refined until its edges are this many frames apart; finer ones explain no frame better.
const FINE_FRAMES: f64 = 0.7;

/// Times that the parts may grow, each time by what the members refined in them reach.
const GROWTHS: usize = 3;

/// So many times as many members of the coarse grid, where one manner stands for all like it, are tried in every manner.
const TRIED: usize = 2;

/// Most that a frame says against a pattern, nats before tempering: see [`super::watch`].
const FRAME_NATS: f64 = 7.0;

/// A pattern that even at its best stays so many nats behind its rival is not looked for any further.
const HOPELESS: f64 = 30.0;

/// Sums of every member of the grid. Where the `rival` explains every part of the clip much better, only the coarse grid
/// is looked at.
pub(super) fn cycle_sums(
    cycle: &Cycle,
    colours: &[ColourName],
    naming: &Naming,
    watch: &Watch,
    rival: Option<&Spans>,
) -> Sums {
    let mut search = Search {
        watch,
        cycle,
        colours,
        rival,
        gains: naming.gains(watch),
        manners: manners(cycle, watch),
        looks: Looks::new(naming, colours, watch),
        times_s: watch
            .trace
            .samples
            .iter()
            .map(|sample| sample.time_s - watch.trace.length_s() / 2.0)
            .collect(),
        size: ((cycle.period_s / PLACE_S).ceil() as usize)
            .next_power_of_two()
            .clamp(64, 4096),
        shapes: BTreeMap::new(),
        members: Vec::new(),
        sums: Sums::new(watch.frames.len()),
        parts: Vec::new(),
    };
    // What an alias looks like hangs on the device's rate to a fraction of a percent, of which no prior over the
    // tolerance knows anything. So a rhythm too fast for the clip is given its best member: it may look like this.
    search.sums.best_only = grid::aliased(cycle, watch.fps());
    let mut steps = search.coarse();
    search.parts = search.promising(steps);
    if search.parts.is_empty() {
        search.parts = vec![search.whole()];
        search.thin();
        return search.sums;
    }
    search.try_manners();
    search.thin();
    let mut refined = 0;
    while steps.edge_s(cycle) > FINE_FRAMES * watch.span_s {
        search.refine(steps, Parents::Go);
        steps = steps.finer();
        refined += 1;
    }
    // Never wider than the grid's own steps, which would stretch the rates that the row allows.
    let growths = if refined < 2 { 0 } else { GROWTHS };
    for _ in 0..growths {
        search.parts = search.grown();
        if search.parts.is_empty() {
            break;
        }
        search.refine(steps.coarser().coarser(), Parents::Stay);
        search.refine(steps.coarser(), Parents::Go);
    }
    search.thin();
    search.sums
}

struct Search<'w, 't> {
    watch: &'w Watch<'t>,
    cycle: &'w Cycle,
    colours: &'w [ColourName],
    rival: Option<&'w Spans>,
    gains: Vec<f64>,
    manners: Vec<Manner>,
    looks: Looks<'w, 't>,
    /// When each frame begins, from the middle of the clip, seconds.
    times_s: Vec<f64>,
    /// Number of places within the cycle, a power of two.
    size: usize,
    /// Looks for places within the cycle, by manner and stretch in millionths. The period changes the share that an
    /// exposure takes of the cycle by no more than the tolerance, so one does for all periods.
    shapes: BTreeMap<(usize, u32), Vec<u32>>,
    members: Vec<Member>,
    sums: Sums,
    /// Parts of the clip, by their cuts, in which the pattern may yet come near its rival.
    parts: Vec<(usize, usize)>,
}

impl Search<'_, '_> {
    /// Scores the coarse grid, with one manner of each curve.
    fn coarse(&mut self) -> Steps {
        let periods = grid::periods(self.cycle, self.watch.trace.length_s());
        let phases = grid::phases(self.cycle);
        let stretches = grid::stretches(self.cycle);
        let firsts = (0..self.manners.len()).filter(|manner| is_first(&self.manners, *manner));
        let looks: Vec<(usize, f64)> = firsts
            .flat_map(|manner| stretches.iter().map(move |stretch| (manner, *stretch)))
            .collect();
        let mut sweep = Sweep::new(self.cycle, self.watch);
        for (manner, stretch) in &looks {
            let look = self.look(*manner, *stretch, sweep.places());
            sweep.add(&look, &self.looks, self.watch);
        }
        let weight = -((looks.len() * phases) as f64).ln();
        let count = periods.of.len() * looks.len() * phases;
        self.sums.reserve(count);
        self.members.reserve(count);
        for (period_s, ln_period) in &periods.of {
            for (look, (manner, stretch)) in looks.iter().enumerate() {
                self.members.extend((0..phases).map(|phase| Member {
                    manner: *manner,
                    stretch: *stretch,
                    period_s: *period_s,
                    phase: phase as f64 / phases as f64,
                }));
                let of_segment = |segment| sweep.phases(look, segment, *period_s);
                self.sums.push_all(phases, ln_period + weight, of_segment);
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

    /// Splits the best members of each part of the clip into finer ones.
    fn refine(&mut self, steps: Steps, parents: Parents) {
        let finer = steps.finer();
        let stretches: &[f64] = if steps.stretch > 0.0 {
            &[-1.0, 0.0, 1.0]
        } else {
            &[0.0]
        };
        let children = (9 * stretches.len()) as f64;
        for (parent, part) in self.leading(1) {
            let member = self.members[parent];
            let weight = match parents {
                Parents::Go => {
                    let weight = std::mem::replace(&mut self.sums.weights[parent], f32::NEG_INFINITY);
                    f64::from(weight) - children.ln()
                }
                Parents::Stay => f64::from(self.sums.weights[parent]) + children.ln(),
            };
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
                        self.push(child, &places, weight, (parent, part));
                    }
                }
            }
        }
    }

    /// Splits the best members into one of each manner with their curve.
    fn try_manners(&mut self) {
        for (parent, part) in self.leading(TRIED) {
            let member = self.members[parent];
            let curve = self.manners[member.manner].curve;
            let alike: Vec<usize> = (0..self.manners.len())
                .filter(|manner| self.manners[*manner].curve == curve)
                .collect();
            let weight = f64::from(self.sums.weights[parent]) - (alike.len() as f64).ln();
            self.sums.weights[parent] = f32::NEG_INFINITY;
            let places = self.places(member.period_s);
            for manner in alike {
                self.push(Member { manner, ..member }, &places, weight, (parent, part));
            }
        }
    }

    /// Where in the cycle each frame falls, before the phase.
    fn places(&self, period_s: f64) -> Vec<u32> {
        // In fixed point, a cycle being 2^32, whole cycles drop off by themselves.
        let per_s = 2f64.powi(32) / period_s;
        let spare_bits = 32 - self.size.trailing_zeros();
        self.times_s
            .iter()
            .map(|time_s| (time_s * per_s) as i64 as u32 >> spare_bits)
            .collect()
    }

    /// Where the values of the frames start, place by place within the cycle.
    fn look(&mut self, manner: usize, stretch: f64, size: usize) -> Vec<u32> {
        let shape = Shape::new(self.cycle, self.colours, stretch);
        let expected = shape.expect(size, self.watch.span_s, self.manners[manner], &self.gains);
        expected.into_iter().map(|look| self.looks.start(look)).collect()
    }

    /// Adds a member that is looked at in the part in which its parent leads; elsewhere the parent stands for it.
    fn push(&mut self, member: Member, places: &[u32], weight: f64, (parent, part): (usize, (usize, usize))) {
        let key = (member.manner, (member.stretch * 1e6).round() as u32);
        if !self.shapes.contains_key(&key) {
            let look = self.look(member.manner, member.stretch, self.size);
            self.shapes.insert(key, look);
        }
        let (look, values, mask) = (&self.shapes[&key], self.looks.values(), self.size - 1);
        let shift = (fraction(member.phase) * self.size as f64) as usize;
        self.sums
            .push_near(parent, part, weight, &self.watch.frames, |frame| {
                values[look[(places[frame] as usize + shift) & mask] as usize + frame]
            });
        self.members.push(member);
    }

    /// Leaves the best members and a few others.
    fn thin(&mut self) {
        let leading: Vec<usize> = self.leading(KEPT).into_keys().collect();
        let kept = self.sums.thin(&leading);
        self.members = kept.into_iter().map(|member| self.members[member]).collect();
    }

    /// The best members of each part, so that a stretch with another pace or phase than the rest is refined too; so many
    /// times `more` as are refined. Each with the cuts between which it is looked at more closely: where it leads. An alias
    /// that leads nowhere may yet be the best of all, once it is as near as a fraction of a percent.
    fn leading(&self, more: usize) -> BTreeMap<usize, (usize, usize)> {
        let mut leading: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
        for &part in &self.parts {
            let most = if part == self.whole() {
                LEADING
            } else {
                LEADING_PART
            };
            for (_, member) in self.best_between(part, more * most, more * LEADING_OF_MANNER) {
                let near = if self.sums.best_only { self.whole() } else { part };
                let (from, to) = leading.entry(member).or_insert(near);
                (*from, *to) = ((*from).min(near.0), (*to).max(near.1));
            }
        }
        leading
    }

    const fn whole(&self) -> (usize, usize) {
        (0, self.watch.frames.len() - 1)
    }

    /// The whole clip, then those of its halves, quarters and eighths that are long enough, by their cuts.
    fn all_parts(&self) -> Vec<(usize, usize)> {
        let last = self.watch.frames.len() - 1;
        let parts = [2, 4, 8].into_iter().flat_map(|share| {
            (0..2 * share - 1).map(move |part| (part * last / (2 * share), (part + 2) * last / (2 * share)))
        });
        let long =
            parts.filter(|(a, b)| a < b && self.watch.between_s(*a, *b) >= PART_CYCLES * self.cycle.period_s);
        [self.whole()].into_iter().chain(long).collect()
    }

    /// The best members of a part with what they are worth, at most so many in all and of each manner, and none that
    /// adds nothing to the best.
    fn best_between(&self, (a, b): (usize, usize), most: usize, of_each: usize) -> Vec<(f32, usize)> {
        let mut best: Vec<Vec<(f32, usize)>> = vec![Vec::new(); self.manners.len()];
        // What a member of each manner has to beat: nearly all fail at this.
        let mut least = vec![f32::NEG_INFINITY; self.manners.len()];
        let members = self.members.iter().zip(self.sums.members_between(a, b));
        for (member, (Member { manner, .. }, value)) in members.enumerate() {
            if value <= least[*manner] {
                continue;
            }
            let best = &mut best[*manner];
            best.truncate(of_each - 1);
            best.insert(best.partition_point(|other| other.0 >= value), (value, member));
            if best.len() == of_each {
                least[*manner] = best[of_each - 1].0;
            }
        }
        let mut best = best.concat();
        best.sort_unstable_by(|x, y| y.0.total_cmp(&x.0));
        best.truncate(most);
        best
    }

    /// The parts in which the pattern does not stay behind its rival by so much that no member between those of the grid
    /// makes up for it.
    fn promising(&self, steps: Steps) -> Vec<(usize, usize)> {
        let mut parts = self.all_parts();
        let Some(rival) = self.rival else { return parts };
        parts.retain(|&(a, b)| {
            let top = self.sums.members_between(a, b).fold(f32::NEG_INFINITY, f32::max);
            let most = f64::from(top) + self.gain(self.watch.between_s(a, b), steps);
            most + HOPELESS >= rival.at(a, b)
        });
        parts
    }

    /// Where the best of the parts go on beyond them: a slow rhythm that gives way to something else fills no part. Their best
    /// members are looked at in the whole clip from here on.
    fn grown(&mut self) -> Vec<(usize, usize)> {
        /// A part that stays so many nats behind its rival is not looked at.
        const BEHIND: f64 = 12.0;
        let (Some(rival), whole) = (self.rival, self.whole()) else {
            return Vec::new();
        };
        let mut grown = BTreeSet::new();
        for part in self.parts.clone() {
            let mut best = None;
            for (_, member) in self.best_between(part, LEADING_PART, LEADING_OF_MANNER) {
                best = best.or(Some(self.members.len()));
                let places = self.places(self.members[member].period_s);
                let weight = f64::from(self.sums.weights[member]);
                self.push(self.members[member], &places, weight, (member, whole));
                self.sums.weights[member] = f32::NEG_INFINITY;
            }
            let Some(best) = best else { continue };
            let ahead = |&(a, b): &(usize, usize)| {
                f64::from(self.sums.at[b][best] - self.sums.at[a][best]) - rival.at(a, b)
            };
            let most = |a: &(usize, usize), b: &(usize, usize)| ahead(a).total_cmp(&ahead(b));
            let later = (part.1..=whole.1)
                .map(|to| (part.0, to))
                .max_by(most)
                .unwrap_or(part);
            let both = (0..=part.0)
                .map(|from| (from, later.1))
                .max_by(most)
                .unwrap_or(later);
            if both != part && ahead(&both) > -BEHIND {
                grown.insert(both);
            }
        }
        if !grown.is_empty() {
            grown.insert(whole);
        }
        grown.into_iter().collect()
    }

    /// At most so much is gained in so many seconds between the members of the grid: every frame put right that an edge
    /// may have missed, and where the light swells, every frame.
    fn gain(&self, seconds: f64, steps: Steps) -> f64 {
        let all = seconds / self.watch.span_s;
        let edges = (self.cycle.phases.len() as f64 * seconds / self.cycle.period_s).ceil();
        let missed = edges * (1.0 + 0.5 * steps.edge_s(self.cycle) / self.watch.span_s);
        let frames = if self.swells() { all } else { missed.min(all) };
        FRAME_NATS * self.watch.temper * frames
    }

    fn swells(&self) -> bool {
        self.cycle.phases.iter().any(|phase| phase.from != phase.to)
    }
}
