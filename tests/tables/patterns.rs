//! Patterns against the published figures and plain arithmetic; rows that no clip can part.

use lampwise::colour::ColourName::{Blue, Red, White};
use lampwise::table::{Cycle, Pattern, Phase, Shade, same_look};
use rstest::rstest;

use super::{SOUND, showing, sound};

#[track_caller]
fn pattern(written: &str) -> Pattern {
    sound(&showing(written)).meanings[0].shows[0].pattern.clone()
}

#[track_caller]
fn cycle(written: &str) -> Cycle {
    match pattern(written) {
        Pattern::Cycle(cycle) => cycle,
        other => panic!("{written} repeats, but became {other:?}"),
    }
}

fn steady(shade: Shade, lasts_s: f64) -> Phase {
    Phase {
        from: shade,
        to: shade,
        lasts_s,
        range_s: (lasts_s, lasts_s),
    }
}

#[test]
fn what_does_not_change_is_constant() {
    assert_eq!(pattern("\"off\""), Pattern::Constant(Shade::Dark));
    assert_eq!(
        pattern("{ fixed = \"red\" }"),
        Pattern::Constant(Shade::Lit(Red, 1.0))
    );
}

#[test]
fn breathing_rises_and_falls_straight_in_linear_light() {
    let cycle = cycle("{ breathing = \"blue\", period = \"2.4 s\" }");
    let (low, high) = (Shade::Lit(Blue, 0.0), Shade::Lit(Blue, 1.0));
    let ramp = |from, to| Phase {
        from,
        to,
        lasts_s: 1.2,
        range_s: (1.2, 1.2),
    };
    assert_eq!(cycle.phases, [ramp(low, high), ramp(high, low)]);
    assert_eq!((cycle.period_s, cycle.within), (2.4, 0.15));
}

#[test]
fn states_keep_their_order_and_length() {
    let (blue, white) = (Shade::Lit(Blue, 1.0), Shade::Lit(White, 1.0));
    let alternating = cycle("{ alternating = [\"blue\", \"white\"], each = \"250 ms\" }");
    assert_eq!(alternating.phases, [steady(blue, 0.25), steady(white, 0.25)]);
    assert_eq!(alternating.period_s, 0.5);
    let steps = cycle("{ steps = [\"blue 250 ms\", \"off 500 ms\"], within = \"5 %\" }");
    assert_eq!(steps.phases, [steady(blue, 0.25), steady(Shade::Dark, 0.5)]);
    assert_eq!((steps.period_s, steps.within), (0.75, 0.05));
}

#[test]
fn what_a_flash_gains_the_dark_after_it_loses() {
    let cycle = cycle(
        "{ flashing = \"red\", group = 2, apart = \"1 s\", on = \"400 ms\", period = \"4 s\", within = \"50 %\" }",
    );
    let expected = [
        (0.4, (0.2, 0.6)),
        (0.6, (0.4, 0.8)),
        (0.4, (0.2, 0.6)),
        (2.6, (2.4, 2.8)),
    ];
    assert_eq!(cycle.phases.len(), expected.len());
    for (phase, (lasts_s, range_s)) in cycle.phases.iter().zip(expected) {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
        assert!(near(phase.lasts_s, lasts_s), "{phase:?} should last {lasts_s}");
        assert!(
            near(phase.range_s.0, range_s.0) && near(phase.range_s.1, range_s.1),
            "{phase:?} {range_s:?}"
        );
    }
    let sum: f64 = cycle.phases.iter().map(|phase| phase.lasts_s).sum();
    assert!((sum - cycle.period_s).abs() < 1e-12, "phases make up the period");
}

#[test]
fn a_flash_without_on_is_half_of_its_period_and_may_be_nearly_anything() {
    let cycle = cycle("{ flashing = \"red\", period = \"2 s\" }");
    assert_eq!(
        (cycle.phases[0].lasts_s, cycle.phases[0].range_s),
        (1.0, (0.4, 1.6))
    );
}

#[test]
fn parts_of_a_sequence_follow_each_other() {
    let pattern =
        pattern("{ sequence = [{ fixed = \"blue\", for = \"3 s..\" }, { off = true, for = \"1 s..2 s\" }] }");
    let Pattern::Sequence(parts) = pattern else {
        panic!("a sequence stays one")
    };
    assert_eq!(parts[0].pattern, Pattern::Constant(Shade::Lit(Blue, 1.0)));
    assert_eq!(parts[0].for_s, (3.0, f64::INFINITY));
    assert_eq!(
        (parts[1].pattern.clone(), parts[1].for_s),
        (Pattern::Constant(Shade::Dark), (1.0, 2.0))
    );
}

/// A table with one row for each of these `shows` lines.
fn rows(shows: &[&str]) -> String {
    let head = SOUND
        .split("[[meaning]]")
        .next()
        .expect("a split has a first part");
    let base = "[[light]]\nid = \"base\"\nlabel = \"below\"\ncolours = [\"red\", \"blue\"]\n";
    let row = |(at, shows): (usize, &&str)| {
        format!("[[meaning]]\nid = \"row-{at}\"\nkind = \"other\"\ntitle = \"A row\"\n{shows}\n")
    };
    format!(
        "{head}{base}{}",
        shows.iter().enumerate().map(row).collect::<String>()
    )
}

const SLOW: &str = "shows.crown = { flashing = \"red\", period = \"1.0 s\", on = \"500 ms\" }";
const SLOW_AS_STEPS: &str = "shows.crown = { steps = [\"off 500 ms\", \"red 500 ms\"] }";
const SLOW_TWICE: &str =
    "shows.crown = { steps = [\"red 500 ms\", \"off 500 ms\", \"red 500 ms\", \"off 500 ms\"] }";
const A_BIT_SLOWER: &str = "shows.crown = { flashing = \"red\", period = \"1.1 s\", on = \"550 ms\" }";
const SLOWER: &str = "shows.crown = { flashing = \"red\", period = \"1.25 s\", on = \"625 ms\" }";
const SHORT: &str = "shows.crown = { flashing = \"red\", period = \"1.0 s\", on = \"200 ms\" }";
const BLUE: &str = "shows.crown = { flashing = \"blue\", period = \"1.0 s\", on = \"500 ms\" }";
const FIXED: &str = "shows.crown = { fixed = \"red\" }";

#[rstest]
#[case::equal(&[SLOW, FIXED, SLOW], &[[0, 2]])]
#[case::the_same_in_another_form_and_turned(&[SLOW, SLOW_AS_STEPS], &[[0, 1]])]
#[case::the_same_written_out_twice(&[SLOW, SLOW_TWICE], &[[0, 1]])]
#[case::within_tolerance(&[SLOW, A_BIT_SLOWER], &[[0, 1]])]
#[case::beyond_tolerance(&[SLOW, SLOWER], &[])]
#[case::not_handed_on(&[SLOW, A_BIT_SLOWER, SLOWER], &[[0, 1]])]
#[case::another_on_time(&[SLOW, SHORT], &[])]
#[case::another_colour(&[SLOW, BLUE], &[])]
#[case::two_groups(&[SLOW, FIXED, FIXED, SLOW], &[[0, 3], [1, 2]])]
#[case::turned_colours(
    &["shows.crown = { alternating = [\"red\", \"blue\"], each = \"1 s\" }",
      "shows.crown = { alternating = [\"blue\", \"red\"], each = \"1 s\" }"],
    &[[0, 1]]
)]
#[case::a_common_light_that_differs(
    &["shows.crown = \"off\"\nshows.base = { fixed = \"red\" }", "shows.crown = \"off\"\nshows.base = { fixed = \"blue\" }"],
    &[]
)]
#[case::a_light_that_only_one_names(&["shows.crown = \"off\"", "shows.crown = \"off\"\nshows.base = \"off\""], &[[0, 1]])]
#[case::no_common_light(&["shows.crown = \"off\"", "shows.base = \"off\""], &[])]
#[case::sequences(
    &["shows.crown = { sequence = [{ fixed = \"red\", for = \"3 s..\" }] }",
      "shows.crown = { sequence = [{ fixed = \"red\", for = \"3 s..\" }] }",
      "shows.crown = { sequence = [{ fixed = \"red\", for = \"9 s..\" }] }"],
    &[[0, 1]]
)]
fn finds_rows_that_no_clip_can_part(#[case] shows: &[&str], #[case] expected: &[[usize; 2]]) {
    assert_eq!(same_look(&sound(&rows(shows))), expected);
}
