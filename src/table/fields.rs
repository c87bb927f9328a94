//! TOML values, tables and strings with their places.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::nearest::nearest;

/// A TOML value with its place.
pub(super) type Value<'t> = Spanned<DeValue<'t>>;

/// A TOML table with what it is for and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Fields<'v, 't> {
    pub(super) table: &'v DeTable<'t>,
    /// What it describes, for messages.
    pub(super) inside: &'static str,
    /// The whole table if inline, its header otherwise; as two numbers, because a range is not `Copy`.
    at: (usize, usize),
}

impl<'v, 't> Fields<'v, 't> {
    pub(super) fn new(table: &'v DeTable<'t>, inside: &'static str, at: &Range<usize>) -> Self {
        let at = (at.start, at.end);
        Self { table, inside, at }
    }

    /// The same under another name for messages.
    pub(super) fn called(self, inside: &'static str) -> Self {
        Self { inside, ..self }
    }

    pub(super) fn at(&self) -> Range<usize> {
        self.at.0..self.at.1
    }

    pub(super) fn get(&self, key: &str) -> Option<&'v Value<'t>> {
        self.table.get(key)
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// Some key looks like this one, which is then no mistake of its own beside the mistyped key.
    pub(super) fn has_mistyped(&self, key: &str) -> bool {
        self.table
            .keys()
            .any(|written| written.get_ref() != key && nearest(written.get_ref(), &[key]).is_some())
    }

    /// Where the key itself is written.
    pub(super) fn key_at(&self, key: &str) -> Range<usize> {
        self.table
            .get_key_value(key)
            .map_or_else(|| self.at(), |(key, _)| key.span())
    }
}

/// A string with the place of each of its parts.
#[derive(Debug, Clone)]
pub(super) struct Text<'v> {
    pub(super) value: &'v str,
    pub(super) at: Range<usize>,
    /// Where its first character stands, if every character stands for itself.
    pub(super) inner: Option<usize>,
}

impl<'v> Text<'v> {
    /// A part of a string that is looked at on its own.
    pub(super) fn new(value: &'v str, at: Range<usize>) -> Self {
        let inner = None;
        Self { value, at, inner }
    }

    /// Where a part of the string stands; the whole of it if it is written with escapes.
    pub(super) fn part(&self, part: Range<usize>) -> Range<usize> {
        self.inner
            .map_or_else(|| self.at.clone(), |inner| inner + part.start..inner + part.end)
    }
}
