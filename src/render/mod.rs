//! Render: what lamps do, and a camera, make a clip whose truth is known exactly.
//!
//! ```text
//! Recipe → Plan (times, places, levels: no pixels) → Truth
//!             └→ Frames (pixels) → encode (a file)
//! ```
//!
//! Everything follows from the recipe and its seed; the same recipe gives the same pictures. The colour
//! arithmetic here is written apart from [`crate::colour`] on purpose: a mistake there must not be cancelled
//! by the same mistake here.
//!
//! Coordinates are pixels of the upright picture, with the centre of the first pixel at (0.5, 0.5).

mod coding;
mod course;
mod curve;
mod emission;
mod encode;
mod error;
mod finger;
mod frames;
mod motion;
mod picture;
mod plan;
mod pose;
mod pulse;
mod recipe;
mod scene;
mod sensor;
mod shown;
mod spread;
mod tilt;
mod timing;
mod truth;

pub use course::{Course, Levels};
pub use encode::clip;
pub use error::{RecipeError, RenderError};
pub use frames::{Frames, frames};
pub use picture::Picture;
pub use recipe::{
    Camera, Case, Codec, Cover, DynamicRange, Encoding, Glance, Hand, Label, Lamp, Lens, Mains, Pulses,
    Recipe, Reflection, Scene, Timing, Upright,
};
pub use shown::{Beat, Shown, Stretch};
pub use truth::{Change, FrameTruth, LampInFrame, LampTruth, Truth, truth};
