//! What every frame says for every look that a pattern could give it, worked out once for each look.

use super::tints::{Naming, codes};
use super::watch::{LEVEL_CODES, Watch};
use crate::colour::ColourName;

/// Level code and tint code that a frame is expected to have.
pub(super) type Look = (u8, u8);

/// Tempered log evidence of every frame under every look asked for.
pub(super) struct Looks<'w, 't> {
    watch: &'w Watch<'t>,
    tints: Vec<f32>,
    tint_codes: usize,
    /// Where a look's column starts, by level code and tint code.
    starts: Vec<Option<u32>>,
    /// Column by column, a frame each.
    values: Vec<f32>,
}

impl<'w, 't> Looks<'w, 't> {
    pub(super) fn new(naming: &Naming, colours: &[ColourName], watch: &'w Watch<'t>) -> Self {
        let tint_codes = codes(colours.len());
        Self {
            watch,
            tints: naming.table(colours, watch),
            tint_codes,
            starts: vec![None; LEVEL_CODES * tint_codes],
            values: Vec::new(),
        }
    }

    /// Where the look's column starts in [`Self::values`]: add the number of the frame.
    pub(super) fn start(&mut self, (level, tint): Look) -> u32 {
        let place = usize::from(level) * self.tint_codes + usize::from(tint);
        if let Some(start) = self.starts[place] {
            return start;
        }
        let start = u32::try_from(self.values.len()).expect("a clip has fewer frames than would fill this");
        let of_tint = usize::from(tint) * self.watch.len();
        let tints = &self.tints[of_tint..of_tint + self.watch.len()];
        let levels = self.watch.level(level);
        self.values
            .extend(levels.iter().zip(tints).map(|(level, tint)| level + tint));
        self.starts[place] = Some(start);
        start
    }

    pub(super) fn values(&self) -> &[f32] {
        &self.values
    }
}
