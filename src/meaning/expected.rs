//! The trace that a pattern would give without noise, to ask what a clip could tell.

use crate::colour::{ColourName, NameBelief, ReadFrom};
use crate::table::{Cycle, Pattern, Phase, Shade};
use crate::trace::{Chroma, Sample, Sighting, Tint, Trace};

use super::shape::colours;

/// Instants averaged over each exposure.
const INSTANTS: usize = 8;

/// Exposure assumed, as a share of the distance of frames.
const EXPOSURE: f64 = 0.5;

/// Noise of the level assumed.
const LEVEL_SD: f64 = 0.05;

/// A frame with less light than this has no tint.
const TINT_LEVEL: f64 = 0.15;

/// The trace of a pattern from its start. Every tint may have any name, so that only the timing tells.
pub(super) fn trace(pattern: &Pattern, fps: f64, seconds: f64) -> Trace {
    trace_from(pattern, fps, seconds, 0.0)
}

/// The same from a moment so many seconds after its start.
pub(super) fn trace_from(pattern: &Pattern, fps: f64, seconds: f64, from_s: f64) -> Trace {
    let colours = colours(pattern);
    let span_s = 1.0 / fps;
    let count = ((seconds * fps).ceil() as usize).max(1);
    let samples: Vec<Sample> = (0..count)
        .map(|frame| sample(pattern, &colours, frame as f64 * span_s, span_s, from_s))
        .collect();
    let chroma = Chroma {
        u: 0.2,
        v: 0.47,
        sd: 0.01,
    };
    let names = NameBelief::from_weights([1.0; ColourName::ALL.len()]);
    let share = 1.0 / colours.len().max(1) as f64;
    let tint = Tint {
        chroma,
        read_from: ReadFrom::CLEAN,
        names,
        dominant_nm: None,
        purity: 0.0,
        share,
    };
    Trace {
        samples,
        tints: vec![tint; colours.len()],
        beat_hz: None,
        otherwise: None,
    }
}

fn sample(pattern: &Pattern, colours: &[ColourName], time_s: f64, span_s: f64, from_s: f64) -> Sample {
    let mut light = vec![0.0; colours.len()];
    for instant in 0..INSTANTS {
        let at_s = from_s + time_s + EXPOSURE * span_s * (instant as f64 + 0.5) / INSTANTS as f64;
        if let Shade::Lit(colour, level) = shade_at(pattern, at_s) {
            let index = colours
                .iter()
                .position(|known| *known == colour)
                .expect("a pattern shows its own colours");
            light[index] += level / INSTANTS as f64;
        }
    }
    let level = light.iter().sum();
    let tint = (0..light.len())
        .max_by(|a, b| light[*a].total_cmp(&light[*b]))
        .filter(|_| level > TINT_LEVEL);
    Sample {
        time_s,
        span_s,
        sighting: Sighting::Seen,
        level,
        level_sd: LEVEL_SD,
        chroma: None,
        tint,
        turned: None,
    }
}

/// What a pattern shows so many seconds after its start. A sequence stays in each part as long as it must, and in the
/// last for ever.
fn shade_at(pattern: &Pattern, at_s: f64) -> Shade {
    match pattern {
        Pattern::Constant(shade) => *shade,
        Pattern::Cycle(cycle) => phase_at(cycle, at_s),
        Pattern::Sequence(parts) => {
            let mut rest = at_s;
            for part in &parts[..parts.len() - 1] {
                if rest < part.for_s.0 {
                    return shade_at(&part.pattern, rest);
                }
                rest -= part.for_s.0;
            }
            shade_at(&parts[parts.len() - 1].pattern, rest)
        }
    }
}

pub(super) fn phase_at(cycle: &Cycle, at_s: f64) -> Shade {
    let mut rest = at_s.rem_euclid(cycle.period_s);
    for phase in &cycle.phases {
        if rest < phase.lasts_s {
            return between(phase, rest / phase.lasts_s);
        }
        rest -= phase.lasts_s;
    }
    cycle.phases[0].from
}

fn between(phase: &Phase, share: f64) -> Shade {
    let mixed = shade_level(phase.from) * (1.0 - share) + shade_level(phase.to) * share;
    match (phase.from, phase.to) {
        (Shade::Lit(colour, _), Shade::Dark) | (_, Shade::Lit(colour, _)) => Shade::Lit(colour, mixed),
        (Shade::Dark, Shade::Dark) => Shade::Dark,
    }
}

/// Level of a shade, 0 to 1.
pub(super) const fn shade_level(shade: Shade) -> f64 {
    match shade {
        Shade::Dark => 0.0,
        Shade::Lit(_, level) => level,
    }
}
