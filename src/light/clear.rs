//! Which of a lamp's dark frames show the lamp, and which show what lies over it.
//!
//! A covered lamp is dark too. What switches does so from one frame to the next; a finger or a hand takes
//! several frames to come and to go. So dark frames right beside lit ones show the unlit lamp, and others that
//! look like them do too.

use super::patch::{Grid, Patches, Pixel, from_centre};
use super::score::median;
use super::surround::{FOREIGN, TIMES_USUAL, begins};

/// Frames between a lit frame and a dark one that are still one switch: a frame may be lit for a part of it.
const SWITCH_FRAMES: usize = 2;
/// Fewest frames beside lit ones to go by: with fewer, a finger that came at a switch would count for much.
const FEWEST: usize = 4;
/// The frames of `dark`, in time order, that show the lamp; `None` where that cannot be told. Of a lamp of several
/// colours they may be lit in one of them.
pub(super) fn uncovered(patches: &Patches, dark: &[usize], radius: f64) -> Option<Vec<usize>> {
    /// Frames that others are compared with; more would cost time.
    const LOOKED_AT: usize = 25;
    let switches = switches(patches, radius);
    let near = about(&patches.grid, radius);
    // Each with the switch that it is beside.
    let beside: Vec<(usize, usize)> = dark
        .iter()
        .filter_map(|&frame| {
            // A switch lies between the frame noted and the one before it.
            let near = switches.partition_point(|&after| after + SWITCH_FRAMES <= frame);
            let after = switches.get(near)?;
            (*after <= frame + SWITCH_FRAMES).then_some((frame, near))
        })
        .collect();
    if beside.len() < FEWEST {
        return None;
    }
    let pictures: Vec<Beside> = beside
        .iter()
        .step_by(beside.len().div_ceil(LOOKED_AT))
        .filter_map(|&(frame, switch)| {
            let pixels = patches.frames[frame].as_ref()?;
            let light = near.iter().map(|&i| pixels[i].light).collect();
            Some(Beside { frame, switch, light })
        })
        .collect();
    let pictures = borne_out(pictures, &switches, patches, &near);
    let difference = |frame: usize| nearest(patches, &near, frame, &pictures, |other| other.frame != frame);
    let mut among: Vec<f64> = pictures.iter().map(|picture| difference(picture.frame)).collect();
    let usual = median(&mut among).unwrap_or(0.0);
    let most = FOREIGN.max(TIMES_USUAL * usual);
    let (own, foreign): (Vec<usize>, Vec<usize>) =
        dark.iter().copied().partition(|&frame| difference(frame) <= most);
    if keeps_time(&foreign, &own, &switches) {
        return Some(dark.to_vec());
    }
    Some(own)
}

/// Whether what looks foreign comes in every dark time, so long after the lamp goes out and so long before it lights up
/// again: no hand does so. It is the light of neighbours that come one after the other.
pub(super) fn keeps_time(foreign: &[usize], own: &[usize], switches: &[usize]) -> bool {
    /// Dark times from which it shows, and by how many frames they may differ (guessed).
    const DARK_TIMES: usize = 2;
    const APART: usize = 3;
    let within = |frames: &[usize], gap: &[usize]| -> Vec<usize> {
        let inside = frames
            .iter()
            .copied()
            .filter(|frame| (gap[0]..gap[1]).contains(frame));
        inside.collect()
    };
    // In a shorter one every frame is beside a switch.
    let is_long = |gap: &&[usize]| {
        let dark = within(own, gap).len() + within(foreign, gap).len();
        dark > 2 * SWITCH_FRAMES
    };
    let mut margins: [Vec<usize>; 2] = [Vec::new(), Vec::new()];
    for gap in switches.windows(2).filter(is_long) {
        let inside = within(foreign, gap);
        let (Some(first), Some(last)) = (inside.first(), inside.last()) else {
            return false;
        };
        // Under a hand that stays all noise is a switch.
        if within(own, gap).is_empty() {
            return false;
        }
        margins[0].push(first - gap[0]);
        margins[1].push(gap[1] - last);
    }
    margins.iter().all(|margins| {
        let (least, most) = (margins.iter().min(), margins.iter().max());
        margins.len() >= DARK_TIMES && most.zip(least).is_some_and(|(most, least)| most - least <= APART)
    })
}

/// The pixels by which frames are compared: not those so far from a large lamp that a finger need not lie over them.
fn about(grid: &Grid, radius: f64) -> Vec<usize> {
    /// Reduced pixels within which all counts (guessed: about a small lamp there is nothing of a hand only).
    const ALL: f64 = 33.0;
    let most = begins(radius).max(ALL);
    (0..grid.offsets.len())
        .filter(|&i| from_centre(grid.offsets[i]) <= most)
        .collect()
}

/// A dark frame beside a switch.
struct Beside {
    frame: usize,
    switch: usize,
    /// Of every pixel near the lamp.
    light: Vec<[f32; 3]>,
}

/// Without those that look like none beside another switch, where a hand may be why: it came right as the lamp went out,
/// or went right as that lit up again. In between it lay over the lamp for far longer than the lamp is ever dark, or it
/// came or went where nothing switched, so that one end of the gap does not look like the other.
fn borne_out(
    mut pictures: Vec<Beside>,
    switches: &[usize],
    patches: &Patches,
    near: &[usize],
) -> Vec<Beside> {
    let long = long_gap(switches, patches.frames.len());
    for gap in 0..=switches.len() {
        pictures = borne_out_of(gap, long == Some(gap), pictures, switches, patches, near);
    }
    pictures
}

/// Likewise, of one gap; of one that is not long only if its ends differ.
fn borne_out_of(
    gap: usize,
    is_long: bool,
    mut pictures: Vec<Beside>,
    switches: &[usize],
    patches: &Patches,
    near: &[usize],
) -> Vec<Beside> {
    // The gap lies between the switch before it and the one of its own number. A hand that both comes and goes at a switch
    // is beside both.
    let beside_gap = |picture: &Beside| picture.switch == gap || picture.switch + 1 == gap;
    // A hand that lies over the lamp for long need not leave an end to compare.
    let apart = if is_long {
        f64::INFINITY
    } else {
        ends_apart(gap, &pictures, switches, patches, near)
    };
    if apart <= FOREIGN || pictures.iter().all(beside_gap) {
        return pictures;
    }
    let alike = |one: &Beside| {
        nearest(patches, near, one.frame, &pictures, |other| {
            other.switch != one.switch && !beside_gap(other)
        })
    };
    let differences: Vec<f64> = pictures.iter().map(alike).collect();
    let usual = median(&mut differences.clone()).unwrap_or(f64::INFINITY);
    let most = FOREIGN.max(TIMES_USUAL * usual);
    if apart <= most {
        return pictures;
    }
    let mut differences = differences.into_iter();
    pictures.retain(|picture| {
        let foreign = differences.next().is_some_and(|difference| difference > most);
        !(foreign && beside_gap(picture))
    });
    pictures
}

/// How far the pictures at the beginning of a gap are from those at its end; 0 where either are missing.
fn ends_apart(gap: usize, pictures: &[Beside], switches: &[usize], patches: &Patches, near: &[usize]) -> f64 {
    let begins = pictures.iter().filter(|picture| picture.begins(gap, switches));
    let ends = |other: &Beside| other.ends(gap, switches);
    let away = begins.map(|one| nearest(patches, near, one.frame, pictures, ends));
    away.reduce(f64::min)
        .filter(|away| away.is_finite())
        .unwrap_or(0.0)
}

impl Beside {
    /// Whether it lies at the beginning of the gap between a switch and the one before it, or at its end.
    fn begins(&self, gap: usize, switches: &[usize]) -> bool {
        self.switch + 1 == gap && self.frame >= switches[self.switch]
    }

    fn ends(&self, gap: usize, switches: &[usize]) -> bool {
        self.switch == gap && self.frame < switches[self.switch]
    }
}

/// The longest time without a switch, by its place among such times, if it is far longer than any other.
fn long_gap(switches: &[usize], frames: usize) -> Option<usize> {
    /// How many times as long as any other (guessed).
    const LONGER: usize = 2;
    let ends: Vec<usize> = [0]
        .into_iter()
        .chain(switches.iter().copied())
        .chain([frames])
        .collect();
    let gaps: Vec<usize> = ends.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let longest = (0..gaps.len()).max_by_key(|&gap| gaps[gap])?;
    let others = (0..gaps.len()).filter(|&gap| gap != longest);
    let most = others.map(|gap| gaps[gap]).max()?;
    (gaps[longest] > LONGER * most).then_some(longest)
}

/// How far a frame is from the nearest of some pictures.
fn nearest(
    patches: &Patches,
    near: &[usize],
    frame: usize,
    pictures: &[Beside],
    of: impl Fn(&Beside) -> bool,
) -> f64 {
    let Some(pixels) = &patches.frames[frame] else {
        return f64::INFINITY;
    };
    pictures
        .iter()
        .filter(|picture| of(picture))
        .map(|picture| relative(near.iter().map(|&i| &pixels[i]), &picture.light))
        .fold(f64::INFINITY, f64::min)
}

/// The frames in which the lamp's light is not what it was in the frame before, in time order.
pub(super) fn switches(patches: &Patches, radius: f64) -> Vec<usize> {
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

/// Mean difference, channel by channel: skin may be as bright as what it lies over.
fn relative<'a>(pixels: impl Iterator<Item = &'a Pixel>, usual: &[[f32; 3]]) -> f64 {
    let (mut difference, mut level) = (0.0, 1e-6);
    for (pixel, usual) in pixels.zip(usual) {
        for (light, usual) in pixel.light.iter().zip(usual) {
            difference += f64::from((light - usual).abs());
            level += f64::from(usual.abs());
        }
    }
    // As in the dark a code value or two of noise is much of what there is.
    difference / (level + 0.03 * usual.len() as f64)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

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

    /// So many of the frames are dark and not under a finger.
    #[rstest]
    #[case::for_most_of_the_clip("LLLdddLLLdddLLLdddofffffffffffffffffffffffffffffffffodddLLLddd", 15)]
    #[case::as_the_lamp_goes_out("LLLdddLLLdddLLLffffffffffffffffffffffffffffffffffffdddLLLdddLLLddd", 15)]
    #[case::from_switch_to_switch("LLLdddLLLdddLLLffffffffffffffffffffffffffffffffffffLLLdddLLLdddLLL", 12)]
    #[case::over_a_lit_lamp_for_short("LLLLLLddddddLLLLLLddddddLLfffffffoddLLLLLLddddddLLLLLL", 20)]
    #[case::till_a_lit_lamp_for_short("LLLLLLddddddLLLLLLddddddLLLLLLddofffffffLLLLddddddLLLLLL", 20)]
    fn a_finger_is_not_the_unlit_lamp(#[case] story: &str, #[case] dark_frames: usize) {
        let (patches, dark) = filmed(story);
        let kept: String = uncovered(&patches, &dark, 0.5)
            .unwrap()
            .iter()
            .map(|&frame| &story[frame..=frame])
            .collect();
        assert_eq!(kept, "d".repeat(dark_frames));
    }

    /// Whether a neighbour's light, that is gone in the middle of every dark time, is told from a finger; f looks foreign.
    #[rstest]
    #[case::of_neighbours("dddLLLdddfffffffffdddLLLdddffffffffffdddLLLdd", true)]
    #[case::in_one_dark_time("dddLLLddddddddddddddLLLdddffffffffffdddLLLdd", false)]
    #[case::at_other_times("dddLLLdddffffffffffddLLLdddddddddffffdddLLLdd", false)]
    #[case::in_a_single_dark_time("dddLLLdddfffffffffdddLLLddddd", false)]
    fn what_comes_in_every_dark_time_is_no_hand(#[case] story: &str, #[case] all: bool) {
        let (patches, dark) = filmed(story);
        let kept = uncovered(&patches, &dark, 0.5).unwrap();
        assert_eq!(kept == dark, all, "{kept:?}");
    }

    /// A hand that stays for all that is worked through at once.
    #[test]
    fn what_is_always_there_keeps_no_time() {
        let foreign: Vec<usize> = (0..60).collect();
        assert!(!keeps_time(&foreign, &[], &[3, 17, 24, 40, 52]));
    }

    #[test]
    fn without_switches_nothing_can_be_told() {
        let (patches, dark) = filmed("LLLLLddddffffdddd");
        assert_eq!(uncovered(&patches, &dark, 0.5), None);
    }

    #[test]
    fn a_lamp_that_is_lit_in_another_colour_for_long_is_dark_all_the_same_later() {
        let (patches, dark) = filmed("WWWWWWWWWWWWLLWWLLWWLLWWLLdddddddddddddLLdddd");
        assert_eq!(uncovered(&patches, &dark, 0.5), Some(dark));
    }
}
