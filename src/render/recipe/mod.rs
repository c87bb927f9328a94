//! The recipe of a clip: lamps, scene, camera, hand and file.

mod camera;
mod check;
mod file;
mod lamp;
mod scene;
mod usual;

pub use camera::{Camera, Cover, Glance, Hand, Lens};
pub use file::{Codec, DynamicRange, Encoding, Timing, Upright};
pub use lamp::{Lamp, Pulses, Reflection};
pub use scene::{Case, Label, Mains, Scene};
use serde::{Deserialize, Serialize};

use super::error::RecipeError;

/// Everything a clip is made from. Fields left out of a file take the values of [`Recipe::default`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Recipe {
    /// Width of the upright picture, pixels, even.
    pub width_px: u32,
    /// Height of the upright picture, pixels, even.
    pub height_px: u32,
    /// Length of the clip, seconds.
    pub seconds: f64,
    /// Of every random thing: noise, shake, texture, dropped frames.
    pub seed: u64,
    /// Time stamps.
    pub timing: Timing,
    /// The lamps: those of the device and any others.
    #[serde(rename = "lamp")]
    pub lamps: Vec<Lamp>,
    /// What is around them.
    pub scene: Scene,
    /// The mains behind the light on the scene; left out where that light is even, as by day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mains: Option<Mains>,
    /// The sensor and its settings.
    pub camera: Camera,
    /// The optics.
    pub lens: Lens,
    /// The hand that holds the camera.
    pub hand: Hand,
    /// The file.
    pub encoding: Encoding,
}

impl Recipe {
    /// Reads a recipe from TOML.
    ///
    /// # Errors
    ///
    /// When the text is not TOML, has a key that no recipe has, or a figure is outside what makes sense.
    pub fn from_toml(text: &str) -> Result<Self, RecipeError> {
        let recipe: Self = toml::from_str(text).map_err(|error| RecipeError::Syntax {
            reason: error.to_string(),
        })?;
        recipe.check()?;
        Ok(recipe)
    }

    /// Reads a recipe from JSON.
    ///
    /// # Errors
    ///
    /// As [`Recipe::from_toml`].
    pub fn from_json(text: &str) -> Result<Self, RecipeError> {
        let recipe: Self = serde_json::from_str(text).map_err(|error| RecipeError::Syntax {
            reason: error.to_string(),
        })?;
        recipe.check()?;
        Ok(recipe)
    }

    /// Frames before any are dropped, at least one.
    pub(in crate::render) fn frame_count(&self) -> usize {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a checked recipe has some minutes at some hundred frames a second"
        )]
        let count = (self.seconds * self.timing.frames_per_s).round() as usize;
        count.max(1)
    }
}
