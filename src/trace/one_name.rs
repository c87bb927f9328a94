//! Groups of frames that are one colour of the lamp, seen differently: a white balance that moved while the
//! lamp was dark, or a core that clips more at one time than at another.

use crate::colour::{ColourName, NameBelief, name_colour};

/// Standard deviation in u'v' with which a group is named here: that of a colour seen in some ten frames.
const SD: f64 = 0.006;
/// Probability of one name for two groups from which they are that colour, however they differ: a device has
/// one red, not two.
const SURE: f64 = 0.8;
/// Where the names are less sure: agreement of the two beliefs (Bhattacharyya coefficient, 1 for equal ones)
/// and distance in u'v' (three times that of neighbours in a group) up to which they are one.
const AGREE: f64 = 0.75;
const NEAR: f64 = 0.06;
/// Changes from one group straight to the other, from which they are two colours in turn.
const IN_TURN: usize = 2;
/// Frames apart at most for a straight change: one may be lit in both.
const STRAIGHT: usize = 2;

/// For each group, the group that it is one with: itself, or one before it. `members` are (frame, group) in
/// time order.
pub(super) fn one_name(centres: &[(f64, f64)], members: &[(usize, usize)]) -> Vec<usize> {
    let beliefs: Vec<NameBelief> = centres.iter().map(|&(u, v)| name_colour(u, v, SD)).collect();
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
            surely || probably
        });
        if let Some(earlier) = same {
            one[later] = one[earlier];
        }
    }
    one
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
