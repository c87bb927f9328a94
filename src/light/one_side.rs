//! Where on one side of a lamp alone something may lie over it: a finger that leaves a sliver of the lamp in view.

use super::patch::Patches;
use super::plain_cover::mean;
use super::states::{sum3, typical};
use super::surround::Ring;

/// The sides whose surround has clearly another light in dark frames than in lit ones.
pub(super) fn sides_that_differ(
    patches: &Patches,
    dark: &[usize],
    bright: &[usize],
    radius: f64,
) -> Vec<Ring> {
    /// Mean difference, as a share of the light (guessed: as much as must be left to explain of a plain cover).
    const MUCH: f32 = 0.1;
    if times_away(bright) > 1 {
        return Vec::new();
    }
    let (dark, bright) = (typical(patches, dark), typical(patches, bright));
    let differs = |side: &Ring| {
        let offsets = &patches.grid.offsets;
        let pixels: Vec<usize> = (0..offsets.len()).filter(|&i| side.holds(offsets[i])).collect();
        let (dark, bright) = (mean(&dark, &pixels), mean(&bright, &pixels));
        let difference: f32 = dark
            .iter()
            .zip(&bright)
            .map(|(dark, bright)| (dark - bright).abs())
            .sum();
        difference >= MUCH * sum3(&bright)
    };
    Ring::sides(radius).filter(differs).collect()
}

/// How often the bright state is left for a while and comes again: a finger comes once in a stretch, a lamp that flashes
/// beside another is dark more often.
fn times_away(bright: &[usize]) -> usize {
    /// Frames that are a while: a finger lies still for longer (guessed), a change of colour takes a frame or two.
    const WHILE: usize = 5;
    bright.windows(2).filter(|pair| pair[1] - pair[0] > WHILE).count()
}
