//! Flashes, single or in groups.

use super::{Form, MOST_STATES};
use crate::table::model::{Shows, Timed};
use crate::table::problem::ProblemKind;
use crate::table::quantity::{duration_s, share};
use crate::table::reader::{Reader, Value};

/// Lit part of a flash where the table gives none, as shares of the time from flash to flash.
const ANY_ON: (f64, f64) = (0.2, 0.8);

impl<'t> Form<'_, '_, 't> {
    pub(super) fn flashing(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        let colour = self.own_colour(reader);
        let group = self.group(reader);
        let apart_s = match self.fields.get("apart") {
            Some(value) => Some(reader.quantity(value, "\"400 ms\"", duration_s)?),
            None => None,
        };
        let period = self.period(reader);
        let (group, period) = (group?, period?);
        let slot_s = self.slot_s(reader, group, apart_s, period.seconds)?;
        let on_s = match self.fields.get("on") {
            Some(value) => self.on_s(reader, value, slot_s, period)?,
            None => (ANY_ON.0 * slot_s, ANY_ON.1 * slot_s),
        };
        Some(Shows::Flashing {
            colour: colour?,
            period,
            on_s,
            group,
            apart_s,
        })
    }

    fn group(&self, reader: &mut Reader<'t>) -> Option<u32> {
        let Some(value) = self.fields.get("group") else {
            return Some(1);
        };
        let most = u32::try_from(MOST_STATES).expect("a small constant");
        reader.count(value, "`group`", (2, most), ("2", "32"))
    }

    /// From the start of a flash to the start of the next, seconds.
    fn slot_s(
        &self,
        reader: &mut Reader<'t>,
        group: u32,
        apart_s: Option<f64>,
        period_s: f64,
    ) -> Option<f64> {
        let example = "group = 3, apart = \"400 ms\", period = \"2 s\"";
        match (group, apart_s) {
            (1, None) => Some(period_s),
            (1, Some(_)) => {
                let (key, needs) = ("apart", "`group`");
                let kind = ProblemKind::NeedsBeside { key, needs, example };
                reader.note(kind, self.fields.key_at(key));
                None
            }
            (_, None) => {
                let (key, needs) = ("group", "`apart`");
                let kind = ProblemKind::NeedsBeside { key, needs, example };
                reader.note(kind, self.fields.key_at(key));
                None
            }
            // The pause after a group must be longer than the gaps in it, else it is no group.
            (_, Some(apart_s)) if f64::from(group) * apart_s >= period_s => {
                let kind = ProblemKind::GroupDoesNotFit {
                    group,
                    apart_s,
                    period_s,
                };
                reader.note(kind, self.fields.key_at("group"));
                None
            }
            (_, Some(apart_s)) => Some(apart_s),
        }
    }

    /// The lit part as a range. A share is one of the time from flash to flash.
    fn on_s(
        &self,
        reader: &mut Reader<'t>,
        value: &Value<'t>,
        slot_s: f64,
        period: Timed,
    ) -> Option<(f64, f64)> {
        let on_s = reader.quantity(value, "\"0.9 s\" or \"40 %\"", |word| {
            if word.contains('%') {
                let on_s = share(word)? * slot_s;
                if on_s > 0.0 {
                    Ok(on_s)
                } else {
                    let text = word.trim().to_owned();
                    Err((ProblemKind::NotPositive { text }, 0..word.len()))
                }
            } else {
                duration_s(word)
            }
        })?;
        if on_s >= slot_s {
            reader.note(ProblemKind::OnTooLong { on_s, slot_s }, value.span());
            return None;
        }
        // At least half of the dark stays, else a long flash with a wide tolerance would never go out.
        let wide_s = (on_s * period.within).min((slot_s - on_s) / 2.0);
        Some((on_s - wide_s, on_s + wide_s))
    }
}
