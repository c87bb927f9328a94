//! Every row of the shipped tables, rendered, filmed by seeded cameras and read back, from pixels to the reading.
//!
//! `LAMPWISE_SEED` picks other cameras, `LAMPWISE_CAMERAS` how many a row, `LAMPWISE_ROW` the rows whose id contains it.

#![allow(
    clippy::print_stdout,
    reason = "what was missed must be seen in the report of the test"
)]

#[path = "rows/film.rs"]
mod film;
#[path = "rows/judge.rs"]
mod judge;
#[path = "rows/listed.rs"]
mod listed;
#[path = "rows/other.rs"]
mod other;
#[path = "rows/resets.rs"]
mod resets;
#[path = "rows/settle.rs"]
mod settle;
