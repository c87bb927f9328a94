//! A pattern as stretches of time, once through: what the page draws and moves.

use crate::colour::ColourName;
use crate::table::{Cycle, Part, Pattern, Phase, Shade};

/// A part without an upper end is shown for this many cycles, or its shortest stay.
const OPEN_CYCLES: f64 = 3.0;

/// The same for a part that does not change, seconds.
const OPEN_S: f64 = 2.0;

/// A steady light has no length; this is the one drawn, seconds.
const STEADY_S: f64 = 2.0;

/// Most stretches drawn; what has more is cut off there.
const MOST: usize = 240;

/// One colour, or dark, for a while; the level changes evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    /// `None` is dark.
    pub(super) colour: Option<ColourName>,
    /// Level at its start and end, 0 to 1.
    pub(super) levels: (f64, f64),
    pub(super) lasts_s: f64,
}

/// What a light does, once through: a cycle, or a whole sequence.
pub(super) fn course(pattern: &Pattern) -> Vec<Stretch> {
    let mut all = match pattern {
        Pattern::Constant(shade) => vec![steady(*shade, STEADY_S)],
        Pattern::Cycle(cycle) => cycle.phases.iter().map(of_phase).collect(),
        Pattern::Sequence(parts) => parts.iter().flat_map(of_part).collect(),
    };
    all.truncate(MOST);
    all
}

pub(super) fn length_s(course: &[Stretch]) -> f64 {
    course.iter().map(|stretch| stretch.lasts_s).sum()
}

fn steady(shade: Shade, lasts_s: f64) -> Stretch {
    let (colour, level) = match shade {
        Shade::Dark => (None, 0.0),
        Shade::Lit(colour, level) => (Some(colour), level),
    };
    Stretch {
        colour,
        levels: (level, level),
        lasts_s,
    }
}

fn of_phase(phase: &Phase) -> Stretch {
    let (from, to) = (steady(phase.from, 0.0), steady(phase.to, 0.0));
    Stretch {
        colour: from.colour.or(to.colour),
        levels: (from.levels.0, to.levels.0),
        lasts_s: phase.lasts_s,
    }
}

/// How long a part is shown: the middle of its range.
pub(super) fn stay_s(part: &Part) -> f64 {
    let (least_s, most_s) = part.for_s;
    if most_s.is_finite() {
        return 0.5 * (least_s + most_s);
    }
    least_s.max(match &part.pattern {
        Pattern::Cycle(cycle) => OPEN_CYCLES * cycle.period_s,
        Pattern::Constant(_) | Pattern::Sequence(_) => OPEN_S,
    })
}

fn of_part(part: &Part) -> Vec<Stretch> {
    let stay_s = stay_s(part);
    match &part.pattern {
        Pattern::Cycle(cycle) => repeated(cycle, stay_s),
        Pattern::Constant(shade) => vec![steady(*shade, stay_s)],
        Pattern::Sequence(_) => Vec::new(),
    }
}

fn repeated(cycle: &Cycle, stay_s: f64) -> Vec<Stretch> {
    let mut left_s = stay_s;
    let mut found = Vec::new();
    for phase in cycle.phases.iter().cycle().take(MOST) {
        if left_s <= 1e-9 {
            break;
        }
        let mut stretch = of_phase(phase);
        let share = (left_s / stretch.lasts_s).min(1.0);
        stretch.levels.1 = stretch.levels.0 + share * (stretch.levels.1 - stretch.levels.0);
        stretch.lasts_s *= share;
        left_s -= stretch.lasts_s;
        found.push(stretch);
    }
    found
}
