//! What a light does, in the forms that a table has for it.

use toml::de::DeValue;

use super::fields::{Fields, Text, Value};
use super::lights::Lamp;
use super::model::{Shows, Timed};
use super::problem::ProblemKind;
use super::quantity::{duration_s, rate_as_period_s, share};
use super::reader::Reader;
use crate::colour::ColourName;

mod colour;
mod flashing;
mod sequence;
mod states;

pub(super) use colour::colour;
pub(super) use flashing::on_range_s;

/// Every form, by its key.
pub(super) const FORMS: [&str; 7] = [
    "off",
    "fixed",
    "flashing",
    "alternating",
    "breathing",
    "steps",
    "sequence",
];

/// Tolerance of a timing where the table gives none: cheap oscillators and firmware ticks stay well inside it
/// (a convention of this format, not a measured figure).
pub const USUAL_WITHIN: f64 = 0.15;
/// Most flashes in a group, states in `steps` and parts of a sequence: more than people count on a lamp.
const MOST_STATES: usize = 32;

/// One entry of a row's `shows`.
pub(super) fn shows<'t>(reader: &mut Reader<'t>, value: &Value<'t>, lamp: &Lamp) -> Option<Shows> {
    let example = "{ flashing = \"blue\", period = \"1.6 s\" }";
    if let DeValue::String(word) = value.get_ref() {
        if word == "off" {
            return Some(Shows::Off);
        }
        reader.wrong_type(value, "\"off\" or a table", example);
        return None;
    }
    let fields = reader.fields(value, "`shows`", example)?;
    let form = Form::find(reader, fields, lamp)?;
    form.check_keys(reader, false);
    match form.key {
        "sequence" => form.sequence(reader),
        _ => form.plain(reader),
    }
}

/// A table of `shows`, or a part of a sequence, whose form is known.
struct Form<'a, 'v, 't> {
    key: &'static str,
    value: &'v Value<'t>,
    fields: Fields<'v, 't>,
    lamp: &'a Lamp,
}

impl<'a, 'v, 't> Form<'a, 'v, 't> {
    fn find(reader: &mut Reader<'t>, fields: Fields<'v, 't>, lamp: &'a Lamp) -> Option<Self> {
        let mut present = FORMS.into_iter().filter(|form| fields.has(form));
        let Some(key) = present.next() else {
            let noted = reader.problems.len();
            reader.check_keys(fields, &every_key());
            // A mistyped form has been named already.
            if reader.problems.len() == noted {
                reader.note(ProblemKind::NoForm, fields.at());
            }
            return None;
        };
        if let Some(second) = present.next() {
            let kind = ProblemKind::Exclusive { first: key, second };
            reader.note(kind, fields.key_at(second));
            return None;
        }
        let value = fields.get(key)?;
        Some(Self {
            key,
            value,
            fields,
            lamp,
        })
    }

    fn check_keys(&self, reader: &mut Reader<'t>, is_part: bool) {
        let (inside, keys) = keys_of(self.key);
        let mut known = vec![self.key];
        known.extend(keys);
        if is_part {
            known.extend(["for", "times"]);
            if !known.contains(&"within") {
                known.push("within");
            }
        }
        reader.check_keys(self.fields.called(inside), &known);
    }

    /// Every form but a sequence.
    fn plain(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        match self.key {
            "off" => self.off(reader),
            "fixed" => self.own_colour(reader).map(Shows::Fixed),
            "flashing" => self.flashing(reader),
            "alternating" => self.alternating(reader),
            "breathing" => self.breathing(reader),
            "steps" => self.steps(reader),
            _ => {
                reader.note(ProblemKind::NestedSequence, self.fields.key_at(self.key));
                None
            }
        }
    }

    fn off(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        if self.value.get_ref().as_bool() == Some(true) {
            return Some(Shows::Off);
        }
        reader.wrong_type(self.value, "`true`", "off = true");
        None
    }

    fn breathing(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        let colour = self.own_colour(reader);
        let period = self.period(reader);
        Some(Shows::Breathing {
            colour: colour?,
            period: period?,
        })
    }

    fn own_colour(&self, reader: &mut Reader<'t>) -> Option<ColourName> {
        let word = reader.text(self.value, "\"blue\"")?;
        self.lamp_colour(reader, &word)
    }

    /// A colour that the light can take.
    fn lamp_colour(&self, reader: &mut Reader<'t>, word: &Text<'_>) -> Option<ColourName> {
        let colour = colour(reader, word)?;
        let light = &self.lamp.light;
        if self.lamp.unsure || light.colours.contains(&colour) {
            return Some(colour);
        }
        let kind = ProblemKind::ColourNotOfLight {
            light: light.id.clone(),
            colour,
            has: light.colours.clone(),
            declared: self.lamp.colours_at.clone(),
        };
        reader.note(kind, word.at.clone());
        None
    }

    fn period(&self, reader: &mut Reader<'t>) -> Option<Timed> {
        let within = self.within(reader);
        let seconds = match (self.fields.get("period"), self.fields.get("rate")) {
            (Some(value), None) => reader.quantity(value, "\"2.4 s\"", duration_s),
            (None, Some(value)) => reader.quantity(value, "\"2.5 Hz\"", rate_as_period_s),
            (Some(_), Some(_)) => {
                let (first, second) = ("period", "rate");
                reader.note(
                    ProblemKind::Exclusive { first, second },
                    self.fields.key_at(second),
                );
                None
            }
            (None, None) if self.fields.has_mistyped("period") || self.fields.has_mistyped("rate") => None,
            (None, None) => {
                let kind = ProblemKind::MissingKey {
                    key: "period` or `rate",
                    inside: keys_of(self.key).0,
                    example: "period = \"2.4 s\"",
                };
                reader.note(kind, self.fields.at());
                None
            }
        };
        Some(Timed {
            seconds: seconds?,
            within: within?,
        })
    }

    fn within(&self, reader: &mut Reader<'t>) -> Option<f64> {
        match self.fields.get("within") {
            Some(value) => reader.quantity(value, "\"20 %\"", share),
            None => Some(USUAL_WITHIN),
        }
    }
}

/// How messages call a form, and the keys that stand beside it.
fn keys_of(form: &str) -> (&'static str, &'static [&'static str]) {
    match form {
        "off" => ("`off`", &[]),
        "fixed" => ("`fixed`", &[]),
        "flashing" => (
            "`flashing`",
            &["period", "rate", "on", "group", "apart", "within"],
        ),
        "alternating" => ("`alternating`", &["each", "within"]),
        "breathing" => ("`breathing`", &["period", "rate", "within"]),
        "steps" => ("`steps`", &["within"]),
        _ => ("`sequence`", &[]),
    }
}

fn every_key() -> Vec<&'static str> {
    let mut keys = FORMS.to_vec();
    keys.extend([
        "period", "rate", "on", "group", "apart", "each", "within", "for", "times",
    ]);
    keys
}
