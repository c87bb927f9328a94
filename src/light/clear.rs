//! Which of a lamp's dark frames show the lamp, and which show what lies over it.
//!
//! A covered lamp is dark too. What switches does so from one frame to the next; a finger or a hand takes
//! several frames to come and to go. So dark frames right beside lit ones show the unlit lamp, and others that
//! look like them do too.

use super::patch::{Patches, Pixel};
use super::score::median;

/// Frames between a lit frame and a dark one that are still one switch: a frame may be lit for a part of it.
const SWITCH_FRAMES: usize = 2;
/// Fewest frames beside lit ones to go by: with fewer, a finger that came at a switch would count for much.
const FEWEST: usize = 4;
/// Mean relative difference of two pictures of one place, beyond what is usual between such pictures, from
/// which they show different things (see `Look::cover`).
const FOREIGN: f64 = 0.12;
const TIMES_USUAL: f64 = 4.0;

/// The frames of `dark`, both in time order, that show the lamp; all of them where that cannot be told.
pub(super) fn uncovered(patches: &Patches, dark: &[usize], bright: &[usize]) -> Vec<usize> {
    let beside: Vec<usize> = dark
        .iter()
        .copied()
        .filter(|&frame| {
            let near = bright.partition_point(|&lit| lit + SWITCH_FRAMES < frame);
            bright.get(near).is_some_and(|&lit| lit <= frame + SWITCH_FRAMES)
        })
        .collect();
    if beside.len() < FEWEST {
        return dark.to_vec();
    }
    let usual_picture = typical_means(patches, &beside);
    let difference = |frame: usize| -> f64 {
        patches.frames[frame]
            .as_ref()
            .map_or(f64::INFINITY, |pixels| relative(pixels, &usual_picture))
    };
    let mut among: Vec<f64> = beside.iter().map(|&frame| difference(frame)).collect();
    let usual = median(&mut among).unwrap_or(0.0);
    let most = FOREIGN.max(TIMES_USUAL * usual);
    dark.iter()
        .copied()
        .filter(|&frame| difference(frame) <= most)
        .collect()
}

/// Median light of every pixel over some frames.
fn typical_means(patches: &Patches, frames: &[usize]) -> Vec<f32> {
    /// Frames looked at; more would cost time and hardly lower the noise further.
    const LOOKED_AT: usize = 25;
    let step = frames.len().div_ceil(LOOKED_AT).max(1);
    let pictures: Vec<&Vec<Pixel>> = frames
        .iter()
        .step_by(step)
        .filter_map(|&frame| patches.frames[frame].as_ref())
        .collect();
    (0..patches.offsets.len())
        .map(|pixel| {
            let mut values: Vec<f32> = pictures.iter().map(|picture| picture[pixel].mean()).collect();
            let middle = values.len() / 2;
            *values.select_nth_unstable_by(middle, f32::total_cmp).1
        })
        .collect()
}

fn relative(pixels: &[Pixel], usual: &[f32]) -> f64 {
    let (mut difference, mut level) = (0.0, 1e-6);
    for (pixel, usual) in pixels.iter().zip(usual) {
        difference += f64::from((pixel.mean() - usual).abs());
        level += f64::from(usual.abs());
    }
    // As in the dark a code value or two of noise is much of what there is.
    difference / (level + 0.01 * usual.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A lamp that blinks, frame by frame: L lit, d dark, f under a finger, o partly under it.
    fn filmed(story: &str) -> (Patches, Vec<usize>, Vec<usize>) {
        let frames: Vec<Option<Vec<Pixel>>> = story
            .chars()
            .enumerate()
            .map(|(i, what)| {
                let noise = 0.003 * (i % 3) as f32;
                let light = |grey: f32| Pixel {
                    light: [grey + noise; 3],
                    sound: 1.0,
                };
                Some(match what {
                    'L' => vec![light(0.4), light(0.9), light(0.4)],
                    'd' => vec![light(0.3), light(0.2), light(0.3)],
                    'o' => vec![light(0.3), light(0.2), light(0.12)],
                    _ => vec![light(0.12), light(0.11), light(0.12)],
                })
            })
            .collect();
        let of = |lit: bool| {
            let chars = story.chars().enumerate();
            chars
                .filter(|(_, what)| (*what == 'L') == lit)
                .map(|(i, _)| i)
                .collect()
        };
        let patches = Patches {
            offsets: vec![(-1.0, 0.0), (0.0, 0.0), (1.0, 0.0)],
            outside: vec![false; frames.len()],
            frames,
        };
        (patches, of(false), of(true))
    }

    #[test]
    fn a_finger_that_stays_for_most_of_the_clip_is_not_the_unlit_lamp() {
        let story = "LLLdddLLLdddLLLdddofffffffffffffffffffffffffffffffffodddLLLddd";
        let (patches, dark, bright) = filmed(story);
        let kept: String = uncovered(&patches, &dark, &bright)
            .iter()
            .map(|&frame| &story[frame..=frame])
            .collect();
        assert_eq!(kept, "d".repeat(15));
    }

    #[test]
    fn without_switches_all_dark_frames_are_kept() {
        let (patches, dark, bright) = filmed("LLLLLddddffffdddd");
        assert_eq!(uncovered(&patches, &dark, &bright).len(), 12);
    }
}
