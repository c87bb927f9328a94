//! The form of light tables as types, from which `models/light-table.schema.json` is made.
//!
//! The parser works on spanned values, to show every mistake in its place; an editor wants a JSON Schema. These types
//! say the same once more, and the tests beside them hold them to the parser: what the schema refuses the parser
//! refuses too. The other way round a schema cannot go all the way, since it knows no sums and no references.

#![allow(dead_code, reason = "the types are only looked at, by the derive")]

use std::collections::BTreeMap;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::Value;

mod forms;
mod words;

mod tests;

use forms::Show;
use words::{Colour, Id, KindWord, Prose, Time};

/// What a device's lights mean.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields, title = "Light table")]
struct Table {
    /// The version of this format.
    schema: One,
    /// The device that the table describes.
    device: Device,
    /// Its lights.
    #[schemars(length(min = 1, max = 6))]
    light: Vec<Light>,
    /// What they mean: one entry a row.
    #[schemars(length(min = 1, max = 512))]
    meaning: Vec<Meaning>,
    /// What may be so at a site; steps refer to it.
    #[schemars(length(min = 1, max = 32))]
    condition: Option<Vec<Condition>>,
    /// The table's texts in other languages, by the code of the language and the text as it stands.
    translation: Option<BTreeMap<String, BTreeMap<String, Prose>>>,
}

/// What may be so at a site.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Condition {
    /// The word by which steps refer to it.
    id: Id,
    /// The question that settles it.
    ask: Prose,
}

/// The number 1.
struct One;

impl JsonSchema for One {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "One".into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "const": 1 })
    }
}

#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Device {
    /// Its name, for people.
    name: Prose,
}

/// One indicator lamp.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Light {
    /// The word by which rows refer to it.
    id: Id,
    /// Where it is, for people.
    label: Prose,
    /// Every colour it can take.
    #[schemars(length(min = 1, max = 9), extend("uniqueItems" = true))]
    colours: Vec<Colour>,
}

/// One row: what the lights show, what that means, what to do.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Meaning {
    /// Unique within the table.
    id: Id,
    /// What sort of state it is.
    kind: KindWord,
    /// What it means, for people.
    title: Prose,
    /// What each light does, by the light's id; a light that is not named may do anything.
    #[schemars(extend("minProperties" = 1))]
    shows: BTreeMap<String, Show>,
    /// How long the state lasts.
    lasts: Option<Lasts>,
    /// What to do, in order.
    #[schemars(length(max = 64))]
    next: Option<Vec<Step>>,
}

/// How long a state lasts.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Lasts {
    /// Usually.
    usual: Time,
    /// At most; longer means that something is wrong.
    at_most: Option<Time>,
}

/// One step of a procedure.
#[derive(JsonSchema)]
#[schemars(untagged)]
enum Step {
    Do(Do),
    HandOn(HandOn),
    Include(Include),
}

/// A procedure that holds for any device.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Include {
    /// Its name.
    include: String,
}

/// What a step erases.
#[derive(JsonSchema)]
#[schemars(untagged)]
enum Erases {
    /// Settings, or nothing.
    Settings(bool),
    /// What, as a phrase.
    Named(Prose),
}

/// Something to do.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct Do {
    /// What, as a plain sentence.
    r#do: Prose,
    /// Only until the state has lasted so long.
    until: Option<Time>,
    /// Only after the state has lasted so long.
    after: Option<Time>,
    /// Only until the device has had power for so long.
    powered_until: Option<Time>,
    /// Only after the device has had power for so long.
    powered_after: Option<Time>,
    /// Only where this condition holds.
    when: Option<String>,
    /// Only where this condition does not hold.
    unless: Option<String>,
    /// The name under which the case notes that this was tried.
    tried: Option<Id>,
    /// A caution that belongs to this step.
    caution: Option<Prose>,
    /// What this step erases.
    erases: Option<Erases>,
    /// What to do if it does not help, as a plain sentence.
    otherwise: Option<Prose>,
    /// What the figures in it rest on.
    basis: Option<Prose>,
}

/// When to stop and hand the case on.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
struct HandOn {
    /// Why, as a phrase.
    hand_on: Prose,
    /// Only when all of these were tried: names under `tried` of other steps.
    #[schemars(length(min = 1, max = 64))]
    after_tried: Option<Vec<String>>,
    /// Only where this condition holds.
    when: Option<String>,
    /// Only where this condition does not hold.
    unless: Option<String>,
    /// What to hand on beside the report.
    #[schemars(length(min = 1, max = 64))]
    evidence: Option<Vec<Prose>>,
}

/// The schema, as it is kept in `models/`.
pub(super) fn schema() -> Value {
    let mut schema = SchemaGenerator::default()
        .into_root_schema_for::<Table>()
        .to_value();
    without_null(&mut schema);
    schema
}

/// What may be left out is left out in TOML, which has no null.
fn without_null(value: &mut Value) {
    match value {
        Value::Object(map) => {
            if let Some(Value::Array(types)) = map.get("type")
                && let [kept, Value::String(null)] = &types[..]
                && null == "null"
            {
                let kept = kept.clone();
                map.insert("type".to_owned(), kept);
            }
            if let Some(Value::Array(any)) = map.get("anyOf")
                && let [Value::Object(kept), null] = &any[..]
                && *null == serde_json::json!({ "type": "null" })
            {
                let kept = kept.clone();
                map.remove("anyOf");
                map.extend(kept);
            }
            map.values_mut().for_each(without_null);
        }
        Value::Array(values) => values.iter_mut().for_each(without_null),
        _ => {}
    }
}
