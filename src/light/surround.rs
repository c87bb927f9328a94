//! What lies about a lamp in its two states, and how far a frame is from it.

use super::patch::{Grid, Pixel, from_centre};

/// Share of the bright look that a frame may show at most: a colour of the lamp may be stronger in one channel than the
/// bright look is.
const MOST_MIX: f32 = 2.0;

/// How far from the middle of a lamp its surround begins, reduced pixels: beyond the rim and what the camera's blur makes of
/// it (guessed). A finger leaves most of what lies a radius beyond a large lamp as it is.
pub(super) fn begins(radius: f64) -> f64 {
    const RADII: f64 = 1.9;
    const MOST_BEYOND: f64 = 12.0;
    (RADII * radius).min(radius + MOST_BEYOND)
}

/// A ring about a lamp, by its distances from the middle, reduced pixels; or the half of it on one side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ring {
    pub from: f64,
    pub to: f64,
    /// Direction of the side, of length 1.
    side: Option<(f64, f64)>,
}

impl Ring {
    /// All that is looked at about a lamp of this radius.
    pub(super) fn all(radius: f64) -> Self {
        Self {
            from: begins(radius),
            to: f64::INFINITY,
            side: None,
        }
    }

    /// What is on one side: all that a finger changes which leaves a sliver of the lamp on the other. Every side in eighths
    /// of a turn.
    pub(super) fn sides(radius: f64) -> impl Iterator<Item = Self> {
        (0..8).map(move |eighth| {
            let (y, x) = (f64::from(eighth) * std::f64::consts::FRAC_PI_4).sin_cos();
            Self {
                side: Some((x, y)),
                ..Self::all(radius)
            }
        })
    }

    /// What is near it: a finger's width, as lamps of some millimetres have beside them (guessed); but where the lamp is
    /// small enough pixels to tell a texture by.
    pub(super) fn near(radius: f64) -> Self {
        const RADII: f64 = 3.0;
        const LEAST: f64 = 5.0;
        let from = begins(radius);
        Self {
            from,
            to: (RADII * radius).max(from + LEAST),
            side: None,
        }
    }

    /// What is at its rim: all that a finger covers which is hardly twice as wide as the lamp (guessed).
    pub(super) fn nearest(radius: f64) -> Self {
        const RADII: f64 = 1.35;
        const LEAST: f64 = 3.0;
        let from = (RADII * radius).min(begins(radius));
        Self {
            from,
            to: begins(radius).max(from + LEAST),
            side: None,
        }
    }

    pub(super) fn holds(&self, offset: (f64, f64)) -> bool {
        (self.from..self.to).contains(&from_centre(offset)) && self.is_on_side(offset)
    }

    pub(super) fn is_on_side(&self, (x, y): (f64, f64)) -> bool {
        self.side.is_none_or(|side| side.0 * x + side.1 * y >= 0.0)
    }
}

/// How a frame's surround compares with a lamp's.
#[derive(Debug, Clone, Copy)]
pub(super) struct Comparison {
    /// Mean relative difference from the nearest mixture of the dark and the bright state.
    pub difference: f64,
    /// Light as a factor of that mixture's: an exposure that was not fully taken out, or mains lighting that flickers.
    pub gain: f32,
}

/// Mean relative difference of two pictures of one place from which they show different things (measured: a finger on rendered
/// lamps gives 0.25 and more, the lamp's own surround 0.02; shaken real clips up to 0.1).
pub(super) const FOREIGN: f64 = 0.12;
/// Or so many times what is usual between such pictures (guessed).
pub(super) const TIMES_USUAL: f64 = 4.0;

impl Comparison {
    /// The surround is something else, where so much difference is usual.
    pub(super) fn is_foreign(&self, usual: f64) -> bool {
        self.difference > FOREIGN.max(TIMES_USUAL * usual)
    }
}

/// The surround of a lamp, dark and lit, in the order of a grid's pixels.
pub(super) struct Surround<'a> {
    dark: &'a [[f32; 3]],
    bright: &'a [[f32; 3]],
    /// The pixels that are surround.
    pixels: Vec<usize>,
}

impl<'a> Surround<'a> {
    /// Of a lamp whose typical pictures in both states are given, in a ring about it.
    pub(super) fn between(dark: &'a [[f32; 3]], bright: &'a [[f32; 3]], grid: &Grid, ring: Ring) -> Self {
        let pixels = 0..grid.offsets.len();
        Self {
            dark,
            bright,
            pixels: pixels.filter(|&i| ring.holds(grid.offsets[i])).collect(),
        }
    }

    /// Holds a frame against the nearest mixture of the dark and the bright state. The share of the bright state is free for
    /// each channel, since the lamp may light its surround in another of its colours; brighter or dimmer as a whole is no
    /// difference.
    pub(super) fn compare(&self, frame: &[Pixel]) -> Comparison {
        let fits: [Fit; 3] = std::array::from_fn(|k| {
            let mut fit = Fit::default();
            for &i in &self.pixels {
                fit.add(
                    frame[i].light[k],
                    self.dark[i][k],
                    self.bright[i][k] - self.dark[i][k],
                );
            }
            fit
        });
        let gain = gain(&fits);
        let lit = fits.map(|fit| fit.lit(gain));
        let (mut difference, mut level) = (0.0f64, 1e-6f64);
        for &i in &self.pixels {
            for (k, lit) in lit.iter().enumerate() {
                let expected = gain * self.dark[i][k] + lit * (self.bright[i][k] - self.dark[i][k]);
                difference += f64::from((frame[i].light[k] - expected).abs());
                level += f64::from(expected.abs());
            }
        }
        Comparison {
            difference: difference / (level + 0.02),
            gain,
        }
    }
}

/// Sums for the least squares of one channel: frame = gain * dark + lit * (bright - dark).
#[derive(Debug, Clone, Copy, Default)]
struct Fit {
    dark: f32,
    more: f32,
    dark_more: f32,
    frame_dark: f32,
    frame_more: f32,
}

impl Fit {
    fn add(&mut self, frame: f32, dark: f32, more: f32) {
        self.dark += dark * dark;
        self.more += more * more;
        self.dark_more += dark * more;
        self.frame_dark += frame * dark;
        self.frame_more += frame * more;
    }

    /// Light of the lamp, as a share of the bright look's, under this gain.
    fn lit(&self, gain: f32) -> f32 {
        ((self.frame_more - gain * self.dark_more) / self.more.max(1e-9)).clamp(0.0, MOST_MIX * gain)
    }
}

/// The gain that explains most, with the lamp's light free in each channel. Where both look alike it stays near 1.
fn gain(channels: &[Fit; 3]) -> f32 {
    /// How much of the light a flicker adds or takes at most, as a factor (guessed: some LED lamps fall to a quarter of their
    /// light and rise again, seen by a short exposure).
    const FLICKER: f32 = 3.0;
    /// Weight of a gain of 1, as a share of the dark look's (guessed).
    const USUAL: f32 = 0.002;
    /// Rounds after which it is settled which channels show no light of the lamp.
    const ROUNDS: usize = 3;
    let mut gain = 1.0f32;
    for round in 0..ROUNDS {
        let weight = USUAL * channels.iter().map(|fit| fit.dark).sum::<f32>() + 1e-9;
        let (mut along, mut length) = (weight, weight);
        for fit in channels {
            // A lamp's light that would come out negative is none: the gain is found without it.
            let share = if round == 0 || fit.lit(gain) > 0.0 {
                fit.dark_more / fit.more.max(1e-9)
            } else {
                0.0
            };
            along += fit.frame_dark - share * fit.frame_more;
            length += fit.dark - share * fit.dark_more;
        }
        gain = (along / length).clamp(1.0 / FLICKER, FLICKER);
    }
    gain
}

/// The usual difference: the value that a quarter stay below, since a lamp may be covered for most of the time; and
/// where it is covered for even longer, that of half of the frames in which it is seen lit.
pub(super) fn usual(compared: &[Option<Comparison>], shining: &[bool]) -> f64 {
    /// Fewest lit frames to go by (guessed).
    const FEWEST: usize = 8;
    let difference = |compared: &Option<Comparison>| Some((*compared)?.difference);
    let all: Vec<f64> = compared.iter().filter_map(difference).collect();
    let lit = compared.iter().zip(shining).filter(|(_, shines)| **shines);
    let lit: Vec<f64> = lit.filter_map(|(compared, _)| difference(compared)).collect();
    let of_all = below(all, 0.25).unwrap_or(0.0);
    let of_lit = Some(lit)
        .filter(|lit| lit.len() >= FEWEST)
        .and_then(|lit| below(lit, 0.5));
    of_lit.map_or(of_all, |of_lit| of_all.min(of_lit))
}

/// The value that a share of the values stay below.
fn below(mut values: Vec<f64>, share: f64) -> Option<f64> {
    let place = (values.len() as f64 * share) as usize;
    values.get(place)?;
    Some(*values.select_nth_unstable_by(place, f64::total_cmp).1)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    const RADIUS: f64 = 3.0;

    fn picture(grid: &Grid, room: f32, lamp: f32) -> Vec<[f32; 3]> {
        let light = |&(x, y): &(f64, f64)| {
            let wall = 0.2 + 0.05 * (1.3 * x + 0.4 * y).sin() as f32;
            let halo = (-x.hypot(y) / RADIUS).exp() as f32;
            [0.1, 1.0, 0.3].map(|share| room * wall + lamp * share * halo)
        };
        grid.offsets.iter().map(light).collect()
    }

    fn frame(lights: Vec<[f32; 3]>) -> Vec<Pixel> {
        let pixel = |light| Pixel { light, sound: 1.0 };
        lights.into_iter().map(pixel).collect()
    }

    /// A room that gets brighter is told from a lamp that does.
    #[rstest]
    #[case::as_usual(1.0, 0.0)]
    #[case::brighter(1.15, 0.0)]
    #[case::dimmer(0.85, 0.0)]
    #[case::lit(1.0, 0.6)]
    #[case::dimmer_and_lit(0.85, 0.3)]
    #[case::brighter_and_lit(1.15, 0.6)]
    fn the_rooms_light_is_told_from_the_lamps(#[case] room: f32, #[case] lamp: f32) {
        let grid = Grid::square(9);
        let (dark, bright) = (picture(&grid, 1.0, 0.0), picture(&grid, 1.0, 1.0));
        let found = Surround::between(&dark, &bright, &grid, Ring::all(RADIUS))
            .compare(&frame(picture(&grid, room, lamp)));
        assert!((found.gain - room).abs() < 0.02, "{found:?}");
        assert!(found.difference < 0.01, "{found:?}");
    }
}
