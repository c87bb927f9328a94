//! A checked light table. Only the parser makes one, so what is here holds: lights exist, ids are unique,
//! durations are positive.

use std::collections::BTreeMap;
use std::ops::Range;

use super::step::{Condition, Step};
use crate::colour::ColourName;

/// What a device's lights mean.
#[derive(Debug, Clone, PartialEq)]
pub struct LightTable {
    /// The device.
    pub device: Device,
    /// Its lights, at least one.
    pub lights: Vec<Light>,
    /// The rows, at least one.
    pub meanings: Vec<Meaning>,
    /// What steps may depend on: those that the table declares, then those of shared procedures that it includes.
    pub conditions: Vec<Condition>,
    /// Its texts in other languages: by the code of the language, and the text as it stands in the table.
    pub translations: BTreeMap<String, BTreeMap<String, String>>,
}

impl LightTable {
    /// A text of the table in a language; as it stands where there is no other.
    #[must_use]
    pub fn told<'a>(&'a self, text: &'a str, language: &str) -> &'a str {
        let known = self.translations.get(language).and_then(|texts| texts.get(text));
        known.map_or(text, String::as_str)
    }
}

/// The device that a table describes.
#[derive(Debug, Clone, PartialEq)]
pub struct Device {
    /// Its name, for people.
    pub name: String,
}

/// One indicator lamp of the device.
#[derive(Debug, Clone, PartialEq)]
pub struct Light {
    /// Unique within the table.
    pub id: String,
    /// Where it is, for people.
    pub label: String,
    /// Every colour it can take.
    pub colours: Vec<ColourName>,
}

/// One row: what the lights show, what that means, what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Meaning {
    /// Unique within the table.
    pub id: String,
    /// What sort of state it is.
    pub kind: Kind,
    /// For people.
    pub title: String,
    /// What the named lights do; a light that is not named may do anything. At least one.
    pub shows: Vec<Show>,
    /// How long the state lasts, if the table says.
    pub lasts: Option<Lasts>,
    /// What to do, in order.
    pub next: Vec<Step>,
    /// Where the row stands in the file, in bytes.
    pub at: Range<usize>,
}

/// What sort of state a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Starting up.
    Booting,
    /// In service.
    Ready,
    /// Doing its job at this moment.
    Working,
    /// Changing its firmware: power must stay on.
    Updating,
    /// Something is wrong.
    Fault,
    /// A reset was accepted.
    ResetAcknowledged,
    /// A reset was let go too soon or refused.
    ResetAborted,
    /// No light.
    Off,
    /// None of these.
    Other,
}

impl Kind {
    /// Every kind with the word for it in tables and output.
    pub const ALL: [(Self, &'static str); 9] = [
        (Self::Booting, "booting"),
        (Self::Ready, "ready"),
        (Self::Working, "working"),
        (Self::Updating, "updating"),
        (Self::Fault, "fault"),
        (Self::ResetAcknowledged, "reset-acknowledged"),
        (Self::ResetAborted, "reset-aborted"),
        (Self::Off, "off"),
        (Self::Other, "other"),
    ];

    /// The word for it in tables and output.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        Self::ALL[self as usize].1
    }
}

/// What one light does in a row.
#[derive(Debug, Clone, PartialEq)]
pub struct Show {
    /// Index into [`LightTable::lights`].
    pub light: usize,
    /// As the author wrote it.
    pub shows: Shows,
    /// The same as a timed pattern.
    pub pattern: super::Pattern,
}

/// A duration with the tolerance that the table allows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timed {
    /// Seconds, positive.
    pub seconds: f64,
    /// Share by which it may be longer or shorter, 0 up to less than 1.
    pub within: f64,
}

/// The forms in which a table says what a light does.
#[derive(Debug, Clone, PartialEq)]
pub enum Shows {
    /// Dark.
    Off,
    /// Lit without change.
    Fixed(ColourName),
    /// Flashes, all alike.
    Flashing {
        /// Colour when lit.
        colour: ColourName,
        /// One whole cycle, from group to group if grouped.
        period: Timed,
        /// Lit part of one flash as a range of seconds; a wide range where the table does not say.
        on_s: (f64, f64),
        /// Flashes in a group; 1 for plain flashing.
        group: u32,
        /// From the start of one flash of a group to the start of the next, seconds; `None` for a group of one.
        apart_s: Option<f64>,
    },
    /// Colours in turn, with no dark between.
    Alternating {
        /// In order, at least two.
        colours: Vec<ColourName>,
        /// How long each stays.
        each: Timed,
    },
    /// Swells and fades.
    Breathing {
        /// Colour when lit.
        colour: ColourName,
        /// One whole cycle.
        period: Timed,
    },
    /// States written out, repeating. `None` is dark.
    Steps(Vec<(Option<ColourName>, Timed)>),
    /// One after the other, once.
    Sequence(Vec<Stay>),
}

impl Shows {
    /// The length of one cycle; `None` where nothing repeats.
    #[must_use]
    pub fn cycle(&self) -> Option<Timed> {
        match self {
            Self::Flashing { period, .. } | Self::Breathing { period, .. } => Some(*period),
            Self::Alternating { colours, each } => Some(Timed {
                seconds: each.seconds * colours.len() as f64,
                within: each.within,
            }),
            Self::Steps(steps) => Some(Timed {
                seconds: steps.iter().map(|(_, timed)| timed.seconds).sum(),
                within: steps.iter().map(|(_, timed)| timed.within).fold(0.0, f64::max),
            }),
            Self::Off | Self::Fixed(_) | Self::Sequence(_) => None,
        }
    }
}

/// One part of a sequence.
#[derive(Debug, Clone, PartialEq)]
pub struct Stay {
    /// What the light does in this part; never itself a sequence.
    pub shows: Shows,
    /// Shortest and longest stay in seconds; the longest may be infinite.
    pub for_s: (f64, f64),
}

/// How long a state lasts, in seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lasts {
    /// Usually.
    pub usual_s: f64,
    /// At most; longer means that something is wrong.
    pub at_most_s: Option<f64>,
}
