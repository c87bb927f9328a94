//! Whether two patterns differ, told without the inference: the share of the time in which they look different at the
//! best match.

use lampwise::colour::ColourName;
use lampwise::render::Beat;
use lampwise::table::{Cycle, LightTable, Pattern, Shade};

/// Names that cameras mix up; for "in no row" they are one colour.
const NEAR: [(ColourName, ColourName); 6] = [
    (ColourName::Red, ColourName::Amber),
    (ColourName::Amber, ColourName::Yellow),
    (ColourName::Yellow, ColourName::Green),
    (ColourName::White, ColourName::WarmWhite),
    (ColourName::White, ColourName::Cyan),
    (ColourName::Blue, ColourName::Violet),
];

/// Seconds compared, and their step.
const COMPARED_S: f64 = 9.0;
const STEP_S: f64 = 0.01;

/// Phases and places within the tolerance that are tried.
const PHASES: usize = 48;
const PACES: usize = 9;

type Look = Option<(ColourName, f64)>;

/// Least share of the time by which a cycle differs from whatever the table has for any light, since nobody tells which
/// lamp is which; of a sequence every part counts as a row.
pub(crate) fn from_table(beats: &[Beat], table: &LightTable) -> f64 {
    let rows = table.meanings.iter();
    rows.flat_map(|row| &row.shows)
        .map(|show| from_pattern(beats, &show.pattern))
        .fold(1.0, f64::min)
}

fn from_pattern(beats: &[Beat], pattern: &Pattern) -> f64 {
    match pattern {
        Pattern::Constant(shade) => mean(beats, |_| look_of(*shade, *shade, 0.0)),
        Pattern::Sequence(parts) => parts
            .iter()
            .map(|part| from_pattern(beats, &part.pattern))
            .fold(1.0, f64::min),
        Pattern::Cycle(cycle) => from_cycle(beats, cycle),
    }
}

fn from_cycle(beats: &[Beat], cycle: &Cycle) -> f64 {
    let mut least = 1.0_f64;
    for period_s in paces(beats, cycle) {
        for stretch in [0.0, 0.5, 1.0] {
            for phase in 0..PHASES {
                let shift_s = period_s * phase as f64 / PHASES as f64;
                least = least.min(mean(beats, |at_s| {
                    let share = ((at_s + shift_s) / period_s).fract();
                    in_cycle(cycle, share * cycle.period_s, stretch)
                }));
            }
        }
    }
    least
}

/// Periods within the tolerance: some all over it, and those in step with the beats, since over seconds of quick flashes
/// a hundredth off is out of step.
fn paces(beats: &[Beat], cycle: &Cycle) -> Vec<f64> {
    /// Cycles that may go on the beats once, or the other way round.
    const TIMES: u8 = 4;
    let over = (0..PACES).map(|pace| {
        let off = 2.0 * pace as f64 / (PACES - 1) as f64 - 1.0;
        cycle.period_s * (1.0 + cycle.within * off)
    });
    let own_s: f64 = beats.iter().map(|beat| beat.lasts_s).sum();
    let in_step = (1..=TIMES).flat_map(|times| [own_s / f64::from(times), own_s * f64::from(times)]);
    let allowed = |period_s: &f64| (period_s / cycle.period_s - 1.0).abs() <= cycle.within;
    over.chain(in_step.filter(allowed)).collect()
}

fn in_cycle(cycle: &Cycle, at_s: f64, stretch: f64) -> Look {
    let mut rest_s = at_s;
    for phase in &cycle.phases {
        let (least_s, most_s) = phase.range_s;
        let lit = phase.from != Shade::Dark;
        let place = if lit { stretch } else { 1.0 - stretch };
        let lasts_s = least_s + place * (most_s - least_s);
        if rest_s < lasts_s {
            return look_of(phase.from, phase.to, rest_s / lasts_s);
        }
        rest_s -= lasts_s;
    }
    None
}

fn look_of(from: Shade, to: Shade, share: f64) -> Look {
    let level = |shade| match shade {
        Shade::Dark => (None, 0.0),
        Shade::Lit(colour, level) => (Some(colour), level),
    };
    let ((first, from), (second, to)) = (level(from), level(to));
    first
        .or(second)
        .map(|colour| (colour, from + share * (to - from)))
}

fn of_beats(beats: &[Beat], at_s: f64) -> Look {
    let period_s: f64 = beats.iter().map(|beat| beat.lasts_s).sum();
    let mut rest_s = at_s % period_s;
    for beat in beats {
        if rest_s < beat.lasts_s {
            let share = rest_s / beat.lasts_s;
            return beat
                .colour
                .map(|colour| (colour, beat.from + share * (beat.to - beat.from)));
        }
        rest_s -= beat.lasts_s;
    }
    None
}

fn mean(beats: &[Beat], other: impl Fn(f64) -> Look) -> f64 {
    let steps = (COMPARED_S / STEP_S) as usize;
    let apart = |step: usize| {
        let at_s = step as f64 * STEP_S;
        apart(of_beats(beats, at_s), other(at_s))
    };
    (0..steps).map(apart).sum::<f64>() / steps as f64
}

fn apart(a: Look, b: Look) -> f64 {
    match (a, b) {
        (None, None) => 0.0,
        (Some((_, level)), None) | (None, Some((_, level))) => level,
        (Some((first, a)), Some((second, b))) if alike(first, second) => (a - b).abs(),
        (Some((_, a)), Some((_, b))) => a.max(b),
    }
}

fn alike(a: ColourName, b: ColourName) -> bool {
    a == b || NEAR.contains(&(a, b)) || NEAR.contains(&(b, a))
}
