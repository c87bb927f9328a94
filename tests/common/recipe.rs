//! What the rendered clips of several tests have in common.

use lampwise::render::Recipe;

/// `LAMPWISE_SEED` moves all seeds, to see that nothing hangs on these.
pub(crate) fn moved(seed: u64) -> u64 {
    let by: u64 = std::env::var("LAMPWISE_SEED").map_or(0, |text| text.parse().expect("a whole number"));
    seed + 1000 * by
}

/// A small picture without a lamp.
pub(crate) fn empty(seed: u64, seconds: f64) -> Recipe {
    Recipe {
        width_px: 640,
        height_px: 360,
        seconds,
        seed,
        ..Recipe::default()
    }
}
