//! Words and quantities, as patterns.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::colour::ColourName;
use crate::table::Kind;

/// A number and a unit of time.
const TIME: &str = r"\d+(\.\d+)?\s*(ms|s|min|h)";
/// More than nothing.
const SOME: &str = r"(?=.*[1-9])";
/// A share in per cent.
const SHARE: &str = r"\d+(\.\d+)?\s*%";

/// A type that is a text of some form.
macro_rules! text {
    ($name:ident, $says:expr, $pattern:expr) => {
        pub(super) struct $name;

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "string", "description": $says, "pattern": $pattern })
            }
        }
    };
}

text!(
    Id,
    "Small letters, digits, `-` and `_`, a letter first, at most 64.",
    "^[a-z][a-z0-9_-]{0,63}$"
);
text!(
    Prose,
    "Text for people, on one line.",
    r"^[^\u0000-\u001f\u007f-\u009f]*[^\s\u0000-\u001f\u007f-\u009f][^\u0000-\u001f\u007f-\u009f]*$"
);
text!(
    Time,
    "A time with its unit: ms, s, min or h.",
    format!(r"^\s*{SOME}{TIME}\s*$")
);
text!(
    Rate,
    "A rate with its unit: Hz or /min.",
    format!(r"^\s*{SOME}\d+(\.\d+)?\s*(Hz|/min)\s*$")
);
text!(
    On,
    "The lit part of a flash: a time, or a share of the time from flash to flash.",
    format!(r"^\s*{SOME}({TIME}|{SHARE})\s*$")
);
text!(
    Within,
    "How much the timing may be off, in per cent; 15 % unless given.",
    format!(r"^\s*{SHARE}\s*$")
);
text!(
    Stay,
    "How long it stays: a time or a range such as `2 s..5 s`, `3 s..` or `..4 s`.",
    format!(r"^\s*(?=.*\d)({SOME}{TIME}|({TIME})?\s*\.\.\s*({TIME})?)\s*$")
);
text!(
    State,
    "A state and how long it lasts, such as `blue 150 ms` or `off 150 ms`.",
    format!(
        r"^\s*(off|{})\s*{SOME}{TIME}\s*$",
        ColourName::ALL.map(ColourName::as_str).join("|")
    )
);

/// A colour name.
pub(super) struct Colour;

impl JsonSchema for Colour {
    fn schema_name() -> Cow<'static, str> {
        "Colour".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "description": "A colour.", "enum": ColourName::ALL.map(ColourName::as_str) })
    }
}

/// A kind of meaning.
pub(super) struct KindWord;

impl JsonSchema for KindWord {
    fn schema_name() -> Cow<'static, str> {
        "Kind".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "description": "What sort of state it is.", "enum": Kind::ALL.map(|(_, word)| word) })
    }
}
