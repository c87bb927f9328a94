//! What several clips agree on, and the form in which a table says it.

use crate::colour::ColourName;
use crate::table::{Shows, Switching, Timed, USUAL_WITHIN};
use crate::trace::Rhythm;

use super::description::{Description, Look};
use super::error::LearnError;

/// Periods that differ from their mean by more than this share are not one state: the usual tolerance of a table.
const MOST_SPREAD: f64 = 0.15;

/// Least tolerance proposed: clips of a few devices on one day do not show what cold and age do. Guessed.
const LEAST_WITHIN: f64 = 0.05;

/// Edges are measured within the frame, durations to this part of one.
const KNOWN_FRAMES: f64 = 0.75;

/// What was learnt.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt {
    /// The value of `shows` in table syntax.
    pub shows: String,
    /// The rhythm, as it is called without a table.
    pub rhythm: Rhythm,
    /// Mean length of one cycle, seconds.
    pub period_s: Option<f64>,
    /// Largest deviation of a clip's period from the mean, with its uncertainty, as a share; `None` for one clip and
    /// where nothing repeats.
    pub spread: Option<f64>,
    /// The tolerance proposed; `None` leaves the usual one.
    pub within: Option<f64>,
    /// What each clip showed.
    pub clips: Vec<Description>,
}

/// Learns from descriptions of one light.
///
/// # Errors
///
/// When the clips do not show the same.
pub fn learn(mut clips: Vec<Description>) -> Result<Learnt, LearnError> {
    let Some((first, others)) = clips.split_first_mut() else {
        return Err(LearnError::NoClips);
    };
    for other in others {
        turn(&mut other.look, &first.look);
    }
    let first = &clips[0];
    if clips.iter().any(|clip| !same_kind(&clip.look, &first.look)) {
        return Err(disagree(&clips));
    }
    let periods: Vec<(f64, f64)> = clips
        .iter()
        .filter_map(|clip| clip.period_s)
        .map(|period| (period.value, period.sd))
        .collect();
    let period_s = (!periods.is_empty()).then(|| mean(periods.iter().map(|(value, _)| *value)));
    let deviation = |mean_s: f64| {
        let of_clip = periods
            .iter()
            .map(|(value, sd)| ((value - mean_s).abs() + 2.0 * sd) / mean_s);
        of_clip.fold(0.0, f64::max)
    };
    let spread = period_s.filter(|_| periods.len() > 1).map(deviation);
    if spread.is_some_and(|spread| spread > MOST_SPREAD) {
        return Err(disagree(&clips));
    }
    // Twice what was seen, in whole per cent: a few clips show only a part of the scatter.
    let within = spread.map(|spread| ((2.0 * spread).max(LEAST_WITHIN) * 100.0).ceil() / 100.0);
    let frame_s = clips.iter().map(|clip| clip.frame_s).fold(0.0, f64::max);
    let look = averaged(&clips);
    let shows = form(&look, period_s, frame_s, within);
    Ok(Learnt {
        shows: shows.written(),
        rhythm: rhythm(&shows),
        period_s,
        spread,
        within,
        clips,
    })
}

/// Turns a cycle so that its states meet those of another: a cycle has no first state, and which was taken for it may
/// hang on a millisecond.
fn turn(look: &mut Look, other: &Look) {
    let (Look::Cycle(states), Look::Cycle(others)) = (look, other) else {
        return;
    };
    if states.len() != others.len() {
        return;
    }
    let turned = |by: usize| states.iter().cycle().skip(by).zip(others);
    let fits = |by: &usize| turned(*by).all(|(state, other)| state.0 == other.0);
    let off_s = |by: &usize| {
        turned(*by)
            .map(|(state, other)| (state.1 - other.1).abs())
            .sum::<f64>()
    };
    let best = (0..states.len())
        .filter(fits)
        .min_by(|a, b| off_s(a).total_cmp(&off_s(b)));
    if let Some(by) = best {
        states.rotate_left(by);
    }
}

/// The same states in the same order.
fn same_kind(a: &Look, b: &Look) -> bool {
    match (a, b) {
        (Look::Cycle(a), Look::Cycle(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.0 == b.0),
        _ => a == b,
    }
}

fn disagree(clips: &[Description]) -> LearnError {
    let looks = clips.iter().map(|clip| {
        let period = clip
            .period_s
            .map(|period| format!(", one cycle in {:.2} s", period.value));
        format!(
            "{} {}{}",
            clip.clip,
            in_words(&clip.look),
            period.unwrap_or_default()
        )
    });
    LearnError::Disagree {
        looks: looks.collect(),
    }
}

fn in_words(look: &Look) -> String {
    match look {
        Look::Off => "is dark".to_owned(),
        Look::Fixed(colour) => format!("is fixed {colour}"),
        Look::Breathing(colour) => format!("breathes {colour}"),
        Look::Cycle(states) => {
            let words: Vec<&str> = states.iter().map(|(colour, _)| word(*colour)).collect();
            format!("goes {}", words.join(", "))
        }
    }
}

fn word(colour: Option<ColourName>) -> &'static str {
    colour.map_or("off", ColourName::as_str)
}

fn mean(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let count = values.clone().count().max(1) as f64;
    values.sum::<f64>() / count
}

/// The look with each duration averaged over the clips.
fn averaged(clips: &[Description]) -> Look {
    let Look::Cycle(states) = &clips[0].look else {
        return clips[0].look.clone();
    };
    let lasts_s = |place: usize| {
        mean(clips.iter().map(move |clip| match &clip.look {
            Look::Cycle(states) => states[place].1,
            _ => 0.0,
        }))
    };
    let states = states.iter().enumerate();
    Look::Cycle(
        states
            .map(|(place, (colour, _))| (*colour, lasts_s(place)))
            .collect(),
    )
}

/// The plainest form that says it.
fn form(look: &Look, period_s: Option<f64>, frame_s: f64, within: Option<f64>) -> Shows {
    let within = within.unwrap_or(USUAL_WITHIN);
    let period = Timed {
        seconds: period_s.unwrap_or_default(),
        within,
    };
    match look {
        Look::Off => Shows::Off,
        Look::Fixed(colour) => Shows::Fixed(*colour),
        Look::Breathing(colour) => Shows::Breathing {
            colour: *colour,
            period,
        },
        Look::Cycle(states) => Switching {
            states: states.clone(),
            period_s: period.seconds,
            known_s: KNOWN_FRAMES * frame_s,
            within,
        }
        .shows(),
    }
}

/// What the form is called without a table.
fn rhythm(shows: &Shows) -> Rhythm {
    match shows {
        Shows::Off => Rhythm::Off,
        Shows::Fixed(_) => Rhythm::Fixed,
        Shows::Breathing { .. } => Rhythm::Breathing,
        Shows::Flashing { group: 1, .. } => Rhythm::Flashing,
        Shows::Flashing { group, .. } => Rhythm::GroupFlashing {
            count: *group as usize,
        },
        Shows::Alternating { .. } => Rhythm::Alternating,
        Shows::Steps(steps) => match steps.iter().filter(|(colour, _)| colour.is_none()).count() {
            0 => Rhythm::Alternating,
            1 => Rhythm::Flashing,
            count => Rhythm::GroupFlashing { count },
        },
        Shows::Sequence(_) => Rhythm::Irregular,
    }
}
