//! What the file does.

use lampwise::render::{Codec, DynamicRange, Recipe, Upright};
use rand::Rng;
use rand_pcg::Pcg64;

use super::Strength;

pub(super) fn compression(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.encoding.crf = strength.of(28, 34, 40);
}

pub(super) fn codec_and_turn(recipe: &mut Recipe, strength: Strength, random: &mut Pcg64) {
    recipe.encoding.codec = strength.of(Codec::H264, Codec::Hevc, Codec::Vp9);
    recipe.encoding.upright =
        [Upright::TurnedRight, Upright::Reversed, Upright::TurnedLeft][random.random_range(0..3)];
}

/// A good phone, a thrifty one, and a messenger.
pub(super) fn bit_rate(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    recipe.encoding.kbit_per_s = Some(strength.of(6000, 1500, 500));
}

pub(super) fn wide_range(recipe: &mut Recipe, strength: Strength, _: &mut Pcg64) {
    use DynamicRange::{Hlg, Pq};
    recipe.encoding.range = strength.of(Hlg, Pq, Hlg);
    recipe.encoding.codec = Codec::Hevc;
    recipe.camera.contrast = 0.0;
    // A lamp that clips even there.
    recipe.lamps[0].peak *= strength.of(1.0, 2.0, 8.0);
}
