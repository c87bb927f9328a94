//! The moments that decided a reading, to be shown as pictures of the lamp.

use crate::trace::{Sighting, Trace};

use super::findings::{Findings, Lamp};

/// Pictures of one lamp at the most: a strip that fits a page.
const MOST: usize = 8;

/// A crop goes so many radii beyond the centre, so that the lamp is seen in its place and little else is.
const RADII: f64 = 4.0;

/// Pixels that a crop goes beyond the centre at least and at most.
const HALF_PX: (f64, f64) = (16.0, 400.0);

/// One moment of one lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Index into [`Findings::lamps`].
    pub lamp: usize,
    /// Index of the frame in its trace.
    pub frame: usize,
    /// Index into the trace's tints of what it shows; `None` is dark.
    pub tint: Option<usize>,
}

/// A picture of the lamp at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// When, of which lamp.
    pub moment: Moment,
    /// The picture, a square PNG.
    pub png: Vec<u8>,
}

impl Moment {
    /// Where the lamp is in that frame's upright picture, pixels.
    #[must_use]
    pub fn place(&self, lamp: &Lamp) -> (f64, f64) {
        let there = lamp.places.get(self.frame).copied();
        there
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .unwrap_or((lamp.x, lamp.y))
    }

    /// How far a crop goes beyond the centre, pixels.
    #[must_use]
    pub fn half_px(&self, lamp: &Lamp) -> f64 {
        (RADII * lamp.radius).clamp(HALF_PX.0, HALF_PX.1)
    }
}

/// The moments: for every episode of the reading, states of each lamp that follow each other, each in its middle.
#[must_use]
pub fn moments(findings: &Findings) -> Vec<Moment> {
    let lamps = findings.light_lamps();
    // Without a table any lamp may be the one, but a page of them helps nobody.
    let lamps = lamps
        .iter()
        .take(if findings.judged.is_some() { lamps.len() } else { 2 });
    lamps.flat_map(|(_, lamp)| of_lamp(findings, *lamp)).collect()
}

fn of_lamp(findings: &Findings, index: usize) -> Vec<Moment> {
    let lamp = &findings.lamps[index];
    let whole = [(f64::NEG_INFINITY, f64::INFINITY)];
    let episodes: Vec<(f64, f64)> = findings
        .judged
        .iter()
        .flat_map(|judged| &judged.reading.timeline)
        .map(|episode| (episode.from_s, episode.to_s))
        .collect();
    let episodes = if episodes.is_empty() {
        &whole[..]
    } else {
        &episodes
    };
    let share = (MOST / episodes.len().max(1)).max(1);
    let middles = middles(lamp);
    let mut moments: Vec<Moment> = Vec::new();
    for (from_s, to_s) in episodes {
        let inside: Vec<f64> = middles
            .iter()
            .copied()
            .filter(|s| (*from_s..*to_s).contains(s))
            .collect();
        // The first state may be cut by the beginning.
        let skip = usize::from(inside.len() > share);
        let mut frames: Vec<usize> = inside
            .iter()
            .skip(skip)
            .take(share)
            .filter_map(|middle_s| frame_at(&lamp.trace, *middle_s))
            .collect();
        if frames.is_empty() {
            frames.extend(spread(&lamp.trace, (*from_s, *to_s)));
        }
        moments.extend(frames.into_iter().map(|frame| Moment {
            lamp: index,
            frame,
            tint: lit(&lamp.trace, frame),
        }));
    }
    moments.dedup_by_key(|moment| moment.frame);
    moments.truncate(MOST);
    moments
}

/// The middles of all flashes and of the dark between them, in order, seconds.
fn middles(lamp: &Lamp) -> Vec<f64> {
    let flashes = &lamp.measured.flashes;
    let mut middles: Vec<f64> = flashes
        .iter()
        .map(|f| 0.5 * (f.from_s.value + f.to_s.value))
        .collect();
    let frame_s = lamp.trace.samples.first().map_or(0.0, |sample| sample.span_s);
    for pair in flashes.windows(2) {
        let (out_s, in_s) = (pair[0].to_s.value, pair[1].from_s.value);
        if in_s - out_s > frame_s {
            middles.push(0.5 * (out_s + in_s));
        }
    }
    if middles.len() < 2 {
        middles.clear();
    }
    middles.sort_by(f64::total_cmp);
    middles
}

/// A few frames spread over a stretch in which nothing changed.
fn spread(trace: &Trace, (from_s, to_s): (f64, f64)) -> Vec<usize> {
    let seen: Vec<usize> = (0..trace.samples.len())
        .filter(|frame| {
            let sample = &trace.samples[*frame];
            sample.sighting == Sighting::Seen && (from_s..to_s).contains(&sample.time_s)
        })
        .collect();
    match seen.len() {
        0 => Vec::new(),
        1 | 2 => vec![seen[0]],
        count => [count / 6, count / 2, count - 1 - count / 6]
            .map(|place| seen[place])
            .to_vec(),
    }
}

/// The frame that covers a moment, if the lamp was in view.
fn frame_at(trace: &Trace, at_s: f64) -> Option<usize> {
    trace
        .samples
        .iter()
        .position(|s| s.time_s <= at_s && at_s < s.time_s + s.span_s && s.sighting == Sighting::Seen)
}

fn lit(trace: &Trace, frame: usize) -> Option<usize> {
    let sample = &trace.samples[frame];
    sample.tint.filter(|_| sample.level >= 0.5)
}
