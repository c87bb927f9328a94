//! The way out of each mistake.

use super::Kind;
use super::problem::ProblemKind;
use crate::colour::ColourName;

impl ProblemKind {
    /// What to do about it, as a phrase.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Syntax { .. } => "mend this place; the rest of the file is checked after that".to_owned(),
            Self::TooBig { .. } => {
                "keep one device in a table; pictures and manuals belong elsewhere".to_owned()
            }
            Self::DuplicateKey { .. } => "keep one of the two".to_owned(),
            Self::MissingKey { example, .. } => format!("add a line such as `{example}`"),
            Self::UnknownKey { nearest, known, .. } => nearest_or_all(*nearest, known),
            Self::WrongType { example, .. } => format!("write it like `{example}`"),
            Self::Exclusive { first, second } => format!("keep either `{first}` or `{second}`"),
            Self::NeedsBeside { example, .. } => format!("write it like `{example}`"),
            Self::UnknownSchema { .. } => {
                "write `schema = 1`, or get the program that goes with the table".to_owned()
            }
            Self::Empty { .. } => "fill it in".to_owned(),
            Self::ControlCharacter { .. } => "write it on one line of plain text".to_owned(),
            Self::BadId { proposal, .. } => {
                format!("use small letters, digits, `-` and `_`, a letter first, at most 64: `{proposal}`")
            }
            Self::Duplicate { what, .. } => format!("each {what} stands once; rename or remove one"),
            Self::NotPositive { .. } => "leave it out if it does not happen".to_owned(),
            Self::OutOfRange { least, most, .. } => format!("use {least} to {most}"),
            Self::SameNeighbours { .. } => {
                "write the two as one, also when one is last and the other first".to_owned()
            }
            Self::TooFew { least, .. } => format!("write at least {least}"),
            Self::TooMany { most, .. } => format!("keep at most {most}"),
            Self::DarkAmongColours => {
                "write the states out: `steps = [\"blue 150 ms\", \"off 150 ms\"]`".to_owned()
            }
            Self::NestedSequence => "write its parts into the outer sequence".to_owned(),
            Self::TimesWithoutCycle { .. } => "say how long it stays: `for = \"3 s\"`".to_owned(),
            Self::NoForm => format!("name one of {}", list(&super::shows::FORMS)),
            Self::UnknownColour { nearest, .. } => nearest_or_all(
                nearest.map(ColourName::as_str),
                &ColourName::ALL.map(ColourName::as_str),
            ),
            Self::ColourNotOfLight { colour, has, .. } => {
                let has: Vec<_> = has.iter().map(|colour| colour.as_str()).collect();
                format!("use {}, or add \"{colour}\" to the light's `colours`", list(&has))
            }
            other => other.help_with_words(),
        }
    }

    fn help_with_words(&self) -> String {
        match self {
            Self::UnknownLight { nearest, known, .. } => nearest_or_all(nearest.as_deref(), known),
            Self::ShowsNoLight { form, known } => {
                let light = known.first().map_or("crown", String::as_str);
                format!("say which light does it: `shows.{light} = {{ {form} = … }}`")
            }
            Self::UnknownKind { nearest, .. } => nearest_or_all(*nearest, &Kind::ALL.map(|(_, word)| word)),
            Self::NeverTried { nearest, known, .. } if known.is_empty() => {
                debug_assert!(nearest.is_none(), "nothing can be near where nothing is known");
                "give the step that is meant a name: `tried = \"power-cycle\"`".to_owned()
            }
            Self::NeverTried { nearest, known, .. } => nearest_or_all(nearest.as_deref(), known),
            Self::UnknownCondition { known, .. } if known.is_empty() => {
                "declare it: `[[condition]]` with `id` and `ask`".to_owned()
            }
            Self::UnknownCondition { nearest, known, .. } => nearest_or_all(nearest.as_deref(), known),
            Self::TranslatesNothing { nearest, .. } => match nearest {
                Some(text) => format!("did you mean `{text}`?"),
                None => "copy the text as it stands in the table, to the letter".to_owned(),
            },
            Self::UnknownProcedure { nearest, known, .. } => nearest_or_all(*nearest, known),
            Self::NoUnit { .. }
            | Self::DecimalComma { .. }
            | Self::UnknownUnit { .. }
            | Self::NoNumber { .. }
            | Self::OnTooLong { .. }
            | Self::GroupDoesNotFit { .. }
            | Self::WrongOrder { .. } => self.help_with_times(),
            // Said by the first half. Each is named, so that a new one cannot be left without a word.
            Self::Syntax { .. }
            | Self::TooBig { .. }
            | Self::DuplicateKey { .. }
            | Self::MissingKey { .. }
            | Self::UnknownKey { .. }
            | Self::WrongType { .. }
            | Self::Exclusive { .. }
            | Self::NeedsBeside { .. }
            | Self::UnknownSchema { .. }
            | Self::Empty { .. }
            | Self::ControlCharacter { .. }
            | Self::BadId { .. }
            | Self::Duplicate { .. }
            | Self::NotPositive { .. }
            | Self::OutOfRange { .. }
            | Self::SameNeighbours { .. }
            | Self::TooFew { .. }
            | Self::TooMany { .. }
            | Self::DarkAmongColours { .. }
            | Self::NestedSequence { .. }
            | Self::TimesWithoutCycle { .. }
            | Self::NoForm { .. }
            | Self::UnknownColour { .. }
            | Self::ColourNotOfLight { .. } => String::new(),
        }
    }

    fn help_with_times(&self) -> String {
        match self {
            Self::NoUnit { proposal, .. } | Self::DecimalComma { proposal, .. } => {
                format!("write \"{proposal}\"")
            }
            Self::UnknownUnit { nearest, known, .. } => nearest_or_all(*nearest, known),
            Self::NoNumber { example, .. } => format!("write a number and its unit, such as {example}"),
            Self::OnTooLong { slot_s, .. } => format!("make the lit part shorter than {slot_s} s"),
            Self::GroupDoesNotFit { group, apart_s, .. } => format!(
                "a period goes from the first flash of a group to the first of the next: more than {} s here",
                rounded(f64::from(*group) * apart_s)
            ),
            Self::WrongOrder { .. } => "swap the two, or mend one of them".to_owned(),
            _ => String::new(),
        }
    }
}

fn nearest_or_all<W: AsRef<str>>(nearest: Option<&str>, known: &[W]) -> String {
    match nearest {
        Some(word) => format!("did you mean `{word}`?"),
        None => format!("use {}", list(known)),
    }
}

fn list<W: AsRef<str>>(words: &[W]) -> String {
    let quoted: Vec<_> = words.iter().map(|word| format!("`{}`", word.as_ref())).collect();
    match quoted.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}

/// Products of decimal numbers carry binary dust; nobody wants to read 1.2000000000000002.
pub(super) fn rounded(seconds: f64) -> f64 {
    (seconds * 1e6).round() / 1e6
}
