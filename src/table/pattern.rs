//! A row's light as a timed pattern: what is lit, in which colour, for how long.

use super::model::{Shows, Stay};
use crate::colour::ColourName;

/// What a light does over time, in a form that can be integrated over a frame's exposure.
#[derive(Debug, Clone, PartialEq)]
pub enum Pattern {
    /// The same all the time.
    Constant(Shade),
    /// The same cycle again and again.
    Cycle(Cycle),
    /// Parts one after the other, once; before the first and after the last the pattern says nothing.
    Sequence(Vec<Part>),
}

impl Pattern {
    /// What a table says of a light, as a timed pattern.
    #[must_use]
    pub fn of(shows: &Shows) -> Self {
        let phases = match shows {
            Shows::Off => return Self::Constant(Shade::Dark),
            Shows::Fixed(colour) => return Self::Constant(Shade::full(*colour)),
            Shows::Sequence(stays) => return Self::Sequence(stays.iter().map(Part::of).collect()),
            Shows::Flashing {
                colour,
                period,
                on_s,
                group,
                apart_s,
            } => flashes(*colour, period.seconds, *on_s, *group, *apart_s),
            Shows::Alternating { colours, each } => {
                let state = |colour: &ColourName| Phase::steady(Shade::full(*colour), each.seconds);
                colours.iter().map(state).collect()
            }
            Shows::Breathing { colour, period } => breath(*colour, period.seconds),
            Shows::Steps(steps) => steps
                .iter()
                .map(|(state, timed)| Phase::steady(state.map_or(Shade::Dark, Shade::full), timed.seconds))
                .collect(),
        };
        let cycle = shows.cycle().expect("all forms without a cycle have returned");
        Self::Cycle(Cycle {
            phases,
            period_s: cycle.seconds,
            within: cycle.within,
        })
    }
}

/// Each flash takes the middle of its range; what it gains, the dark after it loses.
fn flashes(
    colour: ColourName,
    period_s: f64,
    (least_s, most_s): (f64, f64),
    group: u32,
    apart_s: Option<f64>,
) -> Vec<Phase> {
    let slot_s = apart_s.unwrap_or(period_s);
    let on_s = (least_s + most_s) / 2.0;
    let last_slot_s = period_s - f64::from(group - 1) * slot_s;
    let mut phases = Vec::new();
    for flash in 1..=group {
        let slot_s = if flash == group { last_slot_s } else { slot_s };
        let lit = Shade::full(colour);
        phases.push(Phase {
            from: lit,
            to: lit,
            lasts_s: on_s,
            range_s: (least_s, most_s),
        });
        phases.push(Phase {
            from: Shade::Dark,
            to: Shade::Dark,
            lasts_s: slot_s - on_s,
            range_s: (slot_s - most_s, slot_s - least_s),
        });
    }
    phases
}

/// Up and down in equal times, straight in linear light.
fn breath(colour: ColourName, period_s: f64) -> Vec<Phase> {
    let half_s = period_s / 2.0;
    let (low, high) = (Shade::Lit(colour, 0.0), Shade::full(colour));
    let ramp = |from, to| Phase {
        from,
        to,
        lasts_s: half_s,
        range_s: (half_s, half_s),
    };
    vec![ramp(low, high), ramp(high, low)]
}

/// A cycle of phases.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// In order, at least two. Their nominal durations add up to `period_s`.
    pub phases: Vec<Phase>,
    /// Nominal length of one cycle, seconds.
    pub period_s: f64,
    /// Share by which the whole cycle may run slow or fast.
    pub within: f64,
}

/// One stretch of a cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// At its start.
    pub from: Shade,
    /// At its end; differs from `from` only where the light swells or fades.
    pub to: Shade,
    /// Nominal duration, seconds.
    pub lasts_s: f64,
    /// Shortest and longest, seconds, at the nominal period. Equal to `lasts_s` twice where the table fixes
    /// it; what one phase gains the dark phase that follows gives back, so that the period holds.
    pub range_s: (f64, f64),
}

impl Phase {
    fn steady(shade: Shade, lasts_s: f64) -> Self {
        Self {
            from: shade,
            to: shade,
            lasts_s,
            range_s: (lasts_s, lasts_s),
        }
    }
}

/// Colour and brightness at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shade {
    /// Dark.
    Dark,
    /// Lit in this colour at this share of full brightness (linear light, 0 to 1).
    Lit(ColourName, f64),
}

impl Shade {
    fn full(colour: ColourName) -> Self {
        Self::Lit(colour, 1.0)
    }
}

/// One part of a sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What the light does meanwhile: `Constant` or `Cycle`.
    pub pattern: Pattern,
    /// Shortest and longest stay, seconds; the longest may be infinite.
    pub for_s: (f64, f64),
}

impl Part {
    fn of(stay: &Stay) -> Self {
        Self {
            pattern: Pattern::of(&stay.shows),
            for_s: stay.for_s,
        }
    }
}
