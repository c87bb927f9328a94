//! Light of the room that flickers, between the two looks of a lamp.

use nalgebra::{Matrix6, Vector6};

use super::patch::{Grid, Patches, Pixel, from_centre};
use super::score::median;
use super::surround::begins;

/// Light about a lamp that is as good as none, of the sensor's range (guessed).
const BLACK: f32 = 0.003;

/// The pixels about a lamp, by which the light of its room is known.
pub(super) struct About(Vec<usize>);

impl About {
    pub(super) fn of(grid: &Grid, radius: f64) -> Self {
        let pixels = 0..grid.offsets.len();
        Self(
            pixels
                .filter(|&i| from_centre(grid.offsets[i]) >= begins(radius))
                .collect(),
        )
    }

    fn mean(&self, light: &dyn Fn(usize) -> f32) -> f32 {
        let mean = self.0.iter().map(|&i| light(i)).sum::<f32>() / self.0.len().max(1) as f32;
        // What is coded below black is black.
        mean.max(0.0) + BLACK
    }

    /// Their light in each frame in which the lamp is unlit by its course.
    pub(super) fn unlit(&self, patches: &Patches, course: &[Option<f64>]) -> Vec<(usize, [f32; 3])> {
        patches
            .seen()
            .filter(|(i, _)| course[*i].is_some_and(|course| course < 0.25))
            .map(|(i, pixels)| (i, [0, 1, 2].map(|k| self.mean(&|pixel| pixels[pixel].light[k]))))
            .collect()
    }
}

/// How many times as much light of the room the bright look has as the dark one, where that flickers: each is of the frames
/// that show its state, and those may all be of one phase of the mains. `None` where the room's light does not flicker.
pub(super) fn room_gain(
    patches: &Patches,
    course: &[Option<f64>],
    dark: &[[f32; 3]],
    bright: &[[f32; 3]],
    radius: f64,
) -> Option<f32> {
    /// Change of a dark surround's light from one frame to the next without a flicker, as a share (guessed: noise and errors
    /// of the exposure stay below; a camera that opens up takes several frames).
    const STEADY: f64 = 0.05;
    let about = About::of(&patches.grid, radius);
    let unlit = about.unlit(patches, course);
    // A neighbour that comes and goes hardly changes all three channels.
    let change = |one: [f32; 3], other: [f32; 3]| {
        let of = |k: usize| f64::from((other[k] / one[k]).ln().abs());
        (0..3).map(of).fold(f64::INFINITY, f64::min)
    };
    let neighbours = unlit.windows(2).filter(|pair| pair[1].0 == pair[0].0 + 1);
    let mut changes: Vec<f64> = neighbours.map(|pair| change(pair[0].1, pair[1].1)).collect();
    if median(&mut changes).is_none_or(|change| change < STEADY) {
        return None;
    }
    let lights = || unlit.iter().map(|(_, light)| light.iter().sum::<f32>());
    let flicker = lights().fold(0.0, f32::max) / lights().fold(f32::INFINITY, f32::min);
    // The lamp's own light is about it too, but hardly in the channel that it has least of.
    let gain = |k: usize| about.mean(&|i| bright[i][k]) / about.mean(&|i| dark[i][k]);
    let least = (0..3).map(gain).fold(f32::INFINITY, f32::min);
    Some(least.clamp(1.0 / flicker, flicker))
}

/// How many times the room's light of the dark look falls on each pixel of a frame.
#[derive(Debug, Clone, Copy)]
pub(super) enum RoomGain {
    /// On all alike.
    Even(f32),
    /// A flicker passes in bands: by the terms of a square function of the place.
    Bands(Vector6<f64>),
}

impl RoomGain {
    /// By what lies about a lamp, in the channel in which the lamp's own light adds least.
    pub(super) fn of_bands(grid: &Grid, about: (f64, f64), pixels: &[Pixel], dark: &[[f32; 3]]) -> Self {
        let ring: Vec<usize> = (0..dark.len())
            .filter(|&i| (about.0..=about.1).contains(&from_centre(grid.offsets[i])))
            .collect();
        let light = |of: &dyn Fn(usize) -> f32| ring.iter().map(|&i| of(i).max(0.0) + BLACK).sum::<f32>();
        let gain = |k: usize| light(&|i| pixels[i].light[k]) / light(&|i| dark[i][k]);
        let least = (0..3).min_by(|&one, &other| gain(one).total_cmp(&gain(other)));
        let Some(k) = least.filter(|_| !ring.is_empty()) else {
            return Self::Even(1.0);
        };
        let (mut normal, mut right) = (Matrix6::<f64>::identity() * 1e-9, Vector6::<f64>::zeros());
        for &i in &ring {
            let terms = terms(grid.offsets[i]) * f64::from(dark[i][k]);
            normal.ger(1.0, &terms, &terms, 1.0);
            right.axpy(f64::from(pixels[i].light[k]), &terms, 1.0);
        }
        let fit = normal.cholesky().map(|factors| factors.solve(&right));
        fit.map_or(Self::Even(1.0), Self::Bands)
    }

    pub(super) fn at(&self, offset: (f64, f64)) -> f32 {
        match self {
            Self::Even(gain) => *gain,
            Self::Bands(fit) => fit.dot(&terms(offset)).max(0.0) as f32,
        }
    }
}

fn terms((x, y): (f64, f64)) -> Vector6<f64> {
    Vector6::new(1.0, x, y, x * x, x * y, y * y)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::light::patch::{Grid, Pixel};

    /// A red lamp that is lit in every other stretch of six frames, in a room whose light goes through `room` again and again.
    fn gain(room: &[f32]) -> f32 {
        let grid = Grid::square(8);
        let lit = |frame: usize| frame / 6 % 2 == 1;
        let light = |frame: usize| room[frame % room.len()];
        let frames = (0..48).map(|frame| {
            let halo = if lit(frame) { 0.02 } else { 0.0 };
            let pixel = Pixel {
                light: [light(frame) + halo, light(frame), light(frame)],
                sound: 1.0,
            };
            Some(vec![pixel; grid.offsets.len()])
        });
        let patches = Patches {
            frames: frames.collect(),
            outside: vec![false; 48],
            grid: grid.clone(),
        };
        let course: Vec<Option<f64>> = (0..48)
            .map(|frame| Some(f64::from(u8::from(lit(frame)))))
            .collect();
        let look = |light: [f32; 3]| vec![light; grid.offsets.len()];
        // The dark look is of the room's first phase, the bright one of its last.
        let (dark, bright) = (room[0], room[room.len() - 1]);
        room_gain(
            &patches,
            &course,
            &look([dark; 3]),
            &look([bright + 0.02, bright, bright]),
            2.0,
        )
        .unwrap_or(1.0)
    }

    /// A red lamp's halo over a surround that a band of the room's light crosses: on every pixel, the lamp's own too, the room's
    /// light comes out as it is there.
    #[test]
    fn a_band_is_followed_across_the_lamp() {
        let grid = Grid::square(12);
        let wall = |(x, y): (f64, f64)| 0.2 + 0.03 * (0.9 * x).sin() * (0.7 * y).cos();
        let band = |(_, y): (f64, f64)| 1.6 + 0.05 * y - 0.003 * y * y;
        let light = |&at: &(f64, f64)| {
            let (room, halo) = (band(at) * wall(at), 0.4 * (-from_centre(at) / 3.0).exp());
            Pixel {
                light: [room + halo, room, room].map(|light| light as f32),
                sound: 1.0,
            }
        };
        let pixels: Vec<Pixel> = grid.offsets.iter().map(light).collect();
        let dark: Vec<[f32; 3]> = grid.offsets.iter().map(|at| [wall(*at) as f32; 3]).collect();
        let gain = RoomGain::of_bands(&grid, (5.4, 8.4), &pixels, &dark);
        for at in [(0.0, 0.0), (0.0, -3.0), (2.0, 4.0)] {
            let (got, expected) = (gain.at(at), band(at) as f32);
            assert!((got - expected).abs() < 0.01, "{at:?}: {got}, not {expected}");
        }
    }

    #[rstest]
    #[case::flickers(&[0.05, 0.12, 0.15], 2.89)]
    #[case::is_steady(&[0.1], 1.0)]
    #[case::is_black(&[-0.004], 1.0)]
    #[case::goes_below_black(&[-0.004, 0.01, 0.03], 11.0)]
    fn the_looks_are_brought_to_one_light(#[case] room: &[f32], #[case] expected: f32) {
        assert!((gain(room) - expected).abs() < 0.01, "{}", gain(room));
    }
}
