//! Frames that could not be placed in the scene, though the camera hardly moved: where noise hides all texture, a lamp may be
//! all that a frame is placed by, and while it is dark there is nothing.

use super::motion::{Move, Placed};
use super::window::Window;

/// Root mean square shift of the corners, as a share of the picture's longer side, up to which the camera counts as still
/// from before a gap to after it (guessed: a hand's tremor).
const STILL: f64 = 0.02;

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

/// Places the frames of such gaps between their neighbours, if the gaps come as no hand does. What lies over the lamp is told
/// by its surround all the same.
pub(super) fn bridge(window: &mut Window) {
    let (rows, columns) = window.dim();
    let times_s: Vec<f64> = window.frames.iter().map(|kept| kept.picture.time_s).collect();
    let mut placed: Vec<Placed> = window.frames.iter().map(|kept| kept.placed).collect();
    if bridged(&mut placed, &times_s, (columns as f64, rows as f64)) {
        for (kept, placed) in window.frames.iter_mut().zip(placed) {
            kept.placed = placed;
        }
    }
}

/// Likewise; whether anything was done.
fn bridged(placed: &mut [Placed], times_s: &[f64], (width, height): (f64, f64)) -> bool {
    let most = STILL * width.max(height);
    let mut gaps = Vec::new();
    let mut from = 0;
    for stretch in placed.chunk_by(|a, b| a.found == b.found) {
        let to = from + stretch.len();
        // What lies before and after the window is not known.
        if !stretch[0].found && from > 0 && to < placed.len() {
            let moved = placed[from - 1].scene.distance(&placed[to].scene, width, height);
            gaps.push((from, to, moved <= most));
        }
        from = to;
    }
    let still = gaps.iter().filter(|gap| gap.2);
    let began_s: Vec<f64> = still.map(|(from, ..)| times_s[*from]).collect();
    if !come_as_no_hand(&began_s) {
        return false;
    }
    for (from, to, _) in gaps.into_iter().filter(|gap| gap.2) {
        let (before, after) = (placed[from - 1].scene, placed[to].scene);
        let whole_s = times_s[to] - times_s[from - 1];
        for at in from..to {
            let share = (times_s[at] - times_s[from - 1]) / whole_s.max(f64::MIN_POSITIVE);
            placed[at] = Placed {
                scene: mixed(&before, &after, share),
                found: true,
            };
        }
    }
    true
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
    fn gaps_that_come_with_the_lamp_are_bridged() {
        let (mut placed, times_s) = film("1111......1111......2222......3333......3333......");
        assert!(bridged(&mut placed, &times_s, (320.0, 180.0)));
        let lost = placed.iter().filter(|placed| !placed.found).count();
        assert_eq!(lost, 6, "what lies at the end may be anything");
        assert!((placed[16].scene.tx - 1.43).abs() < 0.01, "{:?}", placed[16]);
    }

    /// A hand comes seldom, and a camera that looked elsewhere comes back to another place.
    #[rstest]
    #[case::seldom("1111..................................................1111....1111")]
    #[case::elsewhere("1111......9999......1111......9999......1111......9999")]
    fn others_are_not(#[case] story: &str) {
        let (mut placed, times_s) = film(story);
        assert!(!bridged(&mut placed, &times_s, (320.0, 180.0)));
        assert_eq!(
            placed.iter().filter(|placed| placed.found).count(),
            story.replace('.', "").len()
        );
    }
}
