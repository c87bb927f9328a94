//! Lamps that are lit all the time in a case that is paler than they are.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[path = "common/recipe.rs"]
mod recipe;

use lampwise::colour::ColourName;
use lampwise::light::{Followed, Watcher};
use lampwise::render::{Beat, Case, Lamp, Shown, Truth, frames};
use lampwise::trace;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rstest::rstest;

/// A clip of a lamp on a pale case, in this light, read: the truth, and the likeliest lamp.
fn on_a_pale_case(lamp: Lamp, ambient: f64, (seed, seconds): (u64, f64)) -> (Truth, Followed) {
    let mut random = Pcg64::seed_from_u64(seed);
    let mut recipe = recipe::empty(seed, seconds);
    recipe.lamps = vec![Lamp {
        x_px: random.random_range(250.0..390.0),
        y_px: random.random_range(130.0..230.0),
        ..lamp
    }];
    recipe.scene.ambient = ambient;
    recipe.scene.case = Some(Case {
        x_px: 180.0,
        y_px: 80.0,
        width_px: 280.0,
        height_px: 200.0,
        rgb: [0.62, 0.62, 0.6],
    });
    recipe.hand.shake_rms_px = random.random_range(0.5..3.0);
    let mut pictures = frames(&recipe).unwrap();
    let mut watcher = Watcher::new(None);
    while let Some(picture) = pictures.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    let lamp = watcher.finish().into_iter().next().expect("a lamp is there");
    (pictures.truth().clone(), lamp)
}

/// Of a red or blue lamp at the top of the scale the luma is 0.21 or 0.07 of white's (Rec. ITU-R BT.709-6, item 3.2): a
/// grey case has more.
#[rstest]
fn a_steady_lamp_is_found_and_named(
    #[values(ColourName::Red, ColourName::Blue, ColourName::Green)] colour: ColourName,
    #[values(0.2, 0.35)] ambient: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    let seed = recipe::moved(seed);
    let mut random = Pcg64::seed_from_u64(seed + 50);
    let lamp = Lamp {
        radius_px: random.random_range(5.0..9.0),
        peak: random.random_range(1.5..2.5),
        ..Lamp::showing(Shown::Cycle(vec![Beat::lit(colour, 1.0)]))
    };
    let (truth, lamp) = on_a_pale_case(lamp, ambient, (seed, 4.0));
    let truth = &truth.frames[0].lamps[0];
    let away = (lamp.x - truth.x_px).hypot(lamp.y - truth.y_px);
    assert!(away < 4.0, "{away} px off");
    let names = trace::build(&lamp).tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}

/// Held so close that the case, grey in the room's light, is all there is where a halo would be.
#[rstest]
fn the_case_is_no_halo_of_a_large_steady_lamp(
    #[values(ColourName::Red, ColourName::Blue, ColourName::Green, ColourName::Violet)] colour: ColourName,
) {
    let lamp = Lamp {
        radius_px: 45.0,
        peak: 2.0,
        ..Lamp::showing(Shown::Cycle(vec![Beat::lit(colour, 1.0)]))
    };
    let (_, lamp) = on_a_pale_case(lamp, 0.4, (recipe::moved(1), 1.2));
    let names = trace::build(&lamp).tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}

/// In a room so bright that a colour, where it clips, is no brighter as a whole than the case; and white in turn with it.
#[rstest]
fn a_colour_as_bright_as_the_case_is_not_the_unlit_lamp(
    #[values(ColourName::Red, ColourName::Blue, ColourName::Green)] colour: ColourName,
    #[values(8.0, 12.0)] radius_px: f64,
    #[values(1, 2)] seed: u64,
) {
    const AMBIENT: f64 = 1.0;
    let shown = [
        (colour, 1.0),
        (ColourName::White, 0.3),
        (colour, 0.3),
        (ColourName::White, 1.0),
    ];
    let lamp = Lamp {
        radius_px,
        peak: 1.5,
        ..Lamp::showing(Shown::Cycle(
            shown.map(|(colour, for_s)| Beat::lit(colour, for_s)).to_vec(),
        ))
    };
    let (_, lamp) = on_a_pale_case(lamp, AMBIENT, (recipe::moved(seed), 8.0));
    let trace = trace::build(&lamp);
    let mut named: Vec<ColourName> = trace
        .samples
        .iter()
        .filter_map(|sample| Some(trace.tints[sample.tint?].names.ranked()[0].0))
        .collect();
    let seen = trace.samples.len();
    let of = |name| named.iter().filter(|other| **other == name).count();
    let (coloured, white) = (of(colour), of(ColourName::White));
    named.sort();
    named.dedup();
    assert!(
        coloured > seen / 3 && white > seen / 3,
        "{coloured} and {white} of {seen}: {named:?}"
    );
}

/// Three colours in turn, never dark, all of which clip: the case, grey in the room's light, is brighter than what lies about
/// it, and larger than the lamp.
#[rstest]
fn the_case_lends_no_colour_to_a_lamp_that_is_never_dark(
    #[values(
        [ColourName::Green, ColourName::Violet, ColourName::White],
        [ColourName::Red, ColourName::Blue, ColourName::White],
        [ColourName::Green, ColourName::Red, ColourName::Blue]
    )]
    colours: [ColourName; 3],
    #[values(0.2, 0.4)] ambient: f64,
) {
    let lamp = Lamp {
        radius_px: 45.0,
        peak: 2.0,
        ..Lamp::showing(Shown::Cycle(
            colours.map(|colour| Beat::lit(colour, 0.4)).to_vec(),
        ))
    };
    let (truth, lamp) = on_a_pale_case(lamp, ambient, (recipe::moved(1), 5.0));
    let trace = trace::build(&lamp);
    let shown = truth.frames.iter().filter_map(|frame| frame.lamps[0].colour);
    let named = trace
        .samples
        .iter()
        .map(|sample| Some(trace.tints[sample.tint?].names.ranked()[0].0));
    let right = shown
        .zip(named)
        .filter(|(shown, named)| Some(*shown) == *named)
        .count();
    let tints: Vec<_> = trace
        .tints
        .iter()
        .map(|tint| (tint.names.ranked()[0], tint.share))
        .collect();
    assert!(
        right * 10 > truth.frames.len() * 8,
        "{right} of {}: {tints:?}",
        truth.frames.len()
    );
}
