//! The procedure of a row: what to do, in order, and when to hand on.

use std::collections::HashSet;

use toml::de::DeValue;

use super::fields::{Fields, Text, Value};
use super::nearest::nearest;
use super::problem::ProblemKind;
use super::quantity::duration_s;
use super::reader::{Reader, Seen};
use super::shared::shared;
use super::step::{Condition, Erases, Given, Step, Window};

/// Most steps of one row. Nobody follows more at a device.
const MOST_STEPS: usize = 64;

/// Most conditions of a table: each is a question to somebody.
const MOST_CONDITIONS: usize = 32;

/// Most shared procedures.
pub(super) const MOST_PROCEDURES: usize = 32;

const TO_DO: [&str; 12] = [
    "do",
    "until",
    "after",
    "powered_until",
    "powered_after",
    "when",
    "unless",
    "tried",
    "caution",
    "erases",
    "otherwise",
    "basis",
];

const HAND_ON: [&str; 5] = ["hand_on", "after_tried", "when", "unless", "evidence"];

const INCLUDE: [&str; 1] = ["include"];

/// What steps may refer to.
pub(super) struct Known<'k> {
    /// All names under which something is tried in the table.
    pub(super) tried: HashSet<&'k str>,
    /// Grows by those of the procedures that are included.
    pub(super) conditions: &'k mut Vec<Condition>,
}

/// Every name under `tried` in all rows, mistakes aside.
pub(super) fn names_tried<'v>(meanings: &'v [Value<'_>]) -> HashSet<&'v str> {
    meanings.iter().flat_map(names_in).collect()
}

/// Every name under `tried` in one procedure and in those that it includes.
pub(super) fn names_in<'v>(owner: &'v Value<'_>) -> Vec<&'v str> {
    let steps = owner
        .get_ref()
        .get("next")
        .and_then(|next| next.get_ref().as_array());
    let mut names = Vec::new();
    for step in steps.into_iter().flat_map(|steps| steps.iter()) {
        let word = |key| step.get_ref().get(key).and_then(|value| value.get_ref().as_str());
        names.extend(word("tried"));
        let included = word("include").and_then(|id| shared().find(id));
        names.extend(
            included
                .iter()
                .flat_map(|procedure| procedure.tried.iter().map(String::as_str)),
        );
    }
    names
}

/// The `[[condition]]` sections, which a table may do without.
pub(super) fn conditions<'t>(reader: &mut Reader<'t>, root: Fields<'_, 't>) -> Vec<Condition> {
    let Some(value) = root.get("condition") else {
        return Vec::new();
    };
    let mut ids = Seen::new("condition");
    let list = reader.list(value, ("condition", MOST_CONDITIONS), "[[condition]]");
    let mut found = Vec::new();
    for entry in list.unwrap_or_default() {
        let Some(fields) = reader.fields(entry, "a `[[condition]]`", "[[condition]]") else {
            continue;
        };
        reader.check_keys(fields, &["id", "ask"]);
        let example = "id = \"tank-full\"";
        let id = reader
            .need(fields, "id", example)
            .and_then(|value| reader.id(value, example));
        let ask = reader.need_prose(fields, "ask", "ask = \"Is the tank full?\"");
        if let (Some(id), Some(ask)) = (id, ask) {
            ids.check(reader, &id);
            let id = id.value.to_owned();
            found.push(Condition { id, ask });
        }
    }
    found
}

/// The steps under `next`.
pub(super) fn steps<'t>(reader: &mut Reader<'t>, value: &Value<'t>, known: &mut Known<'_>) -> Vec<Step> {
    // A row without a next step says so with an empty list.
    if matches!(value.get_ref(), DeValue::Array(array) if array.is_empty()) {
        return Vec::new();
    }
    let example = "next = [{ do = \"Wait until the lamp changes.\", until = \"6 min\" }]";
    let list = reader
        .list(value, ("next", MOST_STEPS), example)
        .unwrap_or_default();
    list.iter().flat_map(|entry| step(reader, entry, known)).collect()
}

fn step<'t>(reader: &mut Reader<'t>, value: &Value<'t>, known: &mut Known<'_>) -> Vec<Step> {
    let example = "{ do = \"Wait until the lamp changes.\" }";
    let Some(fields) = reader.fields(value, "a step", example) else {
        return Vec::new();
    };
    let forms: Vec<&'static str> = ["do", "hand_on", "include"]
        .into_iter()
        .filter(|form| fields.has(form))
        .collect();
    match forms[..] {
        ["do"] => to_do(reader, fields, known).into_iter().collect(),
        ["hand_on"] => hand_on(reader, fields, known).into_iter().collect(),
        [_] => include(reader, fields, known),
        [] => {
            let mut all: Vec<&'static str> = TO_DO.into_iter().chain(HAND_ON).chain(INCLUDE).collect();
            all.dedup();
            reader.check_keys(fields, &all);
            let kind = ProblemKind::MissingKey {
                key: "do`, `hand_on` or `include",
                inside: "a step",
                example: "do = \"Wait until the lamp changes.\"",
            };
            reader.note(kind, fields.at());
            Vec::new()
        }
        [first, second, ..] => {
            reader.note(ProblemKind::Exclusive { first, second }, fields.key_at(second));
            Vec::new()
        }
    }
}

fn to_do<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>, known: &Known<'_>) -> Option<Step> {
    reader.check_keys(fields, &TO_DO);
    let text = reader.need_prose(fields, "do", "do = \"Wait until the lamp changes.\"");
    let lasted = window(reader, fields, "after", "until");
    let powered = window(reader, fields, "powered_after", "powered_until");
    if lasted != Window::default() && powered != Window::default() {
        let (first, second) = ("until` or `after", "powered_until` or `powered_after");
        reader.note(ProblemKind::Exclusive { first, second }, fields.at());
    }
    let tried = fields
        .get("tried")
        .and_then(|value| reader.id(value, "\"power-cycle\""))
        .map(|name| name.value.to_owned());
    let mut prose = |key, example| {
        fields
            .get(key)
            .and_then(|value| reader.prose(value, key, example))
    };
    let caution = prose("caution", "\"Dry hands.\"");
    let otherwise = prose(
        "otherwise",
        "\"tell whoever looks after the site's electricity.\"",
    );
    let basis = prose("basis", "\"common practice, no source\"");
    let erases = erases(reader, fields);
    let given = given(reader, fields, known);
    Some(Step::Do {
        text: text?,
        until_s: lasted.until_s,
        after_s: lasted.after_s,
        powered,
        given,
        tried,
        caution,
        erases,
        otherwise,
        basis,
    })
}

fn window<'t>(
    reader: &mut Reader<'t>,
    fields: Fields<'_, 't>,
    after: &'static str,
    until: &'static str,
) -> Window {
    let mut time = |key| {
        fields
            .get(key)
            .and_then(|value| reader.quantity(value, "\"6 min\"", duration_s))
    };
    let window = Window {
        until_s: time(until),
        after_s: time(after),
    };
    if let (Some(until_s), Some(after_s)) = (window.until_s, window.after_s)
        && after_s >= until_s
    {
        let kind = ProblemKind::WrongOrder {
            earlier: after,
            later: until,
            earlier_s: after_s,
            later_s: until_s,
        };
        reader.note(kind, fields.at());
    }
    window
}

/// `true`, or a phrase that says what.
fn erases<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>) -> Erases {
    let Some(value) = fields.get("erases") else {
        return Erases::Nothing;
    };
    let example = "erases = \"the watering plan and the row number\"";
    match value.get_ref() {
        DeValue::Boolean(false) => Erases::Nothing,
        DeValue::Boolean(true) => Erases::Settings,
        DeValue::String(_) => reader
            .prose(value, "erases", example)
            .map_or(Erases::Settings, Erases::Named),
        _ => {
            reader.wrong_type(value, "`true`, `false` or what it erases", example);
            Erases::Settings
        }
    }
}

fn given<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>, known: &Known<'_>) -> Option<Given> {
    let (key, holds) = match (fields.has("when"), fields.has("unless")) {
        (false, false) => return None,
        (true, true) => {
            let (first, second) = ("when", "unless");
            reader.note(ProblemKind::Exclusive { first, second }, fields.key_at(second));
            return None;
        }
        (when, _) => (if when { "when" } else { "unless" }, when),
    };
    let word = fields
        .get(key)
        .and_then(|value| reader.text(value, "\"tank-full\""))?;
    let condition = known
        .conditions
        .iter()
        .position(|condition| condition.id == word.value);
    if condition.is_none() && !reader.full() {
        let known: Vec<String> = known
            .conditions
            .iter()
            .map(|condition| condition.id.clone())
            .collect();
        let kind = ProblemKind::UnknownCondition {
            word: word.value.to_owned(),
            nearest: nearest(word.value, &known).cloned(),
            known,
        };
        reader.note(kind, word.at);
    }
    condition.map(|condition| Given { condition, holds })
}

fn hand_on<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>, known: &Known<'_>) -> Option<Step> {
    reader.check_keys(fields, &HAND_ON);
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
        if !known.tried.contains(name.value) {
            never_tried(reader, &name, &known.tried);
        }
        after_tried.push(name.value.to_owned());
    }
    let example = "evidence = [\"a photo of the type plate\"]";
    let list = fields
        .get("evidence")
        .and_then(|value| reader.list(value, ("evidence", MOST_STEPS), example))
        .unwrap_or_default();
    let evidence = list
        .iter()
        .filter_map(|entry| reader.prose(entry, "evidence", "\"a photo of the type plate\""))
        .collect();
    let given = given(reader, fields, known);
    Some(Step::HandOn {
        text: text?,
        after_tried,
        given,
        evidence,
    })
}

fn include<'t>(reader: &mut Reader<'t>, fields: Fields<'_, 't>, known: &mut Known<'_>) -> Vec<Step> {
    reader.check_keys(fields, &INCLUDE);
    let word = fields
        .get("include")
        .and_then(|value| reader.text(value, "include = \"no-light\""));
    let Some(word) = word else {
        return Vec::new();
    };
    if let Some(procedure) = shared().find(word.value) {
        return shared().included(procedure, known.conditions);
    }
    let all: Vec<&'static str> = shared().procedures.iter().map(|p| p.id.as_str()).collect();
    let kind = ProblemKind::UnknownProcedure {
        word: word.value.to_owned(),
        nearest: nearest(word.value, &all).copied(),
        known: all,
    };
    reader.note(kind, word.at);
    Vec::new()
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
