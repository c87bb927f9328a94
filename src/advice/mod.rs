//! Advice: a reading and the facts of the case give ordered next steps, with cautions, and say when to hand on.
//!
//! Every sentence of it is either the table's own or stands in `models/words`; nothing here knows a device.

mod caution;
mod look_again;
mod procedure;
mod retake;
mod step;

pub use caution::Caution;
pub use look_again::settle_phrase;
pub use retake::Retake;
pub use step::{Answer, Clock, NextStep, Sort, When, duration};

use crate::light::Notice;
use crate::meaning::{Outcome, Reading};
use crate::table::{Kind, LightTable, Meaning, Shows};
use crate::words::Language;

/// A rival row that must not lose power is warned of from this probability on. Guessed: the caution costs a
/// line, a cut in the middle of an update costs the device.
const KEEP_POWER_FROM: f64 = 0.02;

/// What is known beside the reading.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Facts {
    /// For how long the light has been so, seconds, as told by whoever is there.
    pub lasted_s: Option<f64>,
    /// For how long the device has had power, seconds.
    pub powered_s: Option<f64>,
    /// What is known of the site: conditions of the table, and whether they hold. The last word on one counts.
    pub site: Vec<(String, bool)>,
    /// What was tried already, by the names that the table gives its steps.
    pub tried: Vec<String>,
    /// What the footage itself was like.
    pub seen: Seen,
    /// The language of the steps.
    pub language: Language,
}

/// What the footage was like, as far as it bears on the next step.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Seen {
    /// One picture, so no rhythm.
    pub photo: bool,
    /// A lamp was found.
    pub found: bool,
    /// A light of the device was dark throughout, or was not found and may have been dark.
    pub dark: bool,
    /// Where the first light would be, if what was found there is a lamp at all: pixels across and down the upright
    /// picture.
    pub hardly: Option<(f64, f64)>,
    /// What made the lamps hard to see.
    pub notices: Vec<Notice>,
}

/// What to do next.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Advice {
    /// In order.
    pub next: Vec<NextStep>,
    /// Cautions that hold whatever is done.
    pub cautions: Vec<Caution>,
    /// How long a decided state lasts, if the table says.
    pub span: Option<Span>,
    /// The language of the steps.
    pub language: Language,
}

/// How long a state lasts, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Usually.
    pub usual_s: f64,
    /// At most, if the table says.
    pub at_most_s: Option<f64>,
    /// So far, if that is known.
    pub so_far_s: Option<f64>,
}

impl Advice {
    /// The state has lasted longer than the table allows it: the most that it allows, seconds.
    #[must_use]
    pub fn overdue_s(&self) -> Option<f64> {
        let span = self.span?;
        span.at_most_s
            .filter(|at_most_s| span.so_far_s.is_some_and(|so_far_s| so_far_s > *at_most_s))
    }
}

/// The next steps under a table.
#[must_use]
pub fn advise(table: &LightTable, reading: &Reading, facts: &Facts) -> Advice {
    let next = match reading.outcome {
        Outcome::Decided { row } => procedure::steps(table, &table.meanings[row], facts),
        Outcome::Undecided => look_again::undecided(table, reading, facts),
        Outcome::Unlisted => look_again::unlisted(table, reading, facts),
        Outcome::Unseen => look_again::unseen(Some(table), facts),
    };
    let cautions = general_cautions(table, reading, facts, &next);
    Advice {
        next,
        cautions,
        span: span(table, reading, facts),
        language: facts.language,
    }
}

/// The next steps where no table was given: only how to film better.
#[must_use]
pub fn advise_without_table(facts: &Facts) -> Advice {
    let next = if facts.seen.found {
        look_again::seen(facts)
    } else {
        look_again::unseen(None, facts)
    };
    let mut cautions = Vec::new();
    if facts.seen.dark {
        cautions.push(Caution::DarkProvesNothing);
    }
    if filming(&next) {
        cautions.push(Caution::BrightLight);
    }
    Advice {
        next,
        cautions,
        span: None,
        language: facts.language,
    }
}

fn general_cautions(table: &LightTable, reading: &Reading, facts: &Facts, next: &[NextStep]) -> Vec<Caution> {
    let mut cautions = Vec::new();
    let decided = match reading.outcome {
        Outcome::Decided { row } => Some(&table.meanings[row]),
        _ => None,
    };
    if keep_power(table, reading, decided) {
        cautions.push(Caution::KeepPower);
    }
    let shown = reading.timeline.iter().filter_map(|episode| episode.row);
    let open = reading
        .rivals
        .iter()
        .filter(|_| decided.is_none())
        .map(|rival| rival.row);
    if facts.seen.dark
        || reading.outcome == Outcome::Unseen
        || decided.is_some_and(is_dark)
        || shown.chain(open).any(|row| is_dark(&table.meanings[row]))
    {
        cautions.push(Caution::DarkProvesNothing);
    }
    // Whoever reads "off" goes to look at the power, whether the table says so or not.
    let off = decided.is_some_and(|meaning| meaning.kind == Kind::Off);
    if off
        && !next
            .iter()
            .any(|step| step.cautions.contains(&Caution::PowerCheck))
    {
        cautions.push(Caution::PowerCheck);
    }
    if filming(next) {
        cautions.push(Caution::BrightLight);
    }
    cautions
}

fn keep_power(table: &LightTable, reading: &Reading, decided: Option<&Meaning>) -> bool {
    let updating = |row: usize| table.meanings[row].kind == Kind::Updating;
    decided.is_some_and(|meaning| meaning.kind == Kind::Updating)
        || reading
            .rivals
            .iter()
            .any(|rival| rival.probability >= KEEP_POWER_FROM && updating(rival.row))
        || reading
            .timeline
            .last()
            .and_then(|episode| episode.row)
            .is_some_and(updating)
}

/// A row that shows a dark light.
fn is_dark(meaning: &Meaning) -> bool {
    meaning.kind == Kind::Off || meaning.shows.iter().any(|show| show.shows == Shows::Off)
}

fn filming(next: &[NextStep]) -> bool {
    next.iter().any(|step| step.sort == Sort::Film)
}

fn span(table: &LightTable, reading: &Reading, facts: &Facts) -> Option<Span> {
    let Outcome::Decided { row } = reading.outcome else {
        return None;
    };
    let meaning = &table.meanings[row];
    let lasts = meaning.lasts?;
    Some(Span {
        usual_s: lasts.usual_s,
        at_most_s: lasts.at_most_s,
        so_far_s: procedure::Clocks::of(meaning, facts).lasted_s,
    })
}

#[cfg(test)]
mod case_tests;
#[cfg(test)]
pub(crate) mod samples;
#[cfg(test)]
mod tests;
