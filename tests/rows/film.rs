//! Cameras drawn at random, and clips that never touch a file.

use lampwise::light::Watcher;
use lampwise::render::{Camera, Case, Hand, Lamp, Lens, Recipe, Scene, Shown, Timing, frames};
use lampwise::trace::{self, Trace};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;

/// Size of the pictures, pixels: small, so that many clips take seconds.
const WIDTH_PX: u32 = 640;
const HEIGHT_PX: u32 = 360;

/// Distance of neighbouring lamps, radii: far enough that their halos hardly meet.
const APART_RADII: f64 = 8.0;

/// A candidate as the inference gets it.
pub(crate) struct Candidate {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) radius: f64,
    pub(crate) score: f64,
    pub(crate) trace: Trace,
}

/// One way to film.
#[derive(Debug, Clone)]
pub(crate) struct Filming {
    pub(crate) seed: u64,
    pub(crate) fps: f64,
    pub(crate) exposure_s: f64,
    pub(crate) shake_px: f64,
    pub(crate) noise: f64,
    pub(crate) peak: f64,
    pub(crate) radius_px: f64,
    pub(crate) red_gain: f64,
    pub(crate) blue_gain: f64,
    pub(crate) ambient: f64,
    pub(crate) dip: f64,
    /// Place of the first lamp, pixels.
    pub(crate) x_px: f64,
    pub(crate) y_px: f64,
    /// A share, for whoever needs a moment to start at.
    pub(crate) moment: f64,
}

impl Filming {
    /// Everything within what phones and hands do; the same for the same seed.
    pub(crate) fn any(seed: u64) -> Self {
        let mut rng = Pcg64::seed_from_u64(seed);
        let fps = [24.0, 30.0, 60.0][rng.random_range(0..3)];
        let exposure_s = [0.004, 0.016, 0.030][rng.random_range(0..3)];
        Self {
            seed,
            fps,
            exposure_s: f64::min(exposure_s, 0.95 / fps),
            shake_px: rng.random_range(0.0..4.0),
            noise: rng.random_range(0.004..0.012),
            peak: f64::exp(rng.random_range(f64::ln(1.5)..f64::ln(6.0))),
            radius_px: f64::exp(rng.random_range(f64::ln(5.0)..f64::ln(16.0))),
            red_gain: rng.random_range(0.92..1.08),
            blue_gain: rng.random_range(0.92..1.08),
            ambient: rng.random_range(0.3..0.6),
            dip: rng.random_range(0.0..0.1),
            x_px: rng.random_range(260.0..340.0),
            y_px: rng.random_range(150.0..210.0),
            moment: rng.random_range(0.0..1.0),
        }
    }

    /// Films lamps side by side, each with its pattern time at the start of the clip.
    pub(crate) fn of(&self, lamps: &[(Shown, f64)], seconds: f64) -> Recipe {
        let lamp = |(index, (shows, starts_at_s)): (usize, &(Shown, f64))| Lamp {
            id: format!("lamp-{index}"),
            x_px: self.x_px + index as f64 * APART_RADII * self.radius_px,
            y_px: self.y_px,
            radius_px: self.radius_px,
            peak: self.peak,
            starts_at_s: *starts_at_s,
            ..Lamp::showing(shows.clone())
        };
        Recipe {
            width_px: WIDTH_PX,
            height_px: HEIGHT_PX,
            seconds,
            seed: self.seed,
            timing: Timing {
                frames_per_s: self.fps,
                ..Timing::default()
            },
            lamps: lamps.iter().enumerate().map(lamp).collect(),
            scene: self.scene(),
            camera: Camera {
                exposure_s: self.exposure_s,
                readout_s: 0.016_f64.min(0.95 / self.fps),
                red_gain: self.red_gain,
                blue_gain: self.blue_gain,
                auto_exposure_dip: self.dip,
                shot_noise: self.noise,
                ..Camera::default()
            },
            lens: Lens {
                blur_px: 1.2,
                halo_share: 0.15,
                halo_radii: 2.0,
            },
            hand: Hand {
                shake_rms_px: self.shake_px,
                ..Hand::default()
            },
            ..Recipe::default()
        }
    }

    fn scene(&self) -> Scene {
        Scene {
            ambient: self.ambient,
            background_rgb: [0.24, 0.24, 0.22],
            gradient: 0.3,
            texture_contrast: 0.14,
            texture_px: 45.0,
            case: Some(Case {
                x_px: 140.0,
                y_px: 70.0,
                width_px: 400.0,
                height_px: 210.0,
                rgb: [0.42, 0.43, 0.40],
            }),
            ..Scene::default()
        }
    }
}

/// Renders and watches; the candidates stand best first, or first the one that was pointed to.
pub(crate) fn watch(recipe: &Recipe, at: Option<(f64, f64)>) -> Vec<Candidate> {
    let mut frames = frames(recipe).expect("a recipe of usual figures");
    let mut watcher = Watcher::new(at);
    while let Some(picture) = frames.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    let candidate = |followed: lampwise::light::Followed| Candidate {
        x: followed.x,
        y: followed.y,
        radius: followed.radius,
        score: followed.score,
        trace: trace::build(&followed),
    };
    watcher.finish().into_iter().map(candidate).collect()
}
