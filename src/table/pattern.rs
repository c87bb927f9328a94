//! A row's light as a timed pattern: what is lit, in which colour, for how long.

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
    /// Shortest and longest, seconds, at the nominal period. Equal to `lasts_s` twice where the table fixes it; what
    /// one phase gains the dark phase that follows gives back, so that the period holds.
    pub range_s: (f64, f64),
}

/// Colour and brightness at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shade {
    /// Dark.
    Dark,
    /// Lit in this colour at this share of full brightness (linear light, 0 to 1).
    Lit(ColourName, f64),
}

/// One part of a sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What the light does meanwhile: `Constant` or `Cycle`.
    pub pattern: Pattern,
    /// Shortest and longest stay, seconds; the longest may be infinite.
    pub for_s: (f64, f64),
}
