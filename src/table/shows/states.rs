//! States in turn: alternating colours and steps written out.

use std::ops::Range;

use super::{Form, MOST_STATES};
use crate::colour::ColourName;
use crate::table::fields::{Text, Value};
use crate::table::model::{Shows, Timed};
use crate::table::problem::ProblemKind;
use crate::table::quantity::duration_s;
use crate::table::reader::Reader;

impl<'t> Form<'_, '_, 't> {
    pub(super) fn alternating(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        let within = self.within(reader);
        let each = reader
            .need(self.fields, "each", "each = \"120 ms\"")
            .and_then(|value| reader.quantity(value, "\"120 ms\"", duration_s));
        let example = "alternating = [\"blue\", \"white\"]";
        let list = reader.list(self.value, ("alternating", MOST_STATES), example)?;
        let mut colours = Vec::new();
        for entry in list {
            let Some(word) = reader.text(entry, "\"blue\"") else {
                continue;
            };
            if word.value == "off" {
                reader.note(ProblemKind::DarkAmongColours, word.at);
                continue;
            }
            colours.extend(
                self.lamp_colour(reader, &word)
                    .map(|colour| (Some(colour), entry.span())),
            );
        }
        if colours.len() < list.len() {
            return None;
        }
        self.check_cycle(reader, "alternating", &colours)?;
        let each = Timed {
            seconds: each?,
            within: within?,
        };
        let colours = colours.into_iter().filter_map(|(colour, _)| colour).collect();
        Some(Shows::Alternating { colours, each })
    }

    pub(super) fn steps(&self, reader: &mut Reader<'t>) -> Option<Shows> {
        let within = self.within(reader);
        let example = "steps = [\"blue 150 ms\", \"off 150 ms\"]";
        let list = reader.list(self.value, ("steps", MOST_STATES), example)?;
        let found: Vec<_> = list
            .iter()
            .filter_map(|entry| Some((self.step(reader, entry)?, entry.span())))
            .collect();
        if found.len() < list.len() {
            return None;
        }
        let states: Vec<_> = found
            .iter()
            .map(|((state, _), at)| (*state, at.clone()))
            .collect();
        self.check_cycle(reader, "steps", &states)?;
        let within = within?;
        let timed = |((state, seconds), _)| (state, Timed { seconds, within });
        Some(Shows::Steps(found.into_iter().map(timed).collect()))
    }

    /// One state such as "warm white 150 ms".
    fn step(&self, reader: &mut Reader<'t>, entry: &Value<'t>) -> Option<(Option<ColourName>, f64)> {
        let example = "\"blue 150 ms\"";
        let text = reader.text(entry, example)?;
        let split = text
            .value
            .find(|c: char| c.is_ascii_digit() || c == '-')
            .unwrap_or(text.value.len());
        let (state, time) = text.value.split_at(split);
        let name = state.trim();
        let state_at = text.part(
            0..if name.is_empty() {
                text.value.len()
            } else {
                state.trim_end().len()
            },
        );
        let seconds = duration_s(time).map_err(|(kind, part)| match kind {
            ProblemKind::NoNumber { .. } => (
                ProblemKind::NoNumber {
                    text: text.value.to_owned(),
                    example,
                },
                0..text.value.len(),
            ),
            kind => (kind, part.start + split..part.end + split),
        });
        let seconds = match seconds {
            Ok(seconds) => Some(seconds),
            Err((kind, part)) => {
                let at = text.part(part);
                reader.note(kind, at);
                None
            }
        };
        if name == "off" {
            return Some((None, seconds?));
        }
        let word = Text::new(name, state_at);
        let colour = self.lamp_colour(reader, &word);
        Some((Some(colour?), seconds?))
    }

    /// At least two states, and no two neighbours alike, seen as a ring.
    fn check_cycle(
        &self,
        reader: &mut Reader<'t>,
        what: &'static str,
        states: &[(Option<ColourName>, Range<usize>)],
    ) -> Option<()> {
        if states.len() < 2 {
            let (found, least) = (states.len(), 2);
            reader.note(ProblemKind::TooFew { what, found, least }, self.value.span());
            return None;
        }
        let before = states.iter().cycle().skip(states.len() - 1);
        let same = before.zip(states).find(|(before, state)| before.0 == state.0);
        if let Some((_, (state, at))) = same {
            let state = state.map_or("off", ColourName::as_str).to_owned();
            reader.note(ProblemKind::SameNeighbours { state }, at.clone());
            return None;
        }
        Some(())
    }
}
