//! A light table from text.

use std::collections::BTreeMap;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::fields::Fields;
use super::lights::lamps;
use super::model::{Device, LightTable};
use super::problem::{Problem, ProblemKind, TableError};
use super::reader::{MOST_PROBLEMS, Reader};
use super::rows::meanings;
use super::steps::conditions;
use super::translations::{translatable, translations, with_shared};

/// Longest table in bytes that is read. A thorough row takes about 1 KiB, so this holds hundreds.
pub(super) const LONGEST_BYTES: usize = 1 << 18;

/// Reads and checks a light table. `name` stands for the text in messages, mostly its file name.
///
/// # Errors
/// All mistakes that can be told apart in one go. A text that is no TOML, or is written in another schema, is
/// not looked into further.
pub fn parse(name: &str, text: &str) -> Result<LightTable, TableError> {
    checked(text).map_err(|mut problems| {
        problems.sort_by_key(|problem| (problem.at.start, problem.at.end));
        TableError {
            name: name.to_owned(),
            text: text.to_owned(),
            problems,
        }
    })
}

fn checked(text: &str) -> Result<LightTable, Vec<Problem>> {
    if text.len() > LONGEST_BYTES {
        let (bytes, limit) = (text.len(), LONGEST_BYTES);
        let kind = ProblemKind::TooBig { bytes, limit };
        return Err(vec![Problem { kind, at: 0..0 }]);
    }
    let (root, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        let mut told: Vec<Problem> = errors
            .iter()
            .take(MOST_PROBLEMS)
            .map(|error| syntax(error, text, root.get_ref()))
            .collect();
        // What comes after a place that is no TOML is mostly called wrong for that place alone.
        let is_syntax = |problem: &Problem| matches!(problem.kind, ProblemKind::Syntax { .. });
        if let Some(first) = told.iter().position(is_syntax) {
            told.truncate(first + 1);
        }
        return Err(told);
    }
    let mut reader = Reader::new(text);
    let fields = Fields::new(root.get_ref(), "a light table", &(0..first_line(text)));
    match whole(&mut reader, fields) {
        Some(table) if reader.problems.is_empty() => Ok(table),
        _ => Err(reader.problems),
    }
}

fn first_line(text: &str) -> usize {
    text.find('\n').unwrap_or(text.len())
}

fn syntax(error: &toml::de::Error, text: &str, root: &DeTable<'_>) -> Problem {
    let at = error.span().unwrap_or(0..first_line(text));
    let kind = match text.get(at.clone()) {
        Some(key) if error.message() == "duplicate key" => {
            let key = key.trim_matches(['"', '\'']).to_owned();
            let first = last_key_before(root, &key, at.start);
            ProblemKind::DuplicateKey { key, first }
        }
        _ => {
            let message = error.message().to_owned();
            ProblemKind::Syntax { message }
        }
    };
    Problem { kind, at }
}

/// The last place before `limit` where a key of that name stands, anywhere in the tree.
fn last_key_before(table: &DeTable<'_>, word: &str, limit: usize) -> Option<Range<usize>> {
    let mut last: Option<Range<usize>> = None;
    let mut values = Vec::new();
    let mut tables = vec![table];
    while let Some(table) = tables.pop() {
        for (key, value) in table.iter() {
            let at = key.span();
            let later = last.as_ref().is_none_or(|last| last.start < at.start);
            if key.get_ref() == word && at.start < limit && later {
                last = Some(at);
            }
            values.push(value.get_ref());
        }
        while let Some(value) = values.pop() {
            match value {
                DeValue::Table(inner) => tables.push(inner),
                DeValue::Array(array) => values.extend(array.iter().map(|entry| entry.get_ref())),
                _ => {}
            }
        }
    }
    last
}

fn whole<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>) -> Option<LightTable> {
    check_schema(reader, root)?;
    reader.check_keys(
        root,
        &["schema", "device", "light", "meaning", "condition", "translation"],
    );
    let device = device(reader, root);
    let lamps = lamps(reader, root);
    let mut conditions = conditions(reader, root);
    let meanings = meanings(reader, root, &lamps, &mut conditions);
    let mut table = LightTable {
        device: device?,
        lights: lamps.list.into_iter().map(|lamp| lamp.light).collect(),
        meanings,
        conditions,
        translations: BTreeMap::new(),
    };
    // With a row that could not be read, a translation of it would look superfluous.
    let sound = reader.problems.is_empty();
    let texts = translatable(&table);
    let own = translations(reader, root, sound.then_some(&texts));
    let translations = with_shared(own, &texts);
    table.translations = translations;
    Some(table)
}

/// `None` if the rest would be misread.
fn check_schema<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>) -> Option<()> {
    // Without a number, the rest is read as the only schema there is, so that all mistakes come at once.
    let Some(value) = reader.need(root, "schema", "schema = 1") else {
        return Some(());
    };
    let DeValue::Integer(number) = value.get_ref() else {
        reader.wrong_type(value, "a whole number", "schema = 1");
        return Some(());
    };
    if number.as_str() == "1" {
        return Some(());
    }
    let found = number.to_string();
    reader.note(ProblemKind::UnknownSchema { found }, value.span());
    None
}

fn device<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>) -> Option<Device> {
    let example = "device = { name = \"Orchard valve controller\" }";
    let value = reader.need(root, "device", example)?;
    let fields = reader.fields(value, "`[device]`", example)?;
    reader.check_keys(fields, &["name"]);
    let name = reader.need_prose(fields, "name", "name = \"Orchard valve controller\"")?;
    Some(Device { name })
}
