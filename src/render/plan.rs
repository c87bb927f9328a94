//! Everything of a clip but the pixels: for each frame its time, where things are, and the camera's gain.

use super::course::{Course, Levels};
use super::emission;
use super::error::RecipeError;
use super::finger::Finger;
use super::motion::Motion;
use super::pose::Pose;
use super::recipe::{Lamp, Recipe};
use super::timing::{self, Shot};
use crate::colour::ColourName;
use crate::footage::Quarter;

/// Steps in which a smear is drawn; more would show only in smears many times as long as a lamp is wide.
pub(super) const SMEAR_STEPS: usize = 5;

/// A clip as planned.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    pub(super) recipe: Recipe,
    pub(super) lamps: Vec<PlannedLamp>,
    pub(super) frames: Vec<PlannedFrame>,
}

/// A lamp with its course and colours.
#[derive(Debug, Clone)]
pub(super) struct PlannedLamp {
    pub(super) course: Course,
    /// Linear red, green and blue of its face at full brightness, in the order of [`ColourName::ALL`].
    colours: [[f64; 3]; ColourName::ALL.len()],
}

/// One frame.
#[derive(Debug, Clone)]
pub(super) struct PlannedFrame {
    pub(super) shot: Shot,
    /// How the scene lies in the upright picture in the middle of the exposure.
    pub(super) pose: Pose,
    /// The same at even steps over the exposure, if what moves is smeared; else that pose alone.
    pub(super) smear: Vec<Pose>,
    /// Automatic exposure's factor on all light.
    pub(super) exposure_gain: f64,
    /// The finger, in the upright picture with the offset.
    pub(super) finger: Option<Finger>,
    /// Share of each lamp that the finger covers.
    pub(super) covered: Vec<f64>,
}

impl Plan {
    pub(super) fn new(recipe: &Recipe) -> Result<Self, RecipeError> {
        recipe.check()?;
        let lamps: Vec<PlannedLamp> = recipe.lamps.iter().map(PlannedLamp::new).collect();
        let motion = Motion::new(recipe);
        let mut plan = Self {
            recipe: recipe.clone(),
            lamps,
            frames: Vec::new(),
        };
        plan.frames = timing::shots(recipe)
            .into_iter()
            .map(|shot| plan.frame(shot, &motion))
            .collect();
        plan.adapt_exposure();
        Ok(plan)
    }

    fn frame(&self, shot: Shot, motion: &Motion) -> PlannedFrame {
        let recipe = &self.recipe;
        let middle_s = shot.exposed_s + 0.5 * (recipe.camera.exposure_s + recipe.camera.readout_s);
        let pose = motion.at(middle_s);
        let centre = |lamp: &Lamp| pose.apply((lamp.x_px, lamp.y_px), self.middle());
        let finger = recipe.lamps.first().and_then(|lamp| {
            let at = centre(lamp);
            recipe
                .hand
                .covers
                .iter()
                .find_map(|cover| Finger::at(cover, at, middle_s))
        });
        let covered = recipe
            .lamps
            .iter()
            .map(|lamp| {
                let radius_px = pose.scale * lamp.radius_px;
                finger.map_or(0.0, |finger| finger.covered(centre(lamp), radius_px))
            })
            .collect();
        let smear = if recipe.hand.motion_blur {
            let step = |k: usize| (k as f64 + 0.5) / SMEAR_STEPS as f64 - 0.5;
            let times = (0..SMEAR_STEPS).map(|k| middle_s + recipe.camera.exposure_s * step(k));
            times.map(|time_s| motion.at(time_s)).collect()
        } else {
            vec![pose]
        };
        PlannedFrame {
            shot,
            pose,
            smear,
            exposure_gain: 1.0,
            finger,
            covered,
        }
    }

    /// Follows the lamps' light with a lag, as automatic exposure does; settled on the first frame.
    fn adapt_exposure(&mut self) {
        let camera = self.recipe.camera.clone();
        let mut metered: Option<f64> = None;
        let mut last_s = 0.0;
        for index in 0..self.frames.len() {
            let frame = &self.frames[index];
            let time_s = frame.shot.exposed_s;
            let light = self.lamp_light(frame);
            let before = metered.unwrap_or(light);
            let now =
                before + (light - before) * (1.0 - (-(time_s - last_s) / camera.auto_exposure_lag_s).exp());
            metered = Some(now);
            last_s = time_s;
            self.frames[index].exposure_gain = 1.0 - camera.auto_exposure_dip * now;
        }
    }

    /// Light of all lamps in a frame as a share of the most they can give, each weighed by what it adds to
    /// the picture.
    fn lamp_light(&self, frame: &PlannedFrame) -> f64 {
        let (mut light, mut most) = (0.0, 0.0);
        for (index, lamp) in self.recipe.lamps.iter().enumerate() {
            let weight = lamp.peak * lamp.radius_px * lamp.radius_px;
            light += weight * self.levels(frame, index).iter().sum::<f64>() * (1.0 - frame.covered[index]);
            most += weight;
        }
        if most > 0.0 { light / most } else { 0.0 }
    }

    /// Light of a lamp over the exposure of the row that its centre is in.
    pub(super) fn levels(&self, frame: &PlannedFrame, lamp: usize) -> Levels {
        self.levels_at_row(frame, lamp, self.row(frame, lamp))
    }

    /// Row of a lamp's centre in the coded picture.
    pub(super) fn row(&self, frame: &PlannedFrame, lamp: usize) -> f64 {
        self.coded(self.lamp_centre(frame, lamp)).1
    }

    /// When a row of the coded picture begins to be exposed, seconds.
    pub(super) fn exposed_s(&self, frame: &PlannedFrame, row: f64) -> f64 {
        let share = (row / self.coded_size().1).clamp(0.0, 1.0);
        frame.shot.exposed_s + self.recipe.camera.readout_s * share
    }

    /// Light of a lamp over the exposure of a row of the coded picture (row 0.5 is the middle of the first).
    pub(super) fn levels_at_row(&self, frame: &PlannedFrame, lamp: usize, row: f64) -> Levels {
        let camera = &self.recipe.camera;
        let start_s = self.exposed_s(frame, row);
        let Lamp {
            starts_at_s, pulses, ..
        } = &self.recipe.lamps[lamp];
        let course = &self.lamps[lamp].course;
        match pulses {
            Some(pulses) => pulses.mean(course, *starts_at_s, start_s, camera.exposure_s),
            None => course.mean(starts_at_s + start_s, camera.exposure_s),
        }
    }

    /// Factor of the mains on the scene's light in a row of the coded picture.
    pub(super) fn ambient_gain(&self, frame: &PlannedFrame, row: f64) -> f64 {
        let camera = &self.recipe.camera;
        let start_s = frame.shot.exposed_s + camera.readout_s * row / self.coded_size().1;
        let mains = self.recipe.mains.as_ref();
        mains.map_or(1.0, |mains| mains.gain(start_s, camera.exposure_s))
    }

    /// Centre of a lamp in the upright picture, pixels.
    pub(super) fn lamp_centre(&self, frame: &PlannedFrame, lamp: usize) -> (f64, f64) {
        self.in_pose(&frame.pose, lamp, (0.0, 0.0))
    }

    /// A place beside a lamp's centre, by its distance in the scene, in the upright picture in a pose.
    pub(super) fn in_pose(&self, pose: &Pose, lamp: usize, beside: (f64, f64)) -> (f64, f64) {
        let lamp = &self.recipe.lamps[lamp];
        pose.apply((lamp.x_px + beside.0, lamp.y_px + beside.1), self.middle())
    }

    /// Middle of the upright picture, pixels.
    pub(super) fn middle(&self) -> (f64, f64) {
        let (width, height) = (self.recipe.width_px, self.recipe.height_px);
        (0.5 * f64::from(width), 0.5 * f64::from(height))
    }

    pub(super) fn turn(&self) -> Quarter {
        self.recipe.encoding.upright.quarter()
    }

    /// Width and height of the coded picture, pixels.
    pub(super) fn coded_size(&self) -> (f64, f64) {
        let (width, height) = self.coded_size_px();
        (width as f64, height as f64)
    }

    /// The same in whole pixels.
    pub(super) fn coded_size_px(&self) -> (usize, usize) {
        // A quarter turn swaps the sides both ways.
        self.turn()
            .upright(self.recipe.width_px as usize, self.recipe.height_px as usize)
    }

    /// A point of the upright picture in the coded picture.
    pub(super) fn coded(&self, point: (f64, f64)) -> (f64, f64) {
        self.turn().to_coded(point, self.coded_size())
    }

    /// A pose in the coded picture. That is turned by whole quarters, which changes neither scale nor turn.
    pub(super) fn coded_pose(&self, pose: &Pose) -> Pose {
        let (from, to) = (
            self.coded((0.0, 0.0)),
            self.coded((pose.offset[0], pose.offset[1])),
        );
        Pose {
            offset: [to.0 - from.0, to.1 - from.1],
            ..*pose
        }
    }
}

impl PlannedLamp {
    fn new(lamp: &Lamp) -> Self {
        let colours = ColourName::ALL.map(|name| {
            let rgb = lamp
                .colour_xy
                .get(name.as_str())
                .map_or_else(|| emission::of(name), |&xy| emission::of_xy(xy));
            rgb.map(|channel| lamp.peak * channel)
        });
        Self {
            course: Course::new(&lamp.shows),
            colours,
        }
    }

    /// Linear red, green and blue of its face.
    pub(super) fn light(&self, levels: &Levels) -> [f64; 3] {
        std::array::from_fn(|channel| {
            levels
                .iter()
                .zip(&self.colours)
                .map(|(level, colour)| level * colour[channel])
                .sum()
        })
    }
}
