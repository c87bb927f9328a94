//! From the pixels about a lamp to one glimpse a frame.

use super::glimpse::{Glimpse, Sighting};
use super::look::{Look, STEADY_RING};
use super::patch::Patches;
use super::scan::Seed;
use super::score::Scored;
use super::slip;
use super::window::Window;
use crate::colour::Decoder;

/// One lamp, measured in every frame of a window.
pub(super) struct Measured {
    /// The lamp's place and size, better than the seed's.
    pub seed: Seed,
    pub glimpses: Vec<Glimpse>,
}

/// Times that a steady lamp's place and size are found anew from the last ones: its seed may be a small part of it.
const SETTLING: usize = 4;

/// Measures one lamp in every frame of a window; `factor` is the number of the picture's pixels in a reduced
/// one.
pub(super) fn measure(
    window: &Window,
    decoder: &Decoder,
    gains: &[f64],
    factor: f64,
    scored: &Scored,
) -> Measured {
    let none: Vec<(f64, f64)> = vec![(0.0, 0.0); window.frames.len()];
    let cut = |seed: &Seed, slips: &[(f64, f64)]| {
        Patches::cut(window, decoder, gains, slips, (seed.x, seed.y), half_size(seed))
    };
    let mut seed = scored.seed;
    let mut slips = none;
    let mut patches = cut(&seed, &slips);
    for _ in 0..SETTLING {
        let Some(look) = Look::learn(&patches, &scored.course, &seed) else {
            break;
        };
        let refined = look.refined(&seed);
        let settled = (refined.radius / seed.radius - 1.0).abs() < 0.1;
        slips = slip::slips(&patches, &look);
        seed = refined;
        patches = cut(&seed, &slips);
        if settled || seed.changes {
            break;
        }
    }
    let look = Look::learn(&patches, &scored.course, &seed);
    let cover = look.as_ref().map(|look| look.cover(&patches)).unwrap_or_default();
    let glimpses = window
        .frames
        .iter()
        .enumerate()
        .map(|(i, kept)| {
            let mut blank = Glimpse::unseen(kept.picture.time_s);
            let (x, y) = kept.placed.scene.apply(seed.x + slips[i].0, seed.y + slips[i].1);
            // The centre of reduced pixel i is at (i + 0.5) * factor in the picture.
            blank.place = ((x + 0.5) * factor, (y + 0.5) * factor);
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

/// Pixels to every side of a lamp: the lamp, its halo and enough surround to know its place by.
fn half_size(seed: &Seed) -> u8 {
    const REACH: f64 = 2.6;
    let (reach, most) = if seed.changes {
        (REACH, 32.0)
    } else {
        (STEADY_RING.1, 60.0)
    };
    ((seed.radius * reach).ceil() + 4.0).clamp(8.0, most) as u8
}
