//! Resets that somebody tried, as the light shows them: when each began, how long it was held, whether it took.

use super::parts::{PartSpan, parts};
use super::reading::{Episode, Reading};
use crate::table::{Kind, LightTable, Part, Pattern};
use crate::trace::{Estimate, Flash, Trace};

/// One try at a reset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attempt {
    /// The row that the light showed: of kind reset-acknowledged or reset-aborted.
    pub row: usize,
    /// Probability that it was that row.
    pub confidence: f64,
    /// When the light began to answer the button, seconds since the first frame; `None` where that was not seen.
    pub began_s: Option<Estimate>,
    /// For how long the light answered the button before it judged; at least so long where the beginning was not
    /// seen. `None` where the row shows no such part, or it was not found.
    pub held_s: Option<Estimate>,
    /// For how long it must be held at least by the table, seconds.
    pub needed_s: Option<f64>,
    /// When the light began to say that the reset took, or that it did not.
    pub answered_s: Option<Estimate>,
}

impl Attempt {
    /// By how many seconds it was held too short; `None` where it was long enough or that is not known.
    #[must_use]
    pub fn short_by_s(&self) -> Option<Estimate> {
        let (held, needed_s) = (self.held_s?, self.needed_s?);
        self.began_s?;
        (held.value < needed_s).then_some(Estimate {
            value: needed_s - held.value,
            sd: held.sd,
        })
    }

    /// Whether it was held for as long as it takes, beyond the doubt of the measurement; `None` where that was not seen.
    #[must_use]
    pub fn was_long_enough(&self) -> Option<bool> {
        /// Standard deviations.
        const BEYOND_DOUBT: f64 = 2.0;
        self.began_s?;
        let (held, needed_s) = (self.held_s?, self.needed_s?);
        Some(held.value - BEYOND_DOUBT * held.sd >= needed_s)
    }
}

/// A sequence may begin and end so many seconds beside its episode, whose ends are known only to about a change of
/// state. Guessed: a state of a reset lasts less.
const MARGIN_S: f64 = 1.0;

/// A light of the table as it was seen: its trace and its flashes.
pub type SeenLight<'a> = (&'a Trace, &'a [Flash]);

/// The tries in a clip, in order. `lights[i]` is light `i` of the table.
#[must_use]
pub fn attempts(table: &LightTable, reading: &Reading, lights: &[Option<SeenLight<'_>>]) -> Vec<Attempt> {
    let tries: Vec<&Episode> = reading
        .timeline
        .iter()
        .filter(|episode| episode.row.is_some_and(|row| is_reset(table, row)))
        .collect();
    let within = |index: usize| {
        let own = tries[index];
        let before_s = index
            .checked_sub(1)
            .map_or(f64::NEG_INFINITY, |before| tries[before].to_s);
        let after_s = tries.get(index + 1).map_or(f64::INFINITY, |next| next.from_s);
        (
            (own.from_s - MARGIN_S).max(before_s),
            (own.to_s + MARGIN_S).min(after_s),
        )
    };
    tries
        .iter()
        .enumerate()
        .filter_map(|(index, episode)| {
            let row = episode.row?;
            Some(attempt(table, row, episode, lights, within(index)))
        })
        .collect()
}

fn is_reset(table: &LightTable, row: usize) -> bool {
    matches!(
        table.meanings[row].kind,
        Kind::ResetAcknowledged | Kind::ResetAborted
    )
}

fn attempt(
    table: &LightTable,
    row: usize,
    episode: &Episode,
    lights: &[Option<SeenLight<'_>>],
    within: (f64, f64),
) -> Attempt {
    let mut attempt = Attempt {
        row,
        confidence: episode.confidence,
        began_s: None,
        held_s: None,
        needed_s: None,
        answered_s: None,
    };
    let found = table.meanings[row].shows.iter().find_map(|show| {
        let Pattern::Sequence(list) = &show.pattern else {
            return None;
        };
        let (trace, flashes) = lights.get(show.light).copied().flatten()?;
        Some((show.light, list, parts(list, trace, flashes, within)))
    });
    let Some((light, list, spans)) = found else {
        return attempt;
    };
    attempt.needed_s = needed_s(table, light, &list[0]);
    let span = |part: usize| spans.iter().find(|span| span.part == part);
    if let Some(first) = span(0) {
        attempt.began_s = (!first.open_start).then_some(first.from_s);
        attempt.held_s = (!first.open_end).then(|| length(first));
    }
    attempt.answered_s = span(1).map(|answer| answer.from_s);
    attempt
}

fn length(span: &PartSpan) -> Estimate {
    Estimate {
        value: span.to_s.value - span.from_s.value,
        sd: span.to_s.sd.hypot(span.from_s.sd),
    }
}

/// The shortest hold that a row of the table takes for a reset, of those that begin in the same way.
fn needed_s(table: &LightTable, light: usize, first: &Part) -> Option<f64> {
    let taken = table
        .meanings
        .iter()
        .filter(|row| row.kind == Kind::ResetAcknowledged);
    let parts = taken
        .flat_map(|row| &row.shows)
        .filter_map(|show| match &show.pattern {
            Pattern::Sequence(list) if show.light == light => list.first(),
            _ => None,
        });
    parts
        .filter(|part| part.pattern == first.pattern)
        .map(|part| part.for_s.0)
        .reduce(f64::min)
}
