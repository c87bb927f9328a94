//! Rhythms that no table lists, clips too short for anything, and a finger over the wrong lamp.

use lampwise::colour::ColourName::{self, Amber, Green, Red, Violet, White};
use lampwise::meaning::{Outcome, Reading};
use lampwise::render::{Beat, Case, Cover, Shown};
use lampwise::table::{LightTable, Pattern, Shade};
use rstest::rstest;

use crate::film::{Filming, watch};
use crate::judge::{Clip, Read, in_short, judge, number, read_all};
use crate::listed::{span, table_of};

fn table() -> LightTable {
    table_of("orchard-valve.toml")
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

/// A finger over the upper lamp lies over half of the alarm lamp beside it, too. Whatever is made of the alarm that flashes
/// there, all is not well.
#[rstest]
fn a_finger_over_half_of_an_alarm_does_not_make_all_well(
    #[values(4.0, 6.0)] from_s: f64,
    #[values(1, 2)] seed: u64,
) {
    let table = table_of("cold-store-logger.toml");
    let row = |id: &str| table.meanings.iter().position(|meaning| meaning.id == id);
    let (alarm, well) = (row("too-warm").unwrap(), row("recording").unwrap());
    let shown = |light: usize| {
        let mut shows = table.meanings[alarm].shows.iter();
        shows.find(|show| show.light == light).unwrap()
    };
    let lamps = [0, 1].map(|light| (Shown::from(&shown(light).pattern), 0.3));
    let filming = Filming {
        fps: 30.0,
        exposure_s: 0.01,
        shake_px: 0.2,
        peak: 3.2,
        radius_px: 13.4,
        ambient: 0.37,
        x_px: 260.0,
        y_px: 175.0,
        ..Filming::any(540 + seed)
    };
    let mut recipe = filming.of(&lamps, 18.0);
    recipe.scene.case = recipe.scene.case.map(|case| Case {
        rgb: [0.61, 0.61, 0.6],
        ..case
    });
    recipe.hand.covers = vec![Cover {
        from_s,
        to_s: from_s + 6.0,
        radius_px: 90.0,
    }];
    let (_, _, reading) = judge(&table, &watch(&recipe, None), false);
    println!("{}", in_short(&table, &reading));
    assert_ne!(decided(&reading), Some(well));
    let open = reading.rivals.iter().any(|rival| rival.row == alarm);
    assert!(decided(&reading) == Some(alarm) || open, "{reading:?}");
}
