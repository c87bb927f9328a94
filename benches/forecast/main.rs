//! Whether `lampwise table check` forecasts truly: every row of every shipped table, filmed at the frame rates and
//! lengths that the check speaks of, and read.
//!
//! `cargo bench --bench forecast -- [TABLE…]`, names as in `models/tables/`. `LAMPWISE_SEED` picks other cameras,
//! `LAMPWISE_CAMERAS` how many a row and kind of clip (3), `LAMPWISE_LENGTHS` the lengths (`5,10`).

#![allow(clippy::print_stdout, reason = "a table of shares is what it is for")]
#![allow(missing_docs, reason = "a program of its own")]

#[path = "../../tests/rows/film.rs"]
mod film;
#[path = "../../tests/rows/judge.rs"]
mod judge;
mod trial;

use std::path::Path;

use lampwise::check::{FPS, Forecast, SECONDS};
use lampwise::table::{LightTable, load};
use trial::{Tallies, trial};

/// What the check promises: what it calls safe is read rightly, and what it calls confusable never wrongly.
const SAFE_RIGHT: f64 = 0.99;

fn main() {
    let seed = judge::number("LAMPWISE_SEED", 1);
    let cameras = judge::number("LAMPWISE_CAMERAS", 3);
    let lengths = std::env::var("LAMPWISE_LENGTHS").unwrap_or_else(|_| "5,10".to_owned());
    let wanted: Vec<(usize, usize)> = (0..FPS.len())
        .flat_map(|fps| (0..SECONDS.len()).map(move |seconds| (fps, seconds)))
        .filter(|(_, seconds)| {
            lengths
                .split(',')
                .any(|length| length.parse() == Ok(SECONDS[*seconds]))
        })
        .collect();
    let mut sum = Tallies::default();
    println!(
        "{:24} {:>24} {:>24} {:>24}",
        "right/wrong/open of", "safe", "close", "confusable"
    );
    for (name, table) in tables() {
        let forecast = Forecast::new(&table);
        let (tallies, stories) = trial(&table, &forecast, &wanted, cameras, seed);
        for story in &stories {
            println!("{story}");
        }
        println!("{}", line(&name, &tallies));
        for (sum, tally) in sum.iter_mut().zip(tallies) {
            sum.add(tally);
        }
    }
    println!("{}", line("all", &sum));
    let [safe, _, confusable] = sum;
    let share = safe.right as f64 / safe.all().max(1) as f64;
    let met = share >= SAFE_RIGHT && confusable.wrong == 0;
    println!(
        "safe and read rightly: {:.2} % (at least {:.0} %); confusable and decided wrongly: {} (none): {}",
        share * 100.0,
        SAFE_RIGHT * 100.0,
        confusable.wrong,
        if met { "met" } else { "MISSED" }
    );
}

fn line(name: &str, tallies: &Tallies) -> String {
    let cells = tallies.map(|tally| {
        format!(
            "{}/{}/{} of {}",
            tally.right,
            tally.wrong,
            tally.open,
            tally.all()
        )
    });
    format!("{name:24} {:>24} {:>24} {:>24}", cells[0], cells[1], cells[2])
}

/// The shipped tables, or those named. A table whose rows hold at the same time is left to its own tests.
fn tables() -> Vec<(String, LightTable)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables");
    let named: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with('-'))
        .collect();
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("the tables are there")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| named.is_empty() || named.iter().any(|wanted| name.contains(wanted.as_str())))
        .filter(|name| name != "cia-303-3.toml")
        .collect();
    names.sort();
    names
        .into_iter()
        .map(|name| {
            let table = load(&folder.join(&name)).expect("a shipped table is sound").0;
            (name, table)
        })
        .collect()
}
