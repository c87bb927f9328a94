//! The pictures of a clip, one after the other.

use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;

use super::error::RecipeError;
use super::finger::SKIN;
use super::picture::Picture;
use super::plan::{Plan, PlannedFrame};
use super::recipe::Recipe;
use super::scene::Still;
use super::sensor::{self, Sensor};
use super::spread::Spread;
use super::truth::Truth;

/// The pictures of a recipe, in time order, and what they show.
///
/// # Errors
///
/// When the recipe cannot be followed.
pub fn frames(recipe: &Recipe) -> Result<Frames, RecipeError> {
    Plan::new(recipe).map(Frames::new)
}

/// The pictures of a clip. One picture is held at a time.
#[derive(Debug)]
pub struct Frames {
    truth: Truth,
    still: Still,
    sensor: Sensor,
    spreads: Vec<Spread>,
    picture: Picture,
    /// Two rows of the three channels, from which one row of colour differences comes.
    rows: [[Vec<f32>; 3]; 2],
    plan: Plan,
    next: usize,
}

impl Frames {
    fn new(plan: Plan) -> Self {
        let recipe = &plan.recipe;
        let (width, height) = plan.coded_size_px();
        let camera = &recipe.camera;
        let most_gain = camera.gain * camera.red_gain.max(camera.blue_gain).max(1.0);
        let spreads = recipe
            .lamps
            .iter()
            .map(|lamp| Spread::new(lamp.radius_px, &recipe.lens, lamp.peak * most_gain))
            .collect();
        Self {
            truth: Truth::of(&plan),
            still: Still::new(&plan),
            sensor: Sensor::new(camera, recipe.seed, width),
            spreads,
            picture: Picture::black(width, height, plan.turn()),
            rows: std::array::from_fn(|_| std::array::from_fn(|_| vec![0.0; width])),
            plan,
            next: 0,
        }
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
        let offset = self.plan.coded_offset(frame);
        let (width, height) = (self.picture.width, self.picture.height);
        let mut rows = std::mem::take(&mut self.rows);
        for pair in 0..height / 2 {
            for (half, channels) in rows.iter_mut().enumerate() {
                let row = 2 * pair + half;
                for (channel, values) in channels.iter_mut().enumerate() {
                    self.still.row(channel, row, offset, values);
                }
                self.add_lamps(frame, row, channels);
                self.add_finger(frame, row, channels);
                for (channel, values) in channels.iter_mut().enumerate() {
                    self.sensor.develop(values, channel, gain, &mut random);
                }
                sensor::luma(channels, &mut self.picture.luma[row * width..][..width]);
            }
            let half_row = pair * (width / 2)..(pair + 1) * (width / 2);
            sensor::differences(
                &rows,
                &mut self.picture.blue[half_row.clone()],
                &mut self.picture.red[half_row],
            );
        }
        self.rows = rows;
    }

    fn add_lamps(&self, frame: &PlannedFrame, row: usize, channels: &mut [Vec<f32>; 3]) {
        let middle = row as f64 + 0.5;
        for (index, spread) in self.spreads.iter().enumerate() {
            let (x, y) = self.plan.coded(self.plan.lamp_centre(frame, index));
            let visible = 1.0 - frame.covered[index];
            if (middle - y).abs() > spread.reach || visible <= 0.0 {
                continue;
            }
            let levels = self.plan.levels_at_row(frame, index, middle);
            let light = self.plan.lamps[index]
                .light(&levels)
                .map(|value| (value * visible) as f32);
            if light == [0.0; 3] {
                continue;
            }
            let down = (middle - y) as f32;
            for column in columns(x, spread.reach, self.picture.width) {
                let across = (column as f64 + 0.5 - x) as f32;
                let share = spread.at_squared(across * across + down * down);
                for (values, light) in channels.iter_mut().zip(light) {
                    values[column] += share * light;
                }
            }
        }
        self.clip_lamps(frame, row, channels);
    }

    /// Clips where lamps are. It comes after all lamps have been added, since clipping does not add up.
    fn clip_lamps(&self, frame: &PlannedFrame, row: usize, channels: &mut [Vec<f32>; 3]) {
        let gain = frame.exposure_gain as f32;
        for (index, spread) in self.spreads.iter().enumerate() {
            let (x, y) = self.plan.coded(self.plan.lamp_centre(frame, index));
            if (row as f64 + 0.5 - y).abs() > spread.reach {
                continue;
            }
            for column in columns(x, spread.reach, self.picture.width) {
                let [red, green, blue] = &mut *channels;
                let light = [red[column], green[column], blue[column]];
                [red[column], green[column], blue[column]] = self.sensor.clip(light, gain);
            }
        }
    }

    fn add_finger(&self, frame: &PlannedFrame, row: usize, channels: &mut [Vec<f32>; 3]) {
        let Some(finger) = frame.finger else {
            return;
        };
        let (turn, size) = (self.plan.turn(), self.plan.coded_size());
        let ambient = self.plan.recipe.scene.ambient;
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
fn columns(x: f64, reach: f64, width: usize) -> std::ops::Range<usize> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the picture"
    )]
    let column = |place: f64| place.clamp(0.0, width as f64) as usize;
    column(x - reach)..column(x + reach + 1.0)
}
