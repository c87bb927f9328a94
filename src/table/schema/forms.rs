//! The forms of `shows`, on their own and as parts of a sequence.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::json;

use super::words::{Colour, On, Rate, State, Stay, Time, Within};

/// A fixed word or value.
macro_rules! constant {
    ($name:ident, $value:expr) => {
        pub(super) struct $name;

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn inline_schema() -> bool {
                true
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "const": $value })
            }
        }
    };
}

constant!(OffWord, "off");
constant!(True, true);

/// A form on its own and as a part of a sequence. `plain` and `part` are rules that fields alone do not say.
macro_rules! form {
    (
        $(#[$doc:meta])* $plain:ident ($rules:expr), $part:ident ($part_rules:expr)
        { $($(#[$about:meta])* $field:ident: $type:ty,)* }
        { $($(#[$more:meta])* $only_part:ident: $only_type:ty,)* }
    ) => {
        $(#[$doc])*
        #[derive(JsonSchema)]
        #[schemars(deny_unknown_fields, extend("allOf" = $rules))]
        pub(super) struct $plain { $($(#[$about])* $field: $type,)* }

        $(#[$doc])*
        #[derive(JsonSchema)]
        #[schemars(deny_unknown_fields, extend("allOf" = $part_rules))]
        pub(super) struct $part {
            $($(#[$about])* $field: $type,)*
            $($(#[$more])* $only_part: $only_type,)*
            /// How long this part stays.
            r#for: Option<Stay>,
        }
    };
}

/// Exactly one of two keys.
fn either(first: &str, second: &str) -> serde_json::Value {
    json!({ "oneOf": [{ "required": [first] }, { "required": [second] }] })
}

/// Two keys that need each other.
fn together() -> serde_json::Value {
    json!({ "dependentRequired": { "group": ["apart"], "apart": ["group"] } })
}

fn needs_for() -> serde_json::Value {
    json!({ "required": ["for"] })
}

fn nothing() -> serde_json::Value {
    json!({})
}

form! {
    /// Dark.
    Off ([nothing()]), OffPart ([needs_for()])
    { off: True, }
    {
        /// How much its stay may be off.
        within: Option<Within>,
    }
}

form! {
    /// Lit without change.
    Fixed ([nothing()]), FixedPart ([needs_for()])
    {
        /// The colour.
        fixed: Colour,
    }
    {
        /// How much its stay may be off.
        within: Option<Within>,
    }
}

form! {
    /// Flashes, alone or in groups.
    Flashing ([either("period", "rate"), together()]),
    FlashingPart ([either("period", "rate"), together(), either("for", "times")])
    {
        /// The colour when lit.
        flashing: Colour,
        /// From flash to flash, or from group to group.
        period: Option<Time>,
        /// The same as a rate.
        rate: Option<Rate>,
        /// The lit part of a flash.
        on: Option<On>,
        /// Flashes in a group.
        #[schemars(range(min = 2, max = 32))]
        group: Option<i64>,
        /// From flash to flash within a group.
        apart: Option<Time>,
        within: Option<Within>,
    }
    {
        /// How many cycles it stays.
        #[schemars(range(min = 1, max = 1000))]
        times: Option<i64>,
    }
}

form! {
    /// Colours in turn, with no dark between.
    Alternating ([nothing()]), AlternatingPart ([either("for", "times")])
    {
        /// The colours in order.
        #[schemars(length(min = 2, max = 32))]
        alternating: Vec<Colour>,
        /// How long each stays.
        each: Time,
        within: Option<Within>,
    }
    {
        /// How many cycles it stays.
        #[schemars(range(min = 1, max = 1000))]
        times: Option<i64>,
    }
}

form! {
    /// Swells and fades.
    Breathing ([either("period", "rate")]), BreathingPart ([either("period", "rate"), either("for", "times")])
    {
        /// The colour when lit.
        breathing: Colour,
        /// From breath to breath.
        period: Option<Time>,
        /// The same as a rate.
        rate: Option<Rate>,
        within: Option<Within>,
    }
    {
        /// How many cycles it stays.
        #[schemars(range(min = 1, max = 1000))]
        times: Option<i64>,
    }
}

form! {
    /// States written out, repeating.
    Steps ([nothing()]), StepsPart ([either("for", "times")])
    {
        /// The states in order.
        #[schemars(length(min = 2, max = 32))]
        steps: Vec<State>,
        within: Option<Within>,
    }
    {
        /// How many cycles it stays.
        #[schemars(range(min = 1, max = 1000))]
        times: Option<i64>,
    }
}

/// One rhythm after the other, once.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(super) struct Sequence {
    /// The parts in order.
    #[schemars(length(min = 1, max = 32))]
    sequence: Vec<Part>,
}

/// One part of a sequence.
#[derive(JsonSchema)]
#[schemars(untagged)]
pub(super) enum Part {
    Off(OffPart),
    Fixed(FixedPart),
    Flashing(FlashingPart),
    Alternating(AlternatingPart),
    Breathing(BreathingPart),
    Steps(StepsPart),
}

/// What a light does.
#[derive(JsonSchema)]
#[schemars(untagged)]
pub(super) enum Show {
    OffWord(OffWord),
    Off(Off),
    Fixed(Fixed),
    Flashing(Flashing),
    Alternating(Alternating),
    Breathing(Breathing),
    Steps(Steps),
    Sequence(Sequence),
}
