//! What must be said before somebody acts. The wording of every caution stands here and nowhere else.

/// A caution.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Caution {
    /// A dark light does not prove that the power is off.
    DarkProvesNothing,
    /// The step erases settings.
    ErasesSettings,
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
            Self::ErasesSettings => "erases-settings",
            Self::KeepPower => "keep-power",
            Self::PowerCheck => "power-check",
            Self::BrightLight => "bright-light",
            Self::Stated(_) => "stated",
        }
    }

    /// The caution in full sentences.
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::DarkProvesNothing => {
                "A dark light does not prove that the power is off. Treat the device as live."
            }
            Self::ErasesSettings => "This erases the settings of the device. Write them down first.",
            Self::KeepPower => {
                "The device may be changing its firmware. Leave the power connected until it has finished."
            }
            Self::PowerCheck => {
                "Dry hands only. Do not open mains equipment. Climb only on a secured ladder, with somebody by. The \
                 site's own rules, local electrical codes and licensed practice come first."
            }
            Self::BrightLight => {
                "Do not stare into a bright lamp or into a fibre port; look at the phone's screen."
            }
            Self::Stated(text) => text,
        }
    }

    /// The cautions that the wording of a step calls for, by its words alone. It errs towards one caution too
    /// many.
    pub(super) fn called_for_by(text: &str) -> Vec<Self> {
        let lower = text.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
        let mut cautions = Vec::new();
        let kept = has(&KEEPING);
        let sends_there = |at: usize, word: &str| {
            let forbidden = at > 0 && FORBIDDING.contains(&words[at - 1]);
            POWER_WORDS.contains(&word) && !forbidden && !(kept && word == "power")
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
