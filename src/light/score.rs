//! How much a candidate place looks like an indicator lamp, from what it did over a window.

use super::correlation::correlation;
use super::few_levels::few_levels;
use super::glow::Means;
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
    const STEADY_COUNTS: f64 = 0.93;
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
    let (score, values, contrast) = match split {
        Some(split) if seed.changes => {
            let course = split.course(&series.spot);
            let score = score_changing(&series, &split, &course, seed, (decoder, paper));
            (score, course, split.contrast)
        }
        _ if seed.changes => return None,
        _ => (STEADY * seed.likeness, vec![1.0; frames], 0.0),
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
}

/// Two means along the widest channel, refined in all three; `None` if nothing changes.
fn two_states(series: &[[f64; 3]]) -> Option<Split> {
    let range = |k: usize| {
        let values = series.iter().map(|s| s[k]);
        values.clone().fold(f64::NEG_INFINITY, f64::max) - values.fold(f64::INFINITY, f64::min)
    };
    let widest = (0..3).max_by(|&a, &b| range(a).total_cmp(&range(b)))?;
    if range(widest) < 4.0 {
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
    // The state that gives more light is the lit one: a lamp adds. By coded luma, with saturation for blue
    // lamps that add little luma.
    let light = |s: &[f64; 3]| s[0] + 0.35 * ((s[1] - 128.0).abs() + (s[2] - 128.0).abs());
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

fn score_changing(
    series: &Series,
    split: &Split,
    course: &[f64],
    seed: &Seed,
    (decoder, paper): (&Decoder, &Paper),
) -> f64 {
    let stays = few_levels(&series.spot, split.between);
    let strong = rising(split.contrast, 16.0, 5.0);
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
    let local = rising(0.85 - spill.abs(), 0.0, 0.06);
    // Steps rather than drifts: most of the way between the states is gone in two frames.
    let brisk = rising(briskness(course), 0.3, 0.08).max(0.35);
    let bright = adds_light(split, paper) * stands_out_when_lit(series, course, decoder);
    let small = rising(18.0 - seed.radius, 0.0, 3.0);
    // Light that stays the same however often it comes back: moving things differ each time.
    let steady_states = rising(0.45 - state_spread(course), 0.0, 0.08);
    let manner = (stays * brisk).max(swelling(course));
    (manner * strong * local * bright * small * steady_states * returns(course)).powf(0.6)
}

/// What a place is worth that changes so often: a hand or a person that goes away uncovers a bright place once.
fn returns(course: &[f64]) -> f64 {
    let switches = course
        .windows(2)
        .filter(|pair| (pair[0] > 0.5) != (pair[1] > 0.5))
        .count();
    // Guessed: three changes show a light that comes back, and that it goes again.
    match switches {
        0 | 1 => 0.5,
        2 => 0.75,
        _ => 1.0,
    }
}

/// A lit lamp is brighter or more coloured than what is about it. Where a hand or a shadow goes away, the spot becomes
/// like its surround.
fn stands_out_when_lit(series: &Series, course: &[f64], decoder: &Decoder) -> f64 {
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
    rising(brighter.max(0.8 * more_coloured), 15.0, 4.0)
}

/// Most that a steady spot can score: glints and stickers are steady too (guessed).
const STEADY: f64 = 0.97;

/// What a light that swells and fades is worth beside one that switches: hands and shadows swell too, but hardly ever
/// at even intervals (both guessed).
const SWELLING: f64 = 0.5;
const SWELLING_EVENLY: f64 = 0.9;

/// Whether a course goes up and down smoothly, at least twice: correlation from frame to frame is high. Weighed by how
/// evenly it does so.
fn swelling(course: &[f64]) -> f64 {
    let crossings = course
        .windows(2)
        .filter(|pair| (pair[0] > 0.5) != (pair[1] > 0.5))
        .count();
    if crossings < 2 {
        return 0.0;
    }
    let n = course.len() as f64;
    let mean = course.iter().sum::<f64>() / n;
    let variance = course.iter().map(|c| (c - mean).powi(2)).sum::<f64>();
    let steps = course
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).powi(2))
        .sum::<f64>();
    let smooth = rising(1.0 - steps / (2.0 * variance.max(1e-9)), 0.9, 0.02);
    smooth * (SWELLING + (SWELLING_EVENLY - SWELLING) * rising(repeats(course), 0.7, 0.05))
}

/// How alike a course is to itself some time later: the highest correlation with itself after the first at which it was
/// its opposite, -1 to 1. Two thirds of a period more than one must be there to tell.
fn repeats(course: &[f64]) -> f64 {
    let n = course.len();
    let with_itself = |lag: usize| {
        let pairs = course.iter().copied().zip(course[lag..].iter().copied());
        correlation(&pairs.collect::<Vec<_>>())
    };
    let mut lags = 1..n * 3 / 5;
    if lags.by_ref().all(|lag| with_itself(lag) > 0.0) {
        return 0.0;
    }
    lags.map(with_itself).fold(0.0, f64::max)
}

/// Largest share of the lit-to-dark distance that is passed within two frames, typical over the switches.
fn briskness(course: &[f64]) -> f64 {
    let mut leaps = Vec::new();
    let mut side = course.first().is_some_and(|&c| c > 0.5);
    for i in 1..course.len() {
        let now = course[i] > 0.5;
        if now != side {
            side = now;
            let near = &course[i.saturating_sub(2)..(i + 2).min(course.len())];
            let high = near.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            leaps.push(high - near.iter().copied().fold(f64::INFINITY, f64::min));
        }
    }
    median(&mut leaps).unwrap_or(0.0)
}

/// Spread of the dark state about its mean, in units of the contrast.
fn state_spread(course: &[f64]) -> f64 {
    let spread = |lit: bool| {
        let values: Vec<f64> = course.iter().copied().filter(|c| (*c > 0.5) == lit).collect();
        let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
        (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len().max(1) as f64).sqrt()
    };
    spread(false).min(spread(true))
}

/// The change is one that a source makes: it brings colour, or it goes to the top of the scale or far beyond the scene.
/// What moves or is shaded changes grey by a little.
fn adds_light(split: &Split, paper: &Paper) -> f64 {
    let colour = (split.lit[1] - split.dark[1]).hypot(split.lit[2] - split.dark[2]);
    let coloured = rising(colour, 13.0, 3.0);
    let bright = rising(split.lit[0], 205.0, 10.0).max(paper.is_outshone(split.lit[0], paper::WHITE));
    let dazzling = bright * rising(split.lit[0] - split.dark[0], 40.0, 8.0);
    coloured.max(dazzling) * emits(&split.lit).max(0.3)
}

/// Bright or strongly coloured, as a source is; coded samples about 128.
fn emits(samples: &[f64; 3]) -> f64 {
    let saturation = (samples[1] - 128.0).abs().max((samples[2] - 128.0).abs());
    rising(samples[0] + 1.6 * saturation, 150.0, 16.0)
}

pub(super) fn median(values: &mut [f64]) -> Option<f64> {
    let middle = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(middle, f64::total_cmp).1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A triangle of two and a half periods comes back to itself; a hand that goes by twice, once slowly and once
    /// quickly, does not.
    #[test]
    fn an_even_swell_is_worth_more_than_an_uneven_one() {
        let triangle = |t: f64, period: f64| 1.0 - (2.0 * (t / period).fract() - 1.0).abs();
        let even: Vec<f64> = (0..200).map(|i| triangle(f64::from(i), 80.0)).collect();
        let slowly = (0..120).map(|i| triangle(f64::from(i), 120.0));
        let uneven: Vec<f64> = slowly
            .chain((0..40).map(|i| triangle(f64::from(i), 40.0)))
            .chain([0.0; 40])
            .collect();
        assert!(repeats(&even) > 0.95, "{}", repeats(&even));
        assert!(repeats(&uneven) < 0.6, "{}", repeats(&uneven));
        assert!(swelling(&even) > 0.85 && swelling(&uneven) < 0.6);
    }
}
