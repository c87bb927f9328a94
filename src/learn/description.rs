//! What one clip shows, in the terms of a table.

use crate::colour::ColourName;
use crate::table::Light;
use crate::trace::{Estimate, Measured, Rhythm, Tint, Trace};

use super::error::LearnError;
use super::states::states;

/// A colour that the light does not have is believed in when it is this much likelier than the best that it has.
const FOREIGN: f64 = 3.0;

/// What one clip shows of one light.
#[derive(Debug, Clone, PartialEq)]
pub struct Description {
    /// The clip, for people.
    pub clip: String,
    /// What the light does.
    pub look: Look,
    /// Length of one cycle, seconds; `None` where nothing repeats.
    pub period_s: Option<Estimate>,
    /// Distance of frames, seconds: durations are known to a part of it (`agree.rs`).
    pub frame_s: f64,
}

/// What a light does.
#[derive(Debug, Clone, PartialEq)]
pub enum Look {
    /// Dark throughout.
    Off,
    /// Lit throughout.
    Fixed(ColourName),
    /// Swelling and fading.
    Breathing(ColourName),
    /// States in turn with their durations in seconds, the longest dark last; `None` is dark.
    Cycle(Vec<(Option<ColourName>, f64)>),
}

/// Describes one light of a clip. Its colours are named as the light of the table can show them.
///
/// # Errors
///
/// When nothing repeats, or a colour is not one of the light's.
pub fn describe(
    clip: &str,
    light: &Light,
    trace: &Trace,
    measured: &Measured,
) -> Result<Description, LearnError> {
    let clip = clip.to_owned();
    let no_rhythm = |seen| LearnError::NoRhythm {
        clip: clip.clone(),
        seen,
    };
    let colour = |tint: usize| {
        let tint = trace
            .tints
            .get(tint)
            .ok_or_else(|| no_rhythm("a lamp without a colour"))?;
        name(&clip, light, tint)
    };
    let look = match measured.rhythm {
        Rhythm::Off => Look::Off,
        Rhythm::Fixed => Look::Fixed(colour(0)?),
        Rhythm::Breathing => Look::Breathing(colour(0)?),
        Rhythm::Irregular => {
            return Err(no_rhythm(
                "it changes without a rhythm, or too few times to tell one",
            ));
        }
        Rhythm::Unknown => return Err(no_rhythm("too few pictures to tell")),
        Rhythm::Flashing | Rhythm::GroupFlashing { .. } | Rhythm::Alternating => {
            let states = states(trace, measured)
                .ok_or_else(|| no_rhythm("its cycles differ from each other, or the lamp was hidden"))?;
            let named: Result<Vec<_>, LearnError> = states
                .into_iter()
                .map(|state| Ok((state.tint.map(&colour).transpose()?, state.lasts_s)))
                .collect();
            Look::Cycle(merged(named?))
        }
    };
    let frames = trace.samples.len().max(1) as f64;
    Ok(Description {
        look,
        period_s: measured.period_s,
        frame_s: trace.length_s() / frames,
        clip,
    })
}

/// The likeliest of the light's colours.
fn name(clip: &str, light: &Light, tint: &Tint) -> Result<ColourName, LearnError> {
    let (seen, most) = tint.names.ranked()[0];
    let own = light
        .colours
        .iter()
        .copied()
        .max_by(|a, b| tint.names.of(*a).total_cmp(&tint.names.of(*b)));
    own.filter(|own| FOREIGN * tint.names.of(*own) >= most)
        .ok_or_else(|| LearnError::ForeignColour {
            clip: clip.to_owned(),
            seen,
            light: light.id.clone(),
        })
}

/// Neighbours of one name are one state: two tints of one lamp are one colour.
fn merged(states: Vec<(Option<ColourName>, f64)>) -> Vec<(Option<ColourName>, f64)> {
    let mut found: Vec<(Option<ColourName>, f64)> = Vec::new();
    for (colour, lasts_s) in states {
        match found.last_mut() {
            Some((before, sum_s)) if *before == colour => *sum_s += lasts_s,
            _ => found.push((colour, lasts_s)),
        }
    }
    if found.len() > 1 && found[0].0 == found[found.len() - 1].0 {
        let (_, lasts_s) = found.remove(0);
        if let Some(last) = found.last_mut() {
            last.1 += lasts_s;
        }
    }
    found
}
