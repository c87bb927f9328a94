//! Lamps, and what their light does on its way.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::usual;
use crate::render::shown::Shown;

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
    /// Dimming by pulse width: full brightness is then that of a pulse. Left out where it is driven evenly.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pulses: Option<Pulses>,
    /// Its reflection in something shiny, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflection: Option<Reflection>,
    /// Reflectance of the unlit lens, linear red, green and blue, 0 to 1.
    #[serde(default = "usual::lens_rgb")]
    pub lens_rgb: [f64; 3],
    /// CIE 1931 chromaticities (x, y) of colours, by name, where they differ from the built-in ones.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub colour_xy: BTreeMap<String, [f64; 2]>,
}

/// Dimming by pulse width.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pulses {
    /// Pulses a second, hertz; one starts with the clip.
    pub hz: f64,
    /// Share of the time in which a pulse is on, above 0 to 1.
    pub on_share: f64,
}

/// A fainter second picture of a lamp, which does what the lamp does and is gone while the lamp is covered.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reflection {
    /// How far to the right of the lamp it lies, pixels of the scene as the recipe has it.
    pub x_px: f64,
    /// How far below the lamp, likewise.
    pub y_px: f64,
    /// Share of the lamp's light, 0 to 1.
    pub share: f64,
}
