//! Groups, photos, several lights, and how fast patterns part.

use lampwise::colour::ColourName::{Amber, Blue, Green, Red, White, Yellow};
use lampwise::meaning::{Identity, Outcome, Settings, Settle, assign, divergence, fit, read};
use lampwise::table::{Pattern, Shade};
use lampwise::trace::Sighting;
use rstest::rstest;

use crate::support::{Camera, OFF, cycle, dark, film, fixed, lit, rng, shade_at, table, table_of};
use crate::tally::{cia_table, read_one};

/// Two rows of one look: no clip parts them, so the reading names both and asks.
#[test]
fn rows_of_equal_look_are_a_group_and_a_question() {
    let blink = || cycle(vec![lit(Amber, 500.0), dark(500.0)]);
    let table = table(
        &[Amber],
        vec![
            ("updating", blink()),
            ("door-open", blink()),
            ("ready", fixed(Amber)),
            ("off", OFF),
        ],
    );
    let trace = film(
        &|at| shade_at(&blink(), at, 1.0),
        Camera::new(30.0, 8.0),
        0.95,
        &mut rng(12_000),
    );
    let reading = read_one(&table, &trace);
    assert_eq!(reading.outcome, Outcome::Undecided);
    assert_eq!(reading.settle, [Settle::Ask { rows: vec![0, 1] }], "{reading:?}");
    let rows: Vec<usize> = reading.rivals.iter().map(|rival| rival.row).collect();
    assert_eq!(rows[..2], [0, 1], "{reading:?}");
    assert!((reading.rivals[0].probability - 0.5).abs() < 0.03, "{reading:?}");
}

#[test]
fn a_photo_asks_for_a_clip_where_rhythms_are_possible() {
    let mut rng = rng(13_000);
    let trace = film(
        &|_| Shade::Lit(Green, 1.0),
        Camera::new(30.0, 1.0 / 30.0),
        0.95,
        &mut rng,
    );
    let reading = read(
        &cia_table(),
        &[Some(&trace)],
        &Identity::alone(1.0),
        true,
        &Settings::default(),
    );
    assert_eq!(reading.outcome, Outcome::Undecided);
    // Lit at an instant: all rows but "off" may be meant, "on" the likeliest.
    assert_eq!(reading.rivals[0].row, 1, "{reading:?}");
    assert!(reading.rivals.len() >= 7, "{reading:?}");
    assert!(
        matches!(reading.settle[..], [Settle::FilmInstead { seconds }] if seconds >= 5.0),
        "{reading:?}"
    );
}

#[test]
fn a_photo_decides_between_fixed_lights_of_far_colours() {
    let table = table(
        &[Green, Red],
        vec![("ready", fixed(Green)), ("fault", fixed(Red)), ("off", OFF)],
    );
    let trace = film(
        &|_| Shade::Lit(Red, 1.0),
        Camera::new(30.0, 1.0 / 30.0),
        0.98,
        &mut rng(14_000),
    );
    let reading = read(
        &table,
        &[Some(&trace)],
        &Identity::alone(1.0),
        true,
        &Settings::default(),
    );
    assert_eq!(reading.outcome, Outcome::Decided { row: 1 }, "{reading:?}");
}

#[test]
fn without_a_usable_trace_the_light_is_unseen() {
    let table = cia_table();
    let none = read(
        &table,
        &[None],
        &Identity::alone(1.0),
        false,
        &Settings::default(),
    );
    assert_eq!(none.outcome, Outcome::Unseen);
    let mut trace = film(
        &|_| Shade::Lit(Green, 1.0),
        Camera::new(30.0, 6.0),
        0.95,
        &mut rng(15_000),
    );
    for sample in &mut trace.samples {
        sample.sighting = Sighting::OutOfFrame;
    }
    let reading = read_one(&table, &trace);
    assert_eq!(reading.outcome, Outcome::Unseen);
    assert!(reading.rivals.is_empty() && reading.timeline.is_empty());
}

/// A place that is hardly a lamp is not read, but what it would mean if it is one is said, no surer than it is one.
#[test]
fn what_is_hardly_a_lamp_is_no_reading_but_leaves_its_row_open() {
    let table = table(
        &[Green, Red],
        vec![("ready", fixed(Green)), ("fault", fixed(Red)), ("off", OFF)],
    );
    let trace = film(
        &|_| Shade::Lit(Red, 1.0),
        Camera::new(30.0, 8.0),
        0.95,
        &mut rng(15_800),
    );
    let settings = Settings::default();
    let with = |identity: f64| {
        let identity = Identity::alone(identity);
        read(&table, &[Some(&trace)], &identity, false, &settings)
    };
    let reading = with(0.04);
    assert_eq!(reading.outcome, Outcome::Unseen);
    let [rival] = reading.rivals[..] else {
        panic!("{reading:?}");
    };
    assert_eq!(rival.row, 1, "{reading:?}");
    assert!((0.03..=0.04).contains(&rival.probability), "{reading:?}");
    assert!(reading.timeline.is_empty(), "{reading:?}");
    assert!(with(0.001).rivals.is_empty());
}

/// A lamp that is in the picture for a moment of a long clip was seen: what it may mean is said, and that more is needed.
#[rstest]
#[case::for_a_moment(0.4, Outcome::Unseen)]
#[case::for_longer(1.3, Outcome::Undecided)]
fn a_short_look_is_no_blank(#[case] seen_s: f64, #[case] expected: Outcome) {
    let table = table(
        &[Green, Red],
        vec![("ready", fixed(Green)), ("fault", fixed(Red)), ("off", OFF)],
    );
    let mut trace = film(
        &|_| Shade::Lit(Red, 1.0),
        Camera::new(30.0, 12.0),
        0.95,
        &mut rng(15_500),
    );
    for sample in trace.samples.iter_mut().filter(|sample| sample.time_s > seen_s) {
        sample.sighting = Sighting::OutOfFrame;
    }
    let reading = read_one(&table, &trace);
    assert_eq!(reading.outcome, expected, "{reading:?}");
    assert_eq!(
        reading.rivals.first().map(|rival| rival.row),
        (expected == Outcome::Undecided).then_some(1)
    );
}

/// What is in step with a lamp in the same colours is its reflection, unless a row says so of two lights.
#[rstest]
#[case::reflected("updating", OFF, [Some(0), None])]
#[case::two_lamps("both", alternation(), [Some(0), Some(1)])]
fn a_reflection_is_no_second_light(
    #[case] id: &str,
    #[case] second: Pattern,
    #[case] expected: [Option<usize>; 2],
) {
    let table = table_of(
        &[&[Green, Amber], &[Green, Amber, Red]],
        vec![
            (id, vec![(0, alternation()), (1, second)]),
            ("fault", vec![(0, OFF), (1, fixed(Red))]),
        ],
    );
    let mut rng = rng(16_500);
    let camera = Camera::new(30.0, 8.0);
    let mut of = || film(&|at| shade_at(&alternation(), at, 1.0), camera, 0.95, &mut rng);
    let (lamp, other) = (of(), of());
    let found = assign(&table, &[(&lamp, 0.96), (&other, 0.9)], false);
    assert_eq!(found.lamp_of_light, expected, "{found:?}");
}

/// What white light falls on colours it, and may be too dark for the lamp's other colours to show. A second lamp that
/// looks like one is no such place.
#[rstest]
#[case::faint(0.4, [Some(0), None])]
#[case::looks_like_a_lamp(0.95, [Some(0), Some(1)])]
fn a_faint_reflection_shows_the_white_only(#[case] score: f64, #[case] expected: [Option<usize>; 2]) {
    let steps = cycle(vec![lit(White, 700.0), lit(Blue, 700.0)]);
    let table = table_of(
        &[&[White, Blue], &[Yellow, Amber]],
        vec![
            ("updating", vec![(0, steps.clone()), (1, OFF)]),
            ("fault", vec![(0, OFF), (1, fixed(Yellow))]),
        ],
    );
    let mut rng = rng(17_500);
    let camera = Camera::new(30.0, 8.0);
    let lamp = film(&|at| shade_at(&steps, at, 1.0), camera, 0.95, &mut rng);
    let seen_there = cycle(vec![lit(Yellow, 700.0), dark(700.0)]);
    let there = film(&|at| shade_at(&seen_there, at, 1.0), camera, 0.95, &mut rng);
    let found = assign(&table, &[(&lamp, 0.96), (&there, score)], false);
    assert_eq!(found.lamp_of_light, expected, "{found:?}");
}

/// A clip that ends in the dark part of a rhythm ends as if the light were off. The reflection is none the more the light
/// that the row has dark, nor is the lamp with its reflection in its place.
#[rstest]
fn a_lamp_and_its_reflection_are_not_both_lights(#[values(1, 2, 3, 4)] seed: u64) {
    let on = || [lit(Amber, 200.0), dark(400.0)];
    let mut phases: Vec<_> = [on(), on()].concat();
    phases.extend([lit(Amber, 200.0), dark(2200.0)]);
    let low = cycle(phases);
    let table = table_of(
        &[&[Green, Amber], &[Red, Blue]],
        vec![
            ("low", vec![(0, low.clone()), (1, OFF)]),
            (
                "starting",
                vec![(0, cycle(vec![lit(Green, 400.0), dark(400.0)])), (1, OFF)],
            ),
            ("full", vec![(0, OFF), (1, fixed(Red))]),
        ],
    );
    let mut rng = rng(18_500 + seed);
    let camera = Camera {
        // Both are in the same frames.
        dropped: 0.0,
        ..Camera::new(30.0, 12.5)
    };
    let mut of = || film(&|at| shade_at(&low, at, 1.0), camera, 0.9, &mut rng);
    let (lamp, there) = (of(), of());
    let found = assign(&table, &[(&lamp, 0.93), (&there, 0.52)], false);
    assert!(
        matches!(found.lamp_of_light[..], [Some(_), None]),
        "the row's own light is lit: {found:?}"
    );
}

fn alternation() -> Pattern {
    cycle(vec![lit(Green, 700.0), lit(Amber, 700.0)])
}

/// Two lamps: the row is told by both together, and the lamps are told apart by what they do.
#[test]
fn two_lights_are_assigned_and_read_together() {
    let blink = |colour| cycle(vec![lit(colour, 500.0), dark(500.0)]);
    let table = table_of(
        &[&[Green], &[Amber]],
        vec![
            ("running", vec![(0, fixed(Green)), (1, OFF)]),
            ("measuring", vec![(0, fixed(Green)), (1, blink(Amber))]),
            ("battery-low", vec![(0, blink(Green)), (1, fixed(Amber))]),
        ],
    );
    let mut rng = rng(16_000);
    let camera = Camera::new(30.0, 8.0);
    let green = film(&|_| Shade::Lit(Green, 1.0), camera, 0.95, &mut rng);
    let amber = film(&|at| shade_at(&blink(Amber), at, 1.0), camera, 0.95, &mut rng);
    let found = assign(&table, &[(&amber, 0.9), (&green, 0.9)], false);
    assert_eq!(found.lamp_of_light, [Some(1), Some(0)]);
    let reading = read(
        &table,
        &[Some(&green), Some(&amber)],
        &Identity::alone(1.0),
        false,
        &Settings::default(),
    );
    assert_eq!(reading.outcome, Outcome::Decided { row: 1 }, "{reading:?}");
    let scores = fit(&table, 1, &amber);
    assert!(
        scores[1].over_free > 0.0 && scores[0].over_free < -5.0 && scores[2].over_free < -5.0,
        "{scores:?}"
    );
    let one = assign(&table, &[(&green, 0.9)], false);
    assert_eq!(one.lamp_of_light, [Some(0), None]);
}

/// One second of filming tells far rhythms apart fast, equal ones never, and colours by no rhythm.
#[test]
fn divergence_ranks_pairs_as_they_are() {
    let blink = |ms| cycle(vec![lit(Green, ms), dark(ms)]);
    let far = divergence(&blink(200.0), &fixed(Green), 30.0);
    let near = divergence(&blink(500.0), &blink(550.0), 30.0);
    let same = divergence(&blink(500.0), &blink(500.0), 30.0);
    let colour = divergence(&fixed(Green), &fixed(Red), 30.0);
    assert!(far.timing_nats_per_s > 3.0, "{far:?}");
    assert!(near.timing_nats_per_s < 0.1 * far.timing_nats_per_s, "{near:?}");
    assert_eq!((same.timing_nats_per_s, same.colours_differ), (0.0, false));
    assert_eq!((colour.timing_nats_per_s, colour.colours_differ), (0.0, true));
    // 30 ms flashes fall between the frames of a short exposure, but not at 240 frames a second.
    let flicker = cycle(vec![lit(Green, 20.0), dark(20.0)]);
    let slow = divergence(&flicker, &fixed(Green), 25.0);
    let fast = divergence(&flicker, &fixed(Green), 240.0);
    assert!(
        slow.timing_nats_per_s < 0.5 && fast.timing_nats_per_s > 3.0,
        "{slow:?} {fast:?}"
    );
}
