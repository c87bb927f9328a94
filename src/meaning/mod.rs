//! Meaning: traces and a light table give a reading with a confidence.
//!
//! One generative model. A row's pattern, with a period, a phase and a camera, says what every frame should show: the
//! pattern integrated over the frame's exposure at its true time stamp. Averaged over all that is unknown, that gives
//! the evidence of the row for any stretch of the clip ([`read`]). The rival "something that is not in the table"
//! competes on equal terms, with a prior weight of its own (`grounds.rs`). A change of meaning within the clip has a price.

mod alike;
mod assign;
mod attempts;
mod confidence;
mod cuts;
mod decide;
mod divergence;
mod doubts;
mod episodes;
mod expected;
mod fold;
mod free;
mod grid;
mod grounds;
mod in_step;
mod lay;
mod looks;
mod manner;
mod math;
mod measured;
mod member;
mod outlook;
mod parts;
mod photo;
mod propose;
mod pulsed;
mod read;
mod reading;
mod recoloured;
mod rhythm;
mod rows;
mod score;
mod search;
mod sequence;
mod settings;
mod settle;
mod shape;
mod spans;
mod stays;
mod sums;
mod sweep;
mod tints;
mod usual_lamps;
mod watch;

pub use assign::{Assignment, Identity, RowScore, assign, fit};
pub use attempts::{Attempt, SeenLight, attempts};
pub use confidence::{FEATURES, Grounds};
pub use divergence::{Divergence, divergence, fastest_hz};
pub use lay::{Stretch, lay};
pub use outlook::{Outlook, outlook, too_fast};
pub use parts::{PartSpan, parts};
pub use photo::{Glimpsed, plainest, read_photos};
pub use read::read;
pub use reading::{Doubt, Episode, Outcome, Reading, Rival, Settle, Shown};
pub use settings::Settings;
pub use settle::{FRAMES_A_CYCLE, phone_rate};
pub use stays::Stay;
pub use usual_lamps::colour_odds;
