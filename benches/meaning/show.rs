//! What a row's lamps do in one clip: its pattern at the device's own pace, and how much of it is filmed.

use lampwise::render::{Beat, Shown, Stretch};
use lampwise::table::{Pattern, Shade};
use rand::Rng;
use rand_pcg::Pcg64;

/// Devices keep to their nominal times to a few per cent.
const PACE: std::ops::Range<f64> = 0.96..1.04;

/// Seconds filmed of a light that does not change, cycles of one that does, and the least of both.
const STEADY_S: std::ops::Range<f64> = 5.0..9.0;
const CYCLES: std::ops::Range<f64> = 3.1..5.0;
const LEAST_S: f64 = 5.0;

/// Dark before and after a sequence, seconds.
const BEFORE_S: std::ops::Range<f64> = 0.5..1.5;
const AFTER_S: f64 = 0.4;

/// A stay that the table leaves open lasts at most so much longer than it must, seconds.
const LINGERS_S: f64 = 2.0;

/// What is left of a first part that the clip does not show from its start, seconds.
const LEFT_OF_FIRST_S: f64 = 1.0;

/// A lamp as it is filmed.
pub(crate) struct Show {
    pub(crate) shown: Shown,
    /// Its pattern time at the start of the clip, seconds.
    pub(crate) starts_at_s: f64,
    /// How long it has to be filmed, seconds.
    pub(crate) seconds: f64,
    /// A sequence that begins before the clip or ends after it.
    pub(crate) cut: bool,
}

pub(crate) fn pace(random: &mut Pcg64) -> f64 {
    random.random_range(PACE)
}

/// A light of which a row says nothing.
pub(crate) fn dark() -> Show {
    steady(&Pattern::Constant(Shade::Dark), 0.0)
}

fn steady(pattern: &Pattern, seconds: f64) -> Show {
    Show {
        shown: Shown::from(pattern),
        starts_at_s: 0.0,
        seconds,
        cut: false,
    }
}

pub(crate) fn show(pattern: &Pattern, pace: f64, random: &mut Pcg64) -> Show {
    match pattern {
        Pattern::Constant(_) => steady(pattern, random.random_range(STEADY_S)),
        Pattern::Cycle(cycle) => Show {
            shown: Shown::Cycle(beats(pattern, pace)),
            starts_at_s: random.random_range(0.0..cycle.period_s * pace),
            seconds: (random.random_range(CYCLES) * cycle.period_s * pace).max(LEAST_S),
            cut: false,
        },
        Pattern::Sequence(_) => sequence(pattern, pace, random),
    }
}

pub(crate) fn beats(pattern: &Pattern, pace: f64) -> Vec<Beat> {
    let Shown::Cycle(mut beats) = Shown::from(pattern) else {
        unreachable!("no sequence is asked for");
    };
    for beat in &mut beats {
        beat.lasts_s *= pace;
    }
    beats
}

fn sequence(pattern: &Pattern, pace: f64, random: &mut Pcg64) -> Show {
    let Pattern::Sequence(parts) = pattern else {
        unreachable!("only sequences are asked for");
    };
    let stretches: Vec<Stretch> = parts
        .iter()
        .map(|part| {
            let (least_s, most_s) = part.for_s;
            // A stay of exactly so many cycles goes with the device's pace; any other is somebody's finger, and a stay
            // at the very edge of its range is not decidable.
            let for_s = if most_s - least_s < 0.4 * least_s && most_s.is_finite() {
                pace * 0.5 * (least_s + most_s)
            } else {
                let most_s = most_s.min(least_s + LINGERS_S);
                random.random_range(least_s + 0.2..most_s - 0.2)
            };
            Stretch {
                for_s,
                cycle: beats(&part.pattern, pace),
            }
        })
        .collect();
    let all_s: f64 = stretches.iter().map(|stretch| stretch.for_s).sum();
    let first_s = stretches[0].for_s;
    let last_s = stretches[stretches.len() - 1].for_s;
    let cut = random.random_range(0..3) == 0;
    let starts_at_s = if cut && first_s > LEFT_OF_FIRST_S {
        random.random_range(0.0..first_s - LEFT_OF_FIRST_S)
    } else {
        -random.random_range(BEFORE_S)
    };
    let ends_s = if cut {
        all_s - last_s * random.random_range(0.0..0.25)
    } else {
        all_s + AFTER_S
    };
    Show {
        shown: Shown::Sequence(stretches),
        starts_at_s,
        seconds: ends_s - starts_at_s,
        cut,
    }
}
