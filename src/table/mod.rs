//! Light tables: what a device's lights mean, read from a file, checked, and compiled to timed patterns.
//!
//! [`parse`] makes a checked [`LightTable`] of a text, or a [`TableError`] with every mistake and its place;
//! [`load`] does so for a file. [`same_look`] names the rows that no clip can part.

mod alike;
mod complaint;
mod fields;
mod help;
mod lights;
mod load;
mod model;
mod nearest;
mod parse;
mod pattern;
mod places;
mod plainest;
mod problem;
mod quantity;
mod reader;
mod rows;
#[cfg(test)]
mod schema;
mod shared;
mod shows;
mod source;
mod step;
mod steps;
mod translations;
mod written;

pub use alike::{looks_alike, same_look};
pub use lights::MOST_LIGHTS;
pub use load::{LoadError, load};
pub use model::{Device, Kind, Lasts, Light, LightTable, Meaning, Show, Shows, Stay, Timed};
pub use parse::parse;
pub use pattern::{Cycle, Part, Pattern, Phase, Shade};
pub use places::Places;
pub use plainest::Switching;
pub use problem::{Problem, ProblemKind, TableError};
// Only the commands ask for it, and they need footage.
#[cfg(feature = "footage")]
pub(crate) use reader::made_id;
pub use shows::USUAL_WITHIN;
pub use source::Source;
pub use step::{Condition, Erases, Given, Step, Window};
