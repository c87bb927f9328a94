//! The pixels about one lamp in every frame of a window, on the scene's own grid.

use ndarray::Array2;

use super::motion::Move;
use super::window::Window;
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
    /// Exposure of each frame relative to the usual one.
    pub gains: &'a [f64],
}

impl Patches {
    /// Cuts the pixels on a grid about scene place `(x, y)` out of every frame that is `wanted`. `slips` says by how much
    /// the place lies beside where the scene's movement puts it.
    pub(super) fn cut(
        source: Source<'_>,
        slips: &[(f64, f64)],
        (x, y): (f64, f64),
        grid: Grid,
        wanted: impl Fn(usize) -> bool,
    ) -> Self {
        let kept = &source.window.frames;
        let mut frames = Vec::with_capacity(kept.len());
        let mut outside = Vec::with_capacity(kept.len());
        for (i, kept) in kept.iter().enumerate() {
            let planes = Planes {
                luma: &kept.picture.luma,
                differences: &kept.picture.differences,
            };
            let (rows, columns) = kept.picture.luma.dim();
            let (x, y) = (x + slips[i].0, y + slips[i].1);
            let (cx, cy) = kept.placed.scene.apply(x, y);
            outside.push(!(cx >= 0.0 && cy >= 0.0 && cx < columns as f64 && cy < rows as f64));
            let usable = wanted(i) && kept.placed.found && !kept.picture.damaged;
            let gain = source.gains[i] as f32;
            frames.push(if usable {
                planes.at(&kept.placed.scene, (x, y), &grid.offsets, source.decoder, gain)
            } else {
                None
            });
        }
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
        gain: f32,
    ) -> Option<Vec<Pixel>> {
        let (rows, columns) = self.luma.dim();
        let (cx, cy) = scene.apply(x, y);
        let within = cx >= 0.0 && cy >= 0.0 && cx < columns as f64 && cy < rows as f64;
        if !within {
            return None;
        }
        Some(
            offsets
                .iter()
                .map(|(dx, dy)| {
                    let (px, py) = scene.apply(x + dx, y + dy);
                    let samples = [
                        bilinear(self.luma, px, py),
                        bilinear(&self.differences[0], px / 2.0 - 0.25, py / 2.0 - 0.25),
                        bilinear(&self.differences[1], px / 2.0 - 0.25, py / 2.0 - 0.25),
                    ];
                    let coded = decoder.coded_rgb(samples);
                    Pixel {
                        light: decoder.linear(samples).map(|v| v / gain),
                        sound: soundness(coded),
                    }
                })
                .collect(),
        )
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
    let mut channels = coded;
    channels.sort_by(|a, b| b.total_cmp(a));
    channels
        .iter()
        .zip(LOSS)
        .map(|(v, loss)| 1.0 - loss * ((v - CLIP_FROM) / (CLIP_FULL - CLIP_FROM)).clamp(0.0, 1.0))
        .product()
}

#[inline]
fn bilinear(plane: &Array2<u8>, x: f64, y: f64) -> f32 {
    let (rows, columns) = plane.dim();
    let (x, y) = (
        x.clamp(0.0, columns as f64 - 1.001).max(0.0),
        y.clamp(0.0, rows as f64 - 1.001).max(0.0),
    );
    let (c, r) = (x as usize, y as usize);
    let (c1, r1) = ((c + 1).min(columns - 1), (r + 1).min(rows - 1));
    let (fx, fy) = ((x - c as f64) as f32, (y - r as f64) as f32);
    let at = |r, c| f32::from(plane[(r, c)]);
    (at(r, c) * (1.0 - fx) + at(r, c1) * fx) * (1.0 - fy) + (at(r1, c) * (1.0 - fx) + at(r1, c1) * fx) * fy
}
