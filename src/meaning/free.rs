//! The free rival: some pattern that is not in the table.
//!
//! It may be dark, lit in one colour, change at will, or drift. Changes cost: a light that changes often is better
//! explained by a rhythm, if the table has the right one, and better by this rival if it has not.

use rayon::prelude::*;

use super::math::log_sum;
use super::measured::{self, Measured};
use super::rhythm;
use super::score;
use super::spans::Spans;
use super::tints::{dark_chance, lit_chance, name_evidence};
use super::watch::{Watch, Within, drift_sd, level_code, level_density};
use crate::colour::ColourName;
use crate::table::{Pattern, Shade};
use crate::trace::Trace;

/// Weights of what an unlisted light may do, before looking: dark, lit, changing at will, with a rhythm of its own, drifting. Guessed: most states that a
/// table forgets are rhythms.
const DARK: f64 = 0.1;
const LIT: f64 = 0.2;
const CHANGING: f64 = 0.3;
const RHYTHM: f64 = 0.3;
const DRIFTING: f64 = 0.1;

/// Weight of colours that the table does not list for the light. Guessed: few of the states that a table forgets have one, but
/// more than half of the lamps of another device, which are a good part of what is in no row.
const FOREIGN: f64 = 0.2;

/// Rates of change tried, changes per second, equally weighted: status lights change from once in five seconds to
/// sixteen times a second.
const RATES_HZ: [f64; 4] = [0.2, 1.0, 4.0, 16.0];

/// Density of a frame in which a change falls: any level between the two, its tint blurred.
const EDGE_DENSITY: f64 = 0.6;

/// Log price of turning from one thing that no row says to another. Guessed: between the price of a change of meaning and
/// that of an end of the clip that nothing explains.
const TURN: f64 = -5.0;

/// How fast a drifting light may drift, full levels per second.
const DRIFT_PER_S: f64 = 1.5;

/// Chance that a drifting light turns to another tint from one frame to the next. Guessed: drifting is swelling in one colour.
const DRIFT_TINT: f64 = 0.02;

/// Evidence of the free rival on one light.
pub(super) struct Free {
    /// Whatever the light does.
    pub(super) any: Spans,
    /// Of that, dark throughout.
    dark: Spans,
    /// Of that, lit throughout, by colour of the light.
    lit: Vec<(ColourName, Spans)>,
}

impl Free {
    /// With a rhythm of its own, unless it is `listed`.
    pub(super) fn new(watch: &Watch, colours: &[ColourName], listed: &[&Pattern]) -> Self {
        let is_heard_of = |measured: &Measured| listed.iter().any(|pattern| measured.is_listed(pattern));
        Self::with(watch, colours, || rhythm(watch, colours, is_heard_of))
    }

    /// The same for what may be no lamp at all: nor with a rhythm that the room's light may have given it.
    pub(super) fn of_any(watch: &Watch, colours: &[ColourName], listed: &[&Pattern]) -> Self {
        let is_heard_of = |measured: &Measured| {
            measured.beats_with_mains(watch.fps()) || listed.iter().any(|pattern| measured.is_listed(pattern))
        };
        Self::with(watch, colours, || rhythm(watch, colours, is_heard_of))
    }

    /// In any colour, and without a rhythm.
    pub(super) fn plain(watch: &Watch) -> Self {
        Self::with(watch, &ColourName::ALL, || None)
    }

    fn with(watch: &Watch, colours: &[ColourName], rhythm: impl FnOnce() -> Option<Spans> + Send) -> Self {
        let (rhythm, moving) = rayon::join(rhythm, || moving(watch, colours));
        let weighted = |pattern: &Pattern, weight: f64| {
            let evidence = score::evidence(pattern, watch, 0.0);
            Spans::from_fn(evidence.cuts(), |a, b| evidence.at(a, b) + weight.ln())
        };
        let dark = weighted(&Pattern::Constant(Shade::Dark), DARK);
        let share = LIT * (1.0 - FOREIGN) / colours.len().max(1) as f64;
        let lit: Vec<_> = colours
            .iter()
            .map(|colour| {
                (
                    *colour,
                    weighted(&Pattern::Constant(Shade::Lit(*colour, 1.0)), share),
                )
            })
            .collect();
        let foreign = foreign(watch, colours);
        let any = Spans::from_fn(dark.cuts(), |a, b| {
            let own = rhythm.as_ref().map_or(f64::NEG_INFINITY, |spans| spans.at(a, b));
            let known = [
                dark.at(a, b),
                moving.at(a, b),
                foreign + constant_any(&lit, a, b),
                own,
            ];
            log_sum(
                known
                    .into_iter()
                    .chain(lit.iter().map(|(_, spans)| spans.at(a, b)))
                    .collect::<Vec<_>>()
                    .into_iter(),
            )
        });
        let any = turning(&any);
        Self { any, dark, lit }
    }

    /// The part of the rival that a constant row covers, so that the same look is not also "not in the table".
    pub(super) fn covered(&self, pattern: &Pattern) -> Option<&Spans> {
        match pattern {
            Pattern::Constant(Shade::Dark) => Some(&self.dark),
            Pattern::Constant(Shade::Lit(colour, _)) => self
                .lit
                .iter()
                .find(|(known, _)| known == colour)
                .map(|(_, spans)| spans),
            _ => None,
        }
    }
}

/// Whatever the light does, and then whatever else: each turn to something else has its price, and one choice among the
/// places.
fn turning(any: &Spans) -> Spans {
    let cuts = any.cuts();
    let mut table = vec![f64::NEG_INFINITY; cuts * cuts];
    for a in 0..cuts {
        for b in a + 1..cuts {
            let price = TURN - ((b - a) as f64).ln();
            let turned = (a + 1..b).map(|at| table[a * cuts + at] + any.at(at, b) + price);
            table[a * cuts + b] = log_sum(turned.chain([any.at(a, b)]));
        }
    }
    Spans::from_fn(cuts, |a, b| table[a * cuts + b])
}

/// Lit throughout in a colour of the table, as a stand-in for the levels of a foreign colour.
fn constant_any(lit: &[(ColourName, Spans)], a: usize, b: usize) -> f64 {
    lit.iter()
        .map(|(_, spans)| spans.at(a, b))
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Log of how much better a foreign colour explains the longest-seen tint than the best listed one does.
fn foreign(watch: &Watch, colours: &[ColourName]) -> f64 {
    let Some(tint) = watch.trace.tints.first() else {
        return f64::NEG_INFINITY;
    };
    let of = |listed: bool| {
        let names = ColourName::ALL
            .into_iter()
            .filter(move |name| colours.contains(name) == listed);
        names
            .map(|name| name_evidence(&tint.names, name))
            .fold(f64::NEG_INFINITY, f64::max)
    };
    FOREIGN.ln() + of(false) - of(true)
}

/// A rhythm that is not heard of, in whatever colours.
fn rhythm(
    watch: &Watch,
    colours: &[ColourName],
    is_heard_of: impl FnOnce(&Measured) -> bool,
) -> Option<Spans> {
    let measured = measured::measure(watch)?;
    if is_heard_of(&measured) {
        return None;
    }
    let spans = rhythm::evidence(&measured, watch);
    let names = Names::new(watch, colours);
    Some(Spans::from_fn(spans.cuts(), |a, b| {
        spans.at(a, b) + RHYTHM.ln() + names.between(watch, a, b)
    }))
}

/// Changing or drifting.
fn moving(watch: &Watch, colours: &[ColourName]) -> Spans {
    let emissions = Emissions::new(watch);
    let changing: Vec<Spans> = RATES_HZ
        .par_iter()
        .map(|rate| changing(watch, &emissions, *rate))
        .collect();
    let drift = drifting(watch);
    let names = Names::new(watch, colours);
    Spans::from_fn(watch.frames.len(), |a, b| {
        let rates = changing.iter().map(|spans| spans.at(a, b));
        let changes = log_sum(rates) + (CHANGING / RATES_HZ.len() as f64).ln();
        let drifts = drift[b] - drift[a] + DRIFTING.ln();
        log_sum([changes, drifts].into_iter()) + names.between(watch, a, b)
    })
}

/// Log evidence of every tint where the light may take any of its colours, or a foreign one.
struct Names(Vec<f64>);

impl Names {
    fn new(watch: &Watch, colours: &[ColourName]) -> Self {
        let of = |tint| tint_evidence(watch.trace, tint, colours);
        Self((0..watch.tints()).map(of).collect())
    }

    fn between(&self, watch: &Watch, a: usize, b: usize) -> f64 {
        let of = |(tint, name): (usize, &f64)| name * watch.share(tint, a, b);
        self.0.iter().enumerate().map(of).sum()
    }
}

/// Log evidence of a tint when the light may take any of its colours, or a foreign one.
fn tint_evidence(trace: &Trace, tint: usize, colours: &[ColourName]) -> f64 {
    let weight = |name: &ColourName| {
        let listed = if colours.contains(name) {
            (1.0 - FOREIGN) / colours.len() as f64
        } else {
            0.0
        };
        listed + FOREIGN / ColourName::ALL.len() as f64
    };
    let names = ColourName::ALL
        .iter()
        .map(|name| weight(name).ln() + name_evidence(&trace.tints[tint].names, *name));
    log_sum(names)
}

/// Tempered densities of every frame under every state: dark, then each tint.
struct Emissions {
    states: usize,
    values: Vec<f64>,
    edge: Vec<f64>,
}

impl Emissions {
    fn new(watch: &Watch) -> Self {
        let lit_states = watch.tints().max(1);
        let states = 1 + lit_states;
        let mut values = vec![1.0; watch.len() * states];
        let mut edge = vec![1.0; watch.len()];
        for frame in (0..watch.len()).filter(|frame| watch.seen(*frame)) {
            let level = |level: f64| f64::from(watch.level(level_code(level, Within::Steady))[frame]).exp();
            let shown = watch.tint(frame);
            let dark = f64::from(dark_chance(shown, watch.tints()));
            values[frame * states] = level(0.0) * dark.powf(watch.temper);
            for lit in 0..lit_states {
                let gain = watch.gains.get(lit).copied().unwrap_or(1.0);
                let tint = lit_chance(shown, lit, watch.tints());
                values[frame * states + 1 + lit] = level(gain) * tint.powf(watch.temper);
            }
            edge[frame] = (EDGE_DENSITY * 0.4).powf(watch.temper);
        }
        Self { states, values, edge }
    }
}

/// Forward sums of a chain of dark and lit runs, from every cut to every later cut.
fn changing(watch: &Watch, emissions: &Emissions, rate_hz: f64) -> Spans {
    let cuts = watch.frames.len();
    let mut table = vec![f64::NEG_INFINITY; cuts * cuts];
    let since_last = |frame: usize| watch.trace.samples[frame.saturating_sub(1)].span_s;
    // Chance that the light changed before each frame.
    let chances: Vec<f64> = (0..watch.len())
        .map(|frame| 1.0 - (-rate_hz * since_last(frame)).exp())
        .collect();
    for a in 0..cuts - 1 {
        let mut alpha = vec![1.0 / emissions.states as f64; emissions.states];
        let mut log_scale = 0.0;
        for b in a + 1..cuts {
            let ln_step = |frame: usize| {
                let change = if frame == watch.frames[a] {
                    0.0
                } else {
                    chances[frame]
                };
                step(&mut alpha, emissions, frame, change).ln()
            };
            log_scale += (watch.frames[b - 1]..watch.frames[b]).map(ln_step).sum::<f64>();
            table[a * cuts + b] = log_scale;
        }
    }
    Spans::from_fn(cuts, |a, b| table[a * cuts + b])
}

/// One frame of the forward sums; returns the scale taken out.
fn step(alpha: &mut [f64], emissions: &Emissions, frame: usize, change: f64) -> f64 {
    let states = emissions.states;
    let total: f64 = alpha.iter().sum();
    let each = change / (states as f64 - 1.0);
    let values = &emissions.values[frame * states..(frame + 1) * states];
    let mut sum = 0.0;
    for (before, value) in alpha.iter_mut().zip(values) {
        let came = (total - *before) * each;
        *before = *before * (1.0 - change) * value + came * 0.5 * (value + emissions.edge[frame]);
        sum += *before;
    }
    for value in alpha.iter_mut() {
        *value /= sum;
    }
    sum
}

/// Running log evidence at the cuts of a light whose level follows the one before.
fn drifting(watch: &Watch) -> Vec<f64> {
    let mut last: Option<(f64, f64)> = None;
    let mut tint_before = None;
    let mut sum = 0.0;
    let mut at = vec![0.0];
    for window in watch.frames.windows(2) {
        for frame in window[0]..window[1] {
            let sample = &watch.trace.samples[frame];
            if !watch.seen(frame) {
                continue;
            }
            let density = last.map_or(0.5, |(time_s, level)| {
                let drift = DRIFT_PER_S * (sample.time_s - time_s);
                level_density(
                    sample.level,
                    level,
                    drift_sd(sample.level_sd).hypot(sample.level_sd).hypot(drift),
                )
            });
            let shown = watch.tint(frame);
            let tint = if shown.is_some() { 0.9 } else { 0.5 };
            sum += watch.temper * (density.ln() + f64::ln(tint));
            if shown.is_some() && tint_before.is_some() && shown != tint_before {
                sum += DRIFT_TINT.ln();
            }
            tint_before = shown.or(tint_before);
            last = Some((sample.time_s, sample.level));
        }
        at.push(sum);
    }
    at
}
