//! A steady lamp of which a finger leaves a sliver in view, and lamps side by side that go out together.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[allow(dead_code, reason = "each test takes what it needs of it")]
#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, look};
use lampwise::colour::ColourName::{self, Amber, Blue, Green, Red, White};
use lampwise::light::{Followed, Sighting};
use lampwise::render::{Beat, Case, Cover, Lamp, Recipe, Shown, Stretch};
use lampwise::trace::{self, Trace};
use rstest::rstest;

/// Two lamps side by side on a pale device, and what each shows.
fn side_by_side(seed: u64, [first, second]: [Shown; 2], apart_px: f64, grey: f64) -> Recipe {
    let mut recipe = clip(seed, first, 9.0);
    recipe.scene.ambient = 0.3;
    recipe.lens.halo_share = 0.1;
    let first = &mut recipe.lamps[0];
    (first.radius_px, first.peak, first.x_px, first.starts_at_s) = (13.5, 3.5, 240.0, 0.0);
    let second = Lamp {
        x_px: first.x_px + apart_px,
        shows: second,
        ..first.clone()
    };
    recipe.scene.case = Some(Case {
        x_px: first.x_px - 110.0,
        y_px: first.y_px - 85.0,
        width_px: 330.0,
        height_px: 170.0,
        rgb: [grey; 3],
    });
    recipe.lamps.push(second);
    recipe
}

/// The trace of the second lamp.
fn trace_of_second(recipe: &Recipe) -> Trace {
    let (truth, lamps) = look(recipe);
    let second = truth.frames[0].lamps[1];
    let away = |lamp: &&Followed| (lamp.x - second.x_px).hypot(lamp.y - second.y_px);
    let lamp = lamps.iter().min_by(|a, b| away(a).total_cmp(&away(b))).unwrap();
    assert!(away(&lamp) < 20.0, "the second lamp is found");
    trace::build(lamp)
}

/// The finger lies over the first lamp, and over one side of what lies about the second: that one does not go out meanwhile,
/// and keeps its colour.
#[rstest]
fn a_steady_lamp_of_which_a_sliver_is_left_is_not_dark(
    #[values(88.0, 96.0)] apart_px: f64,
    #[values(Red, Green)] colour: ColourName,
) {
    let shows = [Beat::dark(1.0), Beat::lit(colour, 1.0)].map(|beat| Shown::Cycle(vec![beat]));
    let mut recipe = side_by_side(28, shows, apart_px, 0.46);
    recipe.hand.covers = vec![Cover {
        from_s: 3.0,
        to_s: 6.0,
        radius_px: 90.0,
    }];
    let trace = trace_of_second(&recipe);
    let seen = || {
        let samples = trace.samples.iter();
        samples.filter(|sample| sample.sighting == Sighting::Seen)
    };
    let dark = seen().filter(|sample| sample.level < 0.5).count();
    assert!(
        seen().count() > 150 && dark * 20 <= seen().count(),
        "{dark} of {} are dark",
        seen().count()
    );
    let names = trace.tints[0].names.ranked();
    assert_eq!(names[0].0, colour, "{:?}", &names[..3]);
}

/// What one side of the second lamp's surround loses then is the first lamp's light, and nothing lies over it.
#[rstest]
fn lamps_side_by_side_that_go_out_together_are_dark(
    #[values([Red, Blue], [White, Red], [Blue, Green], [Green, Amber])] colours: [ColourName; 2],
) {
    let shows = colours.map(|colour| {
        let stretch = |for_s, beat| Stretch {
            for_s,
            cycle: vec![beat],
        };
        Shown::Sequence(vec![
            stretch(4.0, Beat::lit(colour, 1.0)),
            stretch(2.5, Beat::dark(1.0)),
            stretch(3.0, Beat::lit(colour, 1.0)),
        ])
    });
    let trace = trace_of_second(&side_by_side(30, shows, 60.0, 0.35));
    let out = || {
        trace
            .samples
            .iter()
            .filter(|sample| (4.2..6.3).contains(&sample.time_s))
    };
    let dark = out().filter(|sample| sample.sighting == Sighting::Seen && sample.level < 0.2);
    let (dark, out) = (dark.count(), out().count());
    assert!(out > 50 && dark * 20 >= out * 19, "{dark} of {out} are dark");
}
