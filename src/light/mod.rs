//! Light: finds candidate lamps in the frames and follows them through hand shake.

mod glimpse;
mod notice;

pub use glimpse::{Followed, Glimpse};
pub use notice::Notice;
