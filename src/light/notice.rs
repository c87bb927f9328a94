//! What made the light hard to see.

use super::glimpse::{Glimpse, Sighting};

/// A property of the footage that weakens what can be measured of a light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Notice {
    /// The camera moved much between frames.
    HandShake {
        /// Root mean square movement from frame to frame, pixels.
        pixels: f64,
    },
    /// The lamp is only a few pixels wide.
    SmallLamp {
        /// Its radius, pixels.
        radius: f64,
    },
    /// The lamp's own colour is washed out nearly everywhere.
    Overexposed {
        /// Share of the lit lamp's pixels at the top of the scale, 0 to 1.
        clipped: f64,
    },
    /// Even at its brightest the lamp adds little light to a dark picture.
    TooDark {
        /// Its light, linear, picture white being 1.
        light: f64,
    },
    /// The lamp was covered or out of the frame for a part of the clip.
    OftenHidden {
        /// Share of the frames in which it was in view, 0 to 1.
        seen: f64,
    },
    /// Nothing lights up where somebody pointed, but elsewhere a lamp does.
    LampBeside {
        /// Where that is in the first picture, pixels.
        x: f64,
        /// Likewise.
        y: f64,
    },
    /// Nothing lights up where somebody pointed, nor anywhere else: a dark lamp cannot be told from a place without one.
    NothingLit,
    /// Another lamp of nearly the same score was found.
    SeveralLamps {
        /// How many.
        count: usize,
    },
}

/// Movement from frame to frame, pixels, that blurs a small lamp (guessed).
const SHAKY: f64 = 8.0;
/// Radius in pixels below which colour is diluted by half-resolution colour coding.
const SMALL: f64 = 3.0;
/// Share of clipped light above which the lamp's own colour is mostly lost.
const WASHED_OUT: f64 = 0.7;
/// Light below which a lit lamp is hardly above noise and compression: five times the least change that counts as
/// light at all, a seventh of the code range (guessed).
const FAINT: f64 = 0.1;
/// Share of frames in view below which the clip should be made again.
const OFTEN: f64 = 0.8;

/// What made a lamp of a radius hard to see. `shake` is the movement from frame to frame, pixels; `count` how many
/// lamps look about equally like one.
pub(super) fn notices(glimpses: &[Glimpse], radius: f64, shake: f64, count: usize) -> Vec<Notice> {
    let mut notices = Vec::new();
    if shake > SHAKY {
        notices.push(Notice::HandShake { pixels: shake });
    }
    if radius < SMALL {
        notices.push(Notice::SmallLamp { radius });
    }
    let seen: Vec<&Glimpse> = glimpses.iter().filter(|g| g.sighting == Sighting::Seen).collect();
    let top = seen.iter().map(|g| g.excess).fold(0.0, f64::max);
    let lit: Vec<f64> = seen
        .iter()
        .filter(|g| g.excess > 0.5 * top)
        .map(|g| g.clipped)
        .collect();
    let clipped = lit.iter().sum::<f64>() / lit.len().max(1) as f64;
    if clipped > WASHED_OUT {
        notices.push(Notice::Overexposed { clipped });
    } else if top > 0.0 && top < FAINT {
        notices.push(Notice::TooDark { light: top });
    }
    let share = seen.len() as f64 / glimpses.len().max(1) as f64;
    if share < OFTEN {
        notices.push(Notice::OftenHidden { seen: share });
    }
    if count > 1 {
        notices.push(Notice::SeveralLamps { count });
    }
    notices
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// A hundred frames of a lamp of so much light, clipped so far, seen in so many of them.
    fn glimpses(light: f64, clipped: f64, seen: usize) -> Vec<Glimpse> {
        let glimpse = |i: usize| Glimpse {
            sighting: if i < seen {
                Sighting::Seen
            } else {
                Sighting::Hidden
            },
            excess: light,
            clipped,
            ..Glimpse::unseen(i as f64 / 30.0)
        };
        (0..100).map(glimpse).collect()
    }

    /// Each weakness alone, and what just is none.
    #[rstest]
    #[case::shaken(glimpses(0.5, 0.2, 100), 6.0, 8.1, 1, Some(Notice::HandShake { pixels: 8.1 }))]
    #[case::hardly_shaken(glimpses(0.5, 0.2, 100), 6.0, 7.9, 1, None)]
    #[case::far(glimpses(0.5, 0.2, 100), 2.9, 1.0, 1, Some(Notice::SmallLamp { radius: 2.9 }))]
    #[case::near(glimpses(0.5, 0.2, 100), 3.1, 1.0, 1, None)]
    #[case::bright(glimpses(0.5, 0.75, 100), 6.0, 1.0, 1, Some(Notice::Overexposed { clipped: 0.75 }))]
    #[case::less_bright(glimpses(0.5, 0.65, 100), 6.0, 1.0, 1, None)]
    #[case::dark(glimpses(0.09, 0.0, 100), 6.0, 1.0, 1, Some(Notice::TooDark { light: 0.09 }))]
    #[case::less_dark(glimpses(0.11, 0.0, 100), 6.0, 1.0, 1, None)]
    #[case::never_lit(glimpses(0.0, 0.0, 100), 6.0, 1.0, 1, None)]
    #[case::hidden(glimpses(0.5, 0.2, 79), 6.0, 1.0, 1, Some(Notice::OftenHidden { seen: 0.79 }))]
    #[case::seldom_hidden(glimpses(0.5, 0.2, 81), 6.0, 1.0, 1, None)]
    #[case::several(glimpses(0.5, 0.2, 100), 6.0, 1.0, 2, Some(Notice::SeveralLamps { count: 2 }))]
    fn each_weakness_is_noticed(
        #[case] glimpses: Vec<Glimpse>,
        #[case] radius: f64,
        #[case] shake: f64,
        #[case] count: usize,
        #[case] expected: Option<Notice>,
    ) {
        let got = notices(&glimpses, radius, shake, count);
        let names = |notices: &[Notice]| notices.iter().map(std::mem::discriminant).collect::<Vec<_>>();
        assert_eq!(names(&got), names(expected.as_slice()), "{got:?}");
    }
}
