//! Which of a lamp's dark frames show the lamp, and which show what lies over it.
//!
//! A covered lamp is dark too. What switches does so from one frame to the next; a finger or a hand takes
//! several frames to come and to go. So dark frames right beside lit ones show the unlit lamp, and others that
//! look like them do too.

use nalgebra::{Matrix6, Vector6};

use super::patch::{Patches, Pixel};
use super::score::median;
use super::states::{gained, sum3, typical};

/// Frames between a lit frame and a dark one that are still one switch: a frame may be lit for a part of it.
const SWITCH_FRAMES: usize = 2;
/// Fewest frames beside lit ones to go by: with fewer, a finger that came at a switch would count for much.
const FEWEST: usize = 4;
/// Mean relative difference of two pictures of one place, beyond what is usual between such pictures, from
/// which they show different things (see `Look::cover`).
const FOREIGN: f64 = 0.12;
const TIMES_USUAL: f64 = 4.0;
/// Radii from which on it is surround, as in `Look::cover`.
const FROM_RADII: f64 = 1.9;

/// The frames of `dark`, in time order, that show the lamp; all of them where that cannot be told. Of a lamp of several
/// colours they may be lit in one of them.
pub(super) fn uncovered(patches: &Patches, dark: &[usize], radius: f64) -> Vec<usize> {
    /// Frames that others are compared with; more would cost time.
    const LOOKED_AT: usize = 25;
    let switches = switches(patches, radius);
    let beside: Vec<usize> = dark
        .iter()
        .copied()
        .filter(|&frame| {
            // A switch lies between the frame noted and the one before it.
            let near = switches.partition_point(|&after| after + SWITCH_FRAMES <= frame);
            switches
                .get(near)
                .is_some_and(|&after| after <= frame + SWITCH_FRAMES)
        })
        .collect();
    if beside.len() < FEWEST {
        return dark.to_vec();
    }
    let pictures: Vec<(usize, Vec<f32>)> = beside
        .iter()
        .step_by(beside.len().div_ceil(LOOKED_AT))
        .filter_map(|&frame| {
            let pixels = patches.frames[frame].as_ref()?;
            Some((frame, pixels.iter().map(Pixel::mean).collect()))
        })
        .collect();
    let difference = |frame: usize| -> f64 {
        let Some(pixels) = &patches.frames[frame] else {
            return f64::INFINITY;
        };
        let others = pictures.iter().filter(|(other, _)| *other != frame);
        others
            .map(|(_, picture)| relative(pixels, picture))
            .fold(f64::INFINITY, f64::min)
    };
    let mut among: Vec<f64> = pictures.iter().map(|(frame, _)| difference(*frame)).collect();
    let usual = median(&mut among).unwrap_or(0.0);
    let most = FOREIGN.max(TIMES_USUAL * usual);
    dark.iter()
        .copied()
        .filter(|frame| beside.binary_search(frame).is_ok() || difference(*frame) <= most)
        .collect()
}

/// The frames in which the lamp's light is not what it was in the frame before, in time order.
fn switches(patches: &Patches, radius: f64) -> Vec<usize> {
    /// Change from one frame to the next as a share of all that the lamp does. A switch within an exposure falls on two
    /// frames, so that one of them shows half of it; a finger takes three frames or more.
    const SWITCHED: f32 = 0.4;
    let core: Vec<usize> = (0..patches.grid.offsets.len())
        .filter(|&i| patches.grid.offsets[i].0.hypot(patches.grid.offsets[i].1) <= radius)
        .collect();
    let mean = |pixels: &Vec<Pixel>| -> [f32; 3] {
        let sum = |k: usize| core.iter().map(|&i| pixels[i].light[k]).sum::<f32>();
        std::array::from_fn(|k| sum(k) / core.len().max(1) as f32)
    };
    let seen: Vec<(usize, [f32; 3])> = patches.seen().map(|(i, pixels)| (i, mean(pixels))).collect();
    let range = (0..3)
        .map(|k| {
            let values = || seen.iter().map(|(_, light)| light[k]);
            values().fold(f32::NEG_INFINITY, f32::max) - values().fold(f32::INFINITY, f32::min)
        })
        .fold(0.0, f32::max);
    let switched =
        |pair: &&[(usize, [f32; 3])]| (0..3).any(|k| (pair[1].1[k] - pair[0].1[k]).abs() > SWITCHED * range);
    seen.windows(2).filter(switched).map(|pair| pair[1].0).collect()
}

/// Whether all that was seen of the darker state is something that lies over the lamp: the surround, which has
/// a texture in lit frames, has another one in dark frames, and is brighter there in parts. A lamp that goes out
/// leaves the texture what it is, unless it was all that lit it; but it makes nothing brighter.
pub(super) fn is_cover(patches: &Patches, dark: &[usize], bright: &[usize], radius: f64) -> bool {
    /// Correlation of the surround of one half of the lit frames with that of the other, from which it has a
    /// texture that can be recognised; and correlation below which it is not recognised (guessed: plain skin
    /// gives about 0, the same surround 0.8 and more).
    const HAS_TEXTURE: f64 = 0.7;
    const ANOTHER: f64 = 0.3;
    /// Light that the surround has more in dark frames, as a share of what it has in lit ones; errors of the
    /// exposure's correction stay below (guessed).
    const BRIGHTER: f32 = 0.08;
    /// Texture, as a share of the light, below which it may be what is left of a halo.
    const PLAIN: f32 = 0.03;
    if dark.len() < FEWEST || bright.len() < 2 * FEWEST {
        return false;
    }
    let half = |odd: usize| -> Vec<usize> { bright.iter().copied().skip(odd).step_by(2).collect() };
    let surround = |frames: &[usize]| surround(&typical_means(patches, frames), patches, radius);
    let (one, other) = (surround(&half(0)), surround(&half(1)));
    let lit = typical_means(patches, bright);
    let level = lit.iter().sum::<f32>() / lit.len() as f32;
    let squares = one.iter().map(|value| value * value).sum::<f32>() / one.len().max(1) as f32;
    if squares.sqrt() < PLAIN * level {
        return false;
    }
    agreement(&one, &other) > HAS_TEXTURE
        && agreement(&one, &surround(dark)) < ANOTHER
        && brighter(patches, dark, bright, radius) > BRIGHTER
}

/// What the surround has more in dark frames, channel by channel and pixel by pixel, as a share of its light in
/// lit ones.
fn brighter(patches: &Patches, dark: &[usize], bright: &[usize], radius: f64) -> f32 {
    let (dark, bright) = (typical(patches, dark), typical(patches, bright));
    let about = |(x, y): &(f64, f64)| x.hypot(*y) >= FROM_RADII * radius;
    let (mut more, mut all) = (0.0, 1e-6);
    for ((dark, bright), offset) in dark.iter().zip(&bright).zip(&patches.grid.offsets) {
        if about(offset) {
            more += sum3(&gained(dark, bright));
            all += sum3(bright);
        }
    }
    more / all
}

/// The texture of what lies about a lamp: its light without what a halo may add, which is smooth in distance and
/// in direction; a little each side of the middle, so that a neighbour that blinks too does not speak for all.
fn surround(picture: &[f32], patches: &Patches, radius: f64) -> Vec<f32> {
    /// Width of the rings that a halo is fitted in, places of the grid.
    const RING_PLACES: f64 = 2.0;
    /// Share of the pixels, at either end, that count as much as the last of the others.
    const ENDS: f64 = 0.2;
    let distance = |pixel: usize| patches.grid.offsets[pixel].0.hypot(patches.grid.offsets[pixel].1);
    let mut rings: Vec<Vec<usize>> = Vec::new();
    for pixel in (0..picture.len()).filter(|&pixel| distance(pixel) >= FROM_RADII * radius) {
        let ring = (distance(pixel) / (RING_PLACES * patches.grid.spacing)) as usize;
        rings.resize_with(rings.len().max(ring + 1), Vec::new);
        rings[ring].push(pixel);
    }
    let mut values: Vec<f32> = rings
        .iter()
        .flat_map(|ring| without_halo(picture, &patches.grid.offsets, ring))
        .collect();
    let mut sorted = values.clone();
    if let (Some(low), Some(high)) = (middle(&mut sorted, ENDS), middle(&mut sorted.clone(), 1.0 - ENDS)) {
        values
            .iter_mut()
            .for_each(|value| *value = value.clamp(low, high));
    }
    values
}

/// What the pixels of one ring are beyond a fit in distance and direction: constant, slope, and one and two waves
/// round the ring (a halo beside its centre, an oblong one).
fn without_halo(picture: &[f32], offsets: &[(f64, f64)], ring: &[usize]) -> Vec<f32> {
    let terms = |pixel: usize| {
        let (x, y) = offsets[pixel];
        let turn = y.atan2(x);
        let ((sine, cosine), (sine_two, cosine_two)) = (turn.sin_cos(), (2.0 * turn).sin_cos());
        Vector6::new(1.0, x.hypot(y), cosine, sine, cosine_two, sine_two)
    };
    let (mut normal, mut right) = (Matrix6::<f64>::identity() * 1e-9, Vector6::<f64>::zeros());
    for &pixel in ring {
        let terms = terms(pixel);
        normal.ger(1.0, &terms, &terms, 1.0);
        right.axpy(f64::from(picture[pixel]), &terms, 1.0);
    }
    let fit = normal
        .cholesky()
        .map_or_else(Vector6::zeros, |factors| factors.solve(&right));
    ring.iter()
        .map(|&pixel| picture[pixel] - fit.dot(&terms(pixel)) as f32)
        .collect()
}

/// The value below which a share of the values lies.
fn middle(values: &mut [f32], share: f64) -> Option<f32> {
    let place = ((values.len() as f64 * share) as usize).min(values.len().checked_sub(1)?);
    Some(*values.select_nth_unstable_by(place, f32::total_cmp).1)
}

/// Correlation, -1 to 1.
fn agreement(one: &[f32], other: &[f32]) -> f64 {
    let n = one.len().max(1) as f64;
    let mean = |values: &[f32]| values.iter().map(|v| f64::from(*v)).sum::<f64>() / n;
    let (mean_one, mean_other) = (mean(one), mean(other));
    let (mut both, mut ones, mut others) = (0.0, 1e-12, 1e-12);
    for (a, b) in one.iter().zip(other) {
        let (a, b) = (f64::from(*a) - mean_one, f64::from(*b) - mean_other);
        both += a * b;
        ones += a * a;
        others += b * b;
    }
    both / (ones * others).sqrt()
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
    (0..patches.grid.offsets.len())
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
    use crate::light::patch::Grid;

    /// A lamp that blinks, frame by frame: L lit, W lit in another colour, d dark, f under a finger, o partly under it. And the
    /// frames that are not L.
    fn filmed(story: &str) -> (Patches, Vec<usize>) {
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
                    'W' => vec![light(0.36), light(0.6), light(0.36)],
                    'd' => vec![light(0.3), light(0.2), light(0.3)],
                    'o' => vec![light(0.3), light(0.2), light(0.12)],
                    _ => vec![light(0.12), light(0.11), light(0.12)],
                })
            })
            .collect();
        let dark = story
            .chars()
            .enumerate()
            .filter(|(_, what)| *what != 'L')
            .map(|(i, _)| i)
            .collect();
        let patches = Patches {
            grid: Grid {
                offsets: vec![(-1.0, 0.0), (0.0, 0.0), (1.0, 0.0)],
                spacing: 1.0,
            },
            outside: vec![false; frames.len()],
            frames,
        };
        (patches, dark)
    }

    #[test]
    fn a_finger_that_stays_for_most_of_the_clip_is_not_the_unlit_lamp() {
        let story = "LLLdddLLLdddLLLdddofffffffffffffffffffffffffffffffffodddLLLddd";
        let (patches, dark) = filmed(story);
        let kept: String = uncovered(&patches, &dark, 0.5)
            .iter()
            .map(|&frame| &story[frame..=frame])
            .collect();
        assert_eq!(kept, "d".repeat(15));
    }

    #[test]
    fn without_switches_all_dark_frames_are_kept() {
        let (patches, dark) = filmed("LLLLLddddffffdddd");
        assert_eq!(uncovered(&patches, &dark, 0.5).len(), 12);
    }

    #[test]
    fn a_lamp_that_is_lit_in_another_colour_for_long_is_dark_all_the_same_later() {
        let (patches, dark) = filmed("WWWWWWWWWWWWLLWWLLWWLLWWLLdddddddddddddLLdddd");
        assert_eq!(uncovered(&patches, &dark, 0.5), dark);
    }

    /// A lamp of radius 2 on a wall: what lies about it in lit and in dark frames.
    fn seen(lit: impl Fn(f64, f64) -> f64, dark: impl Fn(f64, f64) -> f64) -> bool {
        let grid = Grid::square(8);
        let frame = |light: &dyn Fn(f64, f64) -> f64, number: usize| -> Option<Vec<Pixel>> {
            let pixel = |(i, &(x, y)): (usize, &(f64, f64))| {
                // Noise of one per cent, the same at every run.
                let noise = 0.002 * (((i * 31 + number * 17) * 2_654_435_761 % 101) as f32 / 50.0 - 1.0);
                Pixel {
                    light: [light(x, y) as f32 + noise; 3],
                    sound: 1.0,
                }
            };
            Some(grid.offsets.iter().enumerate().map(pixel).collect())
        };
        let frames: Vec<_> = (0..24)
            .map(|i| if i < 12 { frame(&lit, i) } else { frame(&dark, i) })
            .collect();
        let patches = Patches {
            outside: vec![false; frames.len()],
            frames,
            grid: grid.clone(),
        };
        let (lit, dark): (Vec<usize>, Vec<usize>) = ((0..12).collect(), (12..24).collect());
        is_cover(&patches, &dark, &lit, 2.0)
    }

    fn wall(x: f64, y: f64) -> f64 {
        0.2 + 0.06 * (0.9 * x).sin() * (0.7 * y + 0.4 * x).cos()
    }

    fn halo(x: f64, y: f64) -> f64 {
        0.6 * (-x.hypot(y) / 3.0).exp()
    }

    #[test]
    fn another_surround_is_a_cover() {
        assert!(seen(
            |x, y| wall(x, y) + halo(x, y),
            |x, y| 0.34 - 0.004 * (x + 2.0 * y)
        ));
    }

    #[test]
    fn a_lamp_that_goes_out_is_none() {
        assert!(!seen(|x, y| wall(x, y) + halo(x, y), wall));
    }

    #[test]
    fn a_lamp_that_lights_up_its_neighbourhood_is_none() {
        assert!(!seen(|x, y| wall(x, y) * (1.0 + 4.0 * halo(x, y)), wall));
    }

    /// In a dark room the lamp shows what ambient light does not: glints on parts about it.
    #[test]
    fn a_lamp_that_shows_other_things_is_none() {
        let glints = |x: f64, y: f64| (1.0 + (2.1 * x).sin() * (1.7 * y).sin()) * halo(x, y);
        assert!(!seen(
            |x, y| 0.1 * wall(x, y) + glints(x, y),
            |x, y| 0.1 * wall(x, y)
        ));
    }

    #[test]
    fn a_neighbour_in_turn_is_none() {
        let neighbour = |x: f64, y: f64| if (x - 6.0).hypot(y) < 2.0 { 0.8 } else { 0.0 };
        assert!(!seen(
            |x, y| wall(x, y) + halo(x, y),
            |x, y| wall(x, y) + neighbour(x, y)
        ));
    }

    #[test]
    fn on_a_plain_wall_nothing_can_be_told() {
        assert!(!seen(|x, y| 0.2 + halo(x, y), |_, _| 0.2));
        assert!(!seen(|x, y| 0.2 + halo(x, y), |_, _| 0.1));
        // A halo beside its centre, and one that is smeared.
        assert!(!seen(|x, y| 0.2 + halo(x - 0.4, y + 0.2), |_, _| 0.2));
        assert!(!seen(|x, y| 0.2 + halo(0.8 * x, 1.1 * y), |_, _| 0.2));
    }
}
