//! What is around the lamps.

use serde::{Deserialize, Serialize};

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
    /// Lines of print on it, as on type plates.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub labels: Vec<Label>,
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

/// A line of print: letters of five by seven dots, which mean nothing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Label {
    /// Left edge in the upright picture without shake, pixels.
    pub x_px: f64,
    /// Upper edge, likewise.
    pub y_px: f64,
    /// Height of a letter, pixels; it is six sevenths as wide, with the gap after it.
    pub height_px: f64,
    /// How many letters.
    pub letters: u32,
    /// Reflectance of the ink, linear red, green and blue, 0 to 1.
    pub rgb: [f64; 3],
}

/// Light that follows the mains, as that of lamps without smoothing does. It falls on the scene; indicator
/// lamps have their own supply.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mains {
    /// Twice the mains frequency: 100 or 120 hertz.
    pub hz: f64,
    /// Amplitude of the sine as a share of the mean light, 0 to 1.
    pub depth: f64,
}
