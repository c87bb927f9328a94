//! The `[[meaning]]` sections.

use super::fields::{Fields, Value};
use super::lights::Lamps;
use super::model::{Kind, Lasts, Meaning, Show};
use super::nearest::nearest;
use super::problem::ProblemKind;
use super::quantity::duration_s;
use super::reader::{Reader, Seen};
use super::steps::{self, Known};
use super::{Condition, Pattern, shows};

/// Most rows. Rows are compared pair by pair.
const MOST_MEANINGS: usize = 512;

pub(super) fn meanings<'t>(
    reader: &mut Reader<'t>,
    root: Fields<'_, 't>,
    lamps: &Lamps,
    conditions: &mut Vec<Condition>,
) -> Vec<Meaning> {
    let mut ids = Seen::new("meaning");
    let list = reader.entries(root, ("meaning", MOST_MEANINGS), "[[meaning]]");
    let mut known = Known {
        tried: steps::names_tried(list),
        conditions,
    };
    list.iter()
        .filter_map(|entry| meaning(reader, entry, lamps, &mut known, &mut ids))
        .collect()
}

fn meaning<'v, 't>(
    reader: &mut Reader<'t>,
    entry: &'v Value<'t>,
    lamps: &Lamps,
    known: &mut Known<'_>,
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
    let next = fields.get("next").map(|value| steps::steps(reader, value, known));
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
    let is_light = |word: &str| lamps.list.iter().any(|lamp| lamp.light.id == word);
    let form = shows::FORMS
        .into_iter()
        .find(|form| all.has(form) && !is_light(form));
    if let Some(form) = form {
        // What stands beside it belongs to it.
        let known = lamps.list.iter().map(|lamp| lamp.light.id.clone()).collect();
        reader.note(ProblemKind::ShowsNoLight { form, known }, all.key_at(form));
        return Vec::new();
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
