//! Watches the frames of a clip go by and gives the lamps that were in them.

use rayon::prelude::*;

use super::album::Album;
use super::balance::{Usual, balances};
use super::bridge::bridge;
use super::echoes::without_echoes;
use super::exposure::gains;
use super::frozen;
use super::glimpse::{Followed, Glimpse, Sighting};
use super::look::Look;
use super::measure::{measure, measure_on};
use super::motion::{Motion, Move};
use super::notice::notices;
use super::paper::Paper;
use super::patch::Source;
use super::reduced::Reducer;
use super::rim::made_whole;
use super::scan::{Scan, Seed};
use super::score::{Scored, rank, score};
use super::window::Window;
use crate::colour::Decoder;
use crate::footage::Frame;

/// Lamps measured and handed on; more are only seen as seeds.
const LAMPS: usize = 6;
/// Score below which a place is no lamp worth showing (guessed; a chance spot of a moving hand reaches about
/// 0.1).
const LEAST_SCORE: f64 = 0.15;

/// Watches frames; [`Watcher::finish`] gives the lamps.
pub struct Watcher {
    at: Option<(f64, f64)>,
    clip: Option<Clip>,
}

struct Clip {
    reducer: Reducer,
    decoder: Decoder,
    motion: Motion,
    window: Window,
    lamps: Vec<Known>,
    times: Vec<f64>,
    /// Light of the scene's places under the usual exposure.
    usual: Vec<Option<f64>>,
    /// Likewise, channel by channel.
    balance: Usual,
    previous: Move,
    shake: (f64, usize),
    frames: usize,
}

struct Known {
    seed: Seed,
    score: f64,
    /// The look that its levels are measured by, and the contrast of the window it was learnt in.
    look: Option<(Look, f64)>,
    album: Album,
}

impl Known {
    fn rank(&self) -> f64 {
        rank(self.score, self.seed.changes)
    }

    /// Measures the lamp in one more window.
    fn go_on(&mut self, source: Source<'_>, factor: f64, course: &Scored) {
        /// A window in which the lamp changes so many times more than in that of its look tells more than the look.
        const BETTER: f64 = 1.5;
        let measured = match &self.look {
            Some((look, contrast)) => {
                let anew = (course.contrast >= BETTER * contrast).then(|| measure(source, factor, course));
                // A lamp that was seen unlit is held against that, and not against the dimmer of two lit states.
                let Some(measured) = anew.filter(|anew| look.base_is_lit || anew.shows_unlit()) else {
                    self.album.add(&measure_on(source, factor, &self.seed, look));
                    return;
                };
                measured
            }
            None => measure(source, factor, course),
        };
        self.seed = measured.seed;
        self.album.add(&measured.glimpses);
        self.look = measured.look.map(|look| (look, course.contrast));
    }
}

impl Watcher {
    /// `at`: where the lamp is, in pixels of the upright picture of the first frame, if somebody pointed to it.
    #[must_use]
    pub fn new(at: Option<(f64, f64)>) -> Self {
        Self { at, clip: None }
    }

    /// Takes the next frame. Pictures of a few pixels show no lamp and are passed over.
    pub fn watch(&mut self, frame: &Frame<'_>) {
        /// Shortest side in which a lamp and its surround can be told, pixels.
        const LEAST_SIDE: usize = 24;
        if frame.width.min(frame.height) < LEAST_SIDE {
            return;
        }
        let clip = self.clip.get_or_insert_with(|| Clip::new(frame));
        clip.take(frame);
        if clip.window.is_full() {
            clip.work(self.at);
        }
    }

    /// The lamps, best first; empty where none was found. A lamp that was pointed to comes first.
    #[must_use]
    pub fn finish(self) -> Vec<Followed> {
        let Some(mut clip) = self.clip else {
            return Vec::new();
        };
        clip.work(self.at);
        clip.followed()
    }
}

impl Clip {
    fn new(frame: &Frame<'_>) -> Self {
        Self {
            reducer: Reducer::new(frame),
            decoder: Decoder::new(Reducer::code(frame)),
            motion: Motion::new(),
            window: Window::default(),
            lamps: Vec::new(),
            times: Vec::new(),
            usual: Vec::new(),
            balance: Usual::new(),
            previous: Move::NONE,
            shake: (0.0, 0),
            frames: 0,
        }
    }

    fn take(&mut self, frame: &Frame<'_>) {
        let picture = self.reducer.reduce(frame, self.window.used());
        let placed = self.motion.place(&picture.luma);
        let (rows, columns) = picture.luma.dim();
        if placed.found {
            let moved = placed.scene.distance(&self.previous, columns as f64, rows as f64);
            self.shake = (self.shake.0 + moved * moved, self.shake.1 + 1);
            self.previous = placed.scene;
        }
        self.times.push(frame.time_s);
        self.frames += 1;
        self.window.push(picture, placed);
    }

    /// Finds and measures the lamps of the window, then lets its pictures go.
    fn work(&mut self, at: Option<(f64, f64)>) {
        if self.window.frames.is_empty() {
            return;
        }
        let before = self.frames - self.window.frames.len();
        bridge(&mut self.window);
        let courses = self.find(at, before);
        let exposures = gains(&self.window, &self.decoder, &mut self.usual);
        let balances = balances(&self.window, &self.decoder, &exposures, &mut self.balance);
        let by_exposure = exposures.iter().zip(balances);
        let gains: Vec<[f32; 3]> = by_exposure
            .map(|(exposure, balance)| balance.map(|factor| *exposure as f32 * factor))
            .collect();
        let factor = self.reducer.factor() as f64;
        let source = Source {
            window: &self.window,
            decoder: &self.decoder,
            gains: &gains,
        };
        let lamps = self.lamps.par_iter_mut().zip(courses);
        lamps.for_each(|(lamp, course)| {
            lamp.go_on(source, factor, &course);
        });
        self.window.clear();
    }

    /// Adds the lamps of this window to those known from earlier ones, for which the new ones count as
    /// hidden; gives, for every lamp known now, what it did in this window.
    fn find(&mut self, at: Option<(f64, f64)>, before: usize) -> Vec<Scored> {
        let factor = self.reducer.factor() as f64;
        let (mut seeds, mut paper) = self.seeds();
        if let Some(beside) = frozen::beside(&self.window, &seeds, &self.decoder) {
            frozen::apply(&mut self.window, &beside);
            (seeds, paper) = self.seeds();
        }
        if let (Some((x, y)), true) = (at, self.lamps.is_empty()) {
            let seed = pointed(&seeds, x / factor, y / factor);
            self.lamps.push(Known {
                seed,
                score: 1.0,
                look: None,
                album: Album::default(),
            });
        }
        let mut scored: Vec<Scored> = seeds
            .par_iter()
            .filter_map(|seed| score(&self.window, &self.decoder, &paper, seed))
            .filter(|scored| scored.score >= LEAST_SCORE)
            .collect();
        made_whole(&mut scored, &self.window, &self.decoder);
        let mut found = without_echoes(scored);
        let mut courses = Vec::with_capacity(LAMPS);
        for lamp in &mut self.lamps {
            courses.push(seen_again(lamp, &mut found, &self.window, &self.decoder, &paper));
        }
        // A lamp that is known already is no new one, whatever part of it this window shows best.
        found.retain(|candidate| !self.lamps.iter().any(|lamp| is_same(&lamp.seed, &candidate.seed)));
        for candidate in found {
            if self.lamps.len() == LAMPS && !self.drop_weaker(&candidate, &mut courses) {
                break;
            }
            self.lamps.push(Known {
                seed: candidate.seed,
                score: candidate.score,
                look: None,
                album: Album::unseen(before),
            });
            courses.push(candidate);
        }
        courses
    }

    fn seeds(&self) -> (Vec<Seed>, Paper) {
        Scan::new(&self.window).seeds(self.window.usable().count(), &self.decoder)
    }

    /// Drops the least lamp-like of the known ones if `candidate` is a better one. A lamp that was pointed to
    /// stays.
    fn drop_weaker(&mut self, candidate: &Scored, courses: &mut Vec<Scored>) -> bool {
        let weakest =
            (0..self.lamps.len()).min_by(|&a, &b| self.lamps[a].rank().total_cmp(&self.lamps[b].rank()));
        let Some(weakest) = weakest.filter(|&i| self.lamps[i].rank() < candidate.rank()) else {
            return false;
        };
        self.lamps.remove(weakest);
        courses.remove(weakest);
        true
    }

    fn followed(self) -> Vec<Followed> {
        // The pictures make room for all that follows.
        drop(self.window);
        let factor = self.reducer.factor() as f64;
        let shake = (self.shake.0 / self.shake.1.max(1) as f64).sqrt() * factor;
        let mut followed: Vec<Followed> = self
            .lamps
            .into_iter()
            .map(|lamp| Followed {
                // The centre of reduced pixel i is at (i + 0.5) * factor in the picture.
                x: (lamp.seed.x + 0.5) * factor,
                y: (lamp.seed.y + 0.5) * factor,
                radius: lamp.seed.radius * factor,
                score: lamp.score,
                glimpses: lamp.album.glimpses(&self.times),
                notices: Vec::new(),
            })
            .collect();
        prefer_strong(&mut followed);
        let rank = |lamp: &Followed| rank(lamp.score, changes(lamp));
        followed.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
        let mut apart: Vec<Followed> = Vec::new();
        for lamp in followed {
            // Two seeds may have settled on one lamp.
            let near =
                |other: &Followed| (other.x - lamp.x).hypot(other.y - lamp.y) < other.radius.max(lamp.radius);
            if !apart.iter().any(near) {
                apart.push(lamp);
            }
        }
        let best = apart.iter().map(|lamp| lamp.score).fold(0.0, f64::max);
        let count = apart.iter().filter(|lamp| lamp.score > 0.5 * best).count();
        for lamp in &mut apart {
            lamp.notices = notices(&lamp.glimpses, lamp.radius, shake, count);
        }
        apart
    }
}

/// Whether a lamp was seen unlit.
fn changes(lamp: &Followed) -> bool {
    let unlit = |g: &Glimpse| g.sighting == Sighting::Seen && !g.base_is_lit;
    lamp.glimpses.iter().any(unlit)
}

/// Takes a little from the scores of weak lamps beside a strong one of their sort, changing or steady: what a lamp lights
/// up gives less light than the lamp, and who films a lamp has it near and large. A lamp that was pointed to (score 1)
/// keeps its score.
fn prefer_strong(lamps: &mut [Followed]) {
    /// The score goes with the light to this power (guessed): a tenth of the light costs a sixth of the score.
    const POWER: f64 = 0.08;
    let light = |lamp: &Followed| {
        let top = lamp.glimpses.iter().map(|g| g.excess).fold(0.0, f64::max);
        top * lamp.radius * lamp.radius
    };
    for sort in [true, false] {
        let own = |lamp: &&mut Followed| changes(lamp) == sort && light(lamp) > 0.0;
        let most = lamps
            .iter_mut()
            .filter(own)
            .map(|lamp| light(lamp))
            .fold(0.0, f64::max);
        for lamp in lamps.iter_mut().filter(own).filter(|lamp| lamp.score < 1.0) {
            lamp.score *= (light(lamp) / most).powf(POWER);
        }
    }
}

/// The first, and so the strongest, seed near where somebody pointed, or that place itself.
fn pointed(seeds: &[Seed], x: f64, y: f64) -> Seed {
    /// How far a finger points beside a lamp, reduced pixels (guessed).
    const BESIDE: f64 = 8.0;
    seeds
        .iter()
        .find(|seed| (seed.x - x).hypot(seed.y - y) < BESIDE + seed.radius)
        .copied()
        .unwrap_or(Seed {
            x,
            y,
            radius: 3.0,
            likeness: 0.0,
            changes: false,
        })
}

/// What a known lamp did in this window. A candidate in its place is taken out of those found; without one it
/// did not change.
fn seen_again(
    lamp: &mut Known,
    found: &mut Vec<Scored>,
    window: &Window,
    decoder: &Decoder,
    paper: &Paper,
) -> Scored {
    if let Some(index) = found
        .iter()
        .position(|candidate| is_same(&lamp.seed, &candidate.seed))
    {
        let candidate = found.remove(index);
        lamp.score = lamp.score.max(candidate.score);
        return candidate;
    }
    let seed = Seed {
        changes: false,
        ..lamp.seed
    };
    score(window, decoder, paper, &seed).unwrap_or(Scored {
        seed,
        score: 0.0,
        course: vec![None; window.frames.len()],
        contrast: 0.0,
        light: 0.0,
    })
}

fn is_same(known: &Seed, new: &Seed) -> bool {
    (known.x - new.x).hypot(known.y - new.y) < 1.5 * known.radius.max(new.radius).max(2.0)
}
