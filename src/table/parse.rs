//! A light table from text: the sections and the rows.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::model::{Device, Kind, Lasts, Light, LightTable, Meaning, Show};
use super::nearest::nearest;
use super::problem::{Problem, ProblemKind, TableError};
use super::quantity::duration_s;
use super::reader::{Fields, Reader, Text, Value};
use super::{Pattern, shows, steps};
use crate::colour::ColourName;

/// Longest table in bytes that is read. A thorough row takes about 1 KiB, so this holds hundreds.
pub(super) const LONGEST_BYTES: usize = 1 << 18;
/// Most lights of one device. More than a front panel has; lists of them are shown in messages.
const MOST_LIGHTS: usize = 64;
/// Most rows. Rows are compared pair by pair.
const MOST_MEANINGS: usize = 512;

/// Reads and checks a light table. `name` stands for the text in messages, mostly its file name.
///
/// # Errors
/// All mistakes that can be told apart in one go. A text that is no TOML, or is written in another schema, is not
/// looked into further.
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
        return Err(errors
            .iter()
            .map(|error| syntax(error, text, root.get_ref()))
            .collect());
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
    reader.check_keys(root, &["schema", "device", "light", "meaning"]);
    let device = device(reader, root);
    let lamps = lamps(reader, root);
    let meanings = meanings(reader, root, &lamps);
    Some(LightTable {
        device: device?,
        lights: lamps.list.into_iter().map(|lamp| lamp.light).collect(),
        meanings,
    })
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
    let example = "[device] name = \"Orchard valve controller\"";
    let value = reader.need(root, "device", example)?;
    let fields = reader.fields(value, "`[device]`", example)?;
    reader.check_keys(fields, &["name"]);
    let name = reader.need_prose(fields, "name", "name = \"Orchard valve controller\"")?;
    Some(Device { name })
}

/// A light with the places that later messages point at.
pub(super) struct Lamp {
    pub(super) light: Light,
    pub(super) colours_at: Range<usize>,
    /// Its colours hold a mistake, so that it cannot be said which it lacks.
    pub(super) unsure: bool,
}

/// All lights that could be read.
struct Lamps {
    list: Vec<Lamp>,
    /// Some entry could not be read, so that a name may be that of a light after all.
    unsure: bool,
}

/// The entries of an array of tables; notes a mistake if there are none.
fn entries<'v, 't>(
    reader: &mut Reader<'t>,
    root: Fields<'v, 't>,
    (key, most): (&'static str, usize),
    example: &'static str,
) -> &'v [Value<'t>] {
    reader
        .need(root, key, example)
        .and_then(|value| reader.list(value, (key, most), example))
        .unwrap_or_default()
}

fn lamps<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>) -> Lamps {
    let mut ids = Seen::new("light");
    let entries = entries(reader, root, ("light", MOST_LIGHTS), "[[light]]");
    let list: Vec<_> = entries
        .iter()
        .filter_map(|entry| lamp(reader, entry, &mut ids))
        .collect();
    let unsure = list.len() < entries.len() || entries.is_empty();
    Lamps { list, unsure }
}

fn lamp<'v, 't>(reader: &mut Reader<'t>, entry: &'v Value<'t>, ids: &mut Seen<'v>) -> Option<Lamp> {
    let fields = reader.fields(entry, "a `[[light]]`", "[[light]]")?;
    reader.check_keys(fields, &["id", "label", "colours"]);
    let label = reader.need_prose(fields, "label", "label = \"the round lamp above the hose inlet\"");
    let noted = reader.problems.len();
    let colours = colours(reader, fields).unwrap_or_default();
    let unsure = reader.problems.len() > noted;
    let example = "id = \"crown\"";
    let id = reader
        .need(fields, "id", example)
        .and_then(|value| reader.id(value, example))?;
    ids.check(reader, &id);
    Some(Lamp {
        light: Light {
            id: id.value.to_owned(),
            label: label.unwrap_or_default(),
            colours,
        },
        colours_at: fields
            .get("colours")
            .map_or_else(|| fields.at(), |value| value.span()),
        unsure,
    })
}

fn colours<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>) -> Option<Vec<ColourName>> {
    let example = "colours = [\"white\", \"blue\"]";
    let value = reader.need(fields, "colours", example)?;
    let list = reader.list(value, ("colours", ColourName::ALL.len()), example)?;
    let mut seen = Seen::new("colour");
    let mut colours = Vec::new();
    for entry in list {
        let Some(word) = reader.text(entry, "\"blue\"") else {
            continue;
        };
        seen.check(reader, &word);
        colours.extend(shows::colour(reader, &word));
    }
    Some(colours)
}

fn meanings<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>, lamps: &Lamps) -> Vec<Meaning> {
    let mut ids = Seen::new("meaning");
    let list = entries(reader, root, ("meaning", MOST_MEANINGS), "[[meaning]]");
    let tried = steps::names_tried(list);
    list.iter()
        .filter_map(|entry| meaning(reader, entry, lamps, &tried, &mut ids))
        .collect()
}

fn meaning<'v, 't>(
    reader: &mut Reader<'t>,
    entry: &'v Value<'t>,
    lamps: &Lamps,
    tried: &HashSet<&str>,
    ids: &mut Seen<'v>,
) -> Option<Meaning> {
    let fields = reader.fields(entry, "a `[[meaning]]`", "[[meaning]]")?;
    reader.check_keys(fields, &["id", "kind", "title", "shows", "lasts", "next"]);
    let example = "id = \"starting\"";
    let id = reader
        .need(fields, "id", example)
        .and_then(|value| reader.id(value, example));
    if let Some(id) = &id {
        ids.check(reader, id);
    }
    let kind = kind(reader, fields);
    let title = reader.need_prose(fields, "title", "title = \"Starting up\"");
    let shows = all_shows(reader, fields, lamps);
    let lasts = fields.get("lasts").and_then(|value| lasts(reader, value));
    let next = fields.get("next").map(|value| steps::steps(reader, value, tried));
    let id = id?;
    Some(Meaning {
        id: id.value.to_owned(),
        kind: kind?,
        title: title?,
        shows,
        lasts,
        next: next.unwrap_or_default(),
        at: id.at,
    })
}

fn kind<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>) -> Option<Kind> {
    let example = "kind = \"booting\"";
    let value = reader.need(fields, "kind", example)?;
    let text = reader.text(value, example)?;
    let known = Kind::ALL.iter().find(|(_, word)| *word == text.value);
    if known.is_none() {
        let words = Kind::ALL.map(|(_, word)| word);
        let word = text.value.to_owned();
        let nearest = nearest(&word, &words).copied();
        reader.note(ProblemKind::UnknownKind { word, nearest }, text.at);
    }
    known.map(|(kind, _)| *kind)
}

fn all_shows<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>, lamps: &Lamps) -> Vec<Show> {
    let example = "shows.crown = { fixed = \"blue\" }";
    let Some(all) = reader
        .need(fields, "shows", example)
        .and_then(|value| reader.fields(value, "`shows`", example))
    else {
        return Vec::new();
    };
    if all.table.is_empty() {
        reader.note(ProblemKind::Empty { what: "shows" }, fields.key_at("shows"));
    }
    let mut found = Vec::new();
    for (key, value) in all.table {
        let Some(light) = lamps
            .list
            .iter()
            .position(|lamp| lamp.light.id == **key.get_ref())
        else {
            if lamps.unsure || reader.full() {
                continue;
            }
            let word = key.get_ref().to_string();
            let known: Vec<_> = lamps.list.iter().map(|lamp| lamp.light.id.clone()).collect();
            let nearest = nearest(&word, &known).cloned();
            reader.note(ProblemKind::UnknownLight { word, nearest, known }, key.span());
            continue;
        };
        if let Some(shows) = shows::shows(reader, value, &lamps.list[light]) {
            let pattern = Pattern::of(&shows);
            found.push(Show {
                light,
                shows,
                pattern,
            });
        }
    }
    found.sort_by_key(|show| show.light);
    found
}

fn lasts<'t>(reader: &mut Reader<'t>, value: &Value<'t>) -> Option<Lasts> {
    let example = "lasts = { usual = \"90 s\", at_most = \"6 min\" }";
    let fields = reader.fields(value, "`lasts`", example)?;
    reader.check_keys(fields, &["usual", "at_most"]);
    let usual = reader.need(fields, "usual", "usual = \"90 s\"")?;
    let usual_s = reader.quantity(usual, "\"90 s\"", duration_s);
    let at_most_s = match fields.get("at_most") {
        Some(value) => Some(reader.quantity(value, "\"6 min\"", duration_s)?),
        None => None,
    };
    let usual_s = usual_s?;
    if let Some(at_most_s) = at_most_s.filter(|at_most_s| *at_most_s < usual_s) {
        let kind = ProblemKind::WrongOrder {
            earlier: "usual",
            later: "at_most",
            earlier_s: usual_s,
            later_s: at_most_s,
        };
        reader.note(kind, value.span());
    }
    Some(Lasts { usual_s, at_most_s })
}

/// Words that may stand only once, each with its first place.
struct Seen<'v> {
    what: &'static str,
    words: HashMap<&'v str, Range<usize>>,
}

impl<'v> Seen<'v> {
    fn new(what: &'static str) -> Self {
        let words = HashMap::new();
        Self { what, words }
    }

    fn check(&mut self, reader: &mut Reader<'_>, word: &Text<'v>) {
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
