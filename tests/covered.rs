//! Lamps that somebody's finger lies over for a while.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::light::{Followed, Glimpse, Notice, Sighting};
use lampwise::render::{Beat, Case, Cover, FrameTruth, Lamp, Recipe, Shown, Stretch, Truth};
use lampwise::trace;
use rstest::rstest;

fn breathing(colour: ColourName, up_s: f64) -> Shown {
    let beat = |from, to| Beat {
        lasts_s: up_s,
        colour: Some(colour),
        from,
        to,
    };
    Shown::Cycle(vec![beat(0.02, 1.0), beat(1.0, 0.02)])
}

fn in_turn() -> Shown {
    let colours = [ColourName::Green, ColourName::Amber];
    Shown::Cycle(colours.map(|colour| Beat::lit(colour, 0.7)).to_vec())
}

/// `recipe` with a finger over the lamp, read: the truth, and the likeliest lamp.
fn under_a_finger(mut recipe: Recipe, from_s: f64, to_s: f64) -> (Truth, Followed) {
    recipe.hand.covers = vec![Cover {
        from_s,
        to_s,
        radius_px: recipe.lamps[0].radius_px + 35.0,
    }];
    let (truth, lamps) = look(&recipe);
    (truth, lamps.into_iter().next().expect("a lamp is there"))
}

/// For a part of what is worked through at once, and for most of it; a lamp that is never unlit,
/// which is dark under the finger only; and a lamp as large as the finger.
#[rstest]
#[case::flashing(flashing(ColourName::Red, 0.4, 0.4), 3.5, 10.0)]
#[case::flashing_long_covered(flashing(ColourName::Red, 0.4, 0.4), 11.0, 10.0)]
#[case::breathing(breathing(ColourName::Cyan, 0.6), 3.5, 10.0)]
#[case::breathing_long_covered(breathing(ColourName::Cyan, 0.6), 11.0, 10.0)]
#[case::never_unlit(in_turn(), 3.5, 10.0)]
#[case::never_unlit_long_covered(in_turn(), 11.0, 10.0)]
#[case::large(flashing(ColourName::Red, 0.4, 0.4), 3.5, 45.0)]
#[case::large_long_covered(flashing(ColourName::Cyan, 0.4, 0.4), 11.0, 45.0)]
fn a_covered_lamp_is_hidden_and_not_dark(
    #[case] shows: Shown,
    #[case] until_s: f64,
    #[case] radius_px: f64,
    #[values(1, 2, 3, 4)] seed: u64,
) {
    let mut recipe = clip(seed * 13 + 5, shows, until_s + 2.5);
    recipe.lamps[0].radius_px = radius_px;
    let (truth, lamp) = under_a_finger(recipe, 2.0, until_s);
    is_hidden_while_covered(&truth, &lamp);
}

/// A stretch that is worked through at once lies wholly under the finger; after it the lamp has another colour.
#[rstest]
fn a_long_cover_goes_on_from_one_stretch_to_the_next(
    #[values(15.0, 18.0, 21.0)] until_s: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let stretch = |for_s, cycle| Stretch { for_s, cycle };
    let breaths = [(0.02, 1.0), (1.0, 0.02)].map(|(from, to)| Beat {
        lasts_s: 1.2,
        colour: Some(ColourName::Green),
        from,
        to,
    });
    let shows = Shown::Sequence(vec![
        stretch(until_s - 2.0, breaths.to_vec()),
        stretch(until_s + 12.0, vec![Beat::lit(ColourName::Violet, 1.0)]),
    ]);
    let mut recipe = clip(seed * 17 + 7, shows, until_s + 8.0);
    recipe.lamps[0].radius_px = 10.0;
    recipe.lamps[0].starts_at_s = 0.0;
    let (truth, lamp) = under_a_finger(recipe, 7.0, until_s);
    is_hidden_while_covered(&truth, &lamp);
}

/// A steady lamp of radius 9.5, read with a finger of this radius over it from 4.4 s on.
fn steady_under_a_finger(
    colour: ColourName,
    texture_px: f64,
    seed: u64,
    to_s: f64,
    radius_px: f64,
) -> (Truth, Followed) {
    let steady = Shown::Cycle(vec![Beat::lit(colour, 1.0)]);
    let mut recipe = clip(seed * 29 + 3, steady, to_s + 2.7);
    recipe.lamps[0].radius_px = 9.5;
    recipe.scene.texture_px = texture_px;
    recipe.hand.covers = vec![Cover {
        from_s: 4.4,
        to_s,
        radius_px,
    }];
    let (truth, lamps) = look(&recipe);
    (truth, lamps.into_iter().next().expect("a lamp is there"))
}

/// The lamp is worked through in stretches of some eight seconds, and one of them begins with the last frames of the cover.
#[rstest]
fn a_steady_lamp_keeps_its_colour_after_a_cover(
    #[values(7.74, 7.82, 7.9)] to_s: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let (truth, lamp) = steady_under_a_finger(ColourName::Red, 60.0, seed, to_s, 90.0);
    is_hidden_while_covered(&truth, &lamp);
    for tint in trace::build(&lamp).tints {
        assert_eq!(tint.names.ranked()[0].0, ColourName::Red);
    }
}

/// On a coarse texture and a finer one, by fingers from two and a half to ten times as wide as the lamp.
#[rstest]
fn a_steady_lamp_under_a_finger_is_hidden_and_not_dark(
    #[values(90.0, 45.0, 30.0, 24.0)] radius_px: f64,
    #[values(60.0, 30.0)] texture_px: f64,
    #[values(ColourName::Red, ColourName::Green)] colour: ColourName,
    #[values(1, 2, 3)] seed: u64,
) {
    let (truth, lamp) = steady_under_a_finger(colour, texture_px, seed, 6.5, radius_px);
    is_hidden_while_covered(&truth, &lamp);
}

/// A lamp that clips, with its light about it, goes out for two seconds and nothing lies over it.
#[rstest]
fn a_lamp_that_goes_out_is_dark_and_not_hidden(
    #[values(
        ColourName::Red,
        ColourName::Amber,
        ColourName::Green,
        ColourName::Blue,
        ColourName::Violet,
        ColourName::White
    )]
    colour: ColourName,
    #[values(1.5, 5.0)] peak: f64,
    #[values(1, 2)] seed: u64,
) {
    let stretch = |for_s, beat| Stretch {
        for_s,
        cycle: vec![beat],
    };
    let shows = Shown::Sequence(vec![
        stretch(4.0, Beat::lit(colour, 1.0)),
        stretch(2.0, Beat::dark(1.0)),
        stretch(3.0, Beat::lit(colour, 1.0)),
    ]);
    let mut recipe = clip(seed * 37 + 11, shows, 9.0);
    recipe.lamps[0].peak = peak;
    recipe.lamps[0].starts_at_s = 0.0;
    recipe.lens.halo_share = 0.1;
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.into_iter().next().expect("a lamp is there");
    let frames = lamp.glimpses.iter().zip(&truth.frames);
    let dark: Vec<_> = frames
        .filter(|(_, frame)| frame.lamps[0].level < 0.1)
        .map(|(glimpse, _)| glimpse.sighting)
        .collect();
    let seen = dark
        .iter()
        .filter(|sighting| **sighting == Sighting::Seen)
        .count();
    assert!(dark.len() > 50, "the lamp is dark in the truth");
    assert!(
        seen * 20 >= dark.len() * 19,
        "{seen} of {} dark frames are seen",
        dark.len()
    );
}

fn is_hidden_while_covered(truth: &Truth, lamp: &Followed) {
    let seen = |glimpse: &Glimpse| glimpse.sighting == Sighting::Seen;
    let frames = || lamp.glimpses.iter().zip(&truth.frames);
    let hidden = frames().filter(|(_, frame)| frame.lamps[0].hidden).count();
    let hidden_as_dark = frames()
        .filter(|(glimpse, frame)| frame.lamps[0].hidden && seen(glimpse))
        .count();
    let in_view = frames()
        .filter(|(glimpse, frame)| !frame.lamps[0].hidden && seen(glimpse))
        .count();
    assert!(hidden > 30, "the finger covers the lamp in the truth");
    assert!(
        hidden_as_dark * 20 <= hidden,
        "{hidden_as_dark} of {hidden} covered frames count as seen"
    );
    assert!(
        !lamp
            .notices
            .iter()
            .any(|notice| matches!(notice, Notice::SeveralLamps { .. }))
    );
    assert!(
        in_view * 10 >= (truth.frames.len() - hidden) * 9,
        "uncovered frames are seen: {in_view}"
    );
}

/// A finger over one lamp of a pale device leaves one half of the other, that flashes, in view. What is seen of that one is
/// red, and half of a flash is no flash of half the light.
#[rstest]
fn a_half_covered_lamp_keeps_its_colour(
    #[values(3.5, 6.0)] from_s: f64,
    #[values(4.0, 7.0)] for_s: f64,
    #[values(1, 2)] seed: u64,
) {
    const APART_PX: f64 = 110.0;
    let mut recipe = clip(seed * 19 + 3, flashing(ColourName::Green, 0.36, 2.75), 20.0);
    recipe.scene.ambient = 0.37;
    recipe.lens.halo_share = 0.1;
    let upper = &mut recipe.lamps[0];
    (upper.radius_px, upper.peak, upper.x_px) = (13.4, 3.2, 260.0);
    let beat = || Beat::lit(ColourName::Red, 0.2);
    let lower = Lamp {
        x_px: upper.x_px + APART_PX,
        shows: Shown::Cycle(vec![beat(), Beat::dark(0.26), beat(), Beat::dark(1.6)]),
        ..upper.clone()
    };
    recipe.scene.case = Some(Case {
        x_px: upper.x_px - 110.0,
        y_px: upper.y_px - 85.0,
        width_px: 330.0,
        height_px: 170.0,
        rgb: [0.61; 3],
    });
    recipe.lamps.push(lower);
    recipe.hand.covers = vec![Cover {
        from_s,
        to_s: from_s + for_s,
        radius_px: 90.0,
    }];
    let (truth, lamps) = look(&recipe);
    let lower = truth.frames[0].lamps[1];
    let away = |lamp: &&Followed| (lamp.x - lower.x_px).hypot(lamp.y - lower.y_px);
    let lamp = lamps.iter().min_by(|a, b| away(a).total_cmp(&away(b))).unwrap();
    let trace = trace::build(lamp);
    let mut lit = 0;
    for (sample, frame) in trace.samples.iter().zip(&truth.frames) {
        let level = frame.lamps[1].level;
        if sample.sighting != Sighting::Seen || (0.05..0.95).contains(&level) {
            continue;
        }
        let is_lit = level > 0.5;
        assert!(
            (sample.level > 0.5) == is_lit,
            "level {} at {} s",
            sample.level,
            frame.time_s
        );
        if let Some(tint) = sample.tint.filter(|_| is_lit) {
            lit += 1;
            assert_eq!(
                trace.tints[tint].names.ranked()[0].0,
                ColourName::Red,
                "at {} s",
                frame.time_s
            );
        }
    }
    assert!(lit > 50, "the uncovered flashes are seen, and told to be red");
}

/// A lamp that is white and another colour in turn, on a plain case of this grey, under a finger.
fn on_a_plain_case(other: ColourName, grey: f64, seed: u64) -> (Truth, Followed) {
    let shows = Shown::Cycle(vec![Beat::lit(ColourName::White, 0.9), Beat::lit(other, 0.3)]);
    let mut recipe = clip(seed * 17 + 5, shows, 6.0);
    recipe.lamps[0].radius_px = 12.0;
    recipe.scene.case = Some(Case {
        x_px: recipe.lamps[0].x_px - 80.0,
        y_px: recipe.lamps[0].y_px - 90.0,
        width_px: 160.0,
        height_px: 180.0,
        rgb: [grey; 3],
    });
    under_a_finger(recipe, 2.0, 3.6)
}

const OTHERS: [ColourName; 4] = [
    ColourName::Blue,
    ColourName::Red,
    ColourName::Green,
    ColourName::Violet,
];

/// White light and skin make a grey case's grey between them; the lamp's other colour shows that the case is grey.
#[rstest]
fn a_white_lamp_on_a_plain_case_is_hidden_and_not_dark(
    #[values(0, 1, 2, 3)] other: usize,
    #[values(1, 2, 3, 4)] seed: u64,
) {
    let (truth, lamp) = on_a_plain_case(OTHERS[other], 0.68, seed);
    is_hidden_while_covered(&truth, &lamp);
}

/// Of a darker case less is seen beside a blue lamp's light. The bound is what was measured, and no goal.
#[rstest]
fn on_a_darker_case_it_is_mostly_so(#[values(0.27, 0.45)] grey: f64) {
    const MOST_WRONG: usize = 2;
    let mut wrong = Vec::new();
    for other in OTHERS {
        for seed in 1..=4 {
            let (truth, lamp) = on_a_plain_case(other, grey, seed);
            let frames = || lamp.glimpses.iter().zip(&truth.frames);
            let hidden = frames().filter(|(_, frame)| frame.lamps[0].hidden);
            let seen = hidden
                .clone()
                .filter(|(glimpse, _)| glimpse.sighting == Sighting::Seen);
            let (hidden, seen) = (hidden.count(), seen.count());
            assert!(hidden > 30, "the finger covers the lamp in the truth");
            if seen * 20 > hidden {
                wrong.push((other, seed));
            }
        }
    }
    assert!(wrong.len() <= MOST_WRONG, "{wrong:?}");
}

/// The lamp's halo has another colour afterwards than in any frame that its look was learnt from.
#[rstest]
fn a_lamp_that_took_another_colour_meanwhile_is_seen(#[values(1, 2, 3, 4)] seed: u64) {
    let stretch = |for_s, cycle| Stretch { for_s, cycle };
    let shows = Shown::Sequence(vec![
        stretch(12.0, vec![Beat::lit(ColourName::Amber, 0.3), Beat::dark(0.5)]),
        stretch(18.0, vec![Beat::lit(ColourName::Green, 0.35), Beat::dark(2.5)]),
    ]);
    let mut recipe = clip(seed * 7 + 3, shows, 30.0);
    recipe.lamps[0].starts_at_s = 0.0;
    let (truth, lamp) = under_a_finger(recipe, 6.0, 14.0);
    let lit = |(_, frame): &(&Glimpse, &FrameTruth)| frame.time_s > 14.5 && frame.lamps[0].level > 0.5;
    let frames: Vec<_> = lamp.glimpses.iter().zip(&truth.frames).filter(lit).collect();
    let seen = frames
        .iter()
        .filter(|(glimpse, _)| glimpse.sighting == Sighting::Seen)
        .count();
    assert!(frames.len() > 40, "the lamp flashes green in the truth");
    assert!(
        seen * 10 >= frames.len() * 9,
        "{seen} of {} green frames are seen",
        frames.len()
    );
}
