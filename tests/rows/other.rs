//! Resets, rhythms that no table lists, and clips too short for anything.

use lampwise::colour::ColourName::{self, Amber, Blue, Green, Red, Violet, White};
use lampwise::meaning::{Outcome, Reading, Settle};
use lampwise::render::{Beat, Shown, Stretch};
use lampwise::table::{LightTable, Pattern, Shade};
use rstest::rstest;

use crate::film::Filming;
use crate::judge::{Clip, Read, in_short, number, read_all};
use crate::listed::{span, table_of};

fn table() -> LightTable {
    table_of("orchard-valve.toml")
}

fn stretch(for_s: f64, cycle: Vec<Beat>) -> Stretch {
    Stretch { for_s, cycle }
}

fn alternating() -> Vec<Beat> {
    vec![Beat::lit(Blue, 0.12), Beat::lit(White, 0.12)]
}

fn flash(colour: ColourName, on_s: f64, off_s: f64) -> Vec<Beat> {
    vec![Beat::lit(colour, on_s), Beat::dark(off_s)]
}

/// Clips of one lamp by so many cameras.
fn clips(name: &str, shown: &Shown, from_s: f64, seconds: f64, own_seed: u64) -> Vec<Clip> {
    let cameras = number("LAMPWISE_CAMERAS", if cfg!(debug_assertions) { 1 } else { 3 });
    (0..cameras)
        .map(|camera| {
            let seed = (number("LAMPWISE_SEED", 1) * 1000 + own_seed) * 100 + camera;
            Clip {
                name: name.to_owned(),
                lamps: vec![(shown.clone(), from_s)],
                seconds,
                filming: Filming::any(seed),
                pointed: false,
            }
        })
        .collect()
}

fn row(table: &LightTable, id: &str) -> usize {
    let found = table.meanings.iter().position(|meaning| meaning.id == id);
    found.expect("a row of that id")
}

fn decided(reading: &Reading) -> Option<usize> {
    match reading.outcome {
        Outcome::Decided { row } => Some(row),
        _ => None,
    }
}

fn tell(table: &LightTable, read: &Read) {
    println!(
        "{}: {}\n      {}",
        read.name,
        in_short(table, &read.reading),
        read.story
    );
}

/// The reset held long enough, let go too soon, and one that was never asked for.
#[rstest]
#[case::took("reset-took", vec![stretch(3.6, alternating()), stretch(3.2, flash(White, 0.9, 0.7))], 7.6, 500)]
#[case::let_go_too_soon("reset-too-soon", vec![stretch(1.7, alternating()), stretch(1.8, flash(Red, 0.3, 0.3))], 4.4, 501)]
#[case::never_began("low-supply", vec![stretch(9.0, flash(Red, 0.7, 0.7))], 7.0, 502)]
fn a_reset_is_read_as_what_became_of_it(
    #[case] id: &str,
    #[case] stretches: Vec<Stretch>,
    #[case] seconds: f64,
    #[case] own_seed: u64,
) {
    let table = table();
    let truth = row(&table, id);
    let mut right = 0;
    let clips = clips(id, &Shown::Sequence(stretches), -0.4, seconds, own_seed);
    for read in read_all(&table, &clips) {
        let found = decided(&read.reading);
        if found == Some(truth) {
            right += 1;
        } else {
            tell(&table, &read);
        }
        assert!(found.is_none() || found == Some(truth), "read as another row");
    }
    assert!(right * 10 >= clips.len() * 9, "{right} of {}", clips.len());
}

/// The clip stops before the flashes that tell what became of the reset.
#[test]
fn a_reset_cut_off_by_the_end_of_the_clip_asks_for_more() {
    let table = table();
    let shown = Shown::Sequence(vec![stretch(20.0, alternating())]);
    for read in read_all(&table, &clips("cut off", &shown, -0.4, 4.6, 510)) {
        tell(&table, &read);
        assert_eq!(read.reading.outcome, Outcome::Undecided);
        let took = row(&table, "reset-took");
        assert!(read.reading.rivals.iter().any(|rival| rival.row == took));
        let longer = |settle: &Settle| matches!(settle, Settle::FilmLonger { .. });
        assert!(read.reading.settle.iter().any(longer));
    }
}

/// Rhythms and colours that the table does not have.
#[rstest]
#[case::green(flash(Green, 0.9, 0.2), 520)]
#[case::red_quick(flash(Red, 0.15, 0.15), 521)]
#[case::violet(flash(Violet, 0.7, 0.6), 522)]
#[case::green_as_watering(flash(Green, 0.5, 2.7), 525)]
#[case::white_triple([flash(White, 0.2, 0.3), flash(White, 0.2, 0.3), flash(White, 0.2, 1.4)].concat(), 523)]
#[case::amber_slow(flash(Amber, 1.5, 1.5), 524)]
fn what_is_in_no_row_is_never_decided(#[case] cycle: Vec<Beat>, #[case] own_seed: u64) {
    let table = table();
    let clips = clips("unlisted", &Shown::Cycle(cycle), 0.3, 8.0, own_seed);
    for read in read_all(&table, &clips) {
        tell(&table, &read);
        assert_eq!(decided(&read.reading), None);
    }
}

/// Less than half a second shows nothing of any row.
#[test]
fn a_clip_of_a_moment_decides_nothing() {
    let table = table();
    for (row, meaning) in table.meanings.iter().enumerate() {
        let pattern = &meaning.shows[0].pattern;
        if *pattern == Pattern::Constant(Shade::Dark) {
            continue;
        }
        let from_s = span(pattern, 0.1).1.max(0.0);
        let clips = clips(&meaning.id, &Shown::from(pattern), from_s, 0.4, 530 + row as u64);
        for read in read_all(&table, &clips) {
            let outcome = read.reading.outcome;
            if !matches!(outcome, Outcome::Undecided | Outcome::Unseen) {
                tell(&table, &read);
            }
            // A lamp that nobody could find in so short a clip is unseen.
            assert!(
                matches!(outcome, Outcome::Undecided | Outcome::Unseen),
                "{}",
                meaning.id
            );
        }
    }
}
