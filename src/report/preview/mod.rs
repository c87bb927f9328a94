//! What every row of a table looks like: one page, without any other file, to hold beside a description on the phone.
//!
//! Nothing moves until it is asked to. Text says everything that colour and movement say, so that the page can be
//! printed, read aloud and used by who does not tell colours apart.

mod course;
mod flashes;
mod motion;
mod page;
mod phrase;
mod strip;

pub use page::preview;
