//! The recipe of a clip: lamps, scene, camera, hand and file.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::error::RecipeError;
use super::shown::Shown;
use super::usual;
use crate::footage::Quarter;

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
    /// The sensor and its settings.
    pub camera: Camera,
    /// The optics.
    pub lens: Lens,
    /// The hand that holds the camera.
    pub hand: Hand,
    /// The file.
    pub encoding: Encoding,
}

/// Time stamps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Timing {
    /// Frames a second.
    pub frames_per_s: f64,
    /// Largest deviation of a frame from its even place in time, seconds; below half a frame's time.
    pub jitter_s: f64,
    /// Share of frames that are missing, 0 to 1.
    pub dropped_share: f64,
    /// Share of frames that show the picture before them again, 0 to 1.
    pub repeated_share: f64,
}

/// One lamp.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lamp {
    /// For people and for the truth.
    pub id: String,
    /// Column of its centre in the upright picture without shake, pixels.
    pub x_px: f64,
    /// Row of its centre, likewise.
    pub y_px: f64,
    /// Radius of its face, pixels.
    pub radius_px: f64,
    /// Largest of the linear red, green and blue that its face gives at full brightness, at a gain of 1; the
    /// sensor clips at 1, which is also a white sheet in an ambient light of 1.
    #[serde(default = "usual::peak")]
    pub peak: f64,
    /// Pattern time at the start of the clip, seconds. Negative: the pattern starts later (a cycle has no
    /// start).
    #[serde(default)]
    pub starts_at_s: f64,
    /// What it does.
    pub shows: Shown,
    /// Reflectance of the unlit lens, linear red, green and blue, 0 to 1.
    #[serde(default = "usual::lens_rgb")]
    pub lens_rgb: [f64; 3],
    /// CIE 1931 chromaticities (x, y) of colours, by name, where they differ from the built-in ones.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub colour_xy: BTreeMap<String, [f64; 2]>,
}

/// What is around the lamps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Scene {
    /// Light on the scene: what a white sheet gives at a gain of 1, where the sensor clips at 1.
    pub ambient: f64,
    /// Reflectance of the background, linear red, green and blue, 0 to 1.
    pub background_rgb: [f64; 3],
    /// How much the light falls off from the top left to the bottom right, 0 (even) to 1 (to nothing).
    pub gradient: f64,
    /// Relative standard deviation of the background's texture, 0 for none.
    pub texture_contrast: f64,
    /// Size of the coarsest spots of the texture, pixels.
    pub texture_px: f64,
    /// The device's case, if it is to be seen.
    pub case: Option<Case>,
}

/// The device's case: a plain box with a rim.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// Left edge in the upright picture without shake, pixels.
    pub x_px: f64,
    /// Upper edge, likewise.
    pub y_px: f64,
    /// Width, pixels.
    pub width_px: f64,
    /// Height, pixels.
    pub height_px: f64,
    /// Reflectance, linear red, green and blue, 0 to 1.
    pub rgb: [f64; 3],
}

/// The sensor and its settings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Camera {
    /// How long each row is exposed, seconds; at most the time between frames.
    pub exposure_s: f64,
    /// How much later the last row starts to be exposed than the first, seconds; 0 for a global shutter.
    pub readout_s: f64,
    /// Factor on all light.
    pub gain: f64,
    /// White balance: factor on red against green. Only ratios count: the least factor is taken as 1.
    pub red_gain: f64,
    /// White balance: factor on blue against green.
    pub blue_gain: f64,
    /// Share by which the picture darkens when every lamp is lit for long, 0 (fixed exposure) to 0.95.
    pub auto_exposure_dip: f64,
    /// Time constant with which it does so, seconds.
    pub auto_exposure_lag_s: f64,
    /// Standard deviation of the shot noise at clipping, as a share of clipping; it goes with the root of the
    /// light.
    pub shot_noise: f64,
    /// Standard deviation of the noise in the dark, as a share of clipping.
    pub read_noise: f64,
}

/// The optics.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Lens {
    /// Standard deviation of the blur, pixels.
    pub blur_px: f64,
    /// Share of a lamp's light that goes into its halo, 0 to less than 1.
    pub halo_share: f64,
    /// Distance over which the halo falls to 1/e, in radii of the lamp.
    pub halo_radii: f64,
}

/// The hand that holds the camera.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(default, deny_unknown_fields)]
pub struct Hand {
    /// Root mean square of the shake in each direction, pixels.
    pub shake_rms_px: f64,
    /// Times at which a finger covers the first lamp.
    pub covers: Vec<Cover>,
    /// Times at which the camera looks elsewhere.
    pub glances: Vec<Glance>,
}

/// A finger covers the first lamp.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cover {
    /// From then it rests on the lamp, seconds.
    pub from_s: f64,
    /// Until then, seconds.
    pub to_s: f64,
    /// Radius of the finger's tip, pixels.
    pub radius_px: f64,
}

/// The camera looks elsewhere.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Glance {
    /// It turns away then, seconds.
    pub from_s: f64,
    /// It turns back then, seconds.
    pub to_s: f64,
    /// How far the scene moves to the right meanwhile, pixels.
    pub x_px: f64,
    /// How far it moves down, pixels.
    pub y_px: f64,
}

/// The file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Encoding {
    /// Which codec.
    pub codec: Codec,
    /// Constant rate factor of the encoder: lower is better and larger; 18 to 30 are usual.
    pub crf: u32,
    /// The turn that the file asks of the player, as phones held upright do.
    pub upright: Upright,
}

/// Which codec.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Codec {
    /// ITU-T H.264.
    H264,
    /// ITU-T H.265.
    Hevc,
    /// VP9.
    Vp9,
}

/// The turn that makes the coded picture upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Upright {
    /// None.
    AsCoded,
    /// 90 degrees clockwise.
    TurnedRight,
    /// 180 degrees.
    Reversed,
    /// 90 degrees anticlockwise.
    TurnedLeft,
}

impl Upright {
    pub(super) const fn quarter(self) -> Quarter {
        match self {
            Self::AsCoded => Quarter::None,
            Self::TurnedRight => Quarter::Right,
            Self::Reversed => Quarter::Half,
            Self::TurnedLeft => Quarter::Left,
        }
    }
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
    pub(super) fn frame_count(&self) -> usize {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a checked recipe has some minutes at some hundred frames a second"
        )]
        let count = (self.seconds * self.timing.frames_per_s).round() as usize;
        count.max(1)
    }
}
