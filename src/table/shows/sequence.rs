//! One rhythm after the other, once.

use super::{Form, MOST_STATES};
use crate::table::fields::Value;
use crate::table::model::{Shows, Stay};
use crate::table::problem::ProblemKind;
use crate::table::quantity::range_s;
use crate::table::reader::Reader;

impl<'t> Form<'_, '_, 't> {
    pub(super) fn sequence(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        let example = "sequence = [{ fixed = \"blue\", for = \"3 s..\" }]";
        let list = reader.list(self.value, ("sequence", MOST_STATES), example)?;
        let stays: Vec<_> = list.iter().filter_map(|entry| self.stay(reader, entry)).collect();
        (stays.len() == list.len()).then_some(Shows::Sequence(stays))
    }

    fn stay(&self, reader: &mut Reader<'t>, entry: &Value<'t>) -> Option<Stay> {
        let fields = reader.fields(
            entry,
            "a part of a sequence",
            "{ fixed = \"blue\", for = \"3 s..\" }",
        )?;
        let part = Form::find(reader, fields, self.lamp)?;
        part.check_keys(reader, true);
        let shows = part.plain(reader);
        let stay = match (fields.get("for"), fields.get("times")) {
            (Some(value), None) => {
                let within = part.within(reader)?;
                reader.quantity(value, "\"2 s..5 s\"", |word| range_s(word, within))
            }
            (None, Some(value)) => part.times_s(reader, value, shows.as_ref()),
            (Some(_), Some(_)) => {
                let (first, second) = ("for", "times");
                reader.note(ProblemKind::Exclusive { first, second }, fields.key_at(second));
                None
            }
            (None, None) => {
                let kind = ProblemKind::MissingKey {
                    key: "for` or `times",
                    inside: "a part of a sequence",
                    example: "for = \"3 s..\"",
                };
                reader.note(kind, fields.at());
                None
            }
        };
        Some(Stay {
            shows: shows?,
            for_s: stay?,
        })
    }

    /// So many cycles as a stay, as long as the tolerance of the cycle allows.
    fn times_s(
        &self,
        reader: &mut Reader<'t>,
        value: &Value<'t>,
        shows: Option<&Shows>,
    ) -> Option<(f64, f64)> {
        let times = reader.count(value, "`times`", (1, 1000), ("1", "1000"))?;
        let Some(cycle) = shows?.cycle() else {
            let kind = ProblemKind::TimesWithoutCycle { form: self.key };
            reader.note(kind, self.fields.key_at("times"));
            return None;
        };
        let nominal_s = f64::from(times) * cycle.seconds;
        Some((nominal_s * (1.0 - cycle.within), nominal_s * (1.0 + cycle.within)))
    }
}
