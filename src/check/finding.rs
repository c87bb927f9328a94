//! What can be said of a sound table, and where.

use std::ops::Range;

use crate::colour::ColourName;

/// Something that the author of a table should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// What it is.
    pub kind: FindingKind,
    /// The rows that it is about.
    pub rows: Vec<usize>,
    /// The place in the text, in bytes.
    pub at: Range<usize>,
    /// Another place that belongs to it, with a word for it.
    pub other: Option<(Range<usize>, &'static str)>,
}

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// Good to know; a table may be so on purpose.
    Note,
    /// A reading or a person will be misled or stuck.
    Warning,
}

/// What was found. Times in seconds; ids are those of rows.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum FindingKind {
    /// Rows that look the same: the reading asks.
    SameLook {
        /// All of them.
        ids: Vec<String>,
    },
    /// Rows that differ, but not by enough for a clip of ten seconds at 30 frames a second.
    Confusable {
        /// One.
        first: String,
        /// The other.
        second: String,
        /// Expected probability that the reading takes one for the other.
        confusion: f64,
        /// Clip that would part them, if one of up to 20 s does.
        shortest_s: Option<f64>,
    },
    /// Rows that differ by colours alone, which a camera of unknown white balance may not part.
    NearColours {
        /// One row.
        first: String,
        /// The other.
        second: String,
        /// The colour that differs, in the first.
        colour: ColourName,
        /// And in the second.
        instead: ColourName,
    },
    /// A row that needs a clip longer than people film unasked.
    NeedsLong {
        /// The row.
        id: String,
        /// Clip that it needs, if 20 s are enough.
        shortest_s: Option<f64>,
    },
    /// A rhythm too fast for some frame rates: they show an alias of it.
    TooFast {
        /// Changes from dark to lit and back, a second, at the fast end of the tolerance.
        rate_hz: f64,
        /// Frame rates that cannot show it.
        fps: Vec<f64>,
    },
    /// A state so brief that a frame may miss it.
    Brief {
        /// How long it lasts, at the short end of the tolerance.
        lasts_s: f64,
        /// The slowest frame rate looked at.
        fps: f64,
        /// Chance that one such state leaves a mark in any frame, at a short exposure.
        caught: f64,
    },
    /// A sequence whose parts are the first parts of a longer one.
    Prefix {
        /// The longer one.
        longer: String,
    },
    /// A sequence whose first part looks like a row of its own.
    BeginsLike {
        /// That row.
        row: String,
    },
    /// A sequence whose last part looks like a row of its own.
    EndsLike {
        /// That row.
        row: String,
    },
    /// Rows that speak of different lights only, so that both may hold in one clip.
    SeparateLights {
        /// Labels of two such lights.
        lights: [String; 2],
    },
    /// A step behind a hand-on that always applies.
    BehindHandOn,
    /// A hand-on that waits for something that no step of the row tries.
    NeverTriedHere {
        /// The name.
        name: String,
    },
    /// Two steps of one row under the same name: once one is tried, the other is left out.
    TriedTwice {
        /// The name.
        name: String,
    },
    /// A step that tells to wait for longer than the state may last.
    WaitsTooLong {
        /// Until then.
        until_s: f64,
        /// The state lasts at most so long.
        at_most_s: f64,
    },
    /// A step that comes before the state's usual time is over.
    TooSoon {
        /// After so long.
        after_s: f64,
        /// The state usually lasts so long.
        usual_s: f64,
    },
    /// A time in which no step applies.
    NothingToDo {
        /// From then.
        from_s: f64,
        /// Until then.
        to_s: f64,
    },
    /// A step that erases settings where nothing is wrong.
    ErasesInService,
    /// A translation into a language that the program does not speak.
    UnknownLanguage {
        /// The language as written.
        code: String,
        /// The languages that it speaks.
        known: Vec<&'static str>,
    },
    /// A translation that leaves texts out, which are then shown as they stand.
    Untranslated {
        /// The language.
        code: String,
        /// How many.
        texts: usize,
        /// One of them.
        first: String,
    },
    /// A fault whose steps end without saying when to hand it on.
    NoHandOn,
}
