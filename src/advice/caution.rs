//! What must be said before somebody acts.

use crate::table::Erases;
use crate::words::{Language, say, say_with};

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Caution {
    /// A dark light does not prove that the power is off.
    DarkProvesNothing,
    /// The step erases something: what, as a phrase; the settings of the device if `None`.
    Erases(Option<String>),
    /// The device may be changing its firmware.
    KeepPower,
    /// The step has to do with the power supply.
    PowerCheck,
    /// Somebody is asked to look at or film a lamp or an optical port.
    BrightLight,
    /// The table's own words for one step.
    Stated(String),
}

/// Words of a step that send somebody to the power supply.
const POWER_WORDS: [&str; 22] = [
    "power",
    "powered",
    "supply",
    "mains",
    "plug",
    "unplug",
    "socket",
    "outlet",
    "fuse",
    "breaker",
    "switch",
    "cable",
    "lead",
    "wire",
    "wires",
    "wiring",
    "battery",
    "batteries",
    "adapter",
    "adaptor",
    "charger",
    "voltage",
];

/// Words of a step that erases, whatever else the table says of it.
const ERASING: [&str; 7] = ["reset", "resets", "erase", "erases", "wipe", "wipes", "factory"];

/// A step that says to keep the power on is no power check, whatever else it says of "power".
const KEEPING: [&str; 4] = ["leave", "keep", "stay", "stays"];

/// A word straight after one of these is not to be done.
const FORBIDDING: [&str; 2] = ["not", "never"];

/// Words of a step that send somebody to an optical port.
const OPTICAL_WORDS: [&str; 6] = ["fibre", "fiber", "optic", "optical", "laser", "transceiver"];

impl Caution {
    /// A stable name for programs.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::DarkProvesNothing => "dark-proves-nothing",
            Self::Erases(_) => "erases-settings",
            Self::KeepPower => "keep-power",
            Self::PowerCheck => "power-check",
            Self::BrightLight => "bright-light",
            Self::Stated(_) => "stated",
        }
    }

    /// The caution in full sentences.
    #[must_use]
    pub fn text(&self, language: Language) -> String {
        match self {
            Self::DarkProvesNothing => say(language, "caution-dark"),
            Self::Erases(Some(what)) => {
                say_with(language, "caution-erases", &[("what", what.clone().into())])
            }
            Self::Erases(None) => say(language, "caution-erases-settings"),
            Self::KeepPower => say(language, "caution-keep-power"),
            Self::PowerCheck => say(language, "caution-power"),
            Self::BrightLight => say(language, "caution-bright"),
            Self::Stated(text) => text.clone(),
        }
    }

    /// The caution for a step that erases: by what the table says, else by its wording. `told` puts a text of the table
    /// into the language of the case.
    pub(super) fn erasing(erases: &Erases, text: &str, told: impl Fn(&str) -> String) -> Option<Self> {
        let lower = text.to_lowercase();
        let words: Vec<&str> = words(&lower).collect();
        let says_so = |(at, word): (usize, &&str)| ERASING.contains(word) && !forbidden(&words, at);
        match erases {
            Erases::Named(what) => Some(Self::Erases(Some(told(what)))),
            Erases::Settings => Some(Self::Erases(None)),
            Erases::Nothing => words
                .iter()
                .enumerate()
                .any(says_so)
                .then_some(Self::Erases(None)),
        }
    }

    /// The table's own caution, less the sentences that the general ones say already; `None` if nothing is left.
    pub(super) fn stated(text: &str, general: &[String]) -> Option<Self> {
        let said: Vec<String> = general
            .iter()
            .flat_map(|text| sentences(text))
            .map(bare)
            .collect();
        let own: Vec<&str> = sentences(text)
            .filter(|sentence| !said.contains(&bare(sentence)))
            .collect();
        (!own.is_empty()).then(|| Self::Stated(own.join(" ")))
    }

    /// The cautions that the wording of a step calls for, by its words alone. It errs towards one caution too
    /// many.
    pub(super) fn called_for_by(text: &str) -> Vec<Self> {
        let lower = text.to_lowercase();
        let words: Vec<&str> = words(&lower).collect();
        let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
        let mut cautions = Vec::new();
        let kept = has(&KEEPING);
        let sends_there = |at: usize, word: &str| {
            POWER_WORDS.contains(&word) && !forbidden(&words, at) && !(kept && word == "power")
        };
        if words.iter().enumerate().any(|(at, word)| sends_there(at, word)) {
            cautions.push(Self::PowerCheck);
        }
        if has(&OPTICAL_WORDS) {
            cautions.push(Self::BrightLight);
        }
        cautions
    }
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
}

fn forbidden(words: &[&str], at: usize) -> bool {
    at > 0 && FORBIDDING.contains(&words[at - 1])
}

fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split_inclusive(". ")
        .map(str::trim)
        .filter(|sentence| !sentence.is_empty())
}

/// The words of a sentence without its stops and capitals.
fn bare(sentence: &str) -> String {
    words(&sentence.to_lowercase()).collect::<Vec<_>>().join(" ")
}
