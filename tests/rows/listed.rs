//! Rows that a table lists are read as such.

use std::path::{Path, PathBuf};

use lampwise::meaning::Outcome;
use lampwise::render::Shown;
use lampwise::table::{self, LightTable, Meaning, Pattern, Shade, same_look};
use rstest::rstest;

use crate::film::Filming;
use crate::judge::{Clip, in_short, number, read_all};

/// Seconds of a light that does not change, and least of one that does.
const STEADY_S: f64 = 5.0;
const LEAST_S: f64 = 4.0;

/// Cycles filmed.
const CYCLES: f64 = 3.3;

/// Dark before and after a sequence, seconds.
const BEFORE_S: f64 = 0.5;
const AFTER_S: f64 = 0.4;

pub(crate) fn table_of(name: &str) -> LightTable {
    let folder: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables");
    table::load(&folder.join(name)).expect("a shipped table").0
}

/// How long a pattern is filmed, and its time at the start of the clip.
pub(crate) fn span(pattern: &Pattern, moment: f64) -> (f64, f64) {
    match (pattern, Shown::from(pattern)) {
        (Pattern::Constant(_), _) => (STEADY_S, 0.0),
        (Pattern::Cycle(cycle), _) => (
            f64::max(CYCLES * cycle.period_s, LEAST_S),
            moment * cycle.period_s,
        ),
        (_, Shown::Sequence(stretches)) => {
            let all: f64 = stretches.iter().map(|stretch| stretch.for_s).sum();
            (BEFORE_S + all + AFTER_S, -BEFORE_S)
        }
        _ => unreachable!("a sequence is shown as one"),
    }
}

/// A row whose lamps are all dark: nothing to find unless somebody points.
fn is_dark(meaning: &Meaning) -> bool {
    meaning
        .shows
        .iter()
        .all(|show| show.pattern == Pattern::Constant(Shade::Dark))
}

fn clip(table: &LightTable, row: usize, seed: u64) -> Clip {
    let filming = Filming::any(seed);
    let meaning = &table.meanings[row];
    let mut seconds: f64 = 0.0;
    let mut lamps = Vec::new();
    for light in 0..table.lights.len() {
        // A lamp of which the row says nothing is dark.
        let shown = meaning.shows.iter().find(|show| show.light == light);
        let pattern = shown.map_or(&Pattern::Constant(Shade::Dark), |show| &show.pattern);
        let (for_s, from_s) = span(pattern, filming.moment);
        seconds = seconds.max(for_s);
        lamps.push((Shown::from(pattern), from_s));
    }
    Clip {
        name: meaning.id.clone(),
        lamps,
        seconds,
        filming,
        pointed: is_dark(meaning),
    }
}

/// The rows of one light alone, where rows of several lights hold at the same time.
pub(crate) fn of_light(mut table: LightTable, light: usize) -> LightTable {
    table.lights = vec![table.lights.swap_remove(light)];
    table
        .meanings
        .retain(|meaning| meaning.shows.iter().all(|show| show.light == light));
    for show in table.meanings.iter_mut().flat_map(|meaning| &mut meaning.shows) {
        show.light = 0;
    }
    table
}

#[rstest]
#[case::orchard_valve(table_of("orchard-valve.toml"), 1)]
#[case::cold_store_logger(table_of("cold-store-logger.toml"), 2)]
#[case::cia_run(of_light(table_of("cia-303-3.toml"), 0), 3)]
#[case::cia_err(of_light(table_of("cia-303-3.toml"), 1), 4)]
fn every_row_that_a_clip_can_show_is_read_as_that_row(
    #[case] table: LightTable,
    #[case] number_of_table: u64,
) {
    let alike: Vec<usize> = same_look(&table).into_iter().flatten().collect();
    let seed = number("LAMPWISE_SEED", 1);
    let cameras = number("LAMPWISE_CAMERAS", if cfg!(debug_assertions) { 1 } else { 3 });
    let wanted = std::env::var("LAMPWISE_ROW").unwrap_or_default();
    let rows = (0..table.meanings.len())
        .filter(|row| !alike.contains(row) && table.meanings[*row].id.contains(&wanted));
    let clips: Vec<(usize, Clip)> = rows
        .flat_map(|row| (0..cameras).map(move |camera| (row, camera)))
        .map(|(row, camera)| {
            let own = ((seed * 10 + number_of_table) * 100 + row as u64) * 100 + camera;
            (row, clip(&table, row, own))
        })
        .collect();
    let (truths, clips): (Vec<usize>, Vec<Clip>) = clips.into_iter().unzip();
    let (mut right, mut wrong) = (0, 0);
    for (truth, read) in truths.iter().zip(read_all(&table, &clips)) {
        match read.reading.outcome {
            Outcome::Decided { row } if row == *truth => {
                right += 1;
                if std::env::var("LAMPWISE_ALL").is_ok() {
                    println!(
                        "ok   {}: {}\n      {}",
                        read.name,
                        in_short(&table, &read.reading),
                        read.story
                    );
                }
                continue;
            }
            Outcome::Decided { .. } => {
                wrong += 1;
                print!("WRONG ");
            }
            _ => print!("miss "),
        }
        println!(
            "{}: {}\n      {}",
            read.name,
            in_short(&table, &read.reading),
            read.story
        );
    }
    println!(
        "{}: {right} of {} right, {wrong} wrong",
        table.device.name,
        clips.len()
    );
    assert_eq!(wrong, 0, "rows decided as another");
    assert!(
        right * 10 >= clips.len() * 9,
        "{right} of {} decided",
        clips.len()
    );
}
