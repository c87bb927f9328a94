//! Frames that could not be placed in the scene, though the camera hardly moved: on a plain case, or where noise hides all
//! texture, a lamp may be all that a frame is placed by, and while it is dark there is nothing.

use std::ops::Range;

use ndarray::Array2;

use super::motion::{Move, Placed};
use super::score::median;
use super::window::Window;

/// Root mean square shift of the corners, as a share of the picture's longer side, up to which the camera counts as still
/// from before a gap to after it (guessed: a hand's tremor).
const STILL: f64 = 0.02;

/// Seconds for which the camera counts as still without a frame after them, or before them, that is placed (guessed).
const ONE_SIDED_S: f64 = 2.5;

/// Whether stretches that begin at these times come as no hand does: so often, and at such a pace.
pub(super) fn come_as_no_hand(began_s: &[f64]) -> bool {
    /// So many, and at most so many seconds from one to the next on average (guessed).
    const MANY: usize = 4;
    const PACE_S: f64 = 1.5;
    let (Some(first), Some(last)) = (began_s.first(), began_s.last()) else {
        return false;
    };
    began_s.len() >= MANY && last - first < PACE_S * (began_s.len() - 1) as f64
}

/// Places the frames of gaps between their neighbours where nothing but a lamp changed, or the gaps come as no hand does. What
/// lies over the lamp is told by its surround all the same.
pub(super) fn bridge(window: &mut Window) {
    let (rows, columns) = window.dim();
    let times_s: Vec<f64> = window.frames.iter().map(|kept| kept.picture.time_s).collect();
    let mut placed: Vec<Placed> = window.frames.iter().map(|kept| kept.placed).collect();
    let only_lamp = |lit: usize, gap: Range<usize>| {
        let blocks = |frame: usize| blocks(&window.frames[frame].picture.luma);
        let lit = blocks(lit);
        gap.into_iter().all(|at| only_a_lamp_changed(&lit, &blocks(at)))
    };
    if bridged(&mut placed, &times_s, (columns as f64, rows as f64), only_lamp) {
        for (kept, placed) in window.frames.iter_mut().zip(placed) {
            kept.placed = placed;
        }
    }
}

/// Likewise; whether anything was done. `only_lamp` says whether nothing but a lamp changed from a placed frame to those of a
/// gap.
fn bridged(
    placed: &mut [Placed],
    times_s: &[f64],
    (width, height): (f64, f64),
    only_lamp: impl Fn(usize, Range<usize>) -> bool,
) -> bool {
    let most = STILL * width.max(height);
    let is_still = |gap: &Gap| {
        let [before, after] = [gap.before, gap.after].map(|frame| placed[frame].scene);
        before.distance(&after, width, height) <= most
    };
    let still: Vec<Gap> = gaps(placed).into_iter().filter(is_still).collect();
    let two_sided = || still.iter().filter(|gap| gap.is_two_sided());
    let began_s: Vec<f64> = two_sided().map(|gap| times_s[gap.frames.start]).collect();
    let no_hand = come_as_no_hand(&began_s);
    let mut done = false;
    for gap in still {
        let lasts_s = times_s[gap.frames.end - 1] - times_s[gap.frames.start];
        let by_pace = no_hand && gap.is_two_sided();
        let by_look =
            || (gap.is_two_sided() || lasts_s < ONE_SIDED_S) && only_lamp(gap.before, gap.frames.clone());
        if !by_pace && !by_look() {
            continue;
        }
        done = true;
        let (one, other) = (placed[gap.before].scene, placed[gap.after].scene);
        let from_s = times_s[gap.before];
        let whole_s = times_s[gap.after] - from_s;
        for at in gap.frames {
            let share = (times_s[at] - from_s) / whole_s.max(f64::MIN_POSITIVE);
            placed[at] = Placed {
                scene: mixed(&one, &other, share.clamp(0.0, 1.0)),
                found: true,
            };
        }
    }
    done
}

/// All gaps, if any frame is placed.
fn gaps(placed: &[Placed]) -> Vec<Gap> {
    let mut gaps = Vec::new();
    let mut from = 0;
    for stretch in placed.chunk_by(|a, b| a.found == b.found) {
        let to = from + stretch.len();
        if !stretch[0].found && stretch.len() < placed.len() {
            gaps.push(Gap::of(from..to, placed.len()));
        }
        from = to;
    }
    gaps
}

/// Frames that were not placed, and the placed ones next to them: at an end of the window the same one twice.
struct Gap {
    frames: Range<usize>,
    before: usize,
    after: usize,
}

impl Gap {
    /// `count` is the number of frames, of which some are placed.
    fn of(frames: Range<usize>, count: usize) -> Self {
        let before = frames.start.checked_sub(1).unwrap_or(frames.end);
        let after = if frames.end < count { frames.end } else { before };
        Self {
            frames,
            before,
            after,
        }
    }

    const fn is_two_sided(&self) -> bool {
        self.before != self.after
    }
}

/// Blocks of a picture, rows by columns: many to a finger, few to a lamp.
const BLOCKS: (usize, usize) = (12, 16);

/// The mean luma of each block.
fn blocks(luma: &Array2<u8>) -> Array2<f32> {
    let (rows, columns) = luma.dim();
    Array2::from_shape_fn(BLOCKS, |(row, column)| {
        let (top, bottom) = (row * rows / BLOCKS.0, (row + 1) * rows / BLOCKS.0);
        let (left, right) = (column * columns / BLOCKS.1, (column + 1) * columns / BLOCKS.1);
        let block = luma.slice(ndarray::s![top..bottom, left..right]);
        let sum: u32 = block.iter().map(|&luma| u32::from(luma)).sum();
        sum as f32 / block.len().max(1) as f32
    })
}

/// Whether a frame shows what another one does but for a lamp that went out, or on: a place within the picture. A hand comes in
/// over the picture's edge, and another place is another picture.
fn only_a_lamp_changed(one: &Array2<f32>, other: &Array2<f32>) -> bool {
    /// Luma codes by which a block may differ beyond a change of exposure (guessed; noise is below one).
    const SAME: f32 = 4.0;
    /// Share of the blocks that a lamp may take.
    const LAMP: f32 = 0.125;
    let ratios = one
        .iter()
        .zip(other)
        .map(|(one, other)| f64::from(other / one.max(1.0)));
    let Some(gain) = median(&mut ratios.collect::<Vec<_>>()) else {
        return false;
    };
    let is_at_edge = |(row, column): (usize, usize)| {
        row == 0 || column == 0 || row + 1 == BLOCKS.0 || column + 1 == BLOCKS.1
    };
    let blocks = one.indexed_iter().zip(other);
    let changed: Vec<(usize, usize)> = blocks
        .filter(|((_, one), other)| (*other - gain as f32 * *one).abs() > SAME)
        .map(|((place, _), _)| place)
        .collect();
    changed.len() as f32 <= LAMP * one.len() as f32 && !changed.into_iter().any(is_at_edge)
}

fn mixed(one: &Move, other: &Move, share: f64) -> Move {
    let mix = |a: f64, b: f64| a + share * (b - a);
    Move {
        c: mix(one.c, other.c),
        s: mix(one.s, other.s),
        tx: mix(one.tx, other.tx),
        ty: mix(one.ty, other.ty),
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Frames at 30 a second in a picture of 320 by 180: digits are placed so many pixels to the right, dots are not placed.
    fn film(story: &str) -> (Vec<Placed>, Vec<f64>) {
        let place = |what: char| Placed {
            scene: Move {
                tx: what.to_digit(10).map_or(0.0, f64::from),
                ..Move::NONE
            },
            found: what != '.',
        };
        let times_s = (0..story.len()).map(|frame| frame as f64 / 30.0).collect();
        (story.chars().map(place).collect(), times_s)
    }

    #[test]
    fn gaps_in_which_only_a_lamp_changed_are_bridged() {
        let (mut placed, times_s) = film("..1111......1111......2222......3333......");
        assert!(bridged(&mut placed, &times_s, (320.0, 180.0), |_, gap| gap.start != 16));
        let lost: Vec<usize> = (0..placed.len()).filter(|at| !placed[*at].found).collect();
        assert_eq!(lost, (16..22).collect::<Vec<_>>());
        assert!((placed[28].scene.tx - 2.43).abs() < 0.01, "{:?}", placed[28]);
        assert_eq!((placed[0].scene.tx, placed[41].scene.tx), (1.0, 3.0));
    }

    #[test]
    fn gaps_that_come_with_the_lamp_are_bridged() {
        let (mut placed, times_s) = film("1111......1111......2222......3333......3333......");
        assert!(bridged(&mut placed, &times_s, (320.0, 180.0), |_, _| false));
        let lost = placed.iter().filter(|placed| !placed.found).count();
        assert_eq!(lost, 6, "what lies at the end may be anything");
        assert!((placed[16].scene.tx - 1.43).abs() < 0.01, "{:?}", placed[16]);
    }

    /// A hand comes seldom.
    #[test]
    fn seldom_gaps_in_which_more_changed_are_not() {
        let story = "1111..................................................1111....1111";
        let (mut placed, times_s) = film(story);
        assert!(!bridged(&mut placed, &times_s, (320.0, 180.0), |_, _| false));
        let found = placed.iter().filter(|placed| placed.found).count();
        assert_eq!(found, story.replace('.', "").len());
    }

    /// A camera that looked elsewhere comes back to another place; and what lasts beyond the window may be anything.
    #[rstest]
    #[case::elsewhere("1111......9999......1111......9999......1111......9999")]
    #[case::for_long("1111................................................................................")]
    #[case::never_placed("........")]
    fn others_are_not(#[case] story: &str) {
        let (mut placed, times_s) = film(story);
        assert!(!bridged(&mut placed, &times_s, (320.0, 180.0), |_, _| true));
        assert_eq!(
            placed.iter().filter(|placed| placed.found).count(),
            story.replace('.', "").len()
        );
    }

    /// A wall with a lamp and what comes over it: light, by row and column.
    #[rstest]
    #[case::nothing_changed(200.0, |_, _| None, 1.0, true)]
    #[case::out(80.0, |_, _| None, 1.0, true)]
    #[case::out_and_the_exposure_answers(80.0, |_, _| None, 1.1, true)]
    #[case::a_finger_from_the_edge(80.0, |row: usize, column: usize| (row > 90 && column.abs_diff(160) < 30).then_some(60), 1.0, false)]
    #[case::another_place(80.0, |_, column: usize| Some(40 + column / 4), 1.0, false)]
    fn a_lamp_that_goes_out_is_told_from_a_hand(
        #[case] lamp: f32,
        #[case] over: fn(usize, usize) -> Option<usize>,
        #[case] gain: f32,
        #[case] is_one: bool,
    ) {
        let picture = |lamp: f32, gain: f32, over: fn(usize, usize) -> Option<usize>| {
            Array2::from_shape_fn((180, 320), |(row, column)| {
                let is_lamp = row.abs_diff(90).pow(2) + column.abs_diff(160).pow(2) < 144;
                let light = if is_lamp { lamp } else { 90.0 };
                (gain * over(row, column).map_or(light, |over| over as f32)) as u8
            })
        };
        let before = blocks(&picture(200.0, 1.0, |_, _| None));
        assert_eq!(
            only_a_lamp_changed(&before, &blocks(&picture(lamp, gain, over))),
            is_one
        );
    }
}
