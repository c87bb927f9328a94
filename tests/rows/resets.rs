//! What became of a reset: it took, the button was let go too soon, it never began, or the clip does not show it to the
//! end. Each by three cameras, and how long the button was held.

use lampwise::colour::ColourName::{self, Blue, Red, White};
use lampwise::meaning::{Outcome, Reading, Settle, Stay};
use lampwise::render::{Beat, Shown, Stretch};
use lampwise::table::LightTable;
use rstest::rstest;

use crate::film::Filming;
use crate::judge::{Clip, Read, in_short, number, read_all};
use crate::listed::table_of;

/// Three ways to film: frames a second, exposure, radius of the lamp, brightness, shake.
const CAMERAS: [(f64, f64, f64, f64, f64); 3] = [
    (30.0, 0.016, 12.0, 3.0, 1.0),
    (60.0, 0.008, 9.0, 2.0, 2.0),
    (24.0, 0.030, 14.0, 4.0, 3.0),
];

/// Held times are measured to this, seconds: wanted of the program.
const HELD_TO_S: f64 = 0.1;

/// Dark before the button is pressed, seconds.
const BEFORE_S: f64 = 0.4;

fn table() -> LightTable {
    table_of("orchard-valve.toml")
}

fn stretch(for_s: f64, cycle: Vec<Beat>) -> Stretch {
    Stretch { for_s, cycle }
}

/// While the button is held, the valve controller's lamp alternates.
fn held(for_s: f64) -> Stretch {
    stretch(for_s, vec![Beat::lit(Blue, 0.12), Beat::lit(White, 0.12)])
}

fn flash(colour: ColourName, on_s: f64, off_s: f64) -> Vec<Beat> {
    vec![Beat::lit(colour, on_s), Beat::dark(off_s)]
}

fn films(name: &str, stretches: Vec<Stretch>, from_s: f64, seconds: f64, own_seed: u64) -> Vec<Read> {
    let seed = (number("LAMPWISE_SEED", 1) * 1000 + own_seed) * 100;
    let clip =
        |(seed, (fps, exposure_s, radius_px, peak, shake_px)): (u64, (f64, f64, f64, f64, f64))| Clip {
            name: name.to_owned(),
            lamps: vec![(Shown::Sequence(stretches.clone()), from_s)],
            seconds,
            filming: Filming {
                fps,
                exposure_s,
                radius_px,
                peak,
                shake_px,
                ..Filming::any(seed)
            },
            pointed: false,
        };
    let table = table();
    let clips: Vec<Clip> = (seed..).zip(CAMERAS).map(clip).collect();
    let reads = read_all(&table, &clips);
    for read in &reads {
        let stays = &read.reading.stays;
        println!(
            "{name}: {}\n      {stays:?}\n      {}",
            in_short(&table, &read.reading),
            read.story
        );
    }
    reads
}

fn decided(reading: &Reading) -> Option<String> {
    match reading.outcome {
        Outcome::Decided { row } => Some(table().meanings[row].id.clone()),
        _ => None,
    }
}

/// Seconds for which the lamp showed that the button was held.
fn held_s(reading: &Reading) -> f64 {
    let first = reading.stays.iter().filter(|stay| stay.part == 0);
    first.map(|stay| stay.to_s - stay.from_s).sum()
}

#[rstest]
#[case::took("reset-took", 3.53, vec![stretch(3.2, flash(White, 0.9, 0.7))], 520)]
#[case::took_late("reset-took", 4.81, vec![stretch(3.2, flash(White, 0.9, 0.7))], 521)]
fn a_reset_that_took_is_read_as_such_and_the_button_timed(
    #[case] id: &str,
    #[case] button_s: f64,
    #[case] after: Vec<Stretch>,
    #[case] own_seed: u64,
) {
    timed(id, button_s, after, own_seed);
}

/// The same of a button let go too soon.
#[rstest]
#[case::early("reset-too-soon", 1.71, vec![stretch(1.8, flash(Red, 0.3, 0.3))], 522)]
#[case::just_too_early("reset-too-soon", 2.64, vec![stretch(1.8, flash(Red, 0.3, 0.3))], 523)]
fn a_reset_let_go_too_soon_is_read_as_such_and_the_button_timed(
    #[case] id: &str,
    #[case] button_s: f64,
    #[case] after: Vec<Stretch>,
    #[case] own_seed: u64,
) {
    timed(id, button_s, after, own_seed);
}

fn timed(id: &str, button_s: f64, after: Vec<Stretch>, own_seed: u64) {
    let after_s: f64 = after.iter().map(|stretch| stretch.for_s).sum();
    let stretches = [vec![held(button_s)], after].concat();
    for read in films(
        id,
        stretches,
        -BEFORE_S,
        BEFORE_S + button_s + after_s + 0.5,
        own_seed,
    ) {
        assert_eq!(decided(&read.reading).as_deref(), Some(id));
        let off_s = held_s(&read.reading) - button_s;
        assert!(
            off_s.abs() <= HELD_TO_S,
            "held {button_s} s, measured {off_s:+.3} s off"
        );
        let whole = |stay: &Stay| stay.part > 0 || !stay.open_start && !stay.open_end;
        assert!(read.reading.stays.iter().all(whole));
    }
}

/// The lamp goes on with what it did: nobody pressed, or not the right button.
#[test]
fn a_reset_that_never_began_is_read_as_what_the_lamp_went_on_with() {
    let stretches = vec![stretch(9.0, flash(Red, 0.7, 0.7))];
    for read in films("never began", stretches, 0.3, 7.0, 524) {
        assert_eq!(decided(&read.reading).as_deref(), Some("low-supply"));
        assert_eq!(held_s(&read.reading), 0.0);
    }
}

/// The clip stops before the flashes that tell what became of the reset: held for at least as long as was seen.
#[test]
fn a_reset_not_shown_to_its_end_asks_for_more() {
    let (table, seconds) = (table(), 4.6);
    for read in films("cut off", vec![held(20.0)], -BEFORE_S, seconds, 525) {
        assert_eq!(read.reading.outcome, Outcome::Undecided);
        let rivals = &read.reading.rivals;
        assert!(
            rivals
                .iter()
                .any(|rival| table.meanings[rival.row].id == "reset-took")
        );
        let longer = |settle: &Settle| matches!(settle, Settle::FilmLonger { .. });
        assert!(read.reading.settle.iter().any(longer));
        let stay = read.reading.stays.first().expect("the first part was seen");
        assert!(stay.part == 0 && stay.open_end, "{stay:?}");
        let off_s = held_s(&read.reading) - (seconds - BEFORE_S);
        assert!(off_s.abs() <= HELD_TO_S, "{off_s:+.3} s off");
    }
}
