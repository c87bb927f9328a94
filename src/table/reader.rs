//! Typed access to parsed TOML that notes every mistake and goes on.
//!
//! Deserialising into structs would stop at the first mistake of a table, and would name an unknown key in a
//! sentence rather than in a type. So the checked model is made from the spanned TOML values themselves.

use std::collections::HashMap;
use std::ops::Range;

use toml::de::DeValue;

use super::fields::{Fields, Text, Value};
use super::nearest::nearest;
use super::problem::{Problem, ProblemKind};
use super::quantity::Slip;

/// Mistakes that are noted. Who has more of them mends these first; and a hostile text cannot fill the memory.
pub(super) const MOST_PROBLEMS: usize = 100;

/// The text and the mistakes found in it so far.
pub(super) struct Reader<'t> {
    source: &'t str,
    pub(super) problems: Vec<Problem>,
}

impl<'t> Reader<'t> {
    pub(super) fn new(source: &'t str) -> Self {
        let problems = Vec::new();
        Self { source, problems }
    }

    pub(super) fn note(&mut self, kind: ProblemKind, at: Range<usize>) {
        if !self.full() {
            self.problems.push(Problem { kind, at });
        }
    }

    /// No more mistakes are noted, so that none needs to be described.
    pub(super) fn full(&self) -> bool {
        self.problems.len() >= MOST_PROBLEMS
    }

    pub(super) fn check_keys(&mut self, fields: Fields<'_, 't>, known: &[&'static str]) {
        for key in fields.table.keys() {
            let word: &str = key.get_ref();
            if !known.contains(&word) && !self.full() {
                let kind = ProblemKind::UnknownKey {
                    key: word.to_owned(),
                    inside: fields.inside,
                    nearest: nearest(word, known).copied(),
                    known: known.to_vec(),
                };
                self.note(kind, key.span());
            }
        }
    }

    pub(super) fn need<'v>(
        &mut self,
        fields: Fields<'v, 't>,
        key: &'static str,
        example: &'static str,
    ) -> Option<&'v Value<'t>> {
        let value = fields.get(key);
        if value.is_none() && !fields.has_mistyped(key) {
            let inside = fields.inside;
            let kind = ProblemKind::MissingKey { key, inside, example };
            self.note(kind, fields.at());
        }
        value
    }

    pub(super) fn wrong_type(&mut self, value: &Value<'t>, wanted: &'static str, example: &'static str) {
        let found = type_name(value.get_ref());
        self.note(
            ProblemKind::WrongType {
                wanted,
                found,
                example,
            },
            value.span(),
        );
    }

    pub(super) fn text<'v>(&mut self, value: &'v Value<'t>, example: &'static str) -> Option<Text<'v>> {
        let DeValue::String(text) = value.get_ref() else {
            self.wrong_type(value, "a text in quotes", example);
            return None;
        };
        let (text, at) = (text.as_ref(), value.span());
        let raw = self.source.get(at.clone()).unwrap_or_default();
        let literal = raw.len() == text.len() + 2 && raw.get(1..=text.len()) == Some(text);
        let inner = literal.then_some(at.start + 1);
        Some(Text {
            value: text,
            at,
            inner,
        })
    }

    /// A text for people: not empty, on one line.
    pub(super) fn prose(
        &mut self,
        value: &Value<'t>,
        what: &'static str,
        example: &'static str,
    ) -> Option<String> {
        let text = self.text(value, example)?;
        if text.value.trim().is_empty() {
            self.note(ProblemKind::Empty { what }, text.at);
            return None;
        }
        if let Some(control) = text.value.chars().find(|c| c.is_control()) {
            let code = u32::from(control);
            self.note(ProblemKind::ControlCharacter { code }, text.at);
            return None;
        }
        Some(text.value.trim().to_owned())
    }

    /// Likewise, for a key that must be there.
    pub(super) fn need_prose(
        &mut self,
        fields: Fields<'_, 't>,
        key: &'static str,
        example: &'static str,
    ) -> Option<String> {
        let value = self.need(fields, key, example)?;
        self.prose(value, key, example)
    }

    /// A word by which other places refer to something.
    pub(super) fn id<'v>(&mut self, value: &'v Value<'t>, example: &'static str) -> Option<Text<'v>> {
        let text = self.text(value, example)?;
        if text.value.trim().is_empty() {
            self.note(ProblemKind::Empty { what: "the id" }, text.at);
            return None;
        }
        let proposal = made_id(text.value);
        if proposal == text.value {
            return Some(text);
        }
        let id = text.value.to_owned();
        self.note(ProblemKind::BadId { id, proposal }, text.at);
        None
    }

    /// A whole number from `least` to `most`, both given also as words for the message.
    pub(super) fn count(
        &mut self,
        value: &Value<'t>,
        what: &'static str,
        (least, most): (u32, u32),
        (least_word, most_word): (&'static str, &'static str),
    ) -> Option<u32> {
        let DeValue::Integer(number) = value.get_ref() else {
            self.wrong_type(value, "a whole number", "2");
            return None;
        };
        let count = u32::from_str_radix(number.as_str(), number.radix())
            .ok()
            .filter(|count| (least..=most).contains(count));
        if count.is_none() {
            let kind = ProblemKind::OutOfRange {
                what,
                least: least_word,
                most: most_word,
            };
            self.note(kind, value.span());
        }
        count
    }

    /// A list of at most `most` entries.
    pub(super) fn list<'v>(
        &mut self,
        value: &'v Value<'t>,
        (what, most): (&'static str, usize),
        example: &'static str,
    ) -> Option<&'v [Value<'t>]> {
        let Some(array) = value.get_ref().as_array() else {
            self.wrong_type(value, "a list in square brackets", example);
            return None;
        };
        let found = array.len();
        if found > most {
            self.note(ProblemKind::TooMany { what, found, most }, value.span());
            return None;
        }
        if found == 0 {
            self.note(ProblemKind::Empty { what }, value.span());
            return None;
        }
        Some(&array[..])
    }

    /// The entries of an array of tables, `most` at most; none if there is a mistake.
    pub(super) fn entries<'v>(
        &mut self,
        root: Fields<'v, 't>,
        (key, most): (&'static str, usize),
        example: &'static str,
    ) -> &'v [Value<'t>] {
        self.need(root, key, example)
            .and_then(|value| self.list(value, (key, most), example))
            .unwrap_or_default()
    }

    pub(super) fn fields<'v>(
        &mut self,
        value: &'v Value<'t>,
        inside: &'static str,
        example: &'static str,
    ) -> Option<Fields<'v, 't>> {
        let found = value.get_ref().as_table();
        if found.is_none() {
            self.wrong_type(value, "a table of keys and values", example);
        }
        found.map(|table| Fields::new(table, inside, &value.span()))
    }

    /// A quantity with its unit, read by one of the functions of `quantity`.
    pub(super) fn quantity<Q>(
        &mut self,
        value: &Value<'t>,
        example: &'static str,
        read: impl Fn(&str) -> Result<Q, Slip>,
    ) -> Option<Q> {
        // A bare number is a quantity that lacks its unit, not a value of a wrong type.
        let (text, bare) = match value.get_ref() {
            DeValue::Integer(_) | DeValue::Float(_) => (self.bare_number(value), true),
            _ => (self.text(value, example)?, false),
        };
        match read(text.value) {
            Ok(quantity) => Some(quantity),
            Err((kind, _)) if bare => {
                self.note(kind, text.at);
                None
            }
            Err((kind, part)) => {
                let at = text.part(part);
                self.note(kind, at);
                None
            }
        }
    }

    fn bare_number(&self, value: &Value<'t>) -> Text<'t> {
        let at = value.span();
        Text::new(self.source.get(at.clone()).unwrap_or_default(), at)
    }
}

fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time of day",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// Longest id in bytes: they stand in reports, file names and one line of output.
const LONGEST_ID: usize = 64;

/// The word as an id, itself where it is one: small ASCII letters, digits, `-` and `_`, a letter first.
pub(crate) fn made_id(word: &str) -> String {
    let mut id: String = word
        .trim()
        .to_lowercase()
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '-' || c == '_' {
                c
            } else {
                '-'
            }
        })
        .take(LONGEST_ID)
        .collect();
    if !id.starts_with(|c: char| c.is_ascii_lowercase()) {
        id.insert_str(0, "x-");
        id.truncate(LONGEST_ID);
    }
    id
}

/// Words that may stand only once, each with its first place.
pub(super) struct Seen<'v> {
    what: &'static str,
    words: HashMap<&'v str, Range<usize>>,
}

impl<'v> Seen<'v> {
    pub(super) fn new(what: &'static str) -> Self {
        let words = HashMap::new();
        Self { what, words }
    }

    pub(super) fn check(&mut self, reader: &mut Reader<'_>, word: &Text<'v>) {
        let first = self
            .words
            .entry(word.value)
            .or_insert_with(|| word.at.clone())
            .clone();
        if first != word.at {
            let kind = ProblemKind::Duplicate {
                what: self.what,
                word: word.value.to_owned(),
                first,
            };
            reader.note(kind, word.at.clone());
        }
    }
}
