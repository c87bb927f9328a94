//! Flashes, single or in groups.

use super::{Form, MOST_STATES};
use crate::table::model::{Shows, Timed};
use crate::table::problem::ProblemKind;
use crate::table::quantity::{Slip, duration_s, share};
use crate::table::reader::Reader;

/// Lit part of a flash where the table gives none, as shares of the time from flash to flash.
const ANY_ON: (f64, f64) = (0.2, 0.8);
/// Slack for the binary rounding of decimal times, as a share.
const ROUNDING: f64 = 1e-9;

impl<'t> Form<'_, '_, 't> {
    pub(super) fn flashing(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        let colour = self.own_colour(reader);
        let group = self.group(reader);
        let apart_s = match self.fields.get("apart") {
            Some(value) => Some(reader.quantity(value, "\"400 ms\"", duration_s)?),
            None => None,
        };
        let on = match self.fields.get("on") {
            Some(value) => reader
                .quantity(value, "\"0.9 s\" or \"40 %\"", On::read)
                .map(Some),
            None => Some(None),
        };
        let period = self.period(reader);
        let (group, period) = (group?, period?);
        let slot_s = self.slot_s(reader, group, apart_s, period.seconds)?;
        let on_s = match on? {
            Some(on) => self.on_s(reader, on.in_slot_s(slot_s), slot_s, period)?,
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
            (_, Some(apart_s)) if f64::from(group) * apart_s >= period_s * (1.0 - ROUNDING) => {
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

    /// The lit part as a range.
    fn on_s(&self, reader: &mut Reader<'t>, on_s: f64, slot_s: f64, period: Timed) -> Option<(f64, f64)> {
        if on_s >= slot_s {
            let at = self
                .fields
                .get("on")
                .map_or_else(|| self.fields.at(), |value| value.span());
            reader.note(ProblemKind::OnTooLong { on_s, slot_s }, at);
            return None;
        }
        Some(on_range_s(on_s, slot_s, period.within))
    }
}

/// The lit part of a flash with its tolerance, seconds. At least half of the dark stays, else a long flash with a wide
/// tolerance would never go out.
pub(in crate::table) fn on_range_s(on_s: f64, slot_s: f64, within: f64) -> (f64, f64) {
    let wide_s = (on_s * within).min((slot_s - on_s) / 2.0);
    (on_s - wide_s, on_s + wide_s)
}

/// The lit part of a flash as it is written.
#[derive(Clone, Copy)]
enum On {
    Seconds(f64),
    /// Of the time from flash to flash.
    Share(f64),
}

impl On {
    fn read(word: &str) -> Result<Self, Slip> {
        if !word.contains('%') {
            return duration_s(word).map(Self::Seconds);
        }
        let share = share(word)?;
        if share > 0.0 {
            return Ok(Self::Share(share));
        }
        let text = word.trim().to_owned();
        Err((ProblemKind::NotPositive { text }, 0..word.len()))
    }

    fn in_slot_s(self, slot_s: f64) -> f64 {
        match self {
            Self::Seconds(seconds) => seconds,
            Self::Share(share) => share * slot_s,
        }
    }
}
