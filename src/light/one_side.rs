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
    /// Times that a finger comes in a stretch, at most (guessed); a lamp that flashes beside another is dark more often.
    const RUNS: usize = 2;
    if runs_between(dark, bright) > RUNS {
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

/// Into how many runs some frames fall, if frames of another sort lie between them.
fn runs_between(frames: &[usize], others: &[usize]) -> usize {
    let mut frames = frames.to_vec();
    frames.sort_unstable();
    let parted = |pair: &&[usize]| others.iter().any(|other| (pair[0]..pair[1]).contains(other));
    1 + frames.windows(2).filter(parted).count()
}
