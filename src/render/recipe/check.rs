//! Whether a recipe can be followed.

use std::fmt::Display;
use std::ops::RangeInclusive;

use super::{DynamicRange, Lamp, Recipe};
use crate::colour::ColourName;
use crate::render::error::RecipeError;
use crate::render::shown::{Beat, Shown};

/// Longest clip, seconds: a slip of the pen must not fill the disk.
const LONGEST_S: f64 = 600.0;

/// Largest picture side, pixels: that of a 4K picture.
const LARGEST_PX: f64 = 4096.0;

/// Most that a zoom or a white balance may change over a clip, as a factor.
const MOST_GROWTH: f64 = 4.0;

impl Recipe {
    /// Checks every figure.
    ///
    /// # Errors
    ///
    /// The first field that makes no sense.
    pub fn check(&self) -> Result<(), RecipeError> {
        for (field, pixels) in [("width_px", self.width_px), ("height_px", self.height_px)] {
            within(field, f64::from(pixels), 16.0..=LARGEST_PX)?;
            if pixels % 2 != 0 {
                return Err(out_of_range(field, f64::from(pixels), "an even number"));
            }
        }
        within("seconds", self.seconds, 0.001..=LONGEST_S)?;
        self.check_timing()?;
        for (index, lamp) in self.lamps.iter().enumerate() {
            check_lamp(&format!("lamp {}", index + 1), lamp)?;
        }
        self.check_scene()?;
        if let Some(mains) = &self.mains {
            within("mains.hz", mains.hz, 1.0..=1e4)?;
            within("mains.depth", mains.depth, 0.0..=1.0)?;
        }
        self.check_camera()?;
        self.check_hand()?;
        self.check_file()
    }

    fn check_file(&self) -> Result<(), RecipeError> {
        let encoding = &self.encoding;
        if let Some(kbit_per_s) = encoding.kbit_per_s {
            within("encoding.kbit_per_s", f64::from(kbit_per_s), 10.0..=500_000.0)?;
        }
        // A tone curve over the curves of BT.2100 would move their reference white.
        if encoding.range != DynamicRange::Standard && self.camera.contrast != 0.0 {
            let expected = "0 where encoding.range is not standard";
            return Err(out_of_range("camera.contrast", self.camera.contrast, expected));
        }
        // 0 asks for no loss, which the profiles that phones use do not have.
        within("encoding.crf", f64::from(encoding.crf), 1.0..=51.0)
    }

    fn check_timing(&self) -> Result<(), RecipeError> {
        let timing = &self.timing;
        within("timing.frames_per_s", timing.frames_per_s, 1.0..=1000.0)?;
        within(
            "timing.jitter_s",
            timing.jitter_s,
            0.0..=0.49 / timing.frames_per_s,
        )?;
        within("timing.dropped_share", timing.dropped_share, 0.0..=0.95)?;
        within("timing.repeated_share", timing.repeated_share, 0.0..=0.95)
    }

    fn check_scene(&self) -> Result<(), RecipeError> {
        let scene = &self.scene;
        within("scene.ambient", scene.ambient, 0.0..=10.0)?;
        share_rgb("scene.background_rgb", scene.background_rgb)?;
        within("scene.gradient", scene.gradient, 0.0..=1.0)?;
        within("scene.texture_contrast", scene.texture_contrast, 0.0..=1.0)?;
        within("scene.texture_px", scene.texture_px, 2.0..=LARGEST_PX)?;
        if let Some(case) = &scene.case {
            within("scene.case.width_px", case.width_px, 1.0..=LARGEST_PX)?;
            within("scene.case.height_px", case.height_px, 1.0..=LARGEST_PX)?;
            place("scene.case.x_px", case.x_px)?;
            place("scene.case.y_px", case.y_px)?;
            share_rgb("scene.case.rgb", case.rgb)?;
        }
        for label in &scene.labels {
            place("scene.labels.x_px", label.x_px)?;
            place("scene.labels.y_px", label.y_px)?;
            within("scene.labels.height_px", label.height_px, 2.0..=LARGEST_PX)?;
            within("scene.labels.letters", f64::from(label.letters), 1.0..=500.0)?;
            share_rgb("scene.labels.rgb", label.rgb)?;
        }
        Ok(())
    }

    fn check_camera(&self) -> Result<(), RecipeError> {
        let (camera, lens) = (&self.camera, &self.lens);
        // A microsecond stands for an instant; frame times are rounded, hence the hair's breadth at the other
        // end.
        let longest_s = (1.0 + 1e-3) / self.timing.frames_per_s;
        within("camera.exposure_s", camera.exposure_s, 1e-6..=longest_s)?;
        within("camera.readout_s", camera.readout_s, 0.0..=longest_s)?;
        within("camera.gain", camera.gain, 1e-3..=1e3)?;
        within("camera.red_gain", camera.red_gain, 0.1..=10.0)?;
        within("camera.blue_gain", camera.blue_gain, 0.1..=10.0)?;
        // So that no balance runs away over a clip.
        let drift = MOST_GROWTH.powf(1.0 / self.seconds);
        within(
            "camera.balance_drift_per_s",
            camera.balance_drift_per_s,
            1.0 / drift - 1.0..=drift - 1.0,
        )?;
        within("camera.auto_exposure_dip", camera.auto_exposure_dip, 0.0..=0.95)?;
        within(
            "camera.auto_exposure_lag_s",
            camera.auto_exposure_lag_s,
            1e-3..=60.0,
        )?;
        within("camera.shot_noise", camera.shot_noise, 0.0..=1.0)?;
        within("camera.read_noise", camera.read_noise, 0.0..=1.0)?;
        within("camera.contrast", camera.contrast, 0.0..=1.0)?;
        within("lens.blur_px", lens.blur_px, 0.3..=100.0)?;
        within("lens.halo_share", lens.halo_share, 0.0..=0.9)?;
        within("lens.halo_radii", lens.halo_radii, 0.1..=20.0)
    }

    fn check_hand(&self) -> Result<(), RecipeError> {
        within("hand.shake_rms_px", self.hand.shake_rms_px, 0.0..=500.0)?;
        // The still scene is drawn once, as large as the furthest zoom shows it.
        let zoom = MOST_GROWTH.powf(1.0 / self.seconds);
        within(
            "hand.zoom_per_s",
            self.hand.zoom_per_s,
            1.0 / zoom - 1.0..=zoom - 1.0,
        )?;
        within("hand.turn_deg", self.hand.turn_deg, 0.0..=180.0)?;
        for cover in &self.hand.covers {
            span("hand.covers", cover.from_s, cover.to_s)?;
            within("hand.covers.radius_px", cover.radius_px, 1.0..=LARGEST_PX)?;
        }
        for glance in &self.hand.glances {
            span("hand.glances", glance.from_s, glance.to_s)?;
            place("hand.glances.x_px", glance.x_px)?;
            place("hand.glances.y_px", glance.y_px)?;
        }
        Ok(())
    }
}

fn check_lamp(which: &str, lamp: &Lamp) -> Result<(), RecipeError> {
    place(&format!("{which}: x_px"), lamp.x_px)?;
    place(&format!("{which}: y_px"), lamp.y_px)?;
    within(format!("{which}: radius_px"), lamp.radius_px, 0.5..=1000.0)?;
    within(format!("{which}: peak"), lamp.peak, 0.0..=1e4)?;
    within(format!("{which}: starts_at_s"), lamp.starts_at_s, -1e6..=1e6)?;
    share_rgb(&format!("{which}: lens_rgb"), lamp.lens_rgb)?;
    for (word, &[x, y]) in &lamp.colour_xy {
        let field = format!("{which}: colour_xy");
        if word.parse::<ColourName>().is_err() {
            return Err(RecipeError::UnknownColour {
                field,
                word: word.clone(),
                known: ColourName::ALL.map(ColourName::as_str).join(", "),
            });
        }
        within(format!("{field}: x"), x, 0.0..=0.8)?;
        within(format!("{field}: y"), y, 0.001..=0.9)?;
    }
    if let Some(pulses) = &lamp.pulses {
        within(format!("{which}: pulses.hz"), pulses.hz, 1.0..=1e5)?;
        within(format!("{which}: pulses.on_share"), pulses.on_share, 1e-3..=1.0)?;
    }
    if let Some(reflection) = &lamp.reflection {
        place(&format!("{which}: reflection.x_px"), reflection.x_px)?;
        place(&format!("{which}: reflection.y_px"), reflection.y_px)?;
        within(format!("{which}: reflection.share"), reflection.share, 0.0..=1.0)?;
    }
    match &lamp.shows {
        Shown::Cycle(beats) => check_beats(&format!("{which}: shows.cycle"), beats),
        Shown::Sequence(stretches) => {
            let field = format!("{which}: shows.sequence");
            if stretches.is_empty() {
                return Err(RecipeError::Empty { field });
            }
            for stretch in stretches {
                within(format!("{field}: for_s"), stretch.for_s, 1e-4..=1e6)?;
                check_beats(&format!("{field}: cycle"), &stretch.cycle)?;
            }
            Ok(())
        }
    }
}

fn check_beats(field: &str, beats: &[Beat]) -> Result<(), RecipeError> {
    if beats.is_empty() {
        return Err(RecipeError::Empty {
            field: field.to_owned(),
        });
    }
    for beat in beats {
        within(format!("{field}: lasts_s"), beat.lasts_s, 1e-4..=1e6)?;
        within(format!("{field}: from"), beat.from, 0.0..=1.0)?;
        within(format!("{field}: to"), beat.to, 0.0..=1.0)?;
    }
    Ok(())
}

fn place(field: &str, pixels: f64) -> Result<(), RecipeError> {
    within(field, pixels, -LARGEST_PX..=2.0 * LARGEST_PX)
}

fn span(field: &str, from_s: f64, to_s: f64) -> Result<(), RecipeError> {
    within(format!("{field}: from_s"), from_s, -LONGEST_S..=LONGEST_S)?;
    within(format!("{field}: to_s"), to_s, from_s..=LONGEST_S)
}

fn share_rgb(field: &str, rgb: [f64; 3]) -> Result<(), RecipeError> {
    rgb.into_iter()
        .try_for_each(|channel| within(field, channel, 0.0..=1.0))
}

fn within(field: impl Display, value: f64, range: RangeInclusive<f64>) -> Result<(), RecipeError> {
    if range.contains(&value) {
        return Ok(());
    }
    Err(out_of_range(
        field,
        value,
        &format!("{} to {}", range.start(), range.end()),
    ))
}

fn out_of_range(field: impl Display, value: f64, expected: &str) -> RecipeError {
    RecipeError::OutOfRange {
        field: field.to_string(),
        value,
        expected: expected.to_owned(),
    }
}
