//! What a lamp does, as a recipe writes it: exact durations, no tolerances.

use serde::{Deserialize, Serialize};

use crate::colour::ColourName;
use crate::table::{Pattern, Phase, Shade};

/// What a lamp does. A pattern of a light table becomes one by taking its nominal durations.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Shown {
    /// The same beats again and again; a single beat is a steady light.
    Cycle(Vec<Beat>),
    /// One stretch after the other, once, from pattern time 0. Dark before the first and after the last.
    Sequence(Vec<Stretch>),
}

/// One stretch of a cycle, with the brightness changing evenly in linear light from its start to its end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beat {
    /// Duration, seconds.
    pub lasts_s: f64,
    /// Colour; left out where the lamp is dark.
    #[serde(default, with = "colour_word", skip_serializing_if = "Option::is_none")]
    pub colour: Option<ColourName>,
    /// Share of full brightness at its start, 0 to 1 in linear light; 1 unless given.
    #[serde(default = "full")]
    pub from: f64,
    /// Share of full brightness at its end, 0 to 1 in linear light; 1 unless given.
    #[serde(default = "full")]
    pub to: f64,
}

/// One part of a sequence: a cycle that goes on for a while.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stretch {
    /// How long, seconds.
    pub for_s: f64,
    /// What meanwhile.
    pub cycle: Vec<Beat>,
}

const fn full() -> f64 {
    1.0
}

/// A stay that a table leaves open at its upper end is rendered this long or for its shortest stay, whichever
/// is longer, seconds. Chosen for clips of some ten seconds; no source.
const OPEN_STAY_S: f64 = 4.0;

impl Beat {
    /// Lit in one colour at full brightness.
    #[must_use]
    pub const fn lit(colour: ColourName, lasts_s: f64) -> Self {
        Self {
            lasts_s,
            colour: Some(colour),
            from: 1.0,
            to: 1.0,
        }
    }

    /// Dark.
    #[must_use]
    pub const fn dark(lasts_s: f64) -> Self {
        Self {
            lasts_s,
            colour: None,
            from: 0.0,
            to: 0.0,
        }
    }

    fn of_phase(phase: &Phase) -> Self {
        let (colour, from, to) = match (phase.from, phase.to) {
            (Shade::Dark, Shade::Dark) => (None, 0.0, 0.0),
            (Shade::Dark, Shade::Lit(colour, to)) => (Some(colour), 0.0, to),
            (Shade::Lit(colour, from), Shade::Dark) => (Some(colour), from, 0.0),
            (Shade::Lit(colour, from), Shade::Lit(_, to)) => (Some(colour), from, to),
        };
        Self {
            lasts_s: phase.lasts_s,
            colour,
            from,
            to,
        }
    }

    /// Brightness at its start and end, 0 where it is dark.
    pub(super) fn ends(&self) -> (f64, f64) {
        if self.colour.is_some() {
            (self.from, self.to)
        } else {
            (0.0, 0.0)
        }
    }
}

impl From<&Pattern> for Shown {
    /// Takes nominal durations. Of a stay given as a range it takes the middle, or, where the range is open,
    /// 4 s or the shortest stay, whichever is longer.
    fn from(pattern: &Pattern) -> Self {
        match pattern {
            Pattern::Constant(_) | Pattern::Cycle(_) => Self::Cycle(beats(pattern)),
            Pattern::Sequence(parts) => Self::Sequence(
                parts
                    .iter()
                    .map(|part| {
                        let (least_s, most_s) = part.for_s;
                        let for_s = if most_s.is_finite() {
                            0.5 * (least_s + most_s)
                        } else {
                            least_s.max(OPEN_STAY_S)
                        };
                        Stretch {
                            for_s,
                            cycle: beats(&part.pattern),
                        }
                    })
                    .collect(),
            ),
        }
    }
}

fn beats(pattern: &Pattern) -> Vec<Beat> {
    match pattern {
        Pattern::Constant(Shade::Dark) => vec![Beat::dark(1.0)],
        Pattern::Constant(Shade::Lit(colour, level)) => vec![Beat {
            from: *level,
            to: *level,
            ..Beat::lit(*colour, 1.0)
        }],
        Pattern::Cycle(cycle) => cycle.phases.iter().map(Beat::of_phase).collect(),
        // A part of a sequence is never itself a sequence.
        Pattern::Sequence(parts) => parts.iter().flat_map(|part| beats(&part.pattern)).collect(),
    }
}

/// A colour as the word for it, or left out.
pub(super) mod colour_word {
    use serde::de::Error;
    use serde::{Deserialize, Deserializer, Serializer};

    use crate::colour::ColourName;

    #[allow(clippy::ref_option, reason = "the signature that serde asks for")]
    pub(in super::super) fn serialize<S: Serializer>(
        colour: &Option<ColourName>,
        to: S,
    ) -> Result<S::Ok, S::Error> {
        match colour {
            Some(colour) => to.serialize_str(colour.as_str()),
            None => to.serialize_none(),
        }
    }

    pub(in super::super) fn deserialize<'de, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Option<ColourName>, D::Error> {
        let word: Option<String> = Option::deserialize(from)?;
        word.map(|word| word.parse().map_err(D::Error::custom))
            .transpose()
    }
}
