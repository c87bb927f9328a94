//! What stands still: background, case and unlit lenses, drawn once, larger than the picture by what the hand
//! needs.

use super::error::RecipeError;
use super::plan::Plan;
use super::pose::Pose;
use super::recipe::{Case, Label, Recipe};

/// Width of the darker rim round a case, pixels; gives the eye and a tracker an edge.
const RIM_PX: f64 = 3.0;

/// Most pixels of the still scene, 12 bytes each: a gigabyte, and eleven 4K pictures.
const MOST_PIXELS: usize = 100_000_000;

/// The still scene in linear red, green and blue at a gain of 1, as planes in the coded orientation.
#[derive(Debug)]
pub(super) struct Still {
    planes: [Vec<f32>; 3],
    stride: usize,
    rows: usize,
    /// Scene column and row, in coded pixels, of the planes' first sample.
    left: i64,
    top: i64,
    /// Middle of the coded picture, about which the scene turns and grows.
    middle: (f64, f64),
}

impl Still {
    /// # Errors
    ///
    /// When the hand moves over a larger scene than memory should be asked for.
    pub(super) fn new(plan: &Plan) -> Result<Self, RecipeError> {
        let (width, height) = plan.coded_size_px();
        let (mut low, mut high) = ([0.0_f64; 2], [width as f64, height as f64]);
        let middle = (0.5 * width as f64, 0.5 * height as f64);
        for pose in plan.frames.iter().flat_map(|frame| &frame.smear) {
            let pose = plan.coded_pose(pose);
            for corner in [(0, 0), (width, 0), (0, height), (width, height)] {
                let (x, y) = pose.undo((corner.0 as f64, corner.1 as f64), middle);
                for (axis, place) in [x, y].into_iter().enumerate() {
                    low[axis] = low[axis].min(place);
                    high[axis] = high[axis].max(place);
                }
            }
        }
        let (left, top) = (floor(low[0]), floor(low[1]));
        // One more sample on the far side for the interpolation.
        let stride = usize::try_from(floor(high[0]) + 2 - left).unwrap_or(0);
        let rows = usize::try_from(floor(high[1]) + 2 - top).unwrap_or(0);
        let pixels = stride.saturating_mul(rows);
        if pixels > MOST_PIXELS {
            return Err(RecipeError::OutOfRange {
                field: "the scene that hand shows, in pixels,".to_owned(),
                value: pixels as f64,
                expected: format!(
                    "{MOST_PIXELS} at most; move, zoom or turn less, or make the picture smaller"
                ),
            });
        }
        let mut planes: [Vec<f32>; 3] = std::array::from_fn(|_| Vec::with_capacity(stride * rows));
        let painter = Painter::new(&plan.recipe);
        for row in 0..rows {
            for column in 0..stride {
                let coded = (column as f64 + left as f64 + 0.5, row as f64 + top as f64 + 0.5);
                let rgb = painter.light_at(plan.turn().to_upright(coded, plan.coded_size()));
                for (plane, channel) in planes.iter_mut().zip(rgb) {
                    plane.push(channel as f32);
                }
            }
        }
        Ok(Self {
            planes,
            stride,
            rows,
            left,
            top,
            middle,
        })
    }

    /// One row of the picture of one channel, with the scene in a pose in coded pixels.
    pub(super) fn row(&self, channel: usize, row: usize, pose: &Pose, out: &mut [f32]) {
        if pose.is_shift() {
            self.shifted_row(channel, row, pose.offset, out);
        } else {
            self.turned_row(channel, row, pose, out);
        }
    }

    fn turned_row(&self, channel: usize, row: usize, pose: &Pose, out: &mut [f32]) {
        let plane = &self.planes[channel];
        let down = row as f64 + 0.5;
        // A straight line through the scene, walked in even steps.
        let (mut x, mut y) = pose.undo((0.5, down), self.middle);
        let next = pose.undo((1.5, down), self.middle);
        let (step_x, step_y) = (next.0 - x, next.1 - y);
        (x, y) = (x - 0.5 - self.left as f64, y - 0.5 - self.top as f64);
        for out in out {
            let (column, across) = whole_and_part(x);
            let (line, down) = whole_and_part(y);
            let column = usize::try_from(column).unwrap_or(0).min(self.stride - 2);
            let line = usize::try_from(line).unwrap_or(0).min(self.rows - 2);
            let start = line * self.stride + column;
            let upper = plane[start] + (plane[start + 1] - plane[start]) * across;
            let below = start + self.stride;
            let lower = plane[below] + (plane[below + 1] - plane[below]) * across;
            *out = upper + (lower - upper) * down;
            (x, y) = (x + step_x, y + step_y);
        }
    }

    /// With the scene moved only: the same weights for the whole row.
    fn shifted_row(&self, channel: usize, row: usize, [x, y]: [f64; 2], out: &mut [f32]) {
        let (column, across) = whole_and_part(-x);
        let (line, down) = whole_and_part(row as f64 - y);
        let line = usize::try_from(line - self.top).unwrap_or(0).min(self.rows - 2);
        let start = usize::try_from(column - self.left)
            .unwrap_or(0)
            .min(self.stride - out.len() - 1);
        let upper = &self.planes[channel][line * self.stride + start..][..=out.len()];
        let lower = &self.planes[channel][(line + 1) * self.stride + start..][..=out.len()];
        let weights = [
            (1.0 - across) * (1.0 - down),
            across * (1.0 - down),
            (1.0 - across) * down,
            across * down,
        ];
        let neighbours = upper[..out.len()].iter().zip(&upper[1..]);
        let below = lower[..out.len()].iter().zip(&lower[1..]);
        for (out, ((a, b), (c, d))) in out.iter_mut().zip(neighbours.zip(below)) {
            *out = weights[0] * a + weights[1] * b + weights[2] * c + weights[3] * d;
        }
    }
}

/// Paints the scene point by point.
struct Painter<'r> {
    recipe: &'r Recipe,
    seed: u64,
}

impl<'r> Painter<'r> {
    fn new(recipe: &'r Recipe) -> Self {
        Self {
            recipe,
            seed: recipe.seed,
        }
    }

    /// Linear light at a point of the upright, unshaken picture.
    fn light_at(&self, (x, y): (f64, f64)) -> [f64; 3] {
        let scene = &self.recipe.scene;
        let (width, height) = (f64::from(self.recipe.width_px), f64::from(self.recipe.height_px));
        let fall_off = 1.0 - scene.gradient * (0.5 * (x / width + y / height)).clamp(0.0, 1.0);
        let texture = self.texture(x, y);
        let mut rgb = scene
            .background_rgb
            .map(|channel| channel * (1.0 + texture).max(0.0));
        if let Some(case) = &scene.case {
            // The surface of a case is finer than what it hangs on.
            let (inside, rim) = on_case(case, x, y);
            let painted = case
                .rgb
                .map(|channel| channel * (1.0 + 0.15 * texture).max(0.0) * (1.0 - 0.6 * rim));
            rgb = mix(rgb, painted, inside);
        }
        if let Some(label) = scene.labels.iter().find(|label| self.is_ink(label, x, y)) {
            rgb = label.rgb;
        }
        for lamp in &self.recipe.lamps {
            let distance = (x - lamp.x_px).hypot(y - lamp.y_px);
            let ring = covers(lamp.radius_px * 1.2 - distance);
            rgb = mix(rgb, rgb.map(|channel| 0.5 * channel), ring);
            rgb = mix(rgb, lamp.lens_rgb, covers(lamp.radius_px - distance));
        }
        rgb.map(|channel| channel * scene.ambient * fall_off)
    }

    /// Whether a point lies on a dot of a letter that has ink.
    fn is_ink(&self, label: &Label, x: f64, y: f64) -> bool {
        /// Dots from one letter to the next, and in its height.
        const ADVANCE: i64 = 6;
        const DOTS: i64 = 7;
        let dot_px = label.height_px / DOTS as f64;
        let (column, row) = (floor((x - label.x_px) / dot_px), floor((y - label.y_px) / dot_px));
        let inside = (0..ADVANCE * i64::from(label.letters)).contains(&column) && (0..DOTS).contains(&row);
        // The sixth column is the gap. Half of the dots have ink, as in print.
        inside && column % ADVANCE < 5 && grid(column, row, self.seed ^ label.x_px.to_bits()) < 0.5
    }

    /// Spots at three sizes, each half the one before, with the recipe's standard deviation.
    fn texture(&self, x: f64, y: f64) -> f64 {
        /// Standard deviation of the sum below for a contrast of 1; measured.
        const DEVIATION: f64 = 0.13;
        let scene = &self.recipe.scene;
        if scene.texture_contrast == 0.0 {
            return 0.0;
        }
        let spots: f64 = [(1.0, 0.5), (0.5, 0.3), (0.25, 0.2)]
            .into_iter()
            .enumerate()
            .map(|(layer, (size, share))| {
                let px = scene.texture_px * size;
                share * (spots_at(x / px, y / px, self.seed.wrapping_add(layer as u64)) - 0.5)
            })
            .sum();
        scene.texture_contrast * spots / DEVIATION
    }
}

/// Smoothly joined random values on a grid of whole numbers, 0 to 1.
fn spots_at(x: f64, y: f64, seed: u64) -> f64 {
    let (column, across) = (floor(x), super::motion::ease(x - x.floor()));
    let (row, down) = (floor(y), super::motion::ease(y - y.floor()));
    let upper = mixed(grid(column, row, seed), grid(column + 1, row, seed), across);
    let lower = mixed(
        grid(column, row + 1, seed),
        grid(column + 1, row + 1, seed),
        across,
    );
    mixed(upper, lower, down)
}

/// A random value for a grid point, 0 to 1: the finaliser of SplitMix64 (Steele, Lea and Flood 2014).
fn grid(column: i64, row: i64, seed: u64) -> f64 {
    let mut z = seed
        .wrapping_add((column as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15))
        .wrapping_add((row as u64).wrapping_mul(0xd1b5_4a32_d192_ed03));
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

/// How much of a pixel belongs to the case, and how much of it to its rim.
fn on_case(case: &Case, x: f64, y: f64) -> (f64, f64) {
    let horizontal = (x - case.x_px).min(case.x_px + case.width_px - x);
    let vertical = (y - case.y_px).min(case.y_px + case.height_px - y);
    let depth = horizontal.min(vertical);
    (covers(depth), covers(RIM_PX - depth))
}

/// Share of a pixel that lies inside an edge, from the depth of its centre in pixels.
fn covers(depth: f64) -> f64 {
    (depth + 0.5).clamp(0.0, 1.0)
}

fn mix(under: [f64; 3], over: [f64; 3], share: f64) -> [f64; 3] {
    std::array::from_fn(|i| mixed(under[i], over[i], share))
}

fn mixed(a: f64, b: f64, share: f64) -> f64 {
    a + (b - a) * share
}

fn floor(value: f64) -> i64 {
    #[allow(clippy::cast_possible_truncation, reason = "pixels of a picture")]
    let whole = value.floor() as i64;
    whole
}

fn whole_and_part(value: f64) -> (i64, f32) {
    (floor(value), (value - value.floor()) as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texture_has_the_stated_contrast() {
        let mut recipe = Recipe::default();
        recipe.scene.texture_contrast = 0.2;
        recipe.scene.texture_px = 16.0;
        let painter = Painter::new(&recipe);
        // Half a million points over some thousand of the coarsest spots.
        let values: Vec<f64> = (0..720 * 720)
            .map(|i| painter.texture(f64::from(i % 720), f64::from(i / 720)))
            .collect();
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let sd = (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / n).sqrt();
        assert!(mean.abs() < 0.02, "{mean}");
        assert!((sd / 0.2 - 1.0).abs() < 0.05, "{sd}");
    }
}
