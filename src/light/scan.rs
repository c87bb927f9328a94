//! Where in the scene something lit up, changed or glows: candidate places for lamps.
//!
//! Works on cells of two by two reduced pixels, in the coordinates of the scene, so that camera movement is
//! taken out.

use ndarray::{Array2, Zip, s};
use rayon::prelude::*;

use super::course::Course;
use super::glow::{Picture, glowing};
use super::paper::Paper;
use super::window::{Kept, Window};
use crate::colour::Decoder;

/// A place that may be a lamp, in reduced pixels of the scene.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Seed {
    pub x: f64,
    pub y: f64,
    /// Radius of the changing or glowing spot, reduced pixels.
    pub radius: f64,
    /// How much it looks like a lit lamp in a single picture, 0 to 1; nothing for a place that changes, but that of the
    /// whole lamp for one that shines throughout.
    pub likeness: f64,
    /// Found because it changed; otherwise because it glows.
    pub changes: bool,
}

/// Changing candidates, of either blur, that are looked at more closely.
const CHANGING: usize = 80;
/// Least change that makes a candidate, 8-bit steps: above the noise and ringing of a messenger's encoder
/// (guessed).
const LEAST_CHANGE: f32 = 9.0;

/// What every cell of the scene did over a window.
pub(super) struct Scan {
    /// Luma and the differences.
    courses: [Course; 3],
    seen: Array2<u32>,
}

impl Scan {
    pub(super) fn new(window: &Window) -> Self {
        let (rows, columns) = window.dim();
        let dim = (rows.div_ceil(2), columns.div_ceil(2));
        let usable: Vec<&Kept> = window.usable().collect();
        // No part shorter than it takes to put the parts together.
        let part = usable.len().div_ceil(rayon::current_num_threads()).max(16);
        usable
            .par_chunks(part)
            .map(|kept| Self::over(kept, dim))
            .reduce_with(Self::with)
            .unwrap_or_else(|| Self::none(dim))
    }

    fn none(dim: (usize, usize)) -> Self {
        Self {
            courses: [(); 3].map(|()| Course::none(dim.0 * dim.1)),
            seen: Array2::zeros(dim),
        }
    }

    fn over(frames: &[&Kept], dim: (usize, usize)) -> Self {
        let mut scan = Self::none(dim);
        let mut luma = Array2::zeros(dim);
        for kept in frames {
            cell_luma(&kept.picture.luma, &mut luma);
            scan.add(kept, &luma);
        }
        scan
    }

    /// Over the frames of both.
    fn with(mut self, other: Self) -> Self {
        self.seen += &other.seen;
        let [luma, blue, red] = self.courses;
        let [other_luma, other_blue, other_red] = &other.courses;
        self.courses = [luma.with(other_luma), blue.with(other_blue), red.with(other_red)];
        self
    }

    fn add(&mut self, kept: &Kept, luma: &Array2<u8>) {
        let planes = [luma, &kept.picture.differences[0], &kept.picture.differences[1]]
            .map(|plane| plane.as_slice().expect("a standard array lies in row order"));
        let (rows, columns) = luma.dim();
        let place = kept.placed.scene;
        let (step_x, step_y) = (fixed(place.c), fixed(place.s));
        let mut places = Vec::with_capacity(columns);
        let mut values = Vec::with_capacity(columns);
        for (row, mut seen) in self.seen.rows_mut().into_iter().enumerate() {
            // The centre of a cell, in pixels, is at 2 i + 0.5. Fixed point: a cast rounds towards zero, and
            // `floor` is a call on the oldest processors.
            let (px, py) = place.apply(0.5, 2.0 * row as f64 + 0.5);
            let (mut px, mut py) = (fixed(px * 0.5 + 0.25), fixed(py * 0.5 + 0.25));
            places.clear();
            let mut first = 0;
            for column in 0..columns {
                // What lies before the first row or column is a very large number here.
                let (cx, cy) = ((px >> 16) as usize, (py >> 16) as usize);
                px += step_x;
                py += step_y;
                // A line crosses the picture once.
                if cx < columns && cy < rows {
                    places.push(cy * columns + cx);
                } else if places.is_empty() {
                    first = column + 1;
                }
            }
            let within = first..first + places.len();
            seen.slice_mut(s![within]).iter_mut().for_each(|seen| *seen += 1);
            for (course, plane) in self.courses.iter_mut().zip(planes) {
                values.clear();
                values.extend(places.iter().map(|&at| plane[at]));
                course.add(row * columns + first, &values);
            }
        }
    }

    /// Candidate places, changing ones first, each sort likeliest first; and what white paper would be in the scene.
    pub(super) fn seeds(&self, frames: usize, decoder: &Decoder) -> (Vec<Seed>, Paper) {
        let (mut seeds, (glow, paper)) = rayon::join(|| self.changing(frames), || self.shining(decoder));
        seeds.extend(glow);
        (seeds, paper)
    }

    fn changing(&self, frames: usize) -> Vec<Seed> {
        if frames < 2 {
            return Vec::new();
        }
        // Lightly blurred, neighbours stay apart; blurred more, the flat top of a clipped lamp peaks in its middle.
        let light = blurred(&self.change(frames));
        let mut seeds = peaks(&light);
        seeds.extend(peaks(&blurred(&blurred(&light))));
        seeds
    }

    fn shining(&self, decoder: &Decoder) -> (Vec<Seed>, Paper) {
        let mut mean = [(); 3].map(|()| Array2::zeros(self.seen.dim()));
        for (at, &seen) in self.seen.indexed_iter() {
            let cell = at.0 * self.seen.ncols() + at.1;
            let samples = [0, 1, 2].map(|k| self.courses[k].sum[cell] as f32 / seen.max(1) as f32);
            for (plane, value) in mean.iter_mut().zip(decoder.full_range(decoder.narrowed(samples))) {
                plane[at] = value;
            }
        }
        let [luma, blue, red] = &mean;
        let paper = Paper::in_scene(luma);
        let picture = Picture {
            luma,
            differences: [blue, red],
        };
        (glowing(&picture, &paper, decoder), paper)
    }

    /// By how much a cell rose above all that its neighbourhood was at its lowest, or its colour left what the
    /// neighbourhood's colour ever was. An edge that jitters stays within its neighbourhood; a lamp does not.
    fn change(&self, frames: usize) -> Array2<f32> {
        let enough = (frames as u32 / 3).max(1);
        let columns = self.seen.ncols();
        let plane = |values: &[u8]| Array2::from_shape_fn(self.seen.dim(), |(r, c)| values[r * columns + c]);
        let [high_luma, high_blue, high_red] = [0, 1, 2].map(|k| plane(&self.courses[k].high));
        let [low_luma, low_blue, low_red] = [0, 1, 2].map(|k| plane(&self.courses[k].low));
        let mut change = Array2::zeros(self.seen.dim());
        Zip::from(&mut change)
            .and(&high_luma)
            .and(&spread(&low_luma, 1, u8::max))
            .for_each(|out, &high, &low| {
                *out = f32::from(high) - f32::from(low);
            });
        for (high, low) in [(high_blue, low_blue), (high_red, low_red)] {
            Zip::from(&mut change)
                .and(&high)
                .and(&spread(&low, 1, u8::max))
                .and(&low)
                .and(&spread(&high, 1, u8::min))
                .for_each(|out, &high, &ceiling, &low, &floor| {
                    let rise = f32::from(high) - f32::from(ceiling);
                    let fall = f32::from(floor) - f32::from(low);
                    *out = out.max(rise).max(fall);
                });
        }
        Zip::from(&mut change).and(&self.seen).for_each(|out, &seen| {
            if seen < enough || *out < 0.0 {
                *out = 0.0;
            }
        });
        change
    }
}

/// 48.16 fixed point.
fn fixed(v: f64) -> i64 {
    (v * 65536.0) as i64
}

fn cell_luma(luma: &Array2<u8>, cells: &mut Array2<u8>) {
    let rows = luma.nrows();
    for (r, mut out) in cells.rows_mut().into_iter().enumerate() {
        let (above, below) = (luma.row(2 * r), luma.row((2 * r + 1).min(rows - 1)));
        let (above, below) = (above.as_slice(), below.as_slice());
        let (Some(above), Some(below)) = (above, below) else {
            continue;
        };
        for (value, (a, b)) in out.iter_mut().zip(above.chunks(2).zip(below.chunks(2))) {
            let sum: u16 = [a[0], a[a.len() - 1], b[0], b[b.len() - 1]]
                .map(u16::from)
                .iter()
                .sum();
            *value = u8::try_from((sum + 2) / 4).unwrap_or(u8::MAX);
        }
    }
}

/// The `pick` (min or max) over a square of `2 half + 1` cells.
fn spread(plane: &Array2<u8>, half: usize, pick: fn(u8, u8) -> u8) -> Array2<u8> {
    let (rows, columns) = plane.dim();
    let across = Array2::from_shape_fn((rows, columns), |(r, c)| {
        let (from, to) = (c.saturating_sub(half), (c + half).min(columns - 1));
        (from..=to)
            .map(|c| plane[(r, c)])
            .reduce(pick)
            .unwrap_or_default()
    });
    Array2::from_shape_fn((rows, columns), |(r, c)| {
        let (from, to) = (r.saturating_sub(half), (r + half).min(rows - 1));
        (from..=to)
            .map(|r| across[(r, c)])
            .reduce(pick)
            .unwrap_or_default()
    })
}

/// Local maxima that stand out from the ring about them, best first.
fn peaks(map: &Array2<f32>) -> Vec<Seed> {
    /// Radius of the ring, cells: beyond the halo of an ordinary lamp, within the size of a hand.
    const RING: usize = 9;
    let (rows, columns) = map.dim();
    let at = |r: isize, c: isize| {
        (r >= 0 && c >= 0 && (r as usize) < rows && (c as usize) < columns)
            .then(|| map[(r as usize, c as usize)])
    };
    let mut found: Vec<(f32, usize, usize)> = Vec::new();
    for ((r, c), &value) in map.indexed_iter() {
        if value < LEAST_CHANGE {
            continue;
        }
        let (row, column) = (r.cast_signed(), c.cast_signed());
        let neighbours = (-1..=1).flat_map(|dr| (-1..=1).map(move |dc| (dr, dc)));
        // Of equal neighbours the first in reading order stands for all.
        let is_top = neighbours.filter(|&d| d != (0, 0)).all(|(dr, dc)| {
            at(row + dr, column + dc)
                .is_none_or(|other| other < value || (other == value && (dr, dc) > (0, 0)))
        });
        if !is_top {
            continue;
        }
        let around = circle_mean(map, r, c, RING, 16);
        let stands_out = value - around;
        if stands_out >= LEAST_CHANGE {
            found.push((stands_out, r, c));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut seeds: Vec<Seed> = Vec::new();
    for (stands_out, r, c) in found {
        let seed = Seed {
            x: 2.0 * c as f64 + 0.5,
            y: 2.0 * r as f64 + 0.5,
            radius: spot_radius(map, r, c, map[(r, c)] - stands_out / 2.0),
            likeness: 0.0,
            changes: true,
        };
        if seeds
            .iter()
            .all(|kept| (kept.x - seed.x).hypot(kept.y - seed.y) > kept.radius.max(3.0))
        {
            seeds.push(seed);
        }
        if seeds.len() == CHANGING {
            break;
        }
    }
    seeds
}

/// Mean over `steps` cells on a circle; cells beyond the edge do not count.
fn circle_mean(map: &Array2<f32>, row: usize, column: usize, radius: usize, steps: usize) -> f32 {
    let (rows, columns) = map.dim();
    let (mut sum, mut count) = (0.0f32, 0.0f32);
    for i in 0..steps {
        let angle = i as f64 * std::f64::consts::TAU / steps as f64;
        let r = (row as f64 + radius as f64 * angle.sin()).round();
        let c = (column as f64 + radius as f64 * angle.cos()).round();
        if r >= 0.0 && c >= 0.0 && r < rows as f64 && c < columns as f64 {
            sum += map[(r as usize, c as usize)];
            count += 1.0;
        }
    }
    sum / count.max(1.0)
}

/// Mean over three by three cells.
fn blurred(map: &Array2<f32>) -> Array2<f32> {
    let (rows, columns) = map.dim();
    let across = Array2::from_shape_fn((rows, columns), |(r, c)| {
        (map[(r, c.saturating_sub(1))] + map[(r, c)] + map[(r, (c + 1).min(columns - 1))]) / 3.0
    });
    Array2::from_shape_fn((rows, columns), |(r, c)| {
        (across[(r.saturating_sub(1), c)] + across[(r, c)] + across[((r + 1).min(rows - 1), c)]) / 3.0
    })
}

/// Radius in reduced pixels at which the mean about the peak falls to `level`.
fn spot_radius(map: &Array2<f32>, row: usize, column: usize, level: f32) -> f64 {
    /// Beyond so many cells it is no small lamp.
    const MOST: usize = 14;
    let mut before = map[(row, column)];
    for radius in 1..=MOST {
        let mean = circle_mean(map, row, column, radius, 8 * radius);
        if mean < level {
            let share = f64::from((before - level) / (before - mean).max(1e-6));
            return 2.0 * (radius as f64 - 1.0 + share).max(0.5);
        }
        before = mean;
    }
    2.0 * MOST as f64
}
