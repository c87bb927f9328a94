//! The `[[light]]` sections.

use std::ops::Range;

use super::fields::{Fields, Value};
use super::model::Light;
use super::reader::{Reader, Seen};
use super::shows;
use crate::colour::ColourName;

/// Most lights of one table: every way in which the lamps of a clip may be the lights is tried, 13 327 of six lamps and six lights
/// (the sum of C(6,k)² k!).
pub const MOST_LIGHTS: usize = 6;

/// A light with the places that later messages point at.
pub(super) struct Lamp {
    pub(super) light: Light,
    pub(super) colours_at: Range<usize>,
    /// Its colours hold a mistake, so that it cannot be said which it lacks.
    pub(super) unsure: bool,
}

/// All lights that could be read.
pub(super) struct Lamps {
    pub(super) list: Vec<Lamp>,
    /// Some entry could not be read, so that a name may be that of a light after all.
    pub(super) unsure: bool,
}

pub(super) fn lamps<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>) -> Lamps {
    let mut ids = Seen::new("light");
    let entries = reader.entries(root, ("light", MOST_LIGHTS), "[[light]]");
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
