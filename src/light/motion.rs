//! How the camera moved: where the scene of the first frame lies in every later one.

use ndarray::Array2;

use super::align::{align, even_correlation};
use super::pyramid::{Pyramid, Sums};

/// Correlation of the aligned pictures above which an alignment is believed (guessed; unrelated pictures give
/// about 0.1).
const BELIEVED: f64 = 0.45;
/// Above this correlation a picture is still good enough to go on measuring against the same key picture.
const KEY_WORN: f64 = 0.70;
/// By how much more the last picture must match for it to become the key: each change of the key adds its error (guessed).
const BETTER: f64 = 0.05;
/// Steep pixels below which there is nothing to align by (guessed): a dark room with a lamp in it.
const FEWEST_FEATURES: usize = 60;

/// Luma code that half of the picture stays below where there is nothing to align by but the lamp itself, which goes out
/// (guessed: paper gives so much in a fortieth of the light that makes it white).
const DARK: u8 = 36;

/// Most that a picture grows from one frame to the next that could be placed (guessed): a hand that moves as fast blurs it.
const MOST_ZOOM: f64 = 1.2;

/// A turn, scale and shift: `x' = c x - s y + tx`, `y' = s x + c y + ty`, in pixels of the reduced luma
/// picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Move {
    pub c: f64,
    pub s: f64,
    pub tx: f64,
    pub ty: f64,
}

impl Move {
    pub(super) const NONE: Self = Self {
        c: 1.0,
        s: 0.0,
        tx: 0.0,
        ty: 0.0,
    };

    /// Where a point of the scene lies in the frame.
    #[inline]
    pub(super) fn apply(&self, x: f64, y: f64) -> (f64, f64) {
        (
            self.c * x - self.s * y + self.tx,
            self.s * x + self.c * y + self.ty,
        )
    }

    /// First `self`, then `next`.
    pub(super) fn then(&self, next: &Self) -> Self {
        let (tx, ty) = next.apply(self.tx, self.ty);
        Self {
            c: next.c * self.c - next.s * self.s,
            s: next.s * self.c + next.c * self.s,
            tx,
            ty,
        }
    }

    /// Root mean square shift of the corners of a picture between two moves.
    pub(super) fn distance(&self, other: &Self, width: f64, height: f64) -> f64 {
        let corners = [(0.0, 0.0), (width, 0.0), (0.0, height), (width, height)];
        let sum: f64 = corners
            .iter()
            .map(|&(x, y)| {
                let (a, b) = (self.apply(x, y), other.apply(x, y));
                (a.0 - b.0).powi(2) + (a.1 - b.1).powi(2)
            })
            .sum();
        (sum / 4.0).sqrt()
    }

    pub(super) fn scaled(&self, factor: f64) -> Self {
        Self {
            tx: self.tx * factor,
            ty: self.ty * factor,
            ..*self
        }
    }
}

/// Follows the camera from frame to frame.
pub(super) struct Motion {
    key: Option<(Pyramid, Move)>,
    /// The first picture, once another is the key.
    home: Option<Pyramid>,
    /// Pictures placed so far.
    placed: usize,
    last: Option<(Pyramid, Move)>,
    previous: Move,
    is_dark: bool,
    /// Bands of mains light lie over the pictures.
    banded: bool,
    /// Room to work in.
    sums: Sums,
}

/// The scene's place in one frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Placed {
    /// From the first frame to this one.
    pub scene: Move,
    /// False where the frame could not be matched (blur, cover, cut): `scene` is then the last known one.
    pub found: bool,
}

impl Motion {
    pub(super) const fn new() -> Self {
        Self {
            key: None,
            home: None,
            placed: 0,
            last: None,
            previous: Move::NONE,
            is_dark: false,
            banded: false,
            sums: Sums::new(),
        }
    }

    /// Where the first picture lies in this one, if the camera has come back to it from where another is the key, or from
    /// where it was lost: it looked elsewhere, farther than is searched from frame to frame.
    fn at_home(&mut self, pyramid: &Pyramid, quality: f64) -> Option<(Move, f64)> {
        /// As long as it is not lost, it is looked for in one picture of so many: the search takes longer than all the rest
        /// (guessed: a quarter of a second passes unseen at most).
        const ONE_IN: usize = 8;
        let home = match (&self.home, &self.key) {
            (Some(home), _) if quality < BELIEVED || self.placed.is_multiple_of(ONE_IN) => home,
            (None, Some((key, _))) if quality < BELIEVED => key,
            _ => return None,
        };
        Some(align(home, pyramid, Move::NONE, &mut self.banded)).filter(|(_, quality)| *quality > KEY_WORN)
    }

    /// Where the scene lies by the key, or by the last picture if that matches better: it becomes the key.
    fn by_key(&mut self, pyramid: &Pyramid) -> (Move, f64) {
        let Some((key, key_scene)) = &self.key else {
            return (self.previous, 0.0);
        };
        let start = between(key_scene, &self.previous);
        let (from_key, match_key) = align(key, pyramid, start, &mut self.banded);
        let by_key = (key_scene.then(&from_key), match_key);
        let Some((last, last_scene)) = self.last.as_mut().filter(|_| match_key < KEY_WORN) else {
            return by_key;
        };
        last.find_features();
        let (from_last, match_last) = align(last, pyramid, Move::NONE, &mut self.banded);
        if match_last <= match_key + BETTER {
            return by_key;
        }
        let scene = last_scene.then(&from_last);
        let worn = std::mem::replace(&mut self.key, self.last.take());
        self.home = self.home.take().or(worn.map(|(first, _)| first));
        (scene, match_last)
    }

    /// Places the next frame.
    pub(super) fn place(&mut self, luma: &Array2<u8>) -> Placed {
        let mut pyramid = Pyramid::new(luma, &mut self.sums);
        let Some((key, _)) = &self.key else {
            pyramid.find_features();
            self.key = Some((pyramid, Move::NONE));
            self.is_dark = is_dark(luma);
            return Placed {
                scene: Move::NONE,
                found: true,
            };
        };
        // With hardly any texture there is nothing to hold on to, and nothing to be misled by. Here the lights will tell.
        if self.is_dark || key.levels[0].features.len() < FEWEST_FEATURES {
            return Placed {
                scene: Move::NONE,
                found: true,
            };
        }
        let (mut scene, mut quality) = self.by_key(&pyramid);
        self.placed += 1;
        if let Some((at_home, match_home)) = self.at_home(&pyramid, quality) {
            (scene, quality) = (at_home, match_home);
            self.previous = at_home;
            self.key = self
                .home
                .take()
                .map(|first| (first, Move::NONE))
                .or(self.key.take());
        }
        if zoom(&between(&self.previous, &scene)) > MOST_ZOOM {
            quality = 0.0;
        }
        if let (true, Some((key, key_scene))) = (quality < BELIEVED, &self.key) {
            // The lamp that the key shows may have gone out.
            let evenly = |scene: Move| {
                (
                    even_correlation(key, &pyramid, &between(key_scene, &scene)),
                    scene,
                )
            };
            let (found, stayed) = (evenly(scene), evenly(self.previous));
            (quality, scene) = if stayed.0 > found.0 { stayed } else { found };
        }
        if quality < BELIEVED {
            return Placed {
                scene: self.previous,
                found: false,
            };
        }
        self.previous = scene;
        self.last = Some((pyramid, scene));
        Placed { scene, found: true }
    }
}

/// Nothing but lamps is to be seen.
fn is_dark(luma: &Array2<u8>) -> bool {
    let dark = luma.iter().filter(|code| **code < DARK).count();
    2 * dark > luma.len()
}

/// By what factor a move makes the picture larger or smaller, 1 or more.
fn zoom(moved: &Move) -> f64 {
    let scale = moved.c.hypot(moved.s);
    scale.max(1.0 / scale)
}

/// The move from the frame at `from` to the frame at `to`, both given from the scene.
fn between(from: &Move, to: &Move) -> Move {
    let scale = from.c * from.c + from.s * from.s;
    let back = Move {
        c: from.c / scale,
        s: -from.s / scale,
        tx: -(from.c * from.tx + from.s * from.ty) / scale,
        ty: (from.s * from.tx - from.c * from.ty) / scale,
    };
    back.then(to)
}

#[cfg(test)]
mod tests {
    use rand::{Rng, SeedableRng};
    use rand_pcg::Pcg64;
    use rstest::rstest;

    use super::*;

    /// A scene of soft blobs, sampled through a move: exact truth at any place.
    fn scene(seed: u64, place: &Move, gain: f64) -> Array2<u8> {
        let mut random = Pcg64::seed_from_u64(seed);
        let blobs: Vec<(f64, f64, f64, f64)> = (0..120)
            .map(|_| {
                (
                    random.random_range(-60.0..460.0),
                    random.random_range(-60.0..340.0),
                    random.random_range(6.0..22.0),
                    random.random_range(-90.0..90.0),
                )
            })
            .collect();
        let back = between(place, &Move::NONE);
        Array2::from_shape_fn((270, 400), |(r, c)| {
            let (x, y) = back.apply(c as f64, r as f64);
            let sum: f64 = blobs
                .iter()
                .map(|&(bx, by, size, height)| {
                    height * (-((x - bx).powi(2) + (y - by).powi(2)) / (2.0 * size * size)).exp()
                })
                .sum();
            let noise = random.random_range(-3.0..3.0);
            (gain * (110.0 + sum) + noise).clamp(0.0, 255.0) as u8
        })
    }

    #[rstest]
    #[case::shift(Move { c: 1.0, s: 0.0, tx: 13.0, ty: -9.0 }, 1.0)]
    #[case::turn(Move { c: 0.05f64.cos(), s: 0.05f64.sin(), tx: 4.0, ty: -10.0 }, 1.0)]
    #[case::zoom(Move { c: 1.02, s: 0.0, tx: -8.0, ty: -6.0 }, 1.0)]
    #[case::dip(Move { c: 1.0, s: 0.01, tx: -6.0, ty: 5.0 }, 0.6)]
    fn recovers_a_known_move(#[case] truth: Move, #[case] gain: f64, #[values(1, 2, 3)] seed: u64) {
        let mut motion = Motion::new();
        motion.place(&scene(seed, &Move::NONE, 1.0));
        let placed = motion.place(&scene(seed, &truth, gain));
        let error = placed.scene.distance(&truth, 400.0, 270.0);
        assert!(
            placed.found && error < 0.6,
            "{error} px: {:?}, expected {truth:?}",
            placed.scene
        );
    }

    /// Mains light that flickers lies over the picture in bands, which go on from frame to frame; phones write some clips
    /// turned by a quarter.
    #[rstest]
    fn bands_of_mains_light_do_not_lead_astray(
        #[values(1, 2, 3)] seed: u64,
        #[values(false, true)] turned: bool,
    ) {
        let banded = |place: &Move, phase: f64| {
            let picture = scene(seed, place, 1.0);
            Array2::from_shape_fn(picture.dim(), |(r, c)| {
                let along = if turned { c } else { r } as f64;
                let light = 0.7 + 0.3 * (0.05 * along + phase).sin();
                (light * f64::from(picture[(r, c)])) as u8
            })
        };
        let mut motion = Motion::new();
        motion.place(&banded(&Move::NONE, 0.0));
        for frame in 1..9 {
            let truth = Move {
                tx: 0.7 * f64::from(frame),
                ty: -0.4 * f64::from(frame),
                ..Move::NONE
            };
            let placed = motion.place(&banded(&truth, 2.1 * f64::from(frame)));
            let error = placed.scene.distance(&truth, 400.0, 270.0);
            assert!(
                placed.found && error < 1.5,
                "frame {frame}, {error} px: {placed:?}"
            );
        }
    }

    /// A bright lamp on a wall with hardly a texture.
    fn with_lamp(seed: u64, place: &Move, lit: bool) -> Array2<u8> {
        let wall = scene(seed, place, 1.0).mapv(|light| (40.0 + 0.05 * f64::from(light)) as u8);
        let (x, y) = place.apply(230.0, 120.0);
        Array2::from_shape_fn(wall.dim(), |(r, c)| {
            let away = (c as f64 - x).hypot(r as f64 - y);
            if away < 14.0 && lit { 240 } else { wall[(r, c)] }
        })
    }

    #[rstest]
    fn a_lamp_that_goes_out_does_not_hide_the_wall(#[values(1, 2, 3)] seed: u64) {
        let truth = Move {
            tx: 1.5,
            ty: -1.0,
            ..Move::NONE
        };
        let mut motion = Motion::new();
        motion.place(&with_lamp(seed, &Move::NONE, true));
        motion.place(&with_lamp(seed, &truth, true));
        let placed = motion.place(&with_lamp(seed, &truth, false));
        let error = placed.scene.distance(&truth, 400.0, 270.0);
        assert!(placed.found && error < 1.0, "{error} px: {placed:?}");
    }

    /// The camera is led away step by step, loses the scene, and is back at once.
    #[rstest]
    fn a_camera_that_comes_back_is_found(#[values(1, 2, 3)] seed: u64) {
        let mut motion = Motion::new();
        for step in 0..6 {
            let away = Move {
                tx: 45.0 * f64::from(step),
                ..Move::NONE
            };
            assert!(motion.place(&scene(seed, &away, 1.0)).found, "{step}");
        }
        for _ in 0..3 {
            motion.place(&scene(90 + seed, &Move::NONE, 1.0));
        }
        let back = Move {
            tx: 3.0,
            ty: -2.0,
            ..Move::NONE
        };
        for _ in 0..2 {
            let placed = motion.place(&scene(seed, &back, 1.0));
            let error = placed.scene.distance(&back, 400.0, 270.0);
            assert!(placed.found && error < 1.0, "{error} px: {placed:?}");
        }
    }

    #[test]
    fn another_scene_is_not_found() {
        let mut motion = Motion::new();
        motion.place(&scene(1, &Move::NONE, 1.0));
        assert!(!motion.place(&scene(99, &Move::NONE, 1.0)).found);
    }
}
