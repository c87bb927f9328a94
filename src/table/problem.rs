//! What can be wrong with a light table, and where.

use std::fmt;
use std::ops::Range;

use crate::colour::ColourName;

/// One mistake in a light table.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// What is wrong.
    pub kind: ProblemKind,
    /// The word or value that is wrong, in bytes of the text. Empty where something is missing from an empty
    /// text.
    pub at: Range<usize>,
}

/// What is wrong. The message says what, [`ProblemKind::help`] the way out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ProblemKind {
    /// The text is no TOML.
    #[error("this is not valid TOML: {message}")]
    Syntax {
        /// What the TOML parser says.
        message: String,
    },
    /// The text is longer than a table may be.
    #[error("the table is {bytes} bytes long, more than the {limit} that are read")]
    TooBig {
        /// Its length.
        bytes: usize,
        /// The longest that is read.
        limit: usize,
    },
    /// The same key twice in one place.
    #[error("`{key}` is written twice")]
    DuplicateKey {
        /// The key.
        key: String,
        /// Where it was written first, if that is known.
        first: Option<Range<usize>>,
    },
    /// A key that must be there is not.
    #[error("{inside} needs `{key}`")]
    MissingKey {
        /// The key, or several of which one is needed.
        key: &'static str,
        /// What needs it.
        inside: &'static str,
        /// How it is written.
        example: &'static str,
    },
    /// A key that means nothing in its place.
    #[error("`{key}` means nothing in {inside}")]
    UnknownKey {
        /// What was written.
        key: String,
        /// Where.
        inside: &'static str,
        /// The known key that looks most like it.
        nearest: Option<&'static str>,
        /// Every key that has a meaning there.
        known: Vec<&'static str>,
    },
    /// A value of another type than is needed.
    #[error("this is {found}, but {wanted} is needed")]
    WrongType {
        /// What is needed.
        wanted: &'static str,
        /// What was written.
        found: &'static str,
        /// How it is written.
        example: &'static str,
    },
    /// Two keys that exclude each other.
    #[error("`{first}` and `{second}` cannot stand together")]
    Exclusive {
        /// One.
        first: &'static str,
        /// The other.
        second: &'static str,
    },
    /// A key that has a meaning only beside another.
    #[error("`{key}` needs {needs} beside it")]
    NeedsBeside {
        /// The key.
        key: &'static str,
        /// What it needs.
        needs: &'static str,
        /// How it is written.
        example: &'static str,
    },
    /// A table of a format that this program does not read.
    #[error("this table is written in schema {found}, which this program does not read")]
    UnknownSchema {
        /// The schema number in the file.
        found: String,
    },
    /// A text or a list with nothing in it.
    #[error("{what} is empty")]
    Empty {
        /// What.
        what: &'static str,
    },
    /// A text with a character that could upset a terminal or a log.
    #[error("this text holds a control character, U+{code:04X}")]
    ControlCharacter {
        /// Its code point.
        code: u32,
    },
    /// An id with characters that ids do not have.
    #[error("`{id}` is no id")]
    BadId {
        /// What was written.
        id: String,
        /// The same made an id.
        proposal: String,
    },
    /// The same id, colour or light twice.
    #[error("{what} `{word}` is there twice")]
    Duplicate {
        /// What sort of thing.
        what: &'static str,
        /// Which.
        word: String,
        /// Where it stands first.
        first: Range<usize>,
    },
    /// A word that is no colour.
    #[error("`{word}` is no colour")]
    UnknownColour {
        /// What was written.
        word: String,
        /// The colour that is meant most likely.
        nearest: Option<ColourName>,
    },
    /// A colour that the light cannot take.
    #[error("light `{light}` has no {colour}")]
    ColourNotOfLight {
        /// The light's id.
        light: String,
        /// The colour.
        colour: ColourName,
        /// The colours it has.
        has: Vec<ColourName>,
        /// Where those are written.
        declared: Range<usize>,
    },
    /// A light that no `[[light]]` describes.
    #[error("there is no light `{word}`")]
    UnknownLight {
        /// What was written.
        word: String,
        /// The light whose id looks most like it.
        nearest: Option<String>,
        /// Every light.
        known: Vec<String>,
    },
    /// A pattern without the light that shows it.
    #[error("`{form}` stands where a light is named")]
    ShowsNoLight {
        /// Key of the pattern.
        form: &'static str,
        /// Every light.
        known: Vec<String>,
    },
    /// A word that is no kind of meaning.
    #[error("`{word}` is no kind of meaning")]
    UnknownKind {
        /// What was written.
        word: String,
        /// The kind that looks most like it.
        nearest: Option<&'static str>,
    },
    /// A name in `after_tried` that no step has under `tried`.
    #[error("no step is tried under the name `{word}`")]
    NeverTried {
        /// What was written.
        word: String,
        /// The name that looks most like it.
        nearest: Option<String>,
        /// Every name under `tried`.
        known: Vec<String>,
    },
    /// A condition that no `[[condition]]` declares.
    #[error("there is no condition `{word}`")]
    UnknownCondition {
        /// What was written.
        word: String,
        /// The condition that looks most like it.
        nearest: Option<String>,
        /// Every condition.
        known: Vec<String>,
    },
    /// A translation of a text that the table does not have.
    #[error("the table has no text `{word}` to translate")]
    TranslatesNothing {
        /// What was written.
        word: String,
        /// The text that looks most like it.
        nearest: Option<String>,
    },
    /// A shared procedure that does not exist.
    #[error("there is no shared procedure `{word}`")]
    UnknownProcedure {
        /// What was written.
        word: String,
        /// The procedure that looks most like it.
        nearest: Option<&'static str>,
        /// Every shared procedure.
        known: Vec<&'static str>,
    },
    /// A number without a unit.
    #[error("`{number}` has no unit")]
    NoUnit {
        /// What was written.
        number: String,
        /// The likeliest way to write it.
        proposal: String,
    },
    /// A unit that is none, or not one for this.
    #[error("`{unit}` is no unit of {quantity}")]
    UnknownUnit {
        /// What was written.
        unit: String,
        /// Time, rate or share.
        quantity: &'static str,
        /// The unit that is meant most likely.
        nearest: Option<&'static str>,
        /// Every unit of that quantity.
        known: Vec<&'static str>,
    },
    /// No number where one is needed.
    #[error("`{text}` does not begin with a number")]
    NoNumber {
        /// What was written.
        text: String,
        /// How it is written.
        example: &'static str,
    },
    /// A number with a comma.
    #[error("`{text}` has a decimal comma")]
    DecimalComma {
        /// What was written.
        text: String,
        /// The same with a point.
        proposal: String,
    },
    /// Zero or less where something must last.
    #[error("`{text}` is not more than nothing")]
    NotPositive {
        /// What was written.
        text: String,
    },
    /// A number outside what makes sense.
    #[error("{what} must be from {least} to {most}")]
    OutOfRange {
        /// What.
        what: &'static str,
        /// The least, with its unit.
        least: &'static str,
        /// The most, with its unit.
        most: &'static str,
    },
    /// A flash that is not over before the next one begins.
    #[error("lit for {on_s} s does not fit into {slot_s} s from one flash to the next")]
    OnTooLong {
        /// Lit part, seconds.
        on_s: f64,
        /// From the start of a flash to the start of the next, seconds.
        slot_s: f64,
    },
    /// A group that leaves no pause before the next group.
    #[error("{group} flashes {apart_s} s apart leave no pause in a period of {period_s} s")]
    GroupDoesNotFit {
        /// Flashes in the group.
        group: u32,
        /// From flash to flash, seconds.
        apart_s: f64,
        /// From group to group, seconds.
        period_s: f64,
    },
    /// A range whose end comes before its start, or two times in the wrong order.
    #[error("{later} ({later_s} s) must be more than {earlier} ({earlier_s} s)")]
    WrongOrder {
        /// What must be less.
        earlier: &'static str,
        /// What must be more.
        later: &'static str,
        /// The first in seconds.
        earlier_s: f64,
        /// The other in seconds.
        later_s: f64,
    },
    /// Two neighbours in a cycle that are the same, the last and the first included.
    #[error("`{state}` follows `{state}`, which looks like one longer state")]
    SameNeighbours {
        /// The state.
        state: String,
    },
    /// Too few entries in a list.
    #[error("{what} has {found}, at least {least} are needed")]
    TooFew {
        /// The list.
        what: &'static str,
        /// Entries found.
        found: usize,
        /// Entries needed.
        least: usize,
    },
    /// More entries in a list than a table may have.
    #[error("{what} has {found}, more than the {most} that are read")]
    TooMany {
        /// The list.
        what: &'static str,
        /// Entries found.
        found: usize,
        /// Entries that are read.
        most: usize,
    },
    /// Dark among alternating colours.
    #[error("alternating colours have no dark between them")]
    DarkAmongColours,
    /// A sequence inside a sequence.
    #[error("a sequence cannot hold another sequence")]
    NestedSequence,
    /// `times` beside something that has no cycle.
    #[error("`times` counts cycles, but `{form}` has none")]
    TimesWithoutCycle {
        /// The form.
        form: &'static str,
    },
    /// A table of `shows` that names no form.
    #[error("this does not say what the light does")]
    NoForm,
}

/// A light table that cannot be used, with everything that is wrong with it.
#[derive(Debug, Clone, PartialEq)]
pub struct TableError {
    /// The name under which the text was read, for people.
    pub name: String,
    /// The text.
    pub text: String,
    /// At least one, in the order of the text.
    pub problems: Vec<Problem>,
}

impl TableError {
    /// Line and column of a byte of the text, both counted from 1, columns in characters.
    #[must_use]
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        super::source::line_column(&self.text, byte)
    }
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = self.problems.len();
        let plural = if count == 1 { "" } else { "s" };
        write!(f, "the light table {} has {count} mistake{plural}", self.name)?;
        if let Some(first) = self.problems.first() {
            let (line, column) = self.line_column(first.at.start);
            write!(f, ", the first in line {line}, column {column}: {}", first.kind)?;
        }
        Ok(())
    }
}

impl std::error::Error for TableError {}
