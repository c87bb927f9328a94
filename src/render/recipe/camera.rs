//! The camera and the hand that holds it.

use serde::{Deserialize, Serialize};

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
    /// White balance drifts: red rises against green by this share a second (compounded), and blue falls by
    /// the same factor; negative the other way.
    pub balance_drift_per_s: f64,
    /// Share by which the picture darkens when every lamp is lit for long, 0 (fixed exposure) to 0.95.
    pub auto_exposure_dip: f64,
    /// Time constant with which it does so, seconds.
    pub auto_exposure_lag_s: f64,
    /// Standard deviation of the shot noise at clipping, as a share of clipping; it goes with the root of the
    /// light.
    pub shot_noise: f64,
    /// Standard deviation of the noise in the dark, as a share of clipping.
    pub read_noise: f64,
    /// Contrast that the phone's tone curve adds to the code's own curve, 0 (none) to 1: about mid-grey the
    /// curve is steeper by half of this share, and shadows and highlights are pressed together.
    pub contrast: f64,
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
    /// The scene grows by this share a second (compounded), as when the hand comes nearer or zooms; negative:
    /// it shrinks. About the middle of the picture; the lens's blur grows with it.
    pub zoom_per_s: f64,
    /// How far the hand turns the camera to and fro about its axis, degrees to either side.
    pub turn_deg: f64,
    /// What moves during the exposure is smeared. Within one exposure, a lamp that switches is smeared as if it
    /// had its mean brightness throughout.
    pub motion_blur: bool,
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
