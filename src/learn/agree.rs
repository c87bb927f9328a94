//! What several clips agree on, and the form in which a table says it.

use crate::colour::ColourName;
use crate::trace::Rhythm;

use super::description::{Description, Look};
use super::error::LearnError;

/// Periods that differ from their mean by more than this share are not one state: the usual tolerance of a table.
const MOST_SPREAD: f64 = 0.15;

/// Least tolerance proposed: clips of a few devices on one day do not show what cold and age do. Guessed.
const LEAST_WITHIN: f64 = 0.05;

/// Durations count as equal when they differ from their mean by no more than this share, or this part of a frame.
const EQUAL: f64 = 0.15;
const EQUAL_FRAMES: f64 = 0.75;

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
    let (shows, rhythm) = form(&look, period_s, frame_s, within);
    Ok(Learnt {
        shows,
        rhythm,
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

/// The simplest form that says it.
fn form(look: &Look, period_s: Option<f64>, frame_s: f64, within: Option<f64>) -> (String, Rhythm) {
    let tolerance = within.map_or_else(String::new, |within| {
        format!(", within = \"{:.0} %\"", within * 100.0)
    });
    let period = period_s.map_or_else(String::new, time);
    match look {
        Look::Off => ("\"off\"".to_owned(), Rhythm::Off),
        Look::Fixed(colour) => (format!("{{ fixed = \"{colour}\" }}"), Rhythm::Fixed),
        Look::Breathing(colour) => (
            format!("{{ breathing = \"{colour}\", period = \"{period}\"{tolerance} }}"),
            Rhythm::Breathing,
        ),
        Look::Cycle(states) => {
            if let Some((flashing, count)) = flashes(states, &period, frame_s) {
                let rhythm = if count == 1 {
                    Rhythm::Flashing
                } else {
                    Rhythm::GroupFlashing { count }
                };
                return (format!("{{ {flashing}{tolerance} }}"), rhythm);
            }
            if let Some(alternating) = alternating(states, frame_s) {
                return (format!("{{ {alternating}{tolerance} }}"), Rhythm::Alternating);
            }
            let steps: Vec<String> = states
                .iter()
                .map(|(colour, lasts_s)| format!("\"{} {}\"", word(*colour), time(*lasts_s)))
                .collect();
            let rhythm = match states.iter().filter(|(colour, _)| colour.is_none()).count() {
                0 => Rhythm::Alternating,
                1 => Rhythm::Flashing,
                count => Rhythm::GroupFlashing { count },
            };
            (format!("{{ steps = [{}]{tolerance} }}", steps.join(", ")), rhythm)
        }
    }
}

/// Equal flashes of one colour, alone or in a group; with their number.
fn flashes(states: &[(Option<ColourName>, f64)], period: &str, frame_s: f64) -> Option<(String, usize)> {
    let colour = states[0].0?;
    let regular = states
        .iter()
        .enumerate()
        .all(|(at, (state, _))| *state == (at % 2 == 0).then_some(colour));
    let lit: Vec<f64> = states.iter().step_by(2).map(|state| state.1).collect();
    let dark: Vec<f64> = states.iter().skip(1).step_by(2).map(|state| state.1).collect();
    let (pause, gaps) = dark.split_last()?;
    let is_group = gaps.iter().all(|gap| gap < pause);
    if !regular || states.len() % 2 == 1 || !equal(&lit, frame_s) || !equal(gaps, frame_s) || !is_group {
        return None;
    }
    let on_s = mean(lit.iter().copied());
    let mut text = format!(
        "flashing = \"{colour}\", period = \"{period}\", on = \"{}\"",
        time(on_s)
    );
    if !gaps.is_empty() {
        let apart_s = on_s + mean(gaps.iter().copied());
        text.push_str(&format!(", group = {}, apart = \"{}\"", lit.len(), time(apart_s)));
    }
    Some((text, lit.len()))
}

/// Different colours, equally long, without dark.
fn alternating(states: &[(Option<ColourName>, f64)], frame_s: f64) -> Option<String> {
    let colours: Option<Vec<ColourName>> = states.iter().map(|state| state.0).collect();
    let colours = colours?;
    let lasts: Vec<f64> = states.iter().map(|state| state.1).collect();
    if !equal(&lasts, frame_s) {
        return None;
    }
    let names: Vec<String> = colours.iter().map(|colour| format!("\"{colour}\"")).collect();
    let each = time(mean(lasts.iter().copied()));
    Some(format!("alternating = [{}], each = \"{each}\"", names.join(", ")))
}

fn equal(durations: &[f64], frame_s: f64) -> bool {
    let mean_s = mean(durations.iter().copied());
    let allowed = (EQUAL * mean_s).max(EQUAL_FRAMES * frame_s);
    durations
        .iter()
        .all(|lasts_s| (lasts_s - mean_s).abs() <= allowed)
}

/// A time as a table writes it, to three figures or a millisecond.
fn time(seconds: f64) -> String {
    if seconds < 0.9995 {
        return format!("{:.0} ms", (seconds * 1000.0).max(1.0));
    }
    let places = if seconds < 10.0 { 2 } else { 1 };
    format!("{seconds:.places$} s")
}
