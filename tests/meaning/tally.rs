//! Many readings, counted; and the table of published rhythms.

use lampwise::colour::ColourName::Green;
use lampwise::meaning::{Identity, Outcome, Reading, Settings, read};
use lampwise::table::{LightTable, Pattern};
use lampwise::trace::Trace;

use crate::support::{OFF, cycle, dark, fixed, lit, row, table};

pub(crate) fn read_one(table: &LightTable, trace: &Trace) -> Reading {
    read(
        table,
        &[Some(trace)],
        &Identity::alone(1.0),
        false,
        &Settings::default(),
    )
}

/// Group flashes of CiA 303-3 v1.4.0 as implemented in CANopenNode `303/CO_LEDs.c`: 200 ms on, 200 ms
/// between flashes, 1000 ms between groups.
pub(crate) fn flashes(count: usize) -> Pattern {
    let mut phases = Vec::new();
    for flash in 0..count {
        phases.push(lit(Green, 200.0));
        phases.push(dark(if flash + 1 == count { 1000.0 } else { 200.0 }));
    }
    cycle(phases)
}

/// All of the rhythms of CiA 303-3 v1.4.0 (source as above): flickering is 50 ms on and off, blinking 200 ms.
pub(crate) fn cia_table() -> LightTable {
    table(
        &[Green],
        vec![
            ("off", OFF),
            ("on", fixed(Green)),
            ("flickering", cycle(vec![lit(Green, 50.0), dark(50.0)])),
            ("blinking", cycle(vec![lit(Green, 200.0), dark(200.0)])),
            ("single-flash", flashes(1)),
            ("double-flash", flashes(2)),
            ("triple-flash", flashes(3)),
            ("quadruple-flash", flashes(4)),
        ],
    )
}

/// What became of many readings of one row.
#[derive(Debug, Default)]
pub(crate) struct Tally {
    pub(crate) right: usize,
    pub(crate) wrong: usize,
    pub(crate) withheld: Vec<String>,
}

pub(crate) fn tally(table: &LightTable, id: &str, count: u64, make: impl Fn(u64) -> Trace) -> Tally {
    let truth = row(table, id);
    let mut tally = Tally::default();
    for seed in 0..count {
        let reading = read_one(table, &make(seed));
        match reading.outcome {
            Outcome::Decided { row } if row == truth => tally.right += 1,
            Outcome::Decided { .. } => tally.wrong += 1,
            _ => tally.withheld.push(format!("{seed}: {reading:?}")),
        }
    }
    tally
}
