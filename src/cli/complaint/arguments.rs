//! What the parser of the arguments refuses, in our words.

use std::error::Error as _;
use std::ffi::OsString;

use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::super::arguments::Expected;
use super::{Complaint, Misuse};
use crate::words::{Language, UnknownLanguage, Words};

/// The language that arguments ask for, though they may be wrong otherwise.
pub(in super::super) fn asked_language(arguments: &[OsString]) -> Language {
    let texts: Vec<&str> = arguments
        .iter()
        .filter_map(|argument| argument.to_str())
        .collect();
    let after = texts
        .iter()
        .position(|text| *text == "--language")
        .and_then(|place| texts.get(place + 1).copied());
    let within = || texts.iter().find_map(|text| text.strip_prefix("--language="));
    after
        .or_else(within)
        .and_then(|code| code.parse().ok())
        .unwrap_or_default()
}

/// A usage error in our form; `root` is the command that the arguments were for.
pub(in super::super) fn usage(
    error: &clap::Error,
    root: &clap::Command,
    arguments: &[OsString],
    words: &Words,
) -> Complaint {
    let next = similar(error, words).unwrap_or_else(|| {
        let command = command_of(root, arguments);
        words.with("help-hint", &[("command", command.into())])
    });
    Misuse::Arguments {
        what: what(error, words),
        next,
    }
    .into()
}

fn what(error: &clap::Error, words: &Words) -> String {
    let context = |kind| error.get(kind).map(text).unwrap_or_default();
    let argument = context(ContextKind::InvalidArg);
    match error.kind() {
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            words.say("no-command")
        }
        ErrorKind::InvalidSubcommand => {
            let word = context(ContextKind::InvalidSubcommand);
            words.with("unknown-command", &[("word", word.into())])
        }
        ErrorKind::UnknownArgument => words.with("unknown-argument", &[("word", argument.into())]),
        ErrorKind::MissingRequiredArgument => {
            words.with("argument-required", &[("arguments", argument.into())])
        }
        ErrorKind::ArgumentConflict => {
            let other = context(ContextKind::PriorArg);
            if other == argument {
                words.with("argument-twice", &[("argument", argument.into())])
            } else {
                let values = [("argument", argument.into()), ("other", other.into())];
                words.with("argument-conflict", &values)
            }
        }
        ErrorKind::TooManyValues => words.with("argument-no-value", &[("argument", argument.into())]),
        ErrorKind::InvalidValue | ErrorKind::ValueValidation | ErrorKind::InvalidUtf8 => {
            let value = context(ContextKind::InvalidValue);
            match (value.is_empty(), argument.is_empty()) {
                (_, true) => words.say("argument-no-text"),
                (true, false) => words.with("argument-empty", &[("argument", argument.into())]),
                (false, false) => {
                    let values = [
                        ("value", value.into()),
                        ("argument", argument.into()),
                        ("why", why(error, words).into()),
                    ];
                    words.with("argument-refused", &values)
                }
            }
        }
        _ => as_parsed(error),
    }
}

/// Why a value is refused.
fn why(error: &clap::Error, words: &Words) -> String {
    if let Some(known) = error.get(ContextKind::ValidValue) {
        return words.with("expected-one-of", &[("known", text(known).into())]);
    }
    let Some(source) = error.source() else {
        return String::new();
    };
    if source.is::<UnknownLanguage>() {
        let known = Language::ALL.map(Language::code).join(", ");
        return words.with("expected-language", &[("known", known.into())]);
    }
    match source.downcast_ref::<Expected>() {
        Some(expected) => words.say(expected.id()),
        None => source.to_string(),
    }
}

/// What was meant most likely.
fn similar(error: &clap::Error, words: &Words) -> Option<String> {
    let suggested = [
        ContextKind::SuggestedArg,
        ContextKind::SuggestedSubcommand,
        ContextKind::SuggestedValue,
    ];
    let word = suggested.into_iter().find_map(|kind| error.get(kind))?;
    // Of several the likest comes last.
    let word = match word {
        ContextValue::Strings(words) => words.last()?.clone(),
        other => text(other),
    };
    Some(words.with("similar", &[("word", word.into())]))
}

fn text(value: &ContextValue) -> String {
    match value {
        ContextValue::String(text) => text.clone(),
        ContextValue::Strings(texts) => texts.join(", "),
        other => other.to_string(),
    }
}

/// The first paragraph of what the parser itself says.
fn as_parsed(error: &clap::Error) -> String {
    let rendered = error.render().to_string();
    let first: Vec<&str> = rendered
        .lines()
        .take_while(|line| !line.trim().is_empty())
        .map(str::trim)
        .collect();
    let whole = first.join(" ");
    whole.strip_prefix("error: ").unwrap_or(&whole).to_owned()
}

/// The command that was meant, with those that it belongs to.
fn command_of(root: &clap::Command, arguments: &[OsString]) -> String {
    let mut named = root.get_name().to_owned();
    let mut at = root;
    for word in arguments.iter().skip(1) {
        let Some(within) = at.find_subcommand(word) else {
            break;
        };
        named = format!("{named} {}", within.get_name());
        at = within;
    }
    named
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(&["lampwise", "read", "--language", "de"], Language::German)]
    #[case(&["lampwise", "--language=de", "--at"], Language::German)]
    #[case(&["lampwise", "read", "--language"], Language::English)]
    #[case(&["lampwise", "read", "--language", "xx"], Language::English)]
    fn the_language_is_known_before_the_rest_is(#[case] arguments: &[&str], #[case] expected: Language) {
        let arguments: Vec<OsString> = arguments.iter().map(OsString::from).collect();
        assert_eq!(asked_language(&arguments), expected);
    }
}
