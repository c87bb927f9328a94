//! What `lampwise table check` foretells comes true in rendered clips: a small part of `benches/forecast`.
//!
//! `LAMPWISE_SEED` picks other cameras, `LAMPWISE_CAMERAS` how many a row.

#![allow(
    clippy::print_stdout,
    reason = "what was missed must be seen in the report of the test"
)]

#[path = "rows/film.rs"]
mod film;
#[path = "rows/judge.rs"]
mod judge;
#[path = "../benches/forecast/trial.rs"]
#[allow(dead_code, reason = "the bench adds tables up")]
mod trial;

use lampwise::check::{FindingKind, Forecast, SECONDS, Verdict, check};
use lampwise::colour::ColourName::{Amber, Red};
use lampwise::table::{LightTable, Source, parse};

use judge::number;
use trial::trial;

/// A table of one lamp whose rows are steps of difficulty: apart, alike but for near colours, alike but for their rates
/// by a hair, and too fast.
const TABLE: &str = r#"
schema = 1
[device]
name = "Pump house panel"
[[light]]
id = "lamp"
label = "the lamp beside the gauge"
colours = ["red", "amber", "blue", "green"]
[[meaning]]
id = "calm"
kind = "ready"
title = "Calm"
shows.lamp = { fixed = "green" }
[[meaning]]
id = "dry"
kind = "fault"
title = "Runs dry"
shows.lamp = { flashing = "blue", period = "2 s", on = "0.5 s" }
[[meaning]]
id = "hot"
kind = "fault"
title = "Too hot"
shows.lamp = { flashing = "red", period = "1 s", on = "0.5 s" }
[[meaning]]
id = "warm"
kind = "other"
title = "Warm"
shows.lamp = { flashing = "amber", period = "1 s", on = "0.5 s" }
[[meaning]]
id = "slow"
kind = "other"
title = "Slow"
shows.lamp = { flashing = "green", period = "1.6 s", on = "0.8 s" }
[[meaning]]
id = "slower"
kind = "other"
title = "A little slower"
shows.lamp = { flashing = "green", period = "1.9 s", on = "0.95 s" }
[[meaning]]
id = "quick"
kind = "fault"
title = "Bearing"
shows.lamp = { flashing = "blue", rate = "20 Hz", on = "25 ms" }
"#;

fn table() -> (LightTable, Source) {
    let table = parse("panel.toml", TABLE).unwrap_or_else(|error| panic!("{}", error.render(false)));
    let (name, text) = ("panel.toml".to_owned(), TABLE.to_owned());
    (table, Source { name, text })
}

fn row(table: &LightTable, id: &str) -> usize {
    let found = table.meanings.iter().position(|meaning| meaning.id == id);
    found.expect("a row of that id")
}

#[test]
fn the_forecast_goes_by_what_is_known_of_cameras() {
    let (table, source) = table();
    let check = check(&table, &source);
    let verdicts = |id: &str| check.forecast.rows[row(&table, id)].verdicts;
    assert_eq!(verdicts("dry")[1][1], Verdict::Safe);
    // An amber of 595 nm in a room whose light is off by a tenth may be a red ("hot") to the reading, so that neither is decided.
    assert_eq!(verdicts("warm")[1], [Verdict::Confusable; 3]);
    // 20 Hz is beyond the Nyquist limit of 24 and 30 frames a second, and within that of 60 only by its nominal rate.
    assert_eq!(
        (verdicts("quick")[0], verdicts("quick")[1]),
        ([Verdict::Confusable; 3], [Verdict::Confusable; 3])
    );
    let has =
        |wanted: &dyn Fn(&FindingKind) -> bool| check.findings.iter().any(|finding| wanted(&finding.kind));
    assert!(has(
        &|kind| matches!(kind, FindingKind::TooFast { fps, .. } if fps.starts_with(&[24.0, 30.0]))
    ));
    assert!(
        has(&|kind| matches!(
            kind,
            FindingKind::NearColours {
                colour: Red,
                instead: Amber,
                ..
            }
        )),
        "{:?}",
        check.findings
    );
    let (slow, slower) = (row(&table, "slow"), row(&table, "slower"));
    for pair in &check.forecast.pairs {
        let overlap = (pair.first, pair.second) == (slow, slower);
        for [five, ten, twenty] in pair.confusion {
            if overlap {
                // 1.6 s and 1.9 s within 15 % may be the same 1.7 s: no clip, however long, makes that sure.
                assert!(five > 0.01 && twenty > 1e-5, "{:?}", pair.confusion);
            } else {
                assert!(
                    five >= ten - 1e-3 && ten >= twenty - 1e-3,
                    "a longer clip tells less: {pair:?}"
                );
            }
        }
    }
    let [five, ..] = check
        .forecast
        .pairs
        .iter()
        .find(|pair| (pair.first, pair.second) == (slow, slower))
        .unwrap()
        .confusion[1];
    assert!(five > 0.05, "tolerances that overlap: {five}");
}

#[test]
fn what_is_called_safe_is_read_rightly_and_what_is_confusable_never_wrongly() {
    let (table, _) = table();
    let forecast = Forecast::new(&table);
    let cameras = number("LAMPWISE_CAMERAS", if cfg!(debug_assertions) { 1 } else { 5 });
    let wanted = [(0, 0), (1, 0), (1, 1)];
    let (tallies, stories) = trial(&table, &forecast, &wanted, cameras, number("LAMPWISE_SEED", 1));
    for story in &stories {
        println!("{story}");
    }
    println!("{tallies:?} of {:?} s", SECONDS);
    let [safe, close, confusable] = tallies;
    assert!(safe.all() > 5 && confusable.all() > 4, "both were tried");
    assert_eq!((safe.wrong, close.wrong, confusable.wrong), (0, 0, 0));
    assert!(safe.right * 100 >= safe.all() * 95, "{safe:?}");
}
