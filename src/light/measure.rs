//! From the pixels about a lamp to one glimpse a frame.

use super::glimpse::{Glimpse, Sighting};
use super::look::Look;
use super::patch::Patches;
use super::scan::Seed;
use super::score::Scored;
use super::slip::slips;
use super::window::Window;
use crate::colour::Decoder;

/// One lamp, measured in every frame of a window.
pub(super) struct Measured {
    /// The lamp's place and size, better than the seed's.
    pub seed: Seed,
    pub glimpses: Vec<Glimpse>,
}

/// Measures one lamp in every frame of a window.
pub(super) fn measure(window: &Window, decoder: &Decoder, gains: &[f64], scored: &Scored) -> Measured {
    let none = vec![(0.0, 0.0); window.frames.len()];
    let cut = |seed: &Seed, slips: &[(f64, f64)]| {
        Patches::cut(
            window,
            decoder,
            gains,
            slips,
            (seed.x, seed.y),
            half_size(seed.radius),
        )
    };
    let mut seed = scored.seed;
    let mut patches = cut(&seed, &none);
    if let Some(look) = Look::learn(&patches, &scored.course, &seed) {
        let slips = slips(&patches, &look);
        seed = look.refined(&seed);
        patches = cut(&seed, &slips);
    }
    let look = Look::learn(&patches, &scored.course, &seed);
    let cover = look.as_ref().map(|look| look.cover(&patches)).unwrap_or_default();
    let glimpses = window
        .frames
        .iter()
        .enumerate()
        .map(|(i, kept)| {
            let mut blank = Glimpse::unseen(kept.picture.time_s);
            if patches.outside[i] {
                blank.sighting = Sighting::OutOfFrame;
            }
            match (&look, &patches.frames[i]) {
                (Some(look), Some(pixels)) if !cover[i] => look.glimpse(pixels, blank),
                _ => blank,
            }
        })
        .collect();
    Measured { seed, glimpses }
}

/// Pixels to every side of a lamp of this radius: the lamp, its halo and enough surround to know its place by.
fn half_size(radius: f64) -> usize {
    const REACH: f64 = 2.6;
    ((radius * REACH).ceil() as usize + 4).clamp(8, 32)
}
