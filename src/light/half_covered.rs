//! A hand that lies over a part of a lamp, and leaves it seen lit and dark.

use std::ops::RangeInclusive;

use super::cover::middle;
use super::patch::{Patches, Pixel};
use super::states::{sum3, typical};
use super::surround::Ring;

/// Light by which one surround differs from another, as a share of it, from which they show different things (half of what a
/// finger on rendered lamps gives; an exposure that answers the lamp leaves 0.02).
const ANOTHER: f32 = 0.12;

/// The dark and the bright frames without those under what looks like a hand over a part of the lamp: the others, whose surround
/// is as near as any to what it is in the brightest frames. What the lamp lights about it is missing from all dark ones alike.
pub(super) fn without_hand(
    patches: &Patches,
    (dark, bright): (Vec<usize>, Vec<usize>),
    light: impl Fn(usize) -> Option<f32>,
    radius: f64,
) -> (Vec<usize>, Vec<usize>) {
    /// Share of the dark frames that are nearest, and of the bright frames that are brightest.
    const NEAREST: f64 = 0.1;
    const BRIGHTEST: f64 = 0.3;
    let mut brightest: Vec<(f32, usize)> = bright.iter().filter_map(|&i| Some((light(i)?, i))).collect();
    brightest.sort_by(|a, b| b.0.total_cmp(&a.0));
    brightest.truncate((brightest.len() as f64 * BRIGHTEST).ceil() as usize);
    let brightest: Vec<usize> = brightest.into_iter().map(|(_, i)| i).collect();
    let lit = typical(patches, &brightest);
    let ring = Ring::all(radius);
    let about: Vec<usize> = (0..lit.len())
        .filter(|&i| ring.holds(patches.grid.offsets[i]))
        .collect();
    let level: f32 = about.iter().map(|&i| sum3(&lit[i])).sum();
    let apart = |pixels: &Vec<Pixel>| -> f32 {
        let channels = about.iter().flat_map(|&i| pixels[i].light.iter().zip(&lit[i]));
        channels.map(|(now, lit)| (now - lit).abs()).sum::<f32>() / level.max(1e-6)
    };
    let differences: Vec<f32> = dark
        .iter()
        .map(|&frame| patches.frames[frame].as_ref().map_or(f32::INFINITY, apart))
        .collect();
    let nearest = middle(&mut differences.clone(), NEAREST).unwrap_or(0.0);
    let differs: Vec<bool> = differences
        .iter()
        .map(|apart| *apart > nearest + ANOTHER)
        .collect();
    let last = patches.frames.len().saturating_sub(1);
    let Some(hands) = hands(&dark, &differs, &bright, last) else {
        return (dark, bright);
    };
    let free = |frames: Vec<usize>| -> Vec<usize> {
        let free = frames
            .into_iter()
            .filter(|frame| !hands.iter().any(|hand| hand.contains(frame)));
        free.collect()
    };
    (free(dark), free(bright))
}

/// When a hand lay over a part of the lamp, if the dark frames that differ look like it: in few stretches, in each of which the
/// lamp lights up, and not all the time that it does. Neighbours that light up one after the other come and go between two
/// flashes. A hand that is there in all of the first or the last dark time is so before or after it too, up to the last frame;
/// in a part of it a lamp that fades may differ by its own light.
fn hands(
    dark: &[usize],
    differs: &[bool],
    bright: &[usize],
    last: usize,
) -> Option<Vec<RangeInclusive<usize>>> {
    /// Most times that a hand comes within the seconds that are looked at as one (guessed).
    const MOST: usize = 2;
    let lit_till = |at: usize| {
        let between = at
            .checked_sub(1)
            .and_then(|before| Some(dark[before]..*dark.get(at)?));
        between.is_some_and(|between| bright.iter().any(|lit| between.contains(lit)))
    };
    let mut hands = Vec::new();
    let mut from = 0;
    for stretch in differs.chunk_by(|a, b| a == b) {
        let to = from + stretch.len();
        if stretch[0] {
            let begins = if from == 0 && lit_till(to) { 0 } else { dark[from] };
            let ends = if to == dark.len() && lit_till(from) {
                last
            } else {
                dark[to - 1]
            };
            hands.push(begins..=ends);
        }
        from = to;
    }
    let lights_up = |hand: &RangeInclusive<usize>| bright.iter().any(|lit| hand.contains(lit));
    let is_free = |lit: &usize| !hands.iter().any(|hand| hand.contains(lit));
    let like_it = hands.len() <= MOST && hands.iter().all(lights_up) && bright.iter().any(is_free);
    Some(hands).filter(|hands| !hands.is_empty() && like_it)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Frame by frame: L lit, d dark, o dark with another surround.
    #[rstest]
    #[case::a_hand_through_which_it_flashes("LLddddLLddddLLddooLLooooLLooLLdddd", true)]
    #[case::a_hand_that_stays_till_it_is_lit_again("LLddddLLddddLLooooLL", true)]
    #[case::a_hand_that_goes_while_it_is_lit("LLooooLLLLddddLLdddd", true)]
    #[case::a_lamp_that_fades_at_the_end("LLddddooLLLooddddooLLL", false)]
    #[case::a_lamp_that_fades_at_the_beginning("LLLooddddLLLddddLLL", false)]
    #[case::a_hand_in_one_dark_time("LLddddLLddddLLddooooooooddLLdddd", false)]
    #[case::neighbours_in_turn("LLdoodLLdoodLLdoodLLdoodLL", false)]
    #[case::nothing_else("LLddddLLddddLL", false)]
    fn a_hand_is_told_from_neighbours(#[case] story: &str, #[case] hand: bool) {
        let of = |wanted: &str| -> Vec<usize> {
            let frames = story.char_indices().filter(|(_, what)| wanted.contains(*what));
            frames.map(|(frame, _)| frame).collect()
        };
        let dark = of("do");
        let differs: Vec<bool> = dark.iter().map(|frame| of("o").contains(frame)).collect();
        assert_eq!(hands(&dark, &differs, &of("L"), story.len() - 1).is_some(), hand);
    }
}
