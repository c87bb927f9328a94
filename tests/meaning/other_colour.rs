//! A rhythm of the table in a colour that the light may have and no row has it in.

use lampwise::colour::ColourName::{self, Amber, Green, Red};
use lampwise::colour::NameBelief;
use lampwise::meaning::Outcome;
use lampwise::table::Pattern;
use lampwise::trace::Trace;
use rstest::rstest;

use crate::support::{Camera, cycle, dark, film, fixed, lit, rng, row, shade_at, table};
use crate::tally::read_one;

fn blink(colour: ColourName) -> Pattern {
    cycle(vec![lit(colour, 500.0), dark(500.0)])
}

/// Ten seconds of a blink that is called red and amber with these probabilities.
fn called(red: f64, amber: f64, seed: u64) -> Trace {
    let mut rng = rng(20_800 + seed);
    let camera = Camera::new(30.0, 10.0);
    let mut trace = film(&|at| shade_at(&blink(Amber), at, 1.0), camera, 0.9, &mut rng);
    let left = (1.0 - red - amber) / (ColourName::ALL.len() - 2) as f64;
    let weights = ColourName::ALL.map(|name| match name {
        Red => red,
        Amber => amber,
        _ => left,
    });
    trace.tints[0].names = NameBelief::from_weights(weights);
    trace
}

/// The table has the rhythm in amber; the light may be red, and by its colour it is.
#[rstest]
#[case::plainly_red(0.86, 0.11, false)]
#[case::rather_red(0.64, 0.30, false)]
#[case::rather_amber(0.30, 0.64, true)]
#[case::plainly_amber(0.11, 0.86, true)]
fn a_colour_that_no_row_has_is_not_taken_for_one_that_a_row_has(
    #[case] red: f64,
    #[case] amber: f64,
    #[case] decided: bool,
    #[values(1, 2, 3)] seed: u64,
) {
    let rows = vec![("counting", fixed(Green)), ("jammed", blink(Amber))];
    let table = table(&[Green, Amber, Red], rows);
    let reading = read_one(&table, &called(red, amber, seed));
    let jammed = row(&table, "jammed");
    assert_eq!(
        reading.outcome == Outcome::Decided { row: jammed },
        decided,
        "{reading:?}"
    );
    assert_ne!(reading.outcome, Outcome::Unlisted, "{reading:?}");
}

/// Where a row has it in red, or the light is never red, nothing is taken from the likeliest row.
#[rstest]
#[case::in_both(&[Green, Amber, Red], vec![("jammed", blink(Amber)), ("hot", blink(Red))], (0.93, 0.05), "hot")]
#[case::never_red(&[Green, Amber], vec![("counting", fixed(Green)), ("jammed", blink(Amber))], (0.86, 0.11), "jammed")]
fn the_row_that_has_it_is_decided(
    #[case] colours: &[ColourName],
    #[case] rows: Vec<(&str, Pattern)>,
    #[case] (red, amber): (f64, f64),
    #[case] expected: &str,
) {
    let table = table(colours, rows);
    let reading = read_one(&table, &called(red, amber, 4));
    assert_eq!(
        reading.outcome,
        Outcome::Decided {
            row: row(&table, expected)
        },
        "{reading:?}"
    );
}
