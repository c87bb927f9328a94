//! Rows that differ in their colours alone are scored once: what a rhythm is worth hangs on which tint is which of its
//! colours, and not on the colours' names.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::tints::Naming;
use super::watch::Watch;
use crate::colour::ColourName;
use crate::table::{Cycle, Shade};

/// Everything that the sums of a cycle hang on, beside the clip.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rhythm {
    /// Durations and levels, bit by bit, with a number for each colour.
    cycle: Vec<u64>,
    tint_of: Vec<Option<usize>>,
    /// How far each tint may be mistaken for each colour, bit by bit.
    mistaken: Vec<u32>,
    has_rival: bool,
}

impl Rhythm {
    pub(super) fn new(
        cycle: &Cycle,
        colours: &[ColourName],
        naming: &Naming,
        watch: &Watch,
        has_rival: bool,
    ) -> Self {
        let shade = |shade: Shade| match shade {
            Shade::Dark => [u64::MAX, 0],
            Shade::Lit(colour, level) => {
                let index = colours.iter().position(|known| *known == colour);
                [index.map_or(u64::MAX - 1, |index| index as u64), level.to_bits()]
            }
        };
        let phases = cycle.phases.iter().flat_map(|phase| {
            let times = [phase.lasts_s, phase.range_s.0, phase.range_s.1].map(f64::to_bits);
            let shades = [shade(phase.from), shade(phase.to)].concat();
            times.into_iter().chain(shades)
        });
        let whole = [cycle.period_s.to_bits(), cycle.within.to_bits()];
        Self {
            cycle: whole.into_iter().chain(phases).collect(),
            tint_of: naming.tint_of.clone(),
            mistaken: naming
                .mistaken(colours, watch)
                .into_iter()
                .map(f32::to_bits)
                .collect(),
            has_rival,
        }
    }
}

/// What was worked out of one clip, by what it hangs on.
pub(super) struct Known<K, V>(Mutex<BTreeMap<K, Arc<OnceLock<Arc<V>>>>>);

impl<K, V> Default for Known<K, V> {
    fn default() -> Self {
        Self(Mutex::new(BTreeMap::new()))
    }
}

impl<K: Ord, V> Known<K, V> {
    /// Whoever asks first works it out, and the others wait.
    pub(super) fn of(&self, key: K, work_out: impl FnOnce() -> V) -> Arc<V> {
        let cell = {
            let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            Arc::clone(known.entry(key).or_default())
        };
        Arc::clone(cell.get_or_init(|| Arc::new(work_out())))
    }
}
