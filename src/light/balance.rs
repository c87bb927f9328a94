//! How the camera's white balance drifted from frame to frame, from the scene itself.

use super::places::Places;
use super::score::median;
use super::window::{Kept, Window};
use crate::colour::Decoder;

/// Light of the scene's places in red, green and blue under the usual balance, as earlier windows found it.
pub(super) type Usual = Vec<Option<[f32; 3]>>;

/// Factors on red, green and blue of each frame of a window, over those of its exposure; 1 where the scene is too dark to
/// tell, or has another light in one part than in another. `usual` gets the places that are new.
///
/// A lamp's colour is not to slide with the balance, nor is the wall about it to glow in the colour that the balance gains.
pub(super) fn balances(
    window: &Window,
    decoder: &Decoder,
    exposures: &[f64],
    usual: &mut Usual,
) -> Vec<[f32; 3]> {
    /// One place in so many reduced pixels each way.
    const STRIDE: usize = 24;
    let places = Places::every(STRIDE, window);
    let looks: Vec<Option<Look>> = window
        .frames
        .iter()
        .map(|kept| (kept.placed.found && !kept.picture.damaged).then(|| look(kept, &places, decoder)))
        .collect();
    learn(usual, &looks, places.len());
    let found: Vec<Option<[f64; 3]>> = looks
        .iter()
        .zip(exposures)
        .map(|(look, exposure)| balance(look.as_ref()?, usual, *exposure))
        .collect();
    let times_s: Vec<f64> = window.frames.iter().map(|kept| kept.picture.time_s).collect();
    steadied(&found, &times_s)
}

/// Linear light of every place in one frame, where it can be told.
type Look = Vec<Option<[f32; 3]>>;

fn look(kept: &Kept, places: &Places, decoder: &Decoder) -> Look {
    /// Least light of a channel, of the sensor's range: a ratio of less is noise (guessed).
    const LEAST: f32 = 0.02;
    let light = |samples: [f32; 3]| {
        let light = decoder.linear(samples);
        light.iter().all(|channel| *channel > LEAST).then_some(light)
    };
    let samples = places.samples(kept);
    samples.map(|samples| samples.and_then(light)).collect()
}

/// The usual light of each place is its median over the frames of the first window that shows it.
fn learn(usual: &mut Usual, looks: &[Option<Look>], places: usize) {
    usual.resize(places, None);
    for (place, usual) in usual.iter_mut().enumerate().filter(|(_, usual)| usual.is_none()) {
        let seen: Vec<[f32; 3]> = looks.iter().flatten().filter_map(|look| look[place]).collect();
        if seen.len() * 2 > looks.len() {
            let middle =
                |k: usize| median(&mut seen.iter().map(|light| f64::from(light[k])).collect::<Vec<_>>());
            *usual = middle(0)
                .zip(middle(1))
                .zip(middle(2))
                .map(|((red, green), blue)| [red as f32, green as f32, blue as f32]);
        }
    }
}

/// The factors of one frame. A balance turns all places alike; light that falls on a part of them, or a hand, does not.
fn balance(look: &Look, usual: &Usual, exposure: f64) -> Option<[f64; 3]> {
    /// Fewest places for a median to mean anything.
    const FEWEST: usize = 40;
    /// Share by which the middle half of the places may differ (guessed: noise and chroma in steps of 8 bits).
    const ALIKE: f64 = 0.06;
    let channel = |k: usize| {
        let both = look
            .iter()
            .zip(usual)
            .filter_map(|(now, usual)| Some(((*now)?, (*usual)?)));
        let mut ratios: Vec<f64> = both
            .map(|(now, usual)| f64::from(now[k] / usual[k]) / exposure)
            .collect();
        if ratios.len() < FEWEST {
            return None;
        }
        ratios.sort_by(f64::total_cmp);
        let at = |share: usize| ratios[ratios.len() * share / 4];
        (at(3) - at(1) <= ALIKE * at(2)).then(|| at(2))
    };
    Some([channel(0)?, channel(1)?, channel(2)?])
}

/// Medians over about a second: a balance drifts, and what comes and goes with a flash is light.
fn steadied(found: &[Option<[f64; 3]>], times_s: &[f64]) -> Vec<[f32; 3]> {
    /// Seconds to either side.
    const NEAR_S: f64 = 0.5;
    /// What remains of a drift, as a power of e (guessed): chroma in 8 bits, and light that a finger takes from the scene, give as
    /// much, and a picture without a drift is to stay as it is.
    const REMAINS: f64 = 0.015;
    let beyond = |factor: f64| {
        let drift = factor.ln();
        (drift - drift.clamp(-REMAINS, REMAINS)).exp()
    };
    let of = |at: usize| {
        let from = times_s.partition_point(|time_s| *time_s < times_s[at] - NEAR_S);
        let to = times_s.partition_point(|time_s| *time_s <= times_s[at] + NEAR_S);
        let near = &found[from..to.max(from)];
        let middle = |k: usize| {
            median(
                &mut near
                    .iter()
                    .flatten()
                    .map(|factors| factors[k])
                    .collect::<Vec<_>>(),
            )
        };
        std::array::from_fn(|k| middle(k).map_or(1.0, beyond) as f32)
    };
    (0..found.len()).map(of).collect()
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    const PLACES: usize = 200;

    /// A scene of many colours; `light` is what falls on each place.
    fn scene(light: impl Fn(usize) -> [f32; 3]) -> Look {
        let wall = |place: usize| [0.2, 0.3, 0.1].map(|own| own * (1.0 + 0.5 * (place as f32).sin()));
        (0..PLACES)
            .map(|place| {
                let (wall, light) = (wall(place), light(place));
                Some(std::array::from_fn(|k| wall[k] * light[k]))
            })
            .collect()
    }

    #[rstest]
    #[case::as_usual(|_| [1.0; 3], 1.0, Some([1.0, 1.0, 1.0]))]
    #[case::redder(|_| [1.1, 1.0, 0.9], 1.0, Some([1.1, 1.0, 0.9]))]
    #[case::redder_and_brighter(|_| [1.32, 1.2, 1.08], 1.2, Some([1.1, 1.0, 0.9]))]
    #[case::red_light_on_a_part(|place| [1.0 + 0.004 * (place as f32), 1.0, 1.0], 1.0, None)]
    #[case::a_hand_over_a_third(|place| if place % 3 == 0 { [1.5, 0.9, 0.7] } else { [1.0; 3] }, 1.0, None)]
    fn a_balance_turns_all_places_alike(
        #[case] light: fn(usize) -> [f32; 3],
        #[case] exposure: f64,
        #[case] expected: Option<[f64; 3]>,
    ) {
        let found = balance(&scene(light), &scene(|_| [1.0; 3]), exposure);
        match (found, expected) {
            (Some(found), Some(expected)) => {
                assert!((0..3).all(|k| (found[k] - expected[k]).abs() < 1e-3), "{found:?}");
            }
            other => assert!(other.0.is_none() && other.1.is_none(), "{other:?}"),
        }
    }

    #[test]
    fn too_few_places_tell_nothing() {
        let mut look = scene(|_| [1.1, 1.0, 1.0]);
        look[30..].fill(None);
        assert!(balance(&look, &scene(|_| [1.0; 3]), 1.0).is_none());
    }

    /// A drift is followed but for 1.5 %; a flash of a third of a second, and frames that tell nothing, are passed over, at any
    /// frame rate.
    #[rstest]
    fn what_comes_with_a_flash_is_no_balance(#[values(24.0, 30.0, 240.0)] fps: f64) {
        let drift = |time_s: f64| 1.0 + 0.03 * time_s;
        let times_s: Vec<f64> = (0..(4.0 * fps) as usize)
            .map(|frame| frame as f64 / fps)
            .collect();
        let found: Vec<Option<[f64; 3]>> = times_s
            .iter()
            .map(|time_s| match time_s {
                1.3..1.63 => Some([1.5, 1.0, 1.0]),
                2.3..2.63 => None,
                _ => Some([drift(*time_s), 1.0, 1.0]),
            })
            .collect();
        let steadied = steadied(&found, &times_s);
        let whole = |time_s: f64| (0.5..3.5).contains(&time_s);
        for (factors, time_s) in steadied
            .iter()
            .zip(&times_s)
            .filter(|(_, time_s)| whole(**time_s))
        {
            assert!(
                (f64::from(factors[0]) - drift(*time_s)).abs() < 0.025,
                "{time_s}: {factors:?}"
            );
        }
    }

    #[test]
    fn where_nothing_tells_it_stays() {
        assert_eq!(steadied(&[None, None], &[0.0, 0.1]), [[1.0; 3]; 2]);
    }
}
