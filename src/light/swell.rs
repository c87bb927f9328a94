//! Which of the darker frames of a lamp that swells and fades show the lamp, and which show what lies over it.
//!
//! Such a lamp never switches, but a finger comes faster than the lamp fades. Frames that go over into lit ones little by
//! little show the lamp, and others that look like them do too.

use super::patch::Patches;
use super::score::median;
use super::states::typical;
use super::surround::{Ring, Surround};

/// The frames that show the lamp at its darker, in time order; `None` where that cannot be told, or nothing came over it.
pub(super) fn darker(
    patches: &Patches,
    course: &[Option<f64>],
    bright: &[usize],
    radius: f64,
) -> Option<Vec<usize>> {
    let places: Vec<(usize, f64)> = patches
        .seen()
        .filter_map(|(frame, _)| Some((frame, course[frame]?)))
        .collect();
    let (faded, others) = faded(&places)?;
    let darkest: Vec<usize> = faded.iter().take(faded.len().div_ceil(3)).copied().collect();
    let (dark, lit) = (typical(patches, &darkest), typical(patches, bright));
    let surround = Surround::between(&dark, &lit, &patches.grid, Ring::all(radius));
    let compared = |frame: &usize| Some(surround.compare(patches.frames[*frame].as_ref()?));
    let mut among: Vec<f64> = faded.iter().filter_map(compared).map(|c| c.difference).collect();
    let usual = median(&mut among)?;
    let own = |frame: &usize| compared(frame).is_some_and(|c| !c.is_foreign(usual));
    let mut shown = faded;
    shown.extend(others.into_iter().filter(own));
    shown.sort_unstable();
    let lowest: Vec<usize> = shown
        .iter()
        .copied()
        .filter(|&i| course[i].is_some_and(|c| c < 0.25))
        .collect();
    Some(if lowest.is_empty() { shown } else { lowest })
}

/// Of the frames that are not bright: those that go over into bright ones little by little, darkest first, and the others.
/// `None` where none of either sort are there.
fn faded(places: &[(usize, f64)]) -> Option<(Vec<usize>, Vec<usize>)> {
    /// Where a lamp is on the way between its states, and share of the frames with light that must be there for a lamp that
    /// swells (guessed). A hand may lie over it for most of the time, so dark frames say nothing.
    const ON_THE_WAY: std::ops::Range<f64> = 0.25..0.75;
    const SHARE: f64 = 0.05;
    /// Below this it is dark: a step from there or to there may be the hand's.
    const DARK: f64 = 0.1;
    /// Most that a lamp that swells may change from one frame to the next, on the way and in three of four cases; one that
    /// switches within exposures changes by a half (guessed).
    const SWELLS: f64 = 0.4;
    /// How many times that a step must be to be none of the lamp's, and most that it needs to be (guessed).
    const TIMES: f64 = 1.5;
    const MOST: f64 = 0.5;
    let on_the_way = |place: &&(usize, f64)| ON_THE_WAY.contains(&place.1);
    let mut steps: Vec<f64> = places
        .windows(2)
        .filter(|pair| pair.iter().any(|place| on_the_way(&place)) && pair.iter().all(|place| place.1 > DARK))
        .map(|pair| (pair[1].1 - pair[0].1).abs())
        .collect();
    let usual = steps.len() * 3 / 4;
    let usual = match steps.get(usual) {
        Some(_) => *steps.select_nth_unstable_by(usual, f64::total_cmp).1,
        None => return None,
    };
    let count = places.iter().filter(on_the_way).count();
    let with_light = places.iter().filter(|place| place.1 >= ON_THE_WAY.start).count();
    if usual > SWELLS || (count as f64) < SHARE * with_light as f64 {
        return None;
    }
    let most = (TIMES * usual).min(MOST);
    let is_bright = |place: &(usize, f64)| place.1 > 0.75;
    let (mut faded, mut others) = (Vec::new(), Vec::new());
    for run in places.chunk_by(|a, b| (b.1 - a.1).abs() <= most) {
        let own = if run.iter().any(is_bright) {
            &mut faded
        } else {
            &mut others
        };
        own.extend(run.iter().filter(|place| !is_bright(place)).copied());
    }
    if faded.is_empty() || others.is_empty() {
        return None;
    }
    faded.sort_by(|a, b| a.1.total_cmp(&b.1));
    let frames = |places: Vec<(usize, f64)>| places.into_iter().map(|place| place.0).collect();
    Some((frames(faded), frames(others)))
}

#[cfg(test)]
mod tests {
    fn breath(i: usize) -> f64 {
        0.5 - 0.5 * (i as f64 * std::f64::consts::TAU / 60.0).cos()
    }

    #[test]
    fn what_comes_faster_than_the_lamp_fades_is_set_apart() {
        let covered = 200..260;
        let places: Vec<(usize, f64)> = (0..400)
            .map(|i| (i, if covered.contains(&i) { 0.0 } else { breath(i) }))
            .collect();
        let (faded, others) = super::faded(&places).unwrap();
        assert!(others.iter().all(|i| covered.contains(i)), "{others:?}");
        assert!(others.len() >= 55, "{others:?}");
        assert!(breath(faded[0]) < 0.01);
    }

    #[test]
    fn a_breath_alone_and_a_blink_say_nothing() {
        let breathing: Vec<(usize, f64)> = (0..400).map(|i| (i, breath(i))).collect();
        assert_eq!(super::faded(&breathing), None);
        let blinking: Vec<(usize, f64)> = (0..400).map(|i| (i, f64::from(i as u32 / 20 % 2))).collect();
        assert_eq!(super::faded(&blinking), None);
    }
}
