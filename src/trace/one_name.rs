//! Groups of frames that are one colour of the lamp, seen differently: a white balance that moved while the
//! lamp was dark, or a core that clips more at one time than at another.

use crate::colour::{ColourName, D65, NameBelief, ReadFrom, name_colour};

/// Standard deviation in u'v' with which a group is named here: that of a colour seen in some ten frames.
const SD: f64 = 0.006;
/// Probability of one name for two groups from which they are that colour, however they differ: a device has
/// one red, not two.
const SURE: f64 = 0.8;
/// Where the names are less sure: agreement of the two beliefs (Bhattacharyya coefficient, 1 for equal ones)
/// and distance in u'v' (three times that of neighbours in a group) up to which they are one.
const AGREE: f64 = 0.75;
const NEAR: f64 = 0.06;
/// Distance from D65 in u'v' from which a colour is no white under a wrong white balance: a tenth on red or blue moves a
/// white by 0.02 (guessed).
const COLOURED: f64 = 0.035;
/// Difference of hue, degrees, up to which two colours are one, and how much nearer to white the paler one is at least:
/// washed out more at one time than at the other. Red and amber lamps are 14 degrees apart (guessed).
const ONE_HUE_DEG: f64 = 8.0;
const PALER: f64 = 0.85;
/// Share of another group's level below which a paler one is a glow of it, and the difference of hue up to which that is so
/// (guessed): what compression leaves of a lamp that went out.
const FAINT: f64 = 0.4;
const GLOW_HUE_DEG: f64 = 20.0;
/// Changes from one group straight to the other, from which they are two colours in turn.
const IN_TURN: usize = 2;
/// Frames apart at most for a straight change: one may be lit in both.
const STRAIGHT: usize = 2;

/// For each group, the group that it is one with: itself, or one before it. `members` are (frame, group) in
/// time order.
pub(super) fn one_name(
    centres: &[(f64, f64)],
    levels: &[f64],
    read_from: &[ReadFrom],
    members: &[(usize, usize)],
) -> Vec<usize> {
    let beliefs: Vec<NameBelief> = centres
        .iter()
        .zip(read_from)
        .map(|(&(u, v), &from)| name_colour(u, v, SD, from))
        .collect();
    let mut one: Vec<usize> = (0..centres.len()).collect();
    for later in 1..centres.len() {
        let same = (0..later).find(|&earlier| {
            let distance =
                (centres[earlier].0 - centres[later].0).hypot(centres[earlier].1 - centres[later].1);
            let (a, b) = (&beliefs[earlier], &beliefs[later]);
            let surely = ColourName::ALL
                .into_iter()
                .any(|name| a.of(name) >= SURE && b.of(name) >= SURE);
            let probably = agreement(a, b) > AGREE
                && distance < NEAR
                && straight_changes(members, earlier, later) < IN_TURN;
            let [one, other] = [earlier, later].map(|group| (centres[group], levels[group]));
            surely || probably || washed_out(one, other)
        });
        if let Some(earlier) = same {
            one[later] = one[earlier];
        }
    }
    one
}

/// Whether one of two chromaticities, each with its level, is the other, washed out.
fn washed_out(one: ((f64, f64), f64), other: ((f64, f64), f64)) -> bool {
    let from_white = |((u, v), level): ((f64, f64), f64)| {
        let (du, dv) = (u - D65.0, v - D65.1);
        (du.hypot(dv), dv.atan2(du), level)
    };
    let (one, other) = (from_white(one), from_white(other));
    let (pale, pure) = if one.0 < other.0 {
        (one, other)
    } else {
        (other, one)
    };
    let turn = (pale.1 - pure.1).to_degrees();
    let turn = (turn + 180.0).rem_euclid(360.0) - 180.0;
    let is_glow = pale.2 < FAINT * pure.2;
    let one_hue_deg = if is_glow { GLOW_HUE_DEG } else { ONE_HUE_DEG };
    pale.0 > COLOURED && pale.0 < PALER * pure.0 && turn.abs() < one_hue_deg
}

fn agreement(a: &NameBelief, b: &NameBelief) -> f64 {
    let terms = ColourName::ALL
        .into_iter()
        .map(|name| (a.of(name) * b.of(name)).sqrt());
    terms.sum()
}

fn straight_changes(members: &[(usize, usize)], one: usize, other: usize) -> usize {
    members
        .windows(2)
        .filter(|pair| {
            let ((before, from), (after, to)) = (pair[0], pair[1]);
            after - before <= STRAIGHT && ((from, to) == (one, other) || (from, to) == (other, one))
        })
        .count()
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::colour::uv;

    /// Linear BT.709 of lamps and of the same lamps washed out, by hand.
    #[rstest]
    #[case::green_and_pale_green([0.2, 1.0, 0.15], [0.6, 1.0, 0.5], true)]
    #[case::blue_and_pale_blue([0.02, 0.04, 1.0], [0.3, 0.35, 1.0], true)]
    #[case::green_and_white([0.2, 1.0, 0.15], [0.9, 1.0, 0.85], false)]
    #[case::red_and_amber([1.0, 0.0, 0.0], [1.0, 0.17, 0.0], false)]
    #[case::green_and_cyan([0.0, 1.0, 0.1], [0.2, 1.0, 0.9], false)]
    #[case::amber_and_warm_white([1.0, 0.2, 0.0], [1.0, 0.53, 0.22], false)]
    fn the_same_hue_is_one_colour(#[case] lamp: [f64; 3], #[case] other: [f64; 3], #[case] one: bool) {
        let both = [lamp, other].map(|light| (uv(light).unwrap(), 1.0));
        assert_eq!(washed_out(both[0], both[1]), one);
    }

    /// A red lamp, and an amber one washed out (by hand): one lamp only if the second is faint.
    #[rstest]
    #[case::as_bright(1.0, false)]
    #[case::a_glow(0.2, true)]
    fn a_faint_and_paler_light_is_a_glow(#[case] level: f64, #[case] one: bool) {
        let (red, pale) = (uv([1.0, 0.0, 0.0]).unwrap(), uv([1.0, 0.35, 0.2]).unwrap());
        assert_eq!(washed_out((red, 1.0), (pale, level)), one);
    }
}
