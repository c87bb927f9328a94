//! The pixels about one lamp in every frame of a window, on the scene's own grid.

use ndarray::Array2;
use rayon::prelude::*;

use super::motion::Move;
use super::window::{Kept, Window};
use crate::colour::Decoder;

/// One pixel: linear light (exposure changes taken out), and how far it is from clipping, 1 far to 0 clipped.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Pixel {
    pub light: [f32; 3],
    pub sound: f32,
}

impl Pixel {
    pub(super) fn mean(&self) -> f32 {
        (self.light[0] + self.light[1] + self.light[2]) / 3.0
    }
}

/// The pixels about a lamp, frame by frame.
pub(super) struct Patches {
    pub grid: Grid,
    /// One row a frame, one column a place of the grid; `None` where the lamp is not in the frame or the frame was not
    /// placed.
    pub frames: Vec<Option<Vec<Pixel>>>,
    /// The centre lies outside the frame.
    pub outside: Vec<bool>,
}

/// Where the pixels about a lamp are taken.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    /// From the centre, in reduced pixels of the scene, in row order.
    pub offsets: Vec<(f64, f64)>,
    /// Between neighbours on the lamp itself, reduced pixels.
    pub spacing: f64,
}

impl Grid {
    /// A square of `half` pixels to every side.
    pub(super) fn square(half: u8) -> Self {
        let spacing = spacing(f64::from(half));
        let reach = i32::from(half) / spacing * spacing;
        let steps = move || (-reach..=reach).step_by(spacing as usize);
        Self {
            offsets: steps()
                .flat_map(|dy| steps().map(move |dx| (f64::from(dx), f64::from(dy))))
                .collect(),
            spacing: f64::from(spacing),
        }
    }

    /// How far it reaches to every side, reduced pixels.
    pub(super) fn reach(&self) -> f64 {
        self.offsets
            .iter()
            .map(|offset| offset.0.abs())
            .fold(0.0, f64::max)
    }

    /// Places within `dense` pixels of the centre and, up to `half` pixels to every side, every third each way: enough to
    /// know a surround by.
    pub(super) fn sparse(half: u8, dense: f64) -> Self {
        let spacing = spacing(dense);
        let reach = i32::from(half) / spacing;
        let all = (-reach..=reach).flat_map(|dy| (-reach..=reach).map(move |dx| (dx, dy)));
        Self {
            offsets: all
                .filter(|(dx, dy)| {
                    dx % 3 == 0 && dy % 3 == 0
                        || f64::from(spacing * dx).hypot(f64::from(spacing * dy)) <= dense
                })
                .map(|(dx, dy)| (f64::from(spacing * dx), f64::from(spacing * dy)))
                .collect(),
            spacing: f64::from(spacing),
        }
    }
}

/// How far from the centre a place of the grid is. `hypot` would take several times as long, to be right for numbers
/// beyond any picture.
#[inline]
pub(super) fn from_centre((x, y): (f64, f64)) -> f64 {
    (x * x + y * y).sqrt()
}

/// Pixels from one place to the next, so that a large lamp is seen by no more places than a small one needs.
fn spacing(half: f64) -> i32 {
    /// Places to every side.
    const MOST: f64 = 16.0;
    (half / MOST).ceil().max(1.0) as i32
}

/// What patches are cut from.
#[derive(Clone, Copy)]
pub(super) struct Source<'a> {
    pub window: &'a Window,
    pub decoder: &'a Decoder,
    /// Factors on red, green and blue of each frame over the usual exposure and balance.
    pub gains: &'a [[f32; 3]],
}

impl Patches {
    /// Cuts the pixels on a grid about scene place `(x, y)` out of every frame that is `wanted`. `slips` says by how much
    /// the place lies beside where the scene's movement puts it.
    pub(super) fn cut(
        source: Source<'_>,
        slips: &[(f64, f64)],
        (x, y): (f64, f64),
        grid: Grid,
        wanted: impl Fn(usize) -> bool + Sync,
    ) -> Self {
        /// Fewest frames that are cut on one core at a time (guessed): lamps of unlike size keep all cores busy to the end.
        const FRAMES_A_TASK: usize = 16;
        let one = |(i, kept): (usize, &Kept)| {
            let planes = Planes {
                luma: &kept.picture.luma,
                differences: &kept.picture.differences,
            };
            let (rows, columns) = kept.picture.luma.dim();
            let (x, y) = (x + slips[i].0, y + slips[i].1);
            let (cx, cy) = kept.placed.scene.apply(x, y);
            let outside = !(cx >= 0.0 && cy >= 0.0 && cx < columns as f64 && cy < rows as f64);
            let usable = wanted(i) && kept.placed.found && !kept.picture.damaged;
            let gain = source.gains[i];
            let pixels = usable
                .then(|| planes.at(&kept.placed.scene, (x, y), &grid.offsets, source.decoder, gain))
                .flatten();
            (pixels, outside)
        };
        let kept = source.window.frames.par_iter().enumerate();
        let (frames, outside) = kept.with_min_len(FRAMES_A_TASK).map(one).unzip();
        Self {
            grid,
            frames,
            outside,
        }
    }

    /// The frames in which the square could be cut, with their index.
    pub(super) fn seen(&self) -> impl Iterator<Item = (usize, &Vec<Pixel>)> {
        self.frames
            .iter()
            .enumerate()
            .filter_map(|(i, frame)| Some((i, frame.as_ref()?)))
    }
}

struct Planes<'a> {
    luma: &'a Array2<u8>,
    differences: &'a [Array2<u8>; 2],
}

impl Planes<'_> {
    /// `None` if the centre is out of the frame; pixels beyond the edge repeat the edge.
    fn at(
        &self,
        scene: &Move,
        (x, y): (f64, f64),
        offsets: &[(f64, f64)],
        decoder: &Decoder,
        gain: [f32; 3],
    ) -> Option<Vec<Pixel>> {
        let (rows, columns) = self.luma.dim();
        let (cx, cy) = scene.apply(x, y);
        let within = cx >= 0.0 && cy >= 0.0 && cx < columns as f64 && cy < rows as f64;
        if !within {
            return None;
        }
        let whole = self.luma.as_slice()?;
        let [blue, red] = [self.differences[0].as_slice()?, self.differences[1].as_slice()?];
        let half = self.differences[0].dim();
        let (cx, cy, c, s) = (cx as f32, cy as f32, scene.c as f32, scene.s as f32);
        let per_gain = gain.map(f32::recip);
        let pixel = |&(dx, dy): &(f64, f64)| {
            let (dx, dy) = (dx as f32, dy as f32);
            let (px, py) = (cx + c * dx - s * dy, cy + s * dx + c * dy);
            let between = Between::new((rows, columns), px, py);
            let between_halves = Between::new(half, px / 2.0 - 0.25, py / 2.0 - 0.25);
            let samples = [between.of(whole), between_halves.of(blue), between_halves.of(red)];
            let coded = decoder.coded_rgb(samples);
            let light = decoder.linear_of_coded(coded);
            Pixel {
                light: std::array::from_fn(|k| light[k] * per_gain[k]),
                sound: soundness(coded),
            }
        };
        Some(offsets.iter().map(pixel).collect())
    }
}

/// How much of its hue a pixel keeps: 1 unclipped, less with one channel at the top of the scale, hardly
/// anything with two, nothing with all three.
fn soundness(coded: [f32; 3]) -> f32 {
    /// Non-linear value at which a channel begins to count as clipped, and where it wholly does. Below the
    /// code's white, since tone curves bend over before it (guessed).
    const CLIP_FROM: f32 = 0.86;
    const CLIP_FULL: f32 = 0.99;
    /// What a clipped channel takes away, for the highest, the middle and the lowest channel.
    const LOSS: [f32; 3] = [0.65, 0.8, 0.97];
    if coded.iter().all(|v| *v <= CLIP_FROM) {
        return 1.0;
    }
    let mut channels = coded;
    channels.sort_by(|a, b| b.total_cmp(a));
    channels
        .iter()
        .zip(LOSS)
        .map(|(v, loss)| 1.0 - loss * ((v - CLIP_FROM) / (CLIP_FULL - CLIP_FROM)).clamp(0.0, 1.0))
        .product()
}

/// A place between four pixels of a plane that lies in row order.
struct Between {
    /// The upper left one.
    upper: usize,
    /// The one below it.
    lower: usize,
    right: f32,
    down: f32,
}

impl Between {
    /// In a plane of two rows and columns at least; beyond the edge it is the edge.
    #[inline]
    fn new((rows, columns): (usize, usize), x: f32, y: f32) -> Self {
        // Just short of the last pixel, which then is the right or lower neighbour.
        let (x, y) = (
            x.clamp(0.0, columns as f32 - 1.001),
            y.clamp(0.0, rows as f32 - 1.001),
        );
        let (column, row) = (x as usize, y as usize);
        let upper = row * columns + column;
        Self {
            upper,
            lower: upper + columns,
            right: x - column as f32,
            down: y - row as f32,
        }
    }

    #[inline]
    fn of(&self, plane: &[u8]) -> f32 {
        let row = |from: usize| {
            let pair = &plane[from..from + 2];
            f32::from(pair[0]) * (1.0 - self.right) + f32::from(pair[1]) * self.right
        };
        row(self.upper) * (1.0 - self.down) + row(self.lower) * self.down
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Light rises by 10 a column and 30 a row.
    #[rstest]
    #[case::on_a_pixel(1.0, 1.0, 40.0)]
    #[case::between(0.5, 1.25, 42.5)]
    #[case::beyond_the_corner(9.0, 9.0, 80.0)]
    #[case::before_the_corner(-3.0, -1.0, 0.0)]
    fn between_pixels_light_is_in_proportion(#[case] x: f32, #[case] y: f32, #[case] light: f32) {
        let plane = [0, 10, 20, 30, 40, 50, 60, 70, 80];
        assert!((Between::new((3, 3), x, y).of(&plane) - light).abs() < 0.05);
    }
}
