//! Footage: opens an untrusted clip or photo and yields its frames in time order with true time stamps.
//!
//! The only place that knows the video and picture libraries.

mod error;
mod frame;
mod limits;
mod summary;

#[cfg(feature = "footage")]
mod clip;
#[cfg(feature = "footage")]
mod clock;
#[cfg(feature = "footage")]
mod describe;
#[cfg(feature = "footage")]
mod entry;
#[cfg(feature = "heif")]
mod heif;
#[cfg(feature = "footage")]
mod open;
#[cfg(feature = "footage")]
mod photo;
#[cfg(feature = "footage")]
mod picture;
#[cfg(feature = "footage")]
mod png;
#[cfg(feature = "footage")]
mod profile;
#[cfg(feature = "footage")]
mod raster;
#[cfg(feature = "footage")]
mod raw;
#[cfg(feature = "footage")]
mod sniff;
#[cfg(feature = "footage")]
mod turn;
#[cfg(feature = "footage")]
mod whole;

pub use error::FootageError;
pub use frame::{ColourCode, Frame, Matrix, Plane, Primaries, Quarter, Samples, Span, Transfer};
pub use limits::{Limits, Quantity};
#[cfg(feature = "footage")]
pub use open::Footage;
#[cfg(feature = "footage")]
pub use png::png;
pub use summary::{Kind, Summary};
