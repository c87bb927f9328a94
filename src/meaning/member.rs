//! Members of the grid of periods, phases, on-times and manners, and how far apart they lie.

use super::grid;
use crate::table::Cycle;

/// One member of the grid.
#[derive(Debug, Clone, Copy)]
pub(super) struct Member {
    pub(super) manner: usize,
    /// Place of free on-times in their ranges, 0 to 1.
    pub(super) stretch: f64,
    pub(super) period_s: f64,
    /// Share of the cycle gone by in the middle of the clip.
    pub(super) phase: f64,
}

/// Distance of neighbouring members.
#[derive(Debug, Clone, Copy)]
pub(super) struct Steps {
    pub(super) phase: f64,
    pub(super) period_s: f64,
    /// 0 where the table fixes the on-times.
    pub(super) stretch: f64,
}

impl Steps {
    pub(super) fn finer(self) -> Self {
        Self {
            phase: self.phase / 3.0,
            period_s: self.period_s / 3.0,
            stretch: self.stretch / 3.0,
        }
    }

    pub(super) fn coarser(self) -> Self {
        Self {
            phase: self.phase * 3.0,
            period_s: self.period_s * 3.0,
            stretch: self.stretch * 3.0,
        }
    }

    /// How far apart neighbours put an edge, seconds.
    pub(super) fn edge_s(self, cycle: &Cycle) -> f64 {
        (self.phase * cycle.period_s).max(self.stretch * grid::freedom_s(cycle))
    }
}

/// What becomes of a member that is split.
#[derive(Debug, Clone, Copy)]
pub(super) enum Parents {
    /// Its children share its weight.
    Go,
    /// It is as fine already as its children will be when they are split once more, and each then is to weigh as much.
    Stay,
}
