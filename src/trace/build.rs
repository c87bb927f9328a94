//! From the glimpses of a followed lamp to its trace: levels between dark and lit, and colours.

use super::learnt_anew::level_by_look;
use super::pulses::join;
use super::room_light::without_room_light;
use super::sample::{Chroma, Sample, Trace};
use super::spread::deviation;
use super::tints::{Lit, group};
use super::turn::turned;
use crate::colour::uv;
use crate::light::{Followed, Glimpse, Sighting};

/// Excess light, linear, picture white being 1, below which a change is noise (guessed: four 8-bit steps of
/// mid-grey).
const LEAST_EXCESS: f64 = 0.02;
/// Share of the brightest colour's level from which a frame's colour is measured: a blue of the same lamp as
/// a white may give a quarter of its light. Below lies the spill of neighbouring lamps (guessed).
const COLOUR_FROM: f64 = 0.18;
/// Level that a frame lit throughout surely has.
const FULL_FROM: f64 = 0.6;
/// Least standard deviation of a level: what automatic exposure and compression leave (measured on rendered
/// clips).
const LEVEL_SD: f64 = 0.03;

/// Builds the trace. A lamp that never changed and never looked lit is dark throughout.
#[must_use]
pub fn build(followed: &Followed) -> Trace {
    let glimpses = &followed.glimpses;
    let seen: Vec<&Glimpse> = glimpses.iter().filter(|g| g.sighting == Sighting::Seen).collect();
    let scale = lit_excess(&seen);
    let zero = scale.map_or(0.0, |scale| unlit_excess(&seen, scale));
    let spans = spans(glimpses);
    let mut samples: Vec<Sample> = glimpses
        .iter()
        .zip(spans)
        .map(|(glimpse, span_s)| Sample {
            time_s: glimpse.time_s,
            span_s,
            sighting: glimpse.sighting,
            level: scale.map_or(0.0, |scale| (glimpse.excess - zero) / (scale - zero)),
            level_sd: LEVEL_SD,
            chroma: None,
            tint: None,
            turned: None,
        })
        .collect();
    let mut lit = without_room_light(colours(glimpses, &samples), &samples);
    mark_full(&mut lit, &samples);
    for l in &lit {
        samples[l.frame].chroma = Some(l.chroma);
    }
    let grouped = group(&lit);
    for &(frame, tint) in &grouped.members {
        samples[frame].tint = Some(tint);
    }
    let emitted: Vec<[f64; 3]> = glimpses.iter().map(|glimpse| glimpse.emitted).collect();
    for (i, turned) in turned(&samples, &emitted).into_iter().enumerate() {
        samples[i].turned = turned;
    }
    level_by_look(&mut samples, glimpses);
    level_by_tint(&mut samples, grouped.tints.len());
    let (beat_hz, mut otherwise) = join(&mut samples);
    for samples in [&mut samples]
        .into_iter()
        .chain(otherwise.as_mut().map(|other| &mut other.samples))
    {
        let noisier = noise(samples).max(LEVEL_SD) / LEVEL_SD;
        for sample in samples.iter_mut().filter(|sample| sample.tells()) {
            sample.level_sd *= noisier;
        }
    }
    Trace {
        samples,
        tints: grouped.tints,
        beat_hz,
        otherwise,
    }
}

/// The usual lit excess; `None` for a lamp that was dark throughout.
fn lit_excess(seen: &[&Glimpse]) -> Option<f64> {
    let mut values: Vec<f64> = seen.iter().map(|g| g.excess).collect();
    values.sort_by(f64::total_cmp);
    // The second highest, so that one bad frame does not set the scale.
    let top = *values.get(values.len().checked_sub(1 + usize::from(values.len() > 5))?)?;
    if top < LEAST_EXCESS {
        return None;
    }
    let lit: Vec<f64> = values.into_iter().filter(|v| *v > 0.5 * top).collect();
    Some(lit[usual(lit.len())])
}

/// The excess of the unlit lens: nothing where it is what the frames were compared with. A lamp that was lit in all the
/// frames it was learnt from is held against its surround, and its lens may be darker than that.
fn unlit_excess(seen: &[&Glimpse], scale: f64) -> f64 {
    /// Share of the lit excess below which a frame is dark (guessed).
    const DARK: f64 = 0.25;
    /// Dark frames needed: fewer may be partly covered (guessed).
    const FEWEST: usize = 5;
    let dark = seen.iter().filter(|g| g.base_is_lit && g.excess < DARK * scale);
    let mut dark: Vec<f64> = dark.map(|g| g.excess).collect();
    if dark.len() < FEWEST {
        return 0.0;
    }
    let middle = dark.len() / 2;
    dark.select_nth_unstable_by(middle, f64::total_cmp).1.min(0.0)
}

/// Place of the usual level among sorted levels of lit frames: high up, since partial exposures and the
/// flanks of a swelling light lie below it, but under the highest, which noise has raised.
const fn usual(count: usize) -> usize {
    count * 17 / 20
}

/// Seconds from each frame to the next; the last frame gets the median.
fn spans(glimpses: &[Glimpse]) -> Vec<f64> {
    let mut spans: Vec<f64> = glimpses
        .windows(2)
        .map(|pair| (pair[1].time_s - pair[0].time_s).max(0.0))
        .collect();
    let mut sorted = spans.clone();
    sorted.sort_by(f64::total_cmp);
    let median = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0);
    // After a gap the exposure is no longer than usual.
    for span in &mut spans {
        *span = span.min(2.0 * median);
    }
    spans.push(median);
    spans
}

fn colours(glimpses: &[Glimpse], samples: &[Sample]) -> Vec<Lit> {
    /// Noise of u' and v' at full level (measured on rendered lamps); it grows as the level falls.
    const CHROMA_SD: f64 = 0.005;
    glimpses
        .iter()
        .zip(samples)
        .enumerate()
        .filter(|(_, (glimpse, sample))| {
            glimpse.sighting == Sighting::Seen && sample.level > COLOUR_FROM && glimpse.excess > LEAST_EXCESS
        })
        .filter_map(|(frame, (glimpse, sample))| {
            let (u, v) = uv(glimpse.emitted)?;
            let sd = CHROMA_SD / sample.level.clamp(COLOUR_FROM, 1.0);
            let chroma = Chroma { u, v, sd };
            Some(Lit {
                frame,
                chroma,
                level: sample.level,
                halo: glimpse.halo,
                clipped: glimpse.clipped,
                alone: glimpse.alone,
                full: false,
            })
        })
        .collect()
}

/// Marks the frames that were lit in one colour throughout their exposure: at full level, or alike to the
/// frame before or after in level and colour.
fn mark_full(lit: &mut [Lit], samples: &[Sample]) {
    /// Share by which two frames of one state differ in level at most, and their distance in u'v' (guessed;
    /// three times the noise).
    const LEVEL: f64 = 0.12;
    const COLOUR: f64 = 0.015;
    let alike = |a: &Lit, b: &Lit| {
        let (la, lb) = (samples[a.frame].level, samples[b.frame].level);
        b.frame == a.frame + 1
            && (la - lb).abs() < LEVEL * la.max(lb)
            && (a.chroma.u - b.chroma.u).hypot(a.chroma.v - b.chroma.v) < COLOUR
    };
    let pairs: Vec<bool> = lit.windows(2).map(|pair| alike(&pair[0], &pair[1])).collect();
    for i in 0..lit.len() {
        let with_before = i > 0 && pairs[i - 1];
        let with_after = pairs.get(i).copied().unwrap_or(false);
        lit[i].full = with_before || with_after;
    }
    // Flashes of a single frame have no like beside them.
    if !lit.iter().any(|l| l.full) {
        for l in lit.iter_mut() {
            l.full = samples[l.frame].level > FULL_FROM;
        }
    }
}

/// Colours of one lamp differ in brightness; each is to have its own usual level at 1.
fn level_by_tint(samples: &mut [Sample], tints: usize) {
    for tint in 0..tints {
        let mut levels: Vec<f64> = samples
            .iter()
            .filter(|s| s.tint == Some(tint))
            .map(|s| s.level)
            .collect();
        levels.sort_by(f64::total_cmp);
        let Some(&usual) = levels.get(usual(levels.len())) else {
            continue;
        };
        for sample in samples.iter_mut().filter(|s| s.tint == Some(tint)) {
            sample.level /= usual;
        }
    }
}

/// Frame-to-frame scatter of the level where it does not switch: median absolute difference, scaled to a
/// standard deviation.
fn noise(samples: &[Sample]) -> f64 {
    let says = |sample: &&Sample| sample.sighting != Sighting::Seen || sample.tells();
    let steps: Vec<f64> = samples
        .iter()
        .filter(says)
        .collect::<Vec<_>>()
        .windows(2)
        .filter(|pair| pair.iter().all(|s| s.sighting == Sighting::Seen))
        .map(|pair| (pair[1].level - pair[0].level).abs())
        .filter(|step| *step < 0.3)
        .collect();
    // A difference of two has the square root of two times the noise of one.
    deviation(&steps, 0.0).map_or(0.0, |sd| sd / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    fn glimpse(frame: usize, excess: f64, base_is_lit: bool) -> Glimpse {
        Glimpse {
            time_s: frame as f64 / 30.0,
            place: (0.0, 0.0),
            sighting: Sighting::Seen,
            excess,
            base: 0.3,
            base_is_lit,
            alone: !base_is_lit,
            emitted: [excess.max(0.0), 0.0, 0.0],
            halo: None,
            clipped: 0.0,
        }
    }

    /// Lit in every frame that the lamp was learnt from, and dark later on: the lens is darker than the wall about it,
    /// or brighter.
    #[rstest]
    #[case::darker_than_its_surround(-0.06, true, 0.0)]
    #[case::brighter(0.06, true, 0.1)]
    #[case::seen_dark_at_first(-0.06, false, -0.1)]
    fn dark_is_what_the_unlit_lens_gives(
        #[case] lens: f64,
        #[case] base_is_lit: bool,
        #[case] expected: f64,
    ) {
        let excess = |frame: usize| if frame < 30 { 0.6 } else { lens };
        let glimpses: Vec<Glimpse> = (0..60)
            .map(|frame| glimpse(frame, excess(frame), base_is_lit))
            .collect();
        let seen: Vec<&Glimpse> = glimpses.iter().collect();
        let zero = unlit_excess(&seen, 0.6);
        let level = (lens - zero) / (0.6 - zero);
        assert!((level - expected).abs() < 1e-9, "{level}");
    }
}
