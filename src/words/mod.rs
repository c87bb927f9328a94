//! Words: every text that a customer sees, in one place and in more than one language.
//!
//! The texts are Fluent files in `models/words/`, one a language, each with the same messages. What a table says is
//! the table's own; see [`crate::table`].

mod language;
mod plain;

use std::borrow::Cow;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource};

pub use fluent_bundle::FluentValue as Value;
pub use language::{Language, UnknownLanguage};
pub use plain::one_line;

/// The texts of one language.
pub struct Words {
    language: Language,
    bundle: FluentBundle<FluentResource>,
}

/// Values for the variables of a text.
pub type Args<'a> = &'a [(&'static str, Value<'a>)];

impl Words {
    /// The texts of a language.
    #[must_use]
    pub fn new(language: Language) -> Self {
        let resource = FluentResource::try_new(language.source().to_owned())
            .expect("a test reads the shipped texts of every language");
        let mut bundle = FluentBundle::new_concurrent(vec![language.tag()]);
        // The marks about a variable are for mixed directions of writing; a terminal shows them as rubbish.
        bundle.set_use_isolating(false);
        bundle
            .add_resource(resource)
            .expect("a test looks for messages that are there twice");
        Self { language, bundle }
    }

    /// The language of these texts.
    #[must_use]
    pub const fn language(&self) -> Language {
        self.language
    }

    /// A text without variables.
    #[must_use]
    pub fn say(&self, id: &str) -> String {
        self.with(id, &[])
    }

    /// A text with its variables filled in.
    ///
    /// # Panics
    ///
    /// Where there is no such text; a test looks every one up that the source names.
    #[must_use]
    pub fn with(&self, id: &str, args: Args<'_>) -> String {
        let pattern = self
            .bundle
            .get_message(id)
            .and_then(|message| message.value())
            .unwrap_or_else(|| panic!("the texts have no `{id}`"));
        let mut values = FluentArgs::new();
        for (name, value) in args {
            values.set(*name, value.clone());
        }
        let mut errors = Vec::new();
        let text: Cow<str> = self.bundle.format_pattern(pattern, Some(&values), &mut errors);
        debug_assert!(errors.is_empty(), "{id}: {errors:?}");
        text.into_owned()
    }

    /// A number that was written with a point, in the way of the language.
    #[must_use]
    pub fn point(&self, text: &str) -> String {
        match self.language {
            Language::English => text.to_owned(),
            Language::German => text.replace('.', ","),
        }
    }

    /// A number with so many decimals, in the way of the language.
    #[must_use]
    pub fn number(&self, value: f64, decimals: usize) -> String {
        self.point(&format!("{value:.decimals$}"))
    }
}

/// The texts of a language, read once.
#[must_use]
pub fn words(language: Language) -> &'static Words {
    static ENGLISH: LazyLock<Words> = LazyLock::new(|| Words::new(Language::English));
    static GERMAN: LazyLock<Words> = LazyLock::new(|| Words::new(Language::German));
    match language {
        Language::English => &ENGLISH,
        Language::German => &GERMAN,
    }
}

/// A text without variables in a language.
#[must_use]
pub fn say(language: Language, id: &str) -> String {
    words(language).say(id)
}

/// A text with its variables filled in, in a language.
#[must_use]
pub fn say_with(language: Language, id: &str, args: Args<'_>) -> String {
    words(language).with(id, args)
}

#[cfg(test)]
mod tests;
