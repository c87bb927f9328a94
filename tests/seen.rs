//! Rendered lamps, whose truth is exact, against what the stages from pixels to trace make of them.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, flashing, look};
use lampwise::colour::ColourName;
use lampwise::footage::{Footage, Limits};
use lampwise::light::{Followed, Sighting, Watcher};
use lampwise::render::{Beat, DynamicRange, Lamp, Mains, Recipe, Shown, Truth};
use lampwise::trace::{self, Measured, Rhythm, Trace};
use rstest::rstest;

fn measure(lamp: &Followed) -> (Trace, Measured) {
    let trace = trace::build(lamp);
    let clipped = 0.5;
    let measured = trace::measure(&trace, clipped);
    (trace, measured)
}

/// Root mean square distance of the followed place from the lamp's, pixels.
fn astray(lamp: &Followed, truth: &Truth) -> f64 {
    let squares: Vec<f64> = lamp
        .glimpses
        .iter()
        .zip(&truth.frames)
        .filter(|(glimpse, _)| glimpse.sighting == Sighting::Seen)
        .map(|(glimpse, frame)| {
            let (dx, dy) = (
                glimpse.place.0 - frame.lamps[0].x_px,
                glimpse.place.1 - frame.lamps[0].y_px,
            );
            dx * dx + dy * dy
        })
        .collect();
    (squares.iter().sum::<f64>() / squares.len() as f64).sqrt()
}

#[rstest]
// The unmistakable colours, at rates of published families: 1 Hz with equal halves; CiA 303-3 blinking, 200
// ms each; IEEE P1621's long pause with a longer flash.
fn a_flashing_lamp_is_found_followed_and_timed(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue, ColourName::White)] colour: ColourName,
    #[values((0.5, 0.5), (0.2, 0.2), (0.3, 1.6))] (on_s, off_s): (f64, f64),
    #[values(1, 2, 3)] seed: u64,
) {
    let period_s = on_s + off_s;
    let recipe = clip(
        seed * 100 + 7,
        flashing(colour, on_s, off_s),
        f64::max(5.5 * period_s, 4.0),
    );
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.first().expect("a lamp is there");
    let radius = recipe.lamps[0].radius_px;
    assert!(
        astray(lamp, &truth) < 0.7 * radius + 1.0,
        "{} px off",
        astray(lamp, &truth)
    );

    let (trace, measured) = measure(lamp);
    assert_eq!(measured.rhythm, Rhythm::Flashing, "{measured:?}");
    let period = measured.period_s.unwrap();
    assert!(
        (period.value / period_s - 1.0).abs() < 0.005,
        "{period:?}, truth {period_s}"
    );
    let on = measured.on_s.unwrap();
    // A clipped lamp looks lit in a frame that it was lit for a part of: half an exposure is the honest bound.
    assert!(
        (on.value - on_s).abs() < 0.5 * recipe.camera.exposure_s + 0.012,
        "{on:?}, truth {on_s}"
    );
    let names = trace.tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}

/// CiA 303-3 flashes: 200 ms lit, 200 ms between, 1000 ms pause (public code of CANopenNode, 303/CO_LEDs).
#[rstest]
fn group_flashes_are_counted(#[values(2, 3, 4)] count: usize, #[values(1, 2)] seed: u64) {
    let mut beats = Vec::new();
    for i in 0..count {
        beats.push(Beat::lit(ColourName::Green, 0.2));
        beats.push(Beat::dark(if i + 1 == count { 1.0 } else { 0.2 }));
    }
    let recipe = clip(seed * 31, Shown::Cycle(beats), 8.0);
    let (_, lamps) = look(&recipe);
    let (_, measured) = measure(&lamps[0]);
    assert_eq!(measured.rhythm, Rhythm::GroupFlashing { count }, "{measured:?}");
    let period_s = 0.4 * count as f64 + 0.8;
    assert!((measured.period_s.unwrap().value / period_s - 1.0).abs() < 0.005);
}

/// A large steady lamp is one lamp, and leaves a place for the one beside it that flashes.
#[rstest]
fn a_lamp_beside_a_large_steady_one_is_found(#[values(1, 2, 3)] seed: u64) {
    let mut recipe = clip(seed * 13 + 2, flashing(ColourName::Blue, 0.5, 0.5), 4.0);
    let first = &mut recipe.lamps[0];
    (first.x_px, first.radius_px) = (240.0, 14.0);
    let beside = Lamp {
        x_px: 240.0 + 6.0 * 14.0,
        starts_at_s: 0.0,
        ..first.clone()
    };
    let steady = Shown::Cycle(vec![Beat::lit(ColourName::Green, 1.0)]);
    recipe.lamps.push(Lamp {
        shows: steady,
        ..beside
    });
    let (truth, lamps) = look(&recipe);
    let near = |lamp: usize| {
        let at = truth.frames[0].lamps[lamp];
        lamps
            .iter()
            .filter(|found| (found.x - at.x_px).hypot(found.y - at.y_px) < 20.0)
            .map(|found| measure(found).1.rhythm)
            .collect::<Vec<_>>()
    };
    assert_eq!(near(0), [Rhythm::Flashing]);
    assert_eq!(near(1), [Rhythm::Fixed]);
}

/// White brings no colour, and is far from the top of these codes.
#[rstest]
fn a_white_lamp_flashes_in_a_wide_range_too(
    #[values(DynamicRange::Hlg, DynamicRange::Pq)] range: DynamicRange,
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 17 + 5, flashing(ColourName::White, 0.5, 0.5), 4.0);
    recipe.encoding.range = range;
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.first().expect("a lamp is there");
    assert!(astray(lamp, &truth) < recipe.lamps[0].radius_px + 1.0);
    assert_eq!(measure(lamp).1.rhythm, Rhythm::Flashing);
}

#[rstest]
fn a_steady_lamp_is_fixed(
    #[values(ColourName::Red, ColourName::Green, ColourName::Blue)] colour: ColourName,
    #[values(DynamicRange::Standard, DynamicRange::Hlg, DynamicRange::Pq)] range: DynamicRange,
    #[values(1, 2, 3)] seed: u64,
) {
    let mut recipe = clip(seed * 11 + 3, Shown::Cycle(vec![Beat::lit(colour, 1.0)]), 2.0);
    recipe.encoding.range = range;
    let (truth, lamps) = look(&recipe);
    let lamp = lamps.first().expect("a lamp is there");
    assert!(astray(lamp, &truth) < recipe.lamps[0].radius_px + 1.0);
    let (trace, measured) = measure(lamp);
    assert_eq!(measured.rhythm, Rhythm::Fixed);
    assert_eq!(trace.tints[0].names.ranked()[0].0, colour);
}

/// Compression gnaws at the rim of a large lamp, and the clip is worked through in more than one part.
#[rstest]
fn a_steady_lamp_is_fixed_however_compressed(
    #[values(ColourName::Red, ColourName::Green, ColourName::White)] colour: ColourName,
    #[values(28, 36)] crf: u32,
    #[values(64, 1125, 1186, 2064)] seed: u64,
) {
    let mut recipe = clip(seed, Shown::Cycle(vec![Beat::lit(colour, 1.0)]), 9.0);
    recipe.lamps[0].radius_px = 11.3;
    recipe.hand.shake_rms_px = 2.1;
    recipe.encoding.crf = crf;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("clip.mp4");
    let truth = lampwise::render::clip(&recipe, &path).unwrap();
    let mut footage = Footage::open(&path, Limits::default()).unwrap();
    let mut watcher = Watcher::new(None);
    while let Some(frame) = footage.next_frame().unwrap() {
        watcher.watch(&frame);
    }
    let lamps = watcher.finish();
    let lamp = lamps.first().expect("a lamp is there");
    assert!(astray(lamp, &truth) < recipe.lamps[0].radius_px);
    let (_, measured) = measure(lamp);
    assert_eq!(measured.rhythm, Rhythm::Fixed);
    assert!(measured.seen_share > 0.99, "{}", measured.seen_share);
}

#[rstest]
fn two_colours_in_turn_are_two_tints(#[values(1, 2, 3)] seed: u64) {
    let turn = vec![
        Beat::lit(ColourName::Blue, 0.3),
        Beat::lit(ColourName::White, 0.3),
    ];
    let recipe = clip(seed * 17, Shown::Cycle(turn), 4.0);
    let (_, lamps) = look(&recipe);
    let (trace, measured) = measure(&lamps[0]);
    assert_eq!(measured.rhythm, Rhythm::Alternating, "{measured:?}");
    assert!((measured.period_s.unwrap().value / 0.6 - 1.0).abs() < 0.005);
    let mut names: Vec<_> = trace.tints.iter().map(|tint| tint.names.ranked()[0].0).collect();
    names.sort();
    assert_eq!(names, [ColourName::Blue, ColourName::White]);
}

/// Mains lighting makes the surround brighter and dimmer from frame to frame: what is left of a lamp's frame without its
/// surround is not to take the surplus for the lamp's colour.
#[rstest]
fn flickering_light_of_the_room_tints_no_lamp_that_is_never_unlit(#[values(1, 2, 3, 4)] seed: u64) {
    let turn = vec![
        Beat::lit(ColourName::Red, 0.35),
        Beat::lit(ColourName::Green, 0.35),
    ];
    let mut recipe = clip(seed * 37 + 11, Shown::Cycle(turn), 5.0);
    recipe.camera.exposure_s = 0.004;
    recipe.scene.ambient = 0.5;
    recipe.mains = Some(Mains {
        hz: 100.0,
        depth: 0.3,
    });
    let (_, lamps) = look(&recipe);
    let (trace, measured) = measure(&lamps[0]);
    assert_eq!(measured.rhythm, Rhythm::Alternating, "{measured:?}");
    assert!((measured.period_s.unwrap().value / 0.7 - 1.0).abs() < 0.005);
    let mut names: Vec<_> = trace.tints.iter().map(|tint| tint.names.ranked()[0].0).collect();
    names.sort();
    assert_eq!(names, [ColourName::Red, ColourName::Green]);
}

/// By how much differs, the unlit lamp lies between white and blue; red is not the unlit lamp for that.
#[rstest]
fn white_stays_white_beside_blue_red_and_dark(#[values(1, 2, 3)] seed: u64) {
    let text = include_str!("../fixtures/reset-too-soon.toml");
    let mut recipe: Recipe = toml::from_str(text).unwrap();
    let moved: u64 = std::env::var("LAMPWISE_SEED").map_or(0, |text| text.parse().unwrap());
    recipe.seed = seed + 1000 * moved;
    let (_, lamps) = look(&recipe);
    let (trace, _) = measure(&lamps[0]);
    let names: Vec<ColourName> = trace.tints.iter().map(|tint| tint.names.ranked()[0].0).collect();
    let expected = [ColourName::White, ColourName::Red, ColourName::Blue];
    assert!(
        names.len() == 3 && expected.iter().all(|name| names.contains(name)),
        "{names:?}"
    );
}

/// A lamp that clips in white gives less over a purer colour that clips in two channels: the white is no unlit lens for
/// that. And where both clip, the rim changes most, which looks unlit in one colour beside the other.
#[rstest]
#[case::white_and_blue([ColourName::White, ColourName::Blue], 10.0)]
#[case::white_and_violet([ColourName::White, ColourName::Violet], 4.0)]
#[case::cyan_and_blue([ColourName::Cyan, ColourName::Blue], 4.0)]
#[case::white_and_cyan([ColourName::White, ColourName::Cyan], 25.0)]
#[case::white_and_amber([ColourName::White, ColourName::Amber], 25.0)]
#[case::warm_white_and_violet([ColourName::WarmWhite, ColourName::Violet], 14.0)]
fn a_clipped_lamp_that_is_never_unlit_is_never_dark(
    #[case] colours: [ColourName; 2],
    #[case] peak: f64,
    #[values(1, 2, 3, 4)] seed: u64,
) {
    never_dark(seed, colours, peak);
}

/// A lamp that flashes beside one that is lit is no part of it, however close.
#[rstest]
fn a_neighbour_of_a_lit_lamp_keeps_its_own_dark(
    #[values(1, 2, 3, 4)] seed: u64,
    #[values(2.2, 3.0)] radii: f64,
) {
    let steady = vec![Beat::lit(ColourName::Green, 1.0)];
    let mut recipe = clip(seed * 29 + 7, Shown::Cycle(steady), 6.0);
    let lit = &mut recipe.lamps[0];
    (lit.radius_px, lit.peak) = (8.0, 3.0);
    let flashing = vec![Beat::lit(ColourName::Red, 0.5), Beat::dark(0.5)];
    let other = Lamp {
        x_px: lit.x_px + radii * lit.radius_px,
        y_px: lit.y_px,
        radius_px: lit.radius_px,
        peak: lit.peak,
        ..Lamp::showing(Shown::Cycle(flashing))
    };
    let x = other.x_px;
    recipe.lamps.push(other);
    let (_, lamps) = look(&recipe);
    let near = lamps.iter().filter(|lamp| (lamp.x - x).abs() < 8.0);
    let own = near.map(|lamp| measure(lamp).0).find(|trace| {
        let dark = trace
            .samples
            .iter()
            .filter(|s| s.sighting == Sighting::Seen && s.level < 0.25);
        (60..120).contains(&dark.count())
    });
    assert!(own.is_some(), "no lamp that is dark half of the time near {x:.0}");
}

fn never_dark(seed: u64, [first, second]: [ColourName; 2], peak: f64) {
    let cycle = vec![Beat::lit(first, 0.9), Beat::lit(second, 0.3)];
    let mut recipe = clip(seed * 23 + 5, Shown::Cycle(cycle), 6.0);
    recipe.lamps[0].peak = peak;
    recipe.lamps[0].radius_px = 10.5;
    let (_, lamps) = look(&recipe);
    let (trace, _) = measure(&lamps[0]);
    let seen = trace.samples.iter().filter(|s| s.sighting == Sighting::Seen);
    let (dark, lit): (Vec<f64>, Vec<f64>) = seen.map(|s| s.level).partition(|level| *level < 0.25);
    assert!(
        lit.len() > 150 && dark.is_empty(),
        "{} frames lit, {} dark",
        lit.len(),
        dark.len()
    );
}
