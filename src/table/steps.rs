//! The procedure of a row: what to do, in order, and when to hand on.

use std::collections::HashSet;

use toml::de::DeValue;

use super::fields::{Fields, Text, Value};
use super::model::Step;
use super::nearest::nearest;
use super::problem::ProblemKind;
use super::quantity::duration_s;
use super::reader::Reader;

/// Most steps of one row. Nobody follows more at a device.
const MOST_STEPS: usize = 64;

/// Every name under `tried` in all rows, mistakes aside.
pub(super) fn names_tried<'v>(meanings: &'v [Value<'_>]) -> HashSet<&'v str> {
    meanings
        .iter()
        .filter_map(|meaning| meaning.get_ref().get("next")?.get_ref().as_array())
        .flat_map(|steps| steps.iter())
        .filter_map(|step| step.get_ref().get("tried")?.get_ref().as_str())
        .collect()
}

/// The steps under `next`. `tried` are all names under which something is tried in the table.
pub(super) fn steps<'t>(reader: &mut Reader<'t>, value: &Value<'t>, tried: &HashSet<&str>) -> Vec<Step> {
    // A row without a next step says so with an empty list.
    if matches!(value.get_ref(), DeValue::Array(array) if array.is_empty()) {
        return Vec::new();
    }
    let example = "next = [{ do = \"Wait until the lamp changes.\", until = \"6 min\" }]";
    let list = reader
        .list(value, ("next", MOST_STEPS), example)
        .unwrap_or_default();
    list.iter()
        .filter_map(|entry| step(reader, entry, tried))
        .collect()
}

fn step<'t>(reader: &mut Reader<'t>, value: &Value<'t>, tried: &HashSet<&str>) -> Option<Step> {
    let example = "{ do = \"Wait until the lamp changes.\" }";
    let fields = reader.fields(value, "a step", example)?;
    match (fields.has("do"), fields.has("hand_on")) {
        (true, false) => to_do(reader, fields),
        (false, true) => hand_on(reader, fields, tried),
        (true, true) => {
            let (first, second) = ("do", "hand_on");
            reader.note(ProblemKind::Exclusive { first, second }, fields.key_at(second));
            None
        }
        (false, false) => {
            reader.check_keys(
                fields,
                &[
                    "do",
                    "until",
                    "after",
                    "tried",
                    "caution",
                    "erases",
                    "hand_on",
                    "after_tried",
                ],
            );
            let kind = ProblemKind::MissingKey {
                key: "do` or `hand_on",
                inside: "a step",
                example: "do = \"Wait until the lamp changes.\"",
            };
            reader.note(kind, fields.at());
            None
        }
    }
}

fn to_do<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>) -> Option<Step> {
    reader.check_keys(fields, &["do", "until", "after", "tried", "caution", "erases"]);
    let text = reader.need_prose(fields, "do", "do = \"Wait until the lamp changes.\"");
    let mut time = |key| {
        fields
            .get(key)
            .and_then(|value| reader.quantity(value, "\"6 min\"", duration_s))
    };
    let (until_s, after_s) = (time("until"), time("after"));
    if let (Some(until_s), Some(after_s)) = (until_s, after_s)
        && after_s >= until_s
    {
        let kind = ProblemKind::WrongOrder {
            earlier: "after",
            later: "until",
            earlier_s: after_s,
            later_s: until_s,
        };
        reader.note(kind, fields.at());
    }
    let tried = fields
        .get("tried")
        .and_then(|value| reader.id(value, "\"power-cycle\""))
        .map(|name| name.value.to_owned());
    let caution = fields
        .get("caution")
        .and_then(|value| reader.prose(value, "caution", "\"Dry hands.\""));
    let erases = fields
        .get("erases")
        .and_then(|value| reader.boolean(value, "erases = true"));
    Some(Step::Do {
        text: text?,
        until_s,
        after_s,
        tried,
        caution,
        erases: erases.unwrap_or(false),
    })
}

fn hand_on<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>, tried: &HashSet<&str>) -> Option<Step> {
    reader.check_keys(fields, &["hand_on", "after_tried"]);
    let text = reader.need_prose(fields, "hand_on", "hand_on = \"Starts but never finishes\"");
    let example = "after_tried = [\"power-cycle\"]";
    let list = fields
        .get("after_tried")
        .and_then(|value| reader.list(value, ("after_tried", MOST_STEPS), example))
        .unwrap_or_default();
    let mut after_tried = Vec::new();
    for entry in list {
        let Some(name) = reader.text(entry, "\"power-cycle\"") else {
            continue;
        };
        if !tried.contains(name.value) {
            never_tried(reader, &name, tried);
        }
        after_tried.push(name.value.to_owned());
    }
    let text = text?;
    Some(Step::HandOn { text, after_tried })
}

fn never_tried(reader: &mut Reader<'_>, name: &Text<'_>, tried: &HashSet<&str>) {
    if reader.full() {
        return;
    }
    let mut known: Vec<_> = tried.iter().map(|name| (*name).to_owned()).collect();
    known.sort_unstable();
    let word = name.value.to_owned();
    let nearest = nearest(&word, &known).cloned();
    reader.note(ProblemKind::NeverTried { word, nearest, known }, name.at.clone());
}
