//! Footage: opens an untrusted clip or photo and yields its frames in time order with true time stamps.
//!
//! The only place that knows the video and picture libraries.

mod frame;
mod summary;

pub use frame::{ColourCode, Frame, Matrix, Plane, Primaries, Quarter, Samples, Span, Transfer};
pub use summary::{Kind, Summary};
