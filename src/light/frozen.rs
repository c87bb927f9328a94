//! Lights that go on shaking while the picture about them stands still.
//!
//! A thrifty encoder sends nothing of what hardly changes: in the file a plain wall stands still and then jumps, while the
//! lamp before it follows the hand all the time. There the lights themselves tell how the scene lies.

use nalgebra::Vector2;
use rayon::prelude::*;

use super::motion::Move;
use super::scan::Seed;
use super::score::median;
use super::window::{Kept, Window};
use crate::colour::Decoder;

/// Least that the lights lie beside their place in the scene, reduced pixels, root mean square (guessed: less blurs even a
/// small lamp hardly more than the alignment does).
const SHAKE_PX: f64 = 1.0;
/// Most that the lights move where the scene jumps, as a share of the jumps: a scene that is seen as it is takes them along
/// (measured: 0.2 to 0.75 where the wall stands still, 0.95 and more in real clips).
const STAY: f64 = 0.8;
/// Share of the steps that are its jumps: of a whole picture a second or so, one in thirty.
const JUMPS: f64 = 0.05;
/// Seeds looked at, of each sort, and how far apart two are two places, reduced pixels (guessed).
const SEEDS: usize = 4;
const APART_PX: f64 = 10.0;
/// How far about a seed its light is looked for, in steps each way: the widest shake and a radius (guessed).
const REACH: usize = 15;
const STEP_PX: f64 = 2.0;
/// And how far about it the brightest part lies, steps (guessed).
const NEAR: f64 = 7.0;
/// Least a spot stands out by, of full scale (guessed: twice what prints do).
const STANDS_OUT: f32 = 0.25;
/// Least share of the frames in which a light has to be found, and of those the share in which it is where it was a moment
/// ago: two lamps that take turns are two places. And the fewest frames to tell by (all guessed).
const FOUND: f64 = 0.15;
const HELD: f64 = 0.8;
const FEWEST: usize = 10;

/// A spot of light in the coordinates of the scene.
#[derive(Debug, Clone, Copy)]
struct Spot {
    middle: Place,
    radius: f64,
}

/// A place, or the way from one to another, reduced pixels.
type Place = Vector2<f64>;

/// By how much the lights lie beside where the scene's movement puts them, frame by frame, reduced pixels; `None` where
/// the scene moves with them, or where they do not move as one.
pub(super) fn beside(window: &Window, seeds: &[Seed], decoder: &Decoder) -> Option<Vec<Place>> {
    let scene: Vec<_> = scene(window).collect();
    let steps_px = step(scene.iter().copied());
    let goes_on = |path: &Path| {
        shake(path.places()) >= SHAKE_PX && step(path.places()) > steps_px && path.stays(&scene)
    };
    // In the dark a lamp that a hand shakes lights up all about its place.
    let is_still = scene.windows(2).all(|pair| pair[0] == pair[1]);
    let seat = |place| {
        if is_still {
            usual_place(window, place, decoder)
        } else {
            place
        }
    };
    let paths: Vec<Path> = places(seeds)
        .into_par_iter()
        .filter_map(|place| Path::of(window, seat(place), decoder))
        .collect();
    let longest = paths.iter().max_by_key(|path| path.places().flatten().count())?;
    if !goes_on(longest) || !as_one(&paths) {
        return None;
    }
    // Each is given from where it usually is, which of a light that was found in some frames only is elsewhere.
    let from_longest: Vec<Place> = paths.iter().map(|path| path.away_from(longest)).collect();
    let at = |frame: usize| {
        let same = paths.iter().zip(&from_longest);
        mean(same.filter_map(|(path, away)| Some(path.0[frame]? - away)))
    };
    Some(between(&(0..window.frames.len()).map(at).collect::<Vec<_>>()))
}

/// Where the middle of the picture lies, frame by frame.
fn scene(window: &Window) -> impl Iterator<Item = Option<Place>> {
    let (rows, columns) = window.dim();
    let middle = Vector2::new(columns as f64 / 2.0, rows as f64 / 2.0);
    window
        .frames
        .iter()
        .map(move |kept| Some(in_picture(kept, middle)))
}

fn in_picture(kept: &Kept, place: Place) -> Place {
    let (x, y) = kept.placed.scene.apply(place.x, place.y);
    Vector2::new(x, y)
}

/// Usual length of the step from one frame to the next, reduced pixels.
fn step(places: impl Iterator<Item = Option<Place>>) -> f64 {
    let places: Vec<_> = places.collect();
    let step = |pair: &[Option<Place>]| Some((pair[1]? - pair[0]?).norm());
    median(&mut places.windows(2).filter_map(step).collect::<Vec<_>>()).unwrap_or(0.0)
}

/// Root mean square distance from the mean place, reduced pixels.
fn shake(places: impl Iterator<Item = Option<Place>>) -> f64 {
    let places: Vec<Place> = places.flatten().collect();
    let middle = mean(places.iter().copied()).unwrap_or_default();
    let squares: f64 = places.iter().map(|at| (at - middle).norm_squared()).sum();
    (squares / places.len().max(1) as f64).sqrt()
}

fn mean(places: impl Iterator<Item = Place>) -> Option<Place> {
    let (sum, count) = places.fold((Place::zeros(), 0), |(sum, count), at| (sum + at, count + 1));
    (count > 0).then(|| sum / f64::from(count))
}

/// The likeliest seeds of both sorts, no two of one lamp.
fn places(seeds: &[Seed]) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    for changes in [true, false] {
        let likeliest = seeds.iter().filter(|seed| seed.changes == changes).take(SEEDS);
        for seed in likeliest {
            let at = Vector2::new(seed.x, seed.y);
            if places.iter().all(|place| (place - at).norm() > APART_PX) {
                places.push(at);
            }
        }
    }
    places
}

/// Where the light about a place usually is.
fn usual_place(window: &Window, place: Place, decoder: &Decoder) -> Place {
    let spots: Vec<Spot> = window
        .frames
        .iter()
        .filter_map(|kept| spot(kept, place, decoder))
        .collect();
    usual_middle(&spots).unwrap_or(place)
}

/// Median middle of some spots.
fn usual_middle(spots: &[Spot]) -> Option<Place> {
    let usual = |of: fn(&Spot) -> f64| median(&mut spots.iter().map(of).collect::<Vec<_>>());
    Some(Vector2::new(
        usual(|spot| spot.middle.x)?,
        usual(|spot| spot.middle.y)?,
    ))
}

/// Where a light lay, frame by frame, from where it usually does.
struct Path(Vec<Option<Place>>);

impl Path {
    fn of(window: &Window, place: Place, decoder: &Decoder) -> Option<Self> {
        let spots: Vec<Option<Spot>> = window
            .frames
            .iter()
            .map(|kept| spot(kept, place, decoder))
            .collect();
        let found = spots.iter().flatten().count();
        if found < FEWEST || (found as f64) < FOUND * spots.len() as f64 {
            return None;
        }
        let held = held(window, &spots);
        if (held.iter().flatten().count() as f64) < HELD * found as f64 {
            return None;
        }
        let usually = usual_middle(&held.iter().flatten().copied().collect::<Vec<_>>())?;
        let from_usual = |spot: Option<Spot>| spot.map(|spot| spot.middle - usually);
        Some(Self(held.into_iter().map(from_usual).collect()))
    }

    /// Whether the light stays where it is in the picture when the scene jumps, if it ever does.
    fn stays(&self, scene: &[Option<Place>]) -> bool {
        let step = |places: &[Option<Place>], to: usize| Some(places[to]? - places[to - 1]?);
        let both = |to: usize| Some((step(scene, to)?, step(&self.0, to)?));
        let mut steps: Vec<_> = (1..scene.len()).filter_map(both).collect();
        steps.sort_by(|a, b| b.0.norm().total_cmp(&a.0.norm()));
        steps.truncate((JUMPS * steps.len() as f64).ceil() as usize);
        let jumps: f64 = steps.iter().map(|(scene, _)| scene.norm_squared()).sum();
        let moves: f64 = steps
            .iter()
            .map(|(scene, beside)| (scene + beside).norm_squared())
            .sum();
        // In the dark the scene is not seen to move at all.
        jumps == 0.0 || moves < STAY * STAY * jumps
    }

    /// Mean way from another path to this one, in the frames that have both.
    fn away_from(&self, other: &Self) -> Place {
        let ways = self
            .places()
            .zip(other.places())
            .filter_map(|(own, other)| Some(own? - other?));
        mean(ways).unwrap_or_default()
    }

    fn places(&self) -> impl Iterator<Item = Option<Place>> {
        self.0.iter().copied()
    }
}

/// The spots that lie where the last one did, but for what a hand moves meanwhile.
fn held(window: &Window, spots: &[Option<Spot>]) -> Vec<Option<Spot>> {
    /// Reduced pixels, radii, and usual steps from one frame to the next; and reduced pixels for each frame without a spot;
    /// at most so many (all guessed).
    const STEP: f64 = 1.0;
    const OF_RADIUS: f64 = 0.5;
    const OF_USUAL: f64 = 3.0;
    const MORE: f64 = 0.3;
    const MOST: f64 = 10.0;
    let places = spots.iter().map(|spot| Some(spot.as_ref()?.middle));
    let in_frames = places
        .zip(&window.frames)
        .map(|(place, kept)| Some(in_picture(kept, place?)));
    let usual = OF_USUAL * step(in_frames);
    let mut last: Option<(usize, Place)> = None;
    let near = |(frame, spot): (usize, &Option<Spot>)| {
        let spot = (*spot)?;
        // In the picture: where a frame is sent whole, the scene that stood still jumps, and the light does not.
        let at = in_picture(&window.frames[frame], spot.middle);
        let holds = last.is_none_or(|(before, old)| {
            let allowed = STEP + OF_RADIUS * spot.radius + usual + MORE * (frame - before) as f64;
            (at - old).norm() <= allowed.min(MOST)
        });
        if holds {
            last = Some((frame, at));
        }
        holds.then_some(spot)
    };
    spots.iter().enumerate().map(near).collect()
}

/// Whether no two of the lights go different ways.
fn as_one(paths: &[Path]) -> bool {
    /// Most of the movement by which two may differ (guessed).
    const DIFFER: f64 = 0.5;
    let agree = |a: &Path, b: &Path| {
        let apart = a.places().zip(b.places()).map(|(a, b)| Some(a? - b?));
        shake(apart) <= DIFFER * shake(a.places()).max(shake(b.places()))
    };
    (0..paths.len()).all(|a| (a + 1..paths.len()).all(|b| agree(&paths[a], &paths[b])))
}

/// The frames without a light lie between those with one.
fn between(places: &[Option<Place>]) -> Vec<Place> {
    let of = |(frame, place): (usize, &Option<Place>)| Some((frame, (*place)?));
    let known: Vec<(usize, Place)> = places.iter().enumerate().filter_map(of).collect();
    let at = |frame: usize| {
        let after = known.partition_point(|(known, _)| *known < frame);
        match (known[..after].last(), known.get(after)) {
            (Some((from, here)), Some((to, there))) => {
                here.lerp(there, (frame - from) as f64 / (to - from) as f64)
            }
            (Some((_, only)), None) | (None, Some((_, only))) => *only,
            (None, None) => Place::zeros(),
        }
    };
    (0..places.len()).map(at).collect()
}

/// The brightest spot about a place, in one frame: what stands out from the rim of the square looked at, all in one piece
/// and clear of that rim.
fn spot(kept: &Kept, place: Place, decoder: &Decoder) -> Option<Spot> {
    if !kept.placed.found || kept.picture.damaged {
        return None;
    }
    let light = light_about(kept, place, decoder)?;
    let offset = |i: usize| Vector2::new((i % SIDE) as f64, (i / SIDE) as f64).add_scalar(-(REACH as f64));
    let on_rim = |i: usize| {
        let (row, column) = (i / SIDE, i % SIDE);
        row == 0 || column == 0 || row + 1 == SIDE || column + 1 == SIDE
    };
    let rim = (0..light.len()).filter(|i| on_rim(*i));
    let about = median(&mut rim.map(|i| f64::from(light[i])).collect::<Vec<_>>())? as f32;
    let near = (0..light.len()).filter(|i| offset(*i).norm() <= NEAR);
    let brightest = near.max_by(|a, b| light[*a].total_cmp(&light[*b]))?;
    if light[brightest] - about < STANDS_OUT {
        return None;
    }
    let half = 0.5 * (light[brightest] + about);
    let mut inside = vec![false; light.len()];
    inside[brightest] = true;
    let mut open = vec![brightest];
    let (mut sum, mut moment, mut area) = (0.0, Place::zeros(), 0.0);
    while let Some(i) = open.pop() {
        if on_rim(i) {
            return None;
        }
        let weight = f64::from(light[i] - half);
        sum += weight;
        moment += weight * offset(i);
        area += STEP_PX * STEP_PX;
        for next in [i - 1, i + 1, i - SIDE, i + SIDE] {
            if !inside[next] && light[next] > half {
                inside[next] = true;
                open.push(next);
            }
        }
    }
    Some(Spot {
        middle: place + STEP_PX * moment / sum,
        radius: (area / std::f64::consts::PI).sqrt(),
    })
}

const SIDE: usize = 2 * REACH + 1;

/// The strongest channel at each step of the square about a place of the scene, row by row, 0 to 1; `None` where it
/// leaves the picture.
fn light_about(kept: &Kept, place: Place, decoder: &Decoder) -> Option<Vec<f32>> {
    let (rows, columns) = kept.picture.luma.dim();
    let step = |i: usize| STEP_PX * (i as f64 - REACH as f64);
    let places = (0..SIDE).flat_map(|row| (0..SIDE).map(move |column| Vector2::new(step(column), step(row))));
    let light = |offset: Place| {
        let at = in_picture(kept, place + offset).map(f64::round);
        if at.min() < 0.0 || at.x >= columns as f64 || at.y >= rows as f64 {
            return None;
        }
        let coded = decoder.coded_rgb(kept.picture.samples(at.y as usize, at.x as usize));
        Some(coded.into_iter().fold(0.0, f32::max))
    };
    places.map(light).collect()
}

/// Puts every frame where its lights say.
pub(super) fn apply(window: &mut Window, beside: &[Place]) {
    for (kept, at) in window.frames.iter_mut().zip(beside) {
        let first = Move {
            tx: at.x,
            ty: at.y,
            ..Move::NONE
        };
        kept.placed.scene = first.then(&kept.placed.scene);
    }
}
