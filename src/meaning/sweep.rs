//! What every segment of a clip, from cut to cut, says for every phase of a cycle.
//!
//! Within a segment of a second or two only a few periods differ visibly. So a segment's frames are looked at once for
//! each of those few, and a period and phase of the whole clip then cost one sum a segment and not one a frame.

use super::grid;
use super::looks::Looks;
use super::math::fraction;
use super::watch::Watch;
use crate::table::Cycle;

/// Places within a phase at which a frame may begin.
const PLACES: usize = 4;

/// Phases told apart, for each phase of the coarse grid: rounding to one moves an edge by a sixth of a step at most.
const PHASES: usize = 3;

/// Log evidence of segments.
pub(super) struct Sweep<'c> {
    cycle: &'c Cycle,
    /// Phases told apart.
    phases: usize,
    segments: Vec<Segment>,
    /// By look, segment, period and phase.
    values: Vec<Vec<f32>>,
}

#[derive(Debug, Clone, Copy)]
struct Segment {
    /// From the middle of the clip to that of the segment, seconds.
    middle_s: f64,
    /// Periods tried on each side of the cycle's own.
    each_side: usize,
    /// Its place in the values.
    start: usize,
    frames: (usize, usize),
}

/// A look for the phases one after the other, at one of the places within a phase.
struct Row {
    starts: Vec<u32>,
    changes: Vec<Change>,
}

/// Where one phase shows something else than the one before.
struct Change {
    at: usize,
    from: u32,
    to: u32,
}

impl Row {
    fn new(look: &[u32], place: usize) -> Self {
        let starts: Vec<u32> = look.iter().copied().skip(place).step_by(PLACES).collect();
        let before = |at: usize| starts[(at + starts.len() - 1) % starts.len()];
        let changes = (0..starts.len())
            .map(|at| Change {
                at,
                from: before(at),
                to: starts[at],
            })
            .filter(|change| change.from != change.to)
            .collect();
        Self { starts, changes }
    }
}

impl<'c> Sweep<'c> {
    pub(super) fn new(cycle: &'c Cycle, watch: &Watch) -> Self {
        let phases = PHASES * grid::phases(cycle);
        let middle_s = watch.trace.length_s() / 2.0;
        let mut start = 0;
        let segment = |window: &[usize]| {
            let samples = &watch.trace.samples[window[0]..window[1]];
            let (first_s, last_s) = match samples {
                [first, .., last] => (first.time_s, last.time_s),
                [only] => (only.time_s, only.time_s),
                [] => (middle_s, middle_s),
            };
            let each_side = grid::each_side(cycle, last_s - first_s);
            let segment = Segment {
                middle_s: (first_s + last_s) / 2.0 - middle_s,
                each_side,
                start,
                frames: (window[0], window[1]),
            };
            start += (2 * each_side + 1) * phases;
            segment
        };
        let segments = watch.frames.windows(2).map(segment).collect();
        Self {
            cycle,
            phases,
            segments,
            values: Vec::new(),
        }
    }

    /// Places within the cycle for which a look is wanted.
    pub(super) fn places(&self) -> usize {
        self.phases * PLACES
    }

    /// Adds what a look of the cycle makes of every segment; `look` has the start of the frames' values place by place.
    pub(super) fn add(&mut self, look: &[u32], looks: &Looks, watch: &Watch) {
        let rows: Vec<Row> = (0..PLACES).map(|place| Row::new(look, place)).collect();
        let of_segment = |segment: &Segment| self.of_segment(segment, &rows, looks, watch);
        let values = self.segments.iter().flat_map(of_segment).collect();
        self.values.push(values);
    }

    /// From phase to phase the sum changes only where a frame comes to look different, so only that is added up.
    fn of_segment(&self, segment: &Segment, rows: &[Row], looks: &Looks, watch: &Watch) -> Vec<f32> {
        let values = looks.values();
        let middle_s = watch.trace.length_s() / 2.0 + segment.middle_s;
        let (from, to) = segment.frames;
        let mut sums = vec![0.0; (2 * segment.each_side + 1) * self.phases];
        for (period, sums) in sums.chunks_mut(self.phases).enumerate() {
            let per_s = 1.0 / self.period_s(segment, period);
            let mut first = 0.0;
            for frame in (from..to).filter(|frame| watch.seen(*frame)) {
                let gone = fraction((watch.trace.samples[frame].time_s - middle_s) * per_s);
                let place = (gone * self.places() as f64) as usize;
                let (row, phase) = (&rows[place % PLACES], place / PLACES % self.phases);
                first += values[row.starts[phase] as usize + frame];
                for change in &row.changes {
                    let at = change.at + if change.at < phase { self.phases } else { 0 } - phase;
                    sums[at] += values[change.to as usize + frame] - values[change.from as usize + frame];
                }
            }
            sums[0] = first;
            for phase in 1..self.phases {
                sums[phase] += sums[phase - 1];
            }
            self.deal(sums);
        }
        sums
    }

    /// Puts the phases of one coarse grid next to each other: first every third, then those one after each of them, and so
    /// on. A pattern of the whole clip asks for those of one grid, wherever its first phase lies.
    fn deal(&self, sums: &mut [f32]) {
        let of_grid = (0..PHASES).flat_map(|grid| sums.iter().copied().skip(grid).step_by(PHASES));
        let dealt: Vec<f32> = of_grid.collect();
        sums.copy_from_slice(&dealt);
    }

    fn period_s(&self, segment: &Segment, period: usize) -> f64 {
        let each_side = segment.each_side.max(1) as f64;
        let offset = (period as f64 - segment.each_side as f64) / each_side;
        self.cycle.period_s * (1.0 + self.cycle.within * offset)
    }

    /// What a segment says under a look, for the phases of the coarse grid, beginning with phase 0 in the middle of the
    /// clip, where the cycle has a period. In two pieces: the cycle may begin anywhere in the row of phases.
    pub(super) fn phases(&self, look: usize, segment: usize, period_s: f64) -> [&[f32]; 2] {
        let of = &self.segments[segment];
        let offset = (period_s / self.cycle.period_s - 1.0) / self.cycle.within.max(1e-9);
        let each_side = of.each_side as f64;
        let period = (offset * each_side).round().clamp(-each_side, each_side) + each_side;
        let start = of.start + period as usize * self.phases;
        let row = &self.values[look][start..start + self.phases];
        let first = (fraction(of.middle_s / period_s) * self.phases as f64).round() as usize % self.phases;
        let count = self.phases / PHASES;
        let grid = first % PHASES * count;
        let (before, after) = row[grid..grid + count].split_at(first / PHASES);
        [after, before]
    }
}
