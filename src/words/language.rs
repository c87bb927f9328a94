//! The languages that there are texts in.

use std::str::FromStr;

use unic_langid::LanguageIdentifier;

/// A language that there are texts in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
}

/// No language that there are texts in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there are no texts in `{0}`; there are en and de")]
pub struct UnknownLanguage(String);

impl Language {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its code by ISO 639-1.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The texts as they are in `models/words/`.
    pub(super) const fn source(self) -> &'static str {
        match self {
            Self::English => include_str!("../../models/words/en.ftl"),
            Self::German => include_str!("../../models/words/de.ftl"),
        }
    }

    /// For the rules of plurals.
    pub(super) fn tag(self) -> LanguageIdentifier {
        self.code().parse().expect("these codes are language tags")
    }
}

impl FromStr for Language {
    type Err = UnknownLanguage;

    fn from_str(text: &str) -> Result<Self, UnknownLanguage> {
        let found = Self::ALL
            .into_iter()
            .find(|language| language.code().eq_ignore_ascii_case(text));
        found.ok_or_else(|| UnknownLanguage(text.to_owned()))
    }
}
