//! Meaning: traces and a light table give a reading with a confidence.
//!
//! One generative model. A row's pattern, with a period, a phase and a camera, says what every frame should show: the
//! pattern integrated over the frame's exposure at its true time stamp. Averaged over all that is unknown, that gives
//! the evidence of the row for any stretch of the clip ([`read`]). The rival "something that is not in the table"
//! competes on equal terms, with the prior weight of one row. A change of meaning within the clip has a price.

mod assign;
mod cuts;
mod decide;
mod divergence;
mod doubts;
mod episodes;
mod expected;
mod flashing;
mod free;
mod grid;
mod manner;
mod math;
mod outlook;
mod photo;
mod read;
mod reading;
mod rows;
mod score;
mod search;
mod sequence;
mod settings;
mod settle;
mod shape;
mod spans;
mod tints;
mod usual_lamps;
mod watch;

pub use assign::{Assignment, RowScore, assign, fit};
pub use divergence::{Divergence, divergence, fastest_hz};
pub use outlook::{Outlook, outlook, too_fast};
pub use read::read;
pub use reading::{Doubt, Episode, Outcome, Reading, Rival, Settle};
pub use settings::Settings;
pub use usual_lamps::colour_odds;
