//! What a rendered clip shows, exactly.

use serde::{Deserialize, Serialize};

use super::course::brightest;
use super::error::RecipeError;
use super::plan::{Plan, PlannedFrame, SMEAR_STEPS};
use super::recipe::Recipe;
use super::sensor::drifted;
use super::shown::colour_word;
use crate::colour::ColourName;

/// What a rendered clip shows. Places are pixels of the upright picture; the centre of its first pixel is
/// (0.5, 0.5).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Truth {
    /// Width of the upright picture, pixels.
    pub width_px: u32,
    /// Height of the upright picture, pixels.
    pub height_px: u32,
    /// The lamps in the order of the recipe.
    pub lamps: Vec<LampTruth>,
    /// Every frame of the clip, in time order.
    pub frames: Vec<FrameTruth>,
}

/// One lamp over the whole clip.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LampTruth {
    /// As in the recipe.
    pub id: String,
    /// Radius of its face, pixels.
    pub radius_px: f64,
    /// Length of one cycle, seconds; `None` for a steady light or a sequence.
    pub period_s: Option<f64>,
    /// Flashes in a cycle: lit stretches between dark ones. 0 where it is never dark, or nothing repeats.
    pub flashes: usize,
    /// Mean duration of those flashes, seconds; `None` where there are none.
    pub on_s: Option<f64>,
    /// Abrupt changes of colour and between lit and dark, whether or not the lamp was in view. Swells and
    /// fades have none.
    pub changes: Vec<Change>,
}

/// An abrupt change.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// When, seconds since the first frame.
    pub time_s: f64,
    /// The colour after it; `None` is dark.
    #[serde(with = "colour_word")]
    pub to: Option<ColourName>,
}

/// One frame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrameTruth {
    /// Time stamp, seconds since the first frame.
    pub time_s: f64,
    /// When the first row of the picture it shows began to be exposed; before `time_s` only in a repeated
    /// picture.
    pub exposed_s: f64,
    /// Automatic exposure's factor on all light.
    pub exposure_gain: f64,
    /// The mains' factor on the scene's light, in the middle row.
    pub ambient_gain: f64,
    /// White balance: factors on red and on blue against green.
    pub balance: [f64; 2],
    /// Zoom's factor on all lengths of the scene, so on the lamps' radii too.
    pub scale: f64,
    /// How far the scene is turned clockwise, degrees.
    pub turn_deg: f64,
    /// Every lamp, in the order of the recipe.
    pub lamps: Vec<LampInFrame>,
}

/// One lamp in one frame.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LampInFrame {
    /// Column of its centre, pixels; may lie outside the picture.
    pub x_px: f64,
    /// Row of its centre, likewise.
    pub y_px: f64,
    /// Its centre lies in the picture.
    pub in_frame: bool,
    /// Length of the path over which the exposure smears its centre, pixels; 0 where nothing is smeared.
    pub smear_px: f64,
    /// Column and row of the centre of its reflection, if it has one.
    pub reflection_px: Option<[f64; 2]>,
    /// A finger covers more than half of it.
    pub hidden: bool,
    /// Mean brightness over the exposure of the row of its centre, a share of full brightness in linear
    /// light. What the lamp does, also while it is hidden; pulses are in it.
    pub level: f64,
    /// When the row of its centre began to be exposed, seconds since the first frame; see [`FrameTruth::exposed_s`].
    pub exposed_s: f64,
    /// The colour that gave most of that light; `None` when it was dark.
    #[serde(with = "colour_word")]
    pub colour: Option<ColourName>,
}

/// The truth of a recipe, without rendering it.
///
/// # Errors
///
/// When the recipe cannot be followed.
pub fn truth(recipe: &Recipe) -> Result<Truth, RecipeError> {
    Plan::new(recipe).map(|plan| Truth::of(&plan))
}

impl Truth {
    pub(super) fn of(plan: &Plan) -> Self {
        let recipe = &plan.recipe;
        Self {
            width_px: recipe.width_px,
            height_px: recipe.height_px,
            lamps: (0..recipe.lamps.len())
                .map(|lamp| lamp_truth(plan, lamp))
                .collect(),
            frames: plan.frames.iter().map(|frame| frame_truth(plan, frame)).collect(),
        }
    }
}

fn lamp_truth(plan: &Plan, index: usize) -> LampTruth {
    let lamp = &plan.recipe.lamps[index];
    let course = &plan.lamps[index].course;
    let rhythm = course.rhythm();
    let changes = course
        .jumps(lamp.starts_at_s, lamp.starts_at_s + plan.recipe.seconds)
        .into_iter()
        .map(|jump| Change {
            time_s: jump.time_s - lamp.starts_at_s,
            to: jump.to,
        })
        .collect();
    LampTruth {
        id: lamp.id.clone(),
        radius_px: lamp.radius_px,
        period_s: rhythm.map(|rhythm| rhythm.period_s),
        flashes: rhythm.map_or(0, |rhythm| rhythm.flashes),
        on_s: rhythm.and_then(|rhythm| rhythm.on_s),
        changes,
    }
}

fn frame_truth(plan: &Plan, frame: &PlannedFrame) -> FrameTruth {
    let (width, height) = (f64::from(plan.recipe.width_px), f64::from(plan.recipe.height_px));
    let lamps = (0..plan.recipe.lamps.len())
        .map(|index| {
            let (x_px, y_px) = plan.lamp_centre(frame, index);
            let levels = plan.levels(frame, index);
            LampInFrame {
                x_px,
                y_px,
                smear_px: smear_px(plan, frame, index),
                reflection_px: plan.recipe.lamps[index].reflection.map(|reflection| {
                    let (x, y) = plan.in_pose(&frame.pose, index, (reflection.x_px, reflection.y_px));
                    [x, y]
                }),
                in_frame: (0.0..width).contains(&x_px) && (0.0..height).contains(&y_px),
                hidden: frame.covered[index] > 0.5,
                level: levels.iter().sum(),
                exposed_s: plan.exposed_s(frame, plan.row(frame, index)),
                colour: brightest(&levels).map(|(name, _)| name),
            }
        })
        .collect();
    let camera = &plan.recipe.camera;
    FrameTruth {
        time_s: frame.shot.time_s(),
        exposed_s: frame.shot.exposed_s,
        exposure_gain: frame.exposure_gain,
        ambient_gain: plan.ambient_gain(frame, 0.5 * plan.coded_size().1),
        balance: drifted(
            [camera.red_gain, camera.blue_gain],
            camera.balance_drift_per_s,
            frame.shot.exposed_s,
        ),
        scale: frame.pose.scale,
        turn_deg: frame.pose.turn_rad.to_degrees(),
        lamps,
    }
}

fn smear_px(plan: &Plan, frame: &PlannedFrame, lamp: usize) -> f64 {
    let places: Vec<(f64, f64)> = frame
        .smear
        .iter()
        .map(|pose| plan.in_pose(pose, lamp, (0.0, 0.0)))
        .collect();
    let walked: f64 = places
        .windows(2)
        .map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1))
        .sum();
    // The steps' middles are half a step away from either end of the exposure.
    walked * SMEAR_STEPS as f64 / (SMEAR_STEPS - 1) as f64
}
