//! What only colours tell.

use lampwise::colour::ColourName::{Amber, Blue, Red, White};
use lampwise::meaning::{Doubt, Outcome, Settle};
use lampwise::table::Shade;

use crate::support::{Camera, belief, cycle, film, fixed, lit, rng, row, shade_at, table};
use crate::tally::{read_one, tally};

#[test]
fn an_alternation_is_told_from_its_colours_alone() {
    let table = table(
        &[White, Blue],
        vec![
            ("alternating", cycle(vec![lit(Blue, 120.0), lit(White, 120.0)])),
            ("blue", fixed(Blue)),
            ("white", fixed(White)),
            ("slow", cycle(vec![lit(Blue, 500.0), lit(White, 500.0)])),
        ],
    );
    for id in ["alternating", "blue", "white", "slow"] {
        let pattern = table.meanings[row(&table, id)].shows[0].pattern.clone();
        let found = tally(&table, id, 20, |seed| {
            let mut rng = rng(5000 + seed);
            let camera = Camera::any(30.0, 6.0, &mut rng);
            film(
                &|at| shade_at(&pattern, at + 0.07 * seed as f64, 1.0),
                camera,
                0.9,
                &mut rng,
            )
        });
        assert!(found.wrong == 0 && found.right >= 19, "{id}: {found:#?}");
    }
}

/// Colours that cameras confuse decide nothing; the reading asks for a white sheet and not for a longer clip.
#[test]
fn near_colours_are_rivals_until_the_white_is_known() {
    let table = table(
        &[Red, Amber],
        vec![("fault", fixed(Red)), ("warming", fixed(Amber))],
    );
    let mut rng = rng(6000);
    let mut trace = film(&|_| Shade::Lit(Red, 1.0), Camera::new(30.0, 8.0), 0.95, &mut rng);
    let sure = read_one(&table, &trace);
    assert_eq!(sure.outcome, Outcome::Decided { row: 0 }, "{sure:?}");
    let mut weights = [0.0; 9];
    (weights[Red.index()], weights[Amber.index()]) = (0.6, 0.4);
    trace.tints[0].names = lampwise::colour::NameBelief::from_weights(weights);
    let reading = read_one(&table, &trace);
    assert_eq!(reading.outcome, Outcome::Undecided);
    assert!(reading.settle.contains(&Settle::WhiteSheet), "{reading:?}");
    assert!(
        reading.doubts.contains(&Doubt::NearColours {
            first: Red,
            second: Amber
        }),
        "{reading:?}"
    );
    let chances: Vec<f64> = reading.rivals.iter().map(|rival| rival.probability).collect();
    assert!(
        (chances[0] - 0.6).abs() < 0.08 && (chances[1] - 0.4).abs() < 0.08,
        "{chances:?}"
    );
}

/// The names of `belief` are what the tests take them for.
#[test]
fn a_belief_of_the_simulator_is_as_sure_as_asked() {
    assert!((belief(Red, 0.9).of(Red) - 0.9).abs() < 1e-12);
}
