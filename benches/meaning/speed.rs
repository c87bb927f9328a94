//! How long the inference takes: a minute of trace against a table of forty rows.

use std::time::Instant;

use lampwise::meaning::{Identity, Settings, read};
use lampwise::table::{self, LightTable};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

use super::synthetic;

/// What is wanted of the program.
const ROWS: u32 = 40;
const SECONDS: f64 = 60.0;
const TARGET_MS: f64 = 100.0;

/// Readings timed; the quickest counts, since others use the machine too.
const TIMES: usize = 5;

/// Rows of every form, none like another.
fn forty() -> LightTable {
    let mut text = String::from(
        "schema = 1\n[device]\nname = \"Forty rows\"\n[[light]]\nid = \"l\"\nlabel = \"x\"\ncolours = [\"red\", \"green\", \"blue\"]\n",
    );
    for row in 0..ROWS {
        let colour = ["red", "green", "blue"][row as usize % 3];
        let period_ms = 500.0 * 1.35_f64.powf(f64::from(row / 3 % 7));
        let shows = match row / 21 {
            0 => format!(
                "{{ flashing = \"{colour}\", period = \"{period_ms:.0} ms\", on = \"{:.0} ms\" }}",
                0.4 * period_ms
            ),
            _ => format!(
                "{{ flashing = \"{colour}\", group = 2, apart = \"{:.0} ms\", on = \"{:.0} ms\", period = \"{period_ms:.0} ms\" }}",
                0.3 * period_ms,
                0.15 * period_ms
            ),
        };
        text += &format!(
            "[[meaning]]\nid = \"row-{row}\"\nkind = \"other\"\ntitle = \"x\"\nshows.l = {shows}\nnext = [{{ do = \"Nothing.\" }}]\n"
        );
    }
    table::parse("forty", &text).expect("the rows are sound")
}

pub(crate) fn text() -> String {
    let table = forty();
    let mut random = Pcg64::seed_from_u64(5);
    let pattern = &table.meanings[7].shows[0].pattern;
    let start_s = random.random_range(0.0..1.0);
    let trace = synthetic::minute(pattern, start_s, SECONDS, &mut random);
    let quickest = (0..TIMES)
        .map(|_| {
            let started = Instant::now();
            let reading = read(
                &table,
                &[Some(&trace)],
                &Identity::alone(1.0),
                false,
                &Settings::default(),
            );
            assert!(reading.grounds.is_some(), "it was read");
            1000.0 * started.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min);
    let mark = if quickest <= TARGET_MS { "ok  " } else { "MISS" };
    format!(
        "{mark} {SECONDS:.0} s of trace against {ROWS} rows: {quickest:.0} ms   target <= {TARGET_MS:.0} ms\n"
    )
}
