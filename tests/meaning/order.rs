//! Sequences and changes of meaning.

use lampwise::colour::ColourName::{self, Blue, Green, Red, White};
use lampwise::meaning::{Outcome, Settle};
use lampwise::table::{LightTable, Pattern, Shade};
use rand::Rng;
use rstest::rstest;

use crate::support::{
    Camera, OFF, breathing, cycle, dark, film, fixed, lit, part, rng, row, shade_at, table,
};
use crate::tally::{cia_table, read_one, tally};

fn reset_table() -> LightTable {
    let alternating = || cycle(vec![lit(Blue, 120.0), lit(White, 120.0)]);
    table(
        &[White, Blue],
        vec![
            ("ready", fixed(White)),
            ("starting", breathing(Blue, 2.4)),
            (
                "reset-took",
                Pattern::Sequence(vec![
                    part(alternating(), 3.0, f64::INFINITY),
                    part(cycle(vec![lit(White, 900.0), dark(700.0)]), 3.2, 3.2),
                ]),
            ),
            (
                "let-go",
                Pattern::Sequence(vec![part(alternating(), 0.4, 2.5), part(fixed(White), 2.0, 20.0)]),
            ),
        ],
    )
}

/// A lamp that goes through stretches: what, and how long, seconds.
fn script(stretches: Vec<(Pattern, f64)>) -> impl Fn(f64) -> Shade {
    move |at| {
        let mut rest = at;
        for (pattern, seconds) in &stretches {
            if rest < *seconds {
                return shade_at(pattern, rest, 1.0);
            }
            rest -= seconds;
        }
        let (pattern, _) = stretches.last().expect("a script has stretches");
        shade_at(pattern, rest, 1.0)
    }
}

#[rstest]
#[case::took("reset-took", vec![("alternating", 3.6), ("flashes", 3.2), ("off", 1.0)])]
#[case::took_cut_at_both_ends("reset-took", vec![("alternating", 2.9), ("flashes", 2.5)])]
#[case::let_go_too_soon("let-go", vec![("alternating", 1.0), ("white", 4.0)])]
#[case::let_go_after_waiting("let-go", vec![("off", 2.0), ("alternating", 1.4), ("white", 4.0)])]
fn a_reset_is_told_by_its_order(#[case] id: &str, #[case] stretches: Vec<(&str, f64)>) {
    let table = reset_table();
    let what = |name: &str| match name {
        "alternating" => cycle(vec![lit(Blue, 120.0), lit(White, 120.0)]),
        "flashes" => cycle(vec![lit(White, 900.0), dark(700.0)]),
        "white" => fixed(White),
        _ => OFF,
    };
    let lamp = script(
        stretches
            .iter()
            .map(|(name, seconds)| (what(name), *seconds))
            .collect(),
    );
    let seconds = stretches.iter().map(|stretch| stretch.1).sum();
    let found = tally(&table, id, 20, |seed| {
        let mut rng = rng(8000 + seed);
        let camera = Camera::any(30.0, seconds, &mut rng);
        film(&lamp, camera, 0.9, &mut rng)
    });
    assert!(found.wrong == 0 && found.right >= 18, "{id}: {found:#?}");
}

/// Only the first part: the button may yet be let go too soon.
#[test]
fn the_first_part_of_a_sequence_decides_nothing() {
    let table = reset_table();
    for (seed, seconds) in [(1, 2.0), (2, 4.0), (3, 6.0)] {
        let mut rng = rng(9000 + seed);
        let lamp = cycle(vec![lit(Blue, 120.0), lit(White, 120.0)]);
        let trace = film(
            &|at| shade_at(&lamp, at, 1.0),
            Camera::new(30.0, seconds),
            0.9,
            &mut rng,
        );
        let reading = read_one(&table, &trace);
        assert_eq!(reading.outcome, Outcome::Undecided, "{seconds} s: {reading:?}");
        let likely: Vec<usize> = reading
            .rivals
            .iter()
            .filter(|rival| rival.probability > 0.1)
            .map(|rival| rival.row)
            .collect();
        // After 2.5 s of it the table knows that the button was not let go too soon.
        let expected: &[&str] = if seconds > 2.5 {
            &["reset-took"]
        } else {
            &["reset-took", "let-go"]
        };
        assert!(
            expected.iter().all(|id| likely.contains(&row(&table, id))),
            "{reading:?}"
        );
        assert_eq!(likely.len(), expected.len(), "{reading:?}");
        assert!(
            matches!(reading.settle[0], Settle::FilmLonger { .. }),
            "{seconds} s: {reading:?}"
        );
    }
}

/// A sequence that begins red and quick and ends in steady green.
fn clearing_table() -> LightTable {
    table(
        &[Green, Red],
        vec![
            ("running", fixed(Green)),
            ("filling", cycle(vec![lit(Green, 1200.0), dark(2800.0)])),
            (
                "cleared",
                Pattern::Sequence(vec![
                    part(quick(Red), 2.0, f64::INFINITY),
                    part(fixed(Green), 2.0, 5.0),
                ]),
            ),
            (
                "stays",
                Pattern::Sequence(vec![
                    part(quick(Red), 0.6, 2.0),
                    part(cycle(vec![lit(Red, 350.0), dark(350.0)]), 2.8, 2.8),
                ]),
            ),
        ],
    )
}

fn quick(colour: ColourName) -> Pattern {
    cycle(vec![lit(colour, 150.0), dark(150.0)])
}

#[test]
fn the_rhythm_of_one_part_in_the_colour_of_another_is_in_no_row() {
    let table = clearing_table();
    for seed in 0..12 {
        let mut rng = rng(9400 + seed);
        let camera = Camera::any(30.0, [3.0, 5.0, 8.0][seed as usize % 3], &mut rng);
        let trace = film(&|at| shade_at(&quick(Green), at, 1.0), camera, 0.98, &mut rng);
        let reading = read_one(&table, &trace);
        assert!(reading.unlisted > 0.9, "{seed}: {reading:?}");
    }
}

/// The steady part of a sequence has the timing of any steady lamp, and is no rival of it.
#[test]
fn a_steady_lamp_is_its_own_row_beside_a_steady_part() {
    let found = tally(&clearing_table(), "running", 12, |seed| {
        let mut rng = rng(9450 + seed);
        let camera = Camera::any(30.0, 8.0, &mut rng);
        film(&|at| shade_at(&fixed(Green), at, 1.0), camera, 0.98, &mut rng)
    });
    assert!(found.right == 12, "{found:#?}");
}

/// The reading speaks of what was established last; the timeline has both.
#[rstest]
#[case("blinking", "on")]
#[case("on", "blinking")]
#[case("quadruple-flash", "flickering")]
#[case("flickering", "off")]
fn a_change_of_meaning_gives_two_episodes(#[case] first: &str, #[case] second: &str) {
    let table = cia_table();
    let pattern = |id: &str| table.meanings[row(&table, id)].shows[0].pattern.clone();
    let lamp = script(vec![(pattern(first), 5.3), (pattern(second), 6.0)]);
    let mut right = 0;
    for seed in 0..10 {
        let mut rng = rng(10_000 + seed);
        let camera = Camera::any(30.0, 11.3, &mut rng);
        let reading = read_one(&table, &film(&lamp, camera, 0.95, &mut rng));
        let rows: Vec<Option<usize>> = reading.timeline.iter().map(|episode| episode.row).collect();
        let told = rows == [Some(row(&table, first)), Some(row(&table, second))]
            && (reading.timeline[0].to_s - 5.3).abs() < 0.7;
        match reading.outcome {
            Outcome::Decided { row: found } => {
                assert_eq!(found, row(&table, second), "{seed}: {reading:?}");
                right += usize::from(told);
            }
            _ => println!("{seed}: {reading:?}"),
        }
    }
    assert!(right >= 9, "{right} of 10");
}

/// Of a slow rhythm a few flashes are all there is before it gives way, and neither half nor quarter of the clip holds them.
#[test]
fn a_slow_rhythm_gives_way_wherever_in_the_clip() {
    const CLIP_S: f64 = 20.0;
    let slow = cycle(vec![lit(Green, 1200.0), dark(2800.0)]);
    let table = table(
        &[Green, Red],
        vec![("waiting", slow.clone()), ("stopped", fixed(Red)), ("dark", OFF)],
    );
    let mut undecided = Vec::new();
    for seed in 0..40 {
        let mut rng = rng(10_500 + seed);
        let gives_way_s = CLIP_S * rng.random_range(0.52..0.85);
        let (pace, began_s) = (rng.random_range(0.985..1.015), rng.random_range(0.0..4.0));
        let lamp = |at_s: f64| {
            if at_s < gives_way_s {
                shade_at(&slow, at_s + began_s, pace)
            } else {
                Shade::Lit(Red, 1.0)
            }
        };
        let camera = Camera::any(30.0, CLIP_S, &mut rng);
        let reading = read_one(&table, &film(&lamp, camera, 0.95, &mut rng));
        match reading.outcome {
            Outcome::Decided { row: found } => {
                assert_eq!(found, row(&table, "stopped"), "{seed}: {reading:?}")
            }
            outcome => undecided.push((seed, gives_way_s, outcome, reading.unlisted)),
        }
    }
    assert!(undecided.len() <= 2, "{undecided:?}");
}
