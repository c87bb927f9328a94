//! The pictures of a clip, one after the other.

use std::ops::Range;

use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;

use super::coding::Coding;
use super::error::RecipeError;
use super::finger::SKIN;
use super::picture::Picture;
use super::plan::{Plan, PlannedFrame};
use super::recipe::Recipe;
use super::scene::Still;
use super::sensor::Sensor;
use super::spread::Spread;
use super::truth::Truth;

/// The pictures of a recipe, in time order, and what they show.
///
/// # Errors
///
/// When the recipe cannot be followed.
pub fn frames(recipe: &Recipe) -> Result<Frames, RecipeError> {
    Frames::new(Plan::new(recipe)?)
}

/// What gives light in the picture: a lamp or its reflection.
#[derive(Debug)]
struct Source {
    lamp: usize,
    /// Distance from the lamp's centre in the scene, pixels.
    beside: (f64, f64),
    /// Share of the lamp's light.
    share: f64,
    /// What a finger leaves in view of it is as bright as before. A reflection, as a halo, has light of the whole lamp.
    is_lamp: bool,
    spread: Spread,
}

impl Source {
    /// A lamp, and its reflection if it has one.
    fn of(plan: &Plan, index: usize, most_gain: f64) -> Vec<Self> {
        let lamp = &plan.recipe.lamps[index];
        let spread = Spread::new(lamp.radius_px, &plan.recipe.lens, lamp.peak * most_gain);
        let reflected = lamp.reflection.map(|reflection| Self {
            lamp: index,
            beside: (reflection.x_px, reflection.y_px),
            share: reflection.share,
            is_lamp: false,
            spread: spread.clone(),
        });
        let lamp = Self {
            lamp: index,
            beside: (0.0, 0.0),
            share: 1.0,
            is_lamp: true,
            spread,
        };
        std::iter::once(lamp).chain(reflected).collect()
    }
}

/// The pictures of a clip. One picture is held at a time.
#[derive(Debug)]
pub struct Frames {
    truth: Truth,
    still: Still,
    sensor: Sensor,
    coding: Coding,
    sources: Vec<Source>,
    picture: Picture,
    /// Two rows of the three channels, from which one row of colour differences comes.
    rows: [[Vec<f32>; 3]; 2],
    /// One row of one channel at one step of a smear.
    step: Vec<f32>,
    plan: Plan,
    next: usize,
}

impl Frames {
    fn new(plan: Plan) -> Result<Self, RecipeError> {
        let recipe = &plan.recipe;
        let (width, height) = plan.coded_size_px();
        let (camera, range) = (&recipe.camera, recipe.encoding.range);
        let drift = (1.0 + camera.balance_drift_per_s).powf(recipe.seconds);
        let red = camera.red_gain * drift.max(1.0);
        let blue = camera.blue_gain / drift.min(1.0);
        let most_gain = camera.gain * red.max(blue).max(1.0);
        let sources = (0..recipe.lamps.len())
            .flat_map(|lamp| Source::of(&plan, lamp, most_gain))
            .collect();
        Ok(Self {
            truth: Truth::of(&plan),
            still: Still::new(&plan)?,
            sensor: Sensor::new(camera, range, recipe.seed, width),
            coding: Coding::of(range),
            sources,
            picture: Picture::black((width, height), plan.turn(), range),
            rows: std::array::from_fn(|_| std::array::from_fn(|_| vec![0.0; width])),
            step: Vec::new(),
            plan,
            next: 0,
        })
    }

    /// What the pictures show.
    #[must_use]
    pub fn truth(&self) -> &Truth {
        &self.truth
    }

    /// The next picture; `None` after the last.
    pub fn next_picture(&mut self) -> Option<&Picture> {
        let frame = self.plan.frames.get(self.next)?.clone();
        let repeats = self
            .next
            .checked_sub(1)
            .is_some_and(|before| self.plan.frames[before].shot.exposure == frame.shot.exposure);
        self.next += 1;
        self.picture.ticks = frame.shot.ticks;
        if !repeats {
            self.expose(&frame);
        }
        Some(&self.picture)
    }

    fn expose(&mut self, frame: &PlannedFrame) {
        let seed = self.plan.recipe.seed ^ (frame.shot.exposure + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let mut random = Pcg64Mcg::seed_from_u64(seed);
        let gain = frame.exposure_gain as f32;
        let gains = self
            .sensor
            .gains(frame.shot.exposed_s)
            .map(|balance| balance * gain);
        let height = self.picture.height;
        let stride = self.picture.width * self.coding.sample_bytes;
        let mut rows = std::mem::take(&mut self.rows);
        for pair in 0..height / 2 {
            for (half, channels) in rows.iter_mut().enumerate() {
                let row = 2 * pair + half;
                self.add_scene(frame, row, channels);
                let touched = self.add_lamps(frame, row, channels);
                self.add_finger(frame, row, channels);
                self.clip_lamps(frame, touched, channels);
                self.sensor.develop(channels, gains, &mut random);
                let luma = &mut self.picture.luma[row * stride..][..stride];
                self.coding.luma(channels, luma);
            }
            let half_row = pair * (stride / 2)..(pair + 1) * (stride / 2);
            self.coding.differences(
                &rows,
                &mut self.picture.blue[half_row.clone()],
                &mut self.picture.red[half_row],
            );
        }
        self.rows = rows;
    }

    fn add_scene(&mut self, frame: &PlannedFrame, row: usize, channels: &mut [Vec<f32>; 3]) {
        let ambient = self.plan.ambient_gain(frame, row as f64 + 0.5) as f32;
        let share = ambient / frame.smear.len() as f32;
        for (channel, values) in channels.iter_mut().enumerate() {
            for (step, pose) in frame.smear.iter().enumerate() {
                let pose = self.plan.coded_pose(pose);
                if step == 0 {
                    self.still.row(channel, row, &pose, values);
                    continue;
                }
                self.step.resize(values.len(), 0.0);
                self.still.row(channel, row, &pose, &mut self.step);
                values
                    .iter_mut()
                    .zip(&self.step)
                    .for_each(|(sum, value)| *sum += value);
            }
            if share != 1.0 {
                values.iter_mut().for_each(|value| *value *= share);
            }
        }
    }

    /// Returns the columns with light of lamps.
    fn add_lamps(&self, frame: &PlannedFrame, row: usize, channels: &mut [Vec<f32>; 3]) -> Vec<Range<usize>> {
        let middle = row as f64 + 0.5;
        let mut touched = Vec::new();
        for source in &self.sources {
            // Over what a finger covers of a lamp's face the finger is drawn.
            let open = (1.0 - frame.covered[source.lamp]) as f32;
            let face = if source.is_lamp { 1.0 } else { open };
            let visible = source.share / frame.smear.len() as f64;
            for pose in &frame.smear {
                let place = self.plan.in_pose(pose, source.lamp, source.beside);
                let (x, y) = self.plan.coded(place);
                let reach = source.spread.reach * pose.scale;
                if (middle - y).abs() > reach {
                    continue;
                }
                let columns = columns(x, reach, self.picture.width);
                touched.push(columns.clone());
                let levels = self.plan.levels_at_row(frame, source.lamp, middle);
                let light = self.plan.lamps[source.lamp]
                    .light(&levels)
                    .map(|value| (value * visible) as f32);
                if light == [0.0; 3] {
                    continue;
                }
                let down = (middle - y) as f32;
                let squeeze = (1.0 / (pose.scale * pose.scale)) as f32;
                for column in columns {
                    let across = (column as f64 + 0.5 - x) as f32;
                    let shares = source
                        .spread
                        .at_squared((across * across + down * down) * squeeze);
                    let share = face * shares.face + open * shares.halo;
                    for (values, light) in channels.iter_mut().zip(light) {
                        values[column] += share * light;
                    }
                }
            }
        }
        touched
    }

    /// Clips where lamps are. It comes after all light has been added, since clipping does not add up.
    fn clip_lamps(&self, frame: &PlannedFrame, touched: Vec<Range<usize>>, channels: &mut [Vec<f32>; 3]) {
        let gain = frame.exposure_gain as f32;
        for column in touched.into_iter().flatten() {
            let [red, green, blue] = &mut *channels;
            let light = [red[column], green[column], blue[column]];
            [red[column], green[column], blue[column]] = self.sensor.clip(light, gain);
        }
    }

    fn add_finger(&self, frame: &PlannedFrame, row: usize, channels: &mut [Vec<f32>; 3]) {
        let Some(finger) = frame.finger else {
            return;
        };
        let (turn, size) = (self.plan.turn(), self.plan.coded_size());
        let ambient = self.plan.recipe.scene.ambient * self.plan.ambient_gain(frame, row as f64 + 0.5);
        for column in 0..self.picture.width {
            let distance = finger.distance(turn.to_upright((column as f64 + 0.5, row as f64 + 0.5), size));
            // A finger near the lens is out of focus: its edge is four pixels wide.
            let share = (0.5 + 0.25 * (finger.radius - distance)).clamp(0.0, 1.0);
            if share <= 0.0 {
                continue;
            }
            // Rounded: darker towards its edge.
            let shade = ambient * (1.0 - 0.6 * (distance / finger.radius).min(1.0).powi(2));
            for (values, skin) in channels.iter_mut().zip(SKIN) {
                values[column] += share as f32 * ((skin * shade) as f32 - values[column]);
            }
        }
    }
}

/// Columns of the picture within a distance of a place.
fn columns(x: f64, reach: f64, width: usize) -> Range<usize> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the picture"
    )]
    let column = |place: f64| place.clamp(0.0, width as f64) as usize;
    column(x - reach)..column(x + reach + 1.0)
}
