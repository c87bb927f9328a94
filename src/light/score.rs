//! How much a candidate place looks like an indicator lamp, from what it did over a window.

use super::few_levels::few_levels;
use super::glow::Means;
use super::manner::{briskness, evenness, returns, state_spread, swelling};
use super::paper::{self, Paper};
use super::scan::Seed;
use super::window::Window;
use crate::colour::Decoder;

/// A seed with its score and the evidence behind it.
#[derive(Debug, Clone)]
pub(super) struct Scored {
    pub seed: Seed,
    /// 0 to 1.
    pub score: f64,
    /// Per frame of the window, the light's place between its dark (0) and its lit state (1); `None` where
    /// out of view.
    pub course: Vec<Option<f64>>,
    /// Difference between lit and unlit, 8-bit steps.
    pub contrast: f64,
    /// Linear light by which the two differ, summed over the channels, each of the sensor's range.
    pub light: f64,
}

impl Scored {
    pub(super) fn rank(&self) -> f64 {
        rank(self.score, self.seed.changes)
    }
}

/// What decides the order of lamps: their score, but steady ones come a little later, since who films one of several lights
/// mostly means the one that does something. A lamp that was pointed to has score 1 and stays first.
pub(super) fn rank(score: f64, changes: bool) -> f64 {
    /// Guessed: behind what switches in the light of a room, before what changes once.
    const STEADY_COUNTS: f64 = 0.8;
    if changes || score >= 1.0 {
        score
    } else {
        STEADY_COUNTS * score
    }
}

/// Luma and colour differences of the spot and of the ring about it, one entry a usable frame that shows it.
struct Series {
    spot: Vec<[f64; 3]>,
    ring: Vec<[f64; 3]>,
    /// Which frames of the window the entries stand for.
    frames: Vec<usize>,
}

/// Scores a seed; `None` if it was in view in too few frames to say anything.
pub(super) fn score(window: &Window, decoder: &Decoder, paper: &Paper, seed: &Seed) -> Option<Scored> {
    let series = gather(window, decoder, seed);
    let (frames, usable) = (series.spot.len(), window.usable().count());
    if frames == 0 || frames * 4 < usable {
        return None;
    }
    let in_view = frames as f64 / usable as f64;
    let split = if frames >= 4 {
        two_states(&series.spot)
    } else {
        None
    };
    let (score, values, contrast, light) = match split {
        Some(split) if seed.changes => {
            let course = split.course(&series.spot);
            let score = score_changing(&series, &split, &course, seed, (decoder, paper));
            (score, course, split.contrast, split.light(decoder))
        }
        _ if seed.changes => return None,
        _ => (STEADY * seed.likeness, vec![1.0; frames], 0.0, 0.0),
    };
    let mut course = vec![None; window.frames.len()];
    for (&frame, value) in series.frames.iter().zip(values) {
        course[frame] = Some(value);
    }
    Some(Scored {
        seed: *seed,
        score: score * in_view.sqrt(),
        course,
        contrast,
        light,
    })
}

fn gather(window: &Window, decoder: &Decoder, seed: &Seed) -> Series {
    /// Spots are sampled over their inner part only, so that a small misplacement does not matter.
    const INNER: f64 = 0.8;
    let spot_offsets = disc(0.0, (seed.radius * INNER).clamp(1.0, 6.0));
    let ring_from = (seed.radius * 2.0).clamp(5.0, 20.0);
    let ring_offsets: Vec<_> = disc(ring_from, ring_from + 2.5)
        .into_iter()
        .filter(|(dx, dy)| (dx + dy).rem_euclid(2) < 1)
        .collect();
    let mut series = Series {
        spot: Vec::new(),
        ring: Vec::new(),
        frames: Vec::new(),
    };
    for (frame, kept) in window.frames.iter().enumerate() {
        if !kept.placed.found || kept.picture.damaged {
            continue;
        }
        let (x, y) = kept.placed.scene.apply(seed.x, seed.y);
        let middle = ((x + 0.5).floor() as isize, (y + 0.5).floor() as isize);
        let mean = |offsets: &[(isize, isize)]| {
            let samples = kept.picture.mean(middle, offsets)?;
            Some(
                decoder
                    .narrowed(samples.map(|sample| sample as f32))
                    .map(f64::from),
            )
        };
        if let (Some(spot), Some(ring)) = (mean(&spot_offsets), mean(&ring_offsets)) {
            series.spot.push(spot);
            series.ring.push(ring);
            series.frames.push(frame);
        }
    }
    series
}

/// Whole-pixel offsets within a ring of the given radii.
pub(super) fn disc(from: f64, to: f64) -> Vec<(isize, isize)> {
    let reach = to.ceil() as isize;
    (-reach..=reach)
        .flat_map(|dy| (-reach..=reach).map(move |dx| (dx, dy)))
        .filter(|&(dx, dy)| {
            let distance = (dx as f64).hypot(dy as f64);
            distance >= from && distance <= to
        })
        .collect()
}

/// A division of the frames into a darker and a brighter state.
struct Split {
    dark: [f64; 3],
    lit: [f64; 3],
    /// Distance between the states, 8-bit steps.
    contrast: f64,
    /// Variance between the states as a share of all variance (Otsu's criterion), 0 to 1.
    between: f64,
}

impl Split {
    /// 0 at the dark state, 1 at the lit one.
    fn course(&self, series: &[[f64; 3]]) -> Vec<f64> {
        let axis: [f64; 3] = std::array::from_fn(|k| self.lit[k] - self.dark[k]);
        let length = axis.iter().map(|a| a * a).sum::<f64>();
        series
            .iter()
            .map(|s| (0..3).map(|k| (s[k] - self.dark[k]) * axis[k]).sum::<f64>() / length)
            .collect()
    }

    /// Linear light by which the two states differ, all channels.
    fn light(&self, decoder: &Decoder) -> f64 {
        let [dark, lit] = [self.dark, self.lit].map(|state| Means::of(state).linear(decoder));
        (0..3).map(|k| (lit[k] - dark[k]).abs()).sum()
    }
}

/// Two means along the widest channel, refined in all three; `None` if nothing changes.
fn two_states(series: &[[f64; 3]]) -> Option<Split> {
    /// Range of the samples, 8-bit steps, below which a place does not change (guessed: noise and compression have more).
    const CHANGES: f64 = 4.0;
    /// What a step of saturation counts in steps of luma, for blue lamps that add little luma (guessed).
    const OF_COLOUR: f64 = 0.35;
    let range = |k: usize| {
        let values = series.iter().map(|s| s[k]);
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    };
    let widest = (0..3).max_by(|&a, &b| range(a).total_cmp(&range(b)))?;
    if range(widest) < CHANGES {
        return None;
    }
    let mut order: Vec<usize> = (0..series.len()).collect();
    order.sort_by(|&a, &b| series[a][widest].total_cmp(&series[b][widest]));
    let tenth = (series.len() / 10).max(1);
    let mean = |members: &[usize]| -> [f64; 3] {
        std::array::from_fn(|k| members.iter().map(|&i| series[i][k]).sum::<f64>() / members.len() as f64)
    };
    let mut centres = [mean(&order[..tenth]), mean(&order[series.len() - tenth..])];
    let distance = |a: &[f64; 3], b: &[f64; 3]| (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>();
    for _ in 0..8 {
        let (first, second): (Vec<usize>, Vec<usize>) = (0..series.len())
            .partition(|&i| distance(&series[i], &centres[0]) <= distance(&series[i], &centres[1]));
        if first.is_empty() || second.is_empty() {
            return None;
        }
        centres = [mean(&first), mean(&second)];
    }
    let all: Vec<usize> = (0..series.len()).collect();
    let overall = mean(&all);
    let total: f64 = series.iter().map(|s| distance(s, &overall)).sum();
    let within: f64 = series
        .iter()
        .map(|s| distance(s, &centres[0]).min(distance(s, &centres[1])))
        .sum();
    // The state that gives more light is the lit one: a lamp adds.
    let light = |s: &[f64; 3]| s[0] + OF_COLOUR * ((s[1] - 128.0).abs() + (s[2] - 128.0).abs());
    let (dark, lit) = if light(&centres[0]) <= light(&centres[1]) {
        (centres[0], centres[1])
    } else {
        (centres[1], centres[0])
    };
    Some(Split {
        dark,
        lit,
        contrast: distance(&dark, &lit).sqrt(),
        between: 1.0 - within / total.max(1e-9),
    })
}

/// Rises from 0 to 1 about `middle`.
pub(super) fn rising(value: f64, middle: f64, softness: f64) -> f64 {
    1.0 / (1.0 + (-(value - middle) / softness).exp())
}

/// The marks that a changing place is scored by: where each is a half, and how softly it rises or falls about that (all guessed,
/// and looked at on real and rendered clips). Contrast of its two states, 8-bit steps.
const STRONG: (f64, f64) = (16.0, 5.0);
/// Share of its change that its surround makes too: a scene that is shaded as a whole makes all of it.
const WITH_SURROUND: (f64, f64) = (0.85, 0.06);
/// Share of the way between its states that is gone in two frames, and what a drift still counts.
const BRISK: (f64, f64) = (0.3, 0.08);
const SLOW: f64 = 0.35;
/// Radius, reduced pixels: large changing places are people, screens and doors.
const LARGE: (f64, f64) = (18.0, 3.0);
/// Spread of a state, in units of the contrast.
const SPREAD: (f64, f64) = (0.45, 0.08);
/// Seven marks are multiplied, none of them quite 1: a root brings a good lamp back to nearly 1.
const ROOT: f64 = 0.6;

fn score_changing(
    series: &Series,
    split: &Split,
    course: &[f64],
    seed: &Seed,
    (decoder, paper): (&Decoder, &Paper),
) -> f64 {
    let stays = few_levels(&series.spot, split.between);
    let strong = rising(split.contrast, STRONG.0, STRONG.1);
    // What the ring does in step with the spot: little for a lamp, all of it for a change of the whole scene.
    let ring_course = split.course(&series.ring);
    let mean_where = |values: &[f64], lit: bool| {
        let (mut sum, mut count) = (0.0, 0.0);
        for (value, &at) in values.iter().zip(course) {
            if (at > 0.5) == lit {
                sum += value;
                count += 1.0;
            }
        }
        sum / f64::max(count, 1.0)
    };
    let spill = mean_where(&ring_course, true) - mean_where(&ring_course, false);
    let local = rising(WITH_SURROUND.0 - spill.abs(), 0.0, WITH_SURROUND.1);
    // Steps rather than drifts: most of the way between the states is gone in two frames.
    let brisk = rising(briskness(course), BRISK.0, BRISK.1).max(SLOW);
    let even = evenness(course);
    let outshines = outshines(series, course, even, paper);
    let bright = adds_light(split, outshines) * stands_out_when_lit(series, course, decoder);
    let small = rising(LARGE.0 - seed.radius, 0.0, LARGE.1);
    // Light that stays the same however often it comes back: moving things differ each time.
    let steady_states = rising(SPREAD.0 - state_spread(course), 0.0, SPREAD.1);
    let manner = (stays * brisk).max(swelling(course, even));
    (manner * strong * local * bright * small * steady_states * returns(course)).powf(ROOT)
}

/// A lit lamp is brighter or more coloured than what is about it. Where a hand or a shadow goes away, the spot becomes
/// like its surround.
fn stands_out_when_lit(series: &Series, course: &[f64], decoder: &Decoder) -> f64 {
    /// By how much it must, 8-bit steps, and what a step of colour counts (guessed).
    const STANDS_OUT: (f64, f64) = (15.0, 4.0);
    const OF_COLOUR: f64 = 0.8;
    let lit_mean = |values: &[[f64; 3]]| -> Means {
        let lit: Vec<&[f64; 3]> = values
            .iter()
            .zip(course)
            .filter(|(_, c)| **c > 0.5)
            .map(|(v, _)| v)
            .collect();
        let mean = |k: usize| lit.iter().map(|v| v[k]).sum::<f64>() / lit.len().max(1) as f64;
        Means::of([mean(0), mean(1), mean(2)])
    };
    let (spot, ring) = (lit_mean(&series.spot), lit_mean(&series.ring));
    let brighter = (spot.top(decoder) - ring.top(decoder)).max(spot.luma - ring.luma);
    let more_coloured = (spot.blue - ring.blue).hypot(spot.red - ring.red);
    rising(
        brighter.max(OF_COLOUR * more_coloured),
        STANDS_OUT.0,
        STANDS_OUT.1,
    )
}

/// Most that a steady spot can score: glints and stickers are steady too (guessed).
const STEADY: f64 = 0.97;

/// The change is one that a source makes: it brings colour, or it goes to the top of the scale or far beyond the scene.
/// What moves or is shaded changes grey by a little.
/// `outshines`: how sure it is that the lit spot has more light than paper would have.
fn adds_light(split: &Split, outshines: f64) -> f64 {
    /// Colour that a lit lamp may lack where its lens has another, 8-bit steps (guessed).
    const LEFT: f64 = 4.0;
    /// Colour that it brings, luma that it reaches, and by how much it gets brighter, 8-bit steps; and what a change is worth of
    /// a place that hardly looks like a source in either state (all guessed).
    const COLOURED: (f64, f64) = (13.0, 3.0);
    const BRIGHT: (f64, f64) = (205.0, 10.0);
    const BRIGHTER: (f64, f64) = (40.0, 8.0);
    const DULL: f64 = 0.3;
    let change = (split.lit[1] - split.dark[1]).hypot(split.lit[2] - split.dark[2]);
    // What loses its colour as it gets brighter was covered by skin.
    let colour = change.min(LEFT + (split.lit[1] - 128.0).hypot(split.lit[2] - 128.0));
    let coloured = rising(colour, COLOURED.0, COLOURED.1);
    let bright = rising(split.lit[0], BRIGHT.0, BRIGHT.1).max(outshines);
    let dazzling = bright * rising(split.lit[0] - split.dark[0], BRIGHTER.0, BRIGHTER.1);
    coloured.max(dazzling) * emits(&split.lit).max(DULL)
}

/// How sure it is that the spot at its brightest has more light than white paper could give back. Paper may be uncovered, but
/// hardly at even intervals: what comes back at such needs half as much (guessed).
fn outshines(series: &Series, course: &[f64], evenness: f64, paper: &Paper) -> f64 {
    /// Share of the lit frames that stay below the top: a swelling lamp is far below it for most of the time.
    const TOP: f64 = 0.9;
    let lit = series
        .spot
        .iter()
        .zip(course)
        .filter(|(_, course)| **course > 0.5);
    let mut luma: Vec<f64> = lit.map(|(spot, _)| spot[0]).collect();
    let place = (luma.len() as f64 * TOP) as usize;
    if place >= luma.len() {
        return 0.0;
    }
    let top = *luma.select_nth_unstable_by(place, f64::total_cmp).1;
    let times = paper::WHITE * (1.0 - 0.5 * evenness);
    paper.is_outshone(top, times)
}

/// Bright or strongly coloured, as a source is; coded samples about 128.
fn emits(samples: &[f64; 3]) -> f64 {
    /// Luma and so many times the saturation, 8-bit steps (guessed).
    const OF_COLOUR: f64 = 1.6;
    const SOURCE: (f64, f64) = (150.0, 16.0);
    let saturation = (samples[1] - 128.0).abs().max((samples[2] - 128.0).abs());
    rising(samples[0] + OF_COLOUR * saturation, SOURCE.0, SOURCE.1)
}

pub(super) fn median(values: &mut [f64]) -> Option<f64> {
    let middle = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(middle, f64::total_cmp).1)
}
