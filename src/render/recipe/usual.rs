//! The values that a recipe takes where it says nothing.

use std::collections::BTreeMap;

use super::{Camera, Codec, DynamicRange, Encoding, Hand, Lamp, Lens, Recipe, Scene, Timing, Upright};
use crate::render::shown::Shown;

/// A lamp that is lit clips: eight times what the sensor takes is usual for a small lamp in a dim room;
/// guessed.
pub(super) const fn peak() -> f64 {
    8.0
}

/// A frosted, nearly colourless lens.
pub(super) const fn lens_rgb() -> [f64; 3] {
    [0.35, 0.35, 0.34]
}

impl Default for Recipe {
    /// Ten seconds of a bare grey wall at 1280 x 720 and 30 frames a second in a dim room, held by a calm
    /// hand. No lamp.
    fn default() -> Self {
        Self {
            width_px: 1280,
            height_px: 720,
            seconds: 10.0,
            seed: 1,
            timing: Timing::default(),
            lamps: Vec::new(),
            scene: Scene::default(),
            mains: None,
            camera: Camera::default(),
            lens: Lens::default(),
            hand: Hand {
                shake_rms_px: 2.0,
                ..Hand::default()
            },
            encoding: Encoding::default(),
        }
    }
}

impl Default for Timing {
    /// Even frames at the rate that phones film at unless told otherwise.
    fn default() -> Self {
        Self {
            frames_per_s: 30.0,
            jitter_s: 0.0,
            dropped_share: 0.0,
            repeated_share: 0.0,
        }
    }
}

impl Default for Scene {
    /// A grey, slightly warm wall (reflectance 0.3) with soft spots, in half the light that would clip a
    /// white sheet.
    fn default() -> Self {
        Self {
            ambient: 0.5,
            background_rgb: [0.30, 0.29, 0.27],
            gradient: 0.3,
            texture_contrast: 0.1,
            texture_px: 60.0,
            case: None,
            labels: Vec::new(),
        }
    }
}

impl Default for Camera {
    /// A phone indoors: exposed for half of a frame's time, read out in as much (8 to 30 ms are common), a
    /// noise of some code values in mid-grey, and an automatic exposure that gives way to a lamp a little.
    /// Common practice, no source.
    fn default() -> Self {
        Self {
            exposure_s: 0.016,
            readout_s: 0.016,
            gain: 1.0,
            red_gain: 1.0,
            blue_gain: 1.0,
            balance_drift_per_s: 0.0,
            auto_exposure_dip: 0.1,
            auto_exposure_lag_s: 0.3,
            shot_noise: 0.01,
            read_noise: 0.001,
            contrast: 0.0,
        }
    }
}

impl Default for Lens {
    /// A sharp picture through a not quite clean lens. Guessed after the look of clips of small lamps.
    fn default() -> Self {
        Self {
            blur_px: 1.0,
            halo_share: 0.1,
            halo_radii: 2.5,
        }
    }
}

impl Default for Encoding {
    /// What nearly every player reads, at the encoder's own default quality, not turned.
    fn default() -> Self {
        Self {
            codec: Codec::H264,
            crf: 23,
            kbit_per_s: None,
            range: DynamicRange::Standard,
            upright: Upright::AsCoded,
        }
    }
}

impl Lamp {
    /// A lamp of usual brightness and size that shows something, at the origin.
    #[must_use]
    pub fn showing(shows: Shown) -> Self {
        Self {
            id: "lamp".to_owned(),
            x_px: 0.0,
            y_px: 0.0,
            radius_px: 12.0,
            peak: peak(),
            starts_at_s: 0.0,
            shows,
            pulses: None,
            reflection: None,
            lens_rgb: lens_rgb(),
            colour_xy: BTreeMap::new(),
        }
    }
}
