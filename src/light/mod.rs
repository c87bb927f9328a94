//! Light: finds candidate lamps in the frames and follows them through hand shake.

mod align;
mod boxes;
mod clear;
mod correlation;
mod course;
mod cover;
mod crop;
mod echoes;
mod exposure;
mod few_levels;
mod frozen;
mod glimpse;
mod glow;
mod halo;
mod levels;
mod look;
mod measure;
mod motion;
mod notice;
mod patch;
mod plain_cover;
mod pyramid;
mod reduced;
mod rim;
mod scan;
mod score;
mod slip;
mod states;
mod surround;
mod swell;
mod watch;
mod window;

pub use crop::{Crop, Still, crop, upright};
pub use glimpse::{Followed, Glimpse, Sighting};
pub use notice::Notice;
pub use watch::Watcher;
