//! Places that change on a lamp that is never unlit. Where such a lamp clips, its rim changes most, and the rim of one
//! colour looks unlit beside the other.

use rayon::prelude::*;

use super::measure::settled;
use super::patch::Source;
use super::scan::Seed;
use super::score::{Scored, disc};
use super::window::Window;
use crate::colour::Decoder;

/// Puts what changes on a lamp that shines throughout in the place of the whole lamp.
pub(super) fn made_whole(scored: &mut [Scored], window: &Window, decoder: &Decoder) {
    /// Share of the whole lamp's radius below which a place is a part of it (guessed).
    const PART: f64 = 0.6;
    /// Radii of a place that glows within which it may be found to reach.
    const REACH: f64 = 3.0;
    let away = |a: &Seed, b: &Seed| (a.x - b.x).hypot(a.y - b.y);
    let has_changes = |glow: &Seed| {
        let mut changing = scored.iter().filter(|one| one.seed.changes);
        changing.any(|one| away(&one.seed, glow) <= REACH * glow.radius)
    };
    let gains = vec![1.0; window.frames.len()];
    let source = Source {
        window,
        decoder,
        gains: &gains,
    };
    let whole: Vec<Seed> = scored
        .par_iter()
        .filter(|one| !one.seed.changes && has_changes(&one.seed))
        .filter(|one| shines_throughout(window, decoder, &one.seed))
        .map(|one| settled(source, one))
        .collect();
    for one in scored.iter_mut().filter(|one| one.seed.changes) {
        let seed = one.seed;
        let around = whole
            .iter()
            .filter(|whole| away(whole, &seed) <= whole.radius && seed.radius < PART * whole.radius)
            .min_by(|a, b| away(a, &seed).total_cmp(&away(b, &seed)));
        if let Some(whole) = around {
            one.seed = Seed {
                changes: true,
                ..*whole
            };
        }
    }
}

/// Whether a place is as bright as an unlit lens hardly is in nearly all frames.
fn shines_throughout(window: &Window, decoder: &Decoder, seed: &Seed) -> bool {
    /// Coded value of the strongest channel: half of the light of white (guessed).
    const BRIGHT: f32 = 0.72;
    /// One frame in so many may be blurred or covered.
    const ONE_IN: usize = 20;
    let inner = disc(0.0, (0.5 * seed.radius).clamp(1.0, 4.0));
    let (mut seen, mut dim) = (0, 0);
    for kept in window.usable() {
        let (x, y) = kept.placed.scene.apply(seed.x, seed.y);
        let middle = ((x + 0.5).floor() as isize, (y + 0.5).floor() as isize);
        let Some(samples) = kept.picture.mean(middle, &inner) else {
            continue;
        };
        let samples = decoder.narrowed(samples.map(|sample| sample as f32));
        let strongest = decoder.coded_rgb(samples).into_iter().fold(0.0, f32::max);
        seen += 1;
        dim += usize::from(strongest < BRIGHT);
    }
    seen > 0 && dim * ONE_IN <= seen
}
