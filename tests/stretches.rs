//! Lamps in clips that are worked through in more than one stretch, each of which learns the lamp's looks anew.

#![allow(clippy::unwrap_used, reason = "a panic in a test is its report")]

#[allow(dead_code, reason = "each test takes what it needs of it")]
#[path = "common/hand_held.rs"]
mod hand_held;
#[path = "common/recipe.rs"]
mod recipe;

use hand_held::{clip, look};
use lampwise::colour::ColourName;
use lampwise::light::Sighting;
use lampwise::render::{Beat, Shown, Stretch};
use lampwise::trace;
use rstest::rstest;

/// Frames are worked through some seconds at a time. What a lamp does in the later seconds is measured by its looks in the
/// earlier ones: here it only goes dim there, and only bright, and is never dark.
#[rstest]
fn levels_go_on_over_a_long_clip(#[values(1, 2, 3)] seed: u64) {
    let beat = |share: f64, lasts_s: f64| Beat {
        from: share,
        to: share,
        ..Beat::lit(ColourName::Green, lasts_s)
    };
    let stretch = |for_s, cycle| Stretch { for_s, cycle };
    let mut recipe = clip(
        seed * 19 + 3,
        Shown::Sequence(vec![
            stretch(9.0, vec![beat(1.0, 0.5), Beat::dark(0.5)]),
            stretch(10.0, vec![beat(0.4, 10.0)]),
            stretch(10.0, vec![beat(1.0, 10.0)]),
        ]),
        29.0,
    );
    recipe.lamps[0].starts_at_s = 0.0;
    // Unclipped, so that levels are in proportion to the light.
    recipe.lamps[0].peak = 0.8;
    let (_, lamps) = look(&recipe);
    let trace = trace::build(&lamps[0]);
    let mean = |from_s: f64, to_s: f64| {
        let levels: Vec<f64> = trace
            .samples
            .iter()
            .filter(|s| s.sighting == Sighting::Seen && s.time_s > from_s && s.time_s < to_s)
            .map(|s| s.level)
            .collect();
        assert!(levels.len() > 100, "{} frames seen", levels.len());
        levels.iter().sum::<f64>() / levels.len() as f64
    };
    let (dim, full) = (mean(10.0, 18.5), mean(19.5, 28.5));
    assert!(
        (dim / full / 0.4 - 1.0).abs() < 0.2,
        "dim {dim:.3}, full {full:.3}"
    );
    assert!(
        (full - 1.0).abs() < 0.15,
        "full {full:.3} of what it was while flashing"
    );
}

/// A clipped lamp in a shaking hand turns from red to white, which it shows for longer, some time before or after the stretch
/// begins that is learnt anew: the red is read from other pixels in one stretch than in the other, and stays the one red at
/// its one level.
#[rstest]
fn a_colour_goes_on_over_a_stretch_that_is_learnt_anew(
    #[values(6.5, 8.1, 9.5)] turns_at_s: f64,
    #[values(1, 2)] seed: u64,
) {
    let stretch = |for_s, colour| Stretch {
        for_s,
        cycle: vec![Beat::lit(colour, 1.0)],
    };
    let shows = Shown::Sequence(vec![
        stretch(turns_at_s, ColourName::Red),
        stretch(9.0, ColourName::White),
    ]);
    let mut recipe = clip(seed * 23 + 11, shows, turns_at_s + 7.5);
    let lamp = &mut recipe.lamps[0];
    (lamp.starts_at_s, lamp.radius_px, lamp.peak) = (0.0, 12.0, 3.4);
    recipe.camera.exposure_s = 0.025;
    recipe.hand.shake_rms_px = 12.0;
    recipe.hand.motion_blur = true;
    let (_, lamps) = look(&recipe);
    let trace = trace::build(&lamps[0]);
    let near_turn = |at_s: f64| (at_s - turns_at_s).abs() < 0.1;
    let seen = || {
        let all = trace.samples.iter();
        all.filter(|s| s.sighting == Sighting::Seen && !near_turn(s.time_s))
    };
    assert!(seen().count() > 300, "{} frames seen", seen().count());
    for name in [ColourName::Red, ColourName::White] {
        let own = seen().filter(|s| (s.time_s < turns_at_s) == (name == ColourName::Red));
        let told = own.clone().filter(|s| {
            s.tint
                .is_some_and(|tint| trace.tints[tint].names.ranked()[0].0 == name)
                && (0.6..1.6).contains(&s.level)
        });
        let (told, own) = (told.count(), own.count());
        assert!(told as f64 > 0.97 * own as f64, "{name:?}: {told} of {own}");
    }
}

/// A red lamp flashes in groups and turns white: it is dark where a stretch begins that is learnt anew with the white, and
/// its red keeps its level there, too.
#[rstest]
fn flashes_go_on_over_a_stretch_that_is_learnt_anew(
    #[values(0.0, 0.4)] starts_at_s: f64,
    #[values(1, 2, 3)] seed: u64,
) {
    /// Within the second stretch of eight seconds.
    const TURNS_AT_S: f64 = 12.0;
    let flash = [Beat::lit(ColourName::Red, 0.25), Beat::dark(0.25)];
    let groups = [&flash[..], &flash, &flash, &[Beat::dark(2.3)]].concat();
    let shows = Shown::Sequence(vec![
        Stretch {
            for_s: TURNS_AT_S,
            cycle: groups,
        },
        Stretch {
            for_s: 9.0,
            cycle: vec![Beat::lit(ColourName::White, 1.0)],
        },
    ]);
    let mut recipe = clip(seed * 29 + 3, shows, TURNS_AT_S + 7.0);
    let lamp = &mut recipe.lamps[0];
    (lamp.starts_at_s, lamp.radius_px, lamp.peak) = (-starts_at_s, 8.4, 4.7);
    recipe.scene.ambient = 0.21;
    recipe.camera.exposure_s = 0.016;
    recipe.hand.shake_rms_px = 3.0;
    let (_, lamps) = look(&recipe);
    let trace = trace::build(&lamps[0]);
    let red = trace.samples.iter().filter(|s| {
        s.time_s < TURNS_AT_S - 0.5
            && s.tint
                .is_some_and(|tint| trace.tints[tint].names.ranked()[0].0 == ColourName::Red)
    });
    let levels: Vec<f64> = red.map(|s| s.level).collect();
    let full = levels.iter().filter(|level| (0.7..1.4).contains(*level)).count();
    assert!(
        levels.len() > 50 && full as f64 > 0.8 * levels.len() as f64,
        "{full} of {}: {levels:.2?}",
        levels.len()
    );
}
