//! A photo shows one instant: which rows could look so, and how likely each is to be caught so.

use super::decide::{group_of, posterior, rivals};
use super::doubts;
use super::read::{LEAST_IDENTITY, unseen};
use super::reading::{Outcome, Reading};
use super::rows::shown;
use super::settings::Settings;
use super::settle;
use super::tints::name_evidence;
use crate::colour::{ColourName, NameBelief};
use crate::table::{LightTable, Pattern, Shade};
use crate::trace::{Sample, Sighting, Trace};

/// Chance that the light shows the opposite of what the picture seems to show. Guessed.
const MISTAKEN: f64 = 0.02;

/// Weights of what an unlisted light may be doing at an instant: as likely dark as lit, in whatever colour.
const UNLISTED: f64 = 0.5;

/// A row less probable than this could not look so.
const CANNOT: f64 = 0.01;

/// Level above which a light counts as lit.
const LIT: f64 = 0.5;

/// What one photo showed of the lights of a table.
#[derive(Debug, Clone)]
pub struct Glimpsed<'a> {
    /// For each light of the table the trace, of one frame, of the lamp taken for it; `None` where none was found.
    pub lights: Vec<Option<&'a Trace>>,
    /// Probability, 0 to 1, that these lamps are the lights.
    pub identity: f64,
}

/// Reads photos of one device as moments of one state, at times that nobody knows.
///
/// Rhythm cannot be seen, so photos decide only where every row that could look like all of them is constant, and one of
/// them stands out. Photos that look alike may be of one moment and share the camera's white, so together they are one
/// piece of evidence, as strong as the mean of theirs; looks that differ add up.
#[must_use]
pub fn read_photos(table: &LightTable, photos: &[Glimpsed<'_>], settings: &Settings) -> Reading {
    let usable: Vec<Glimpsed> = photos.iter().map(with_usable_lights).filter(is_likely).collect();
    let Some(plainest) = plainest(&usable).map(|index| &usable[index]) else {
        let traces = photos
            .iter()
            .flat_map(|photo| photo.lights.iter().flatten().copied());
        return unseen(traces);
    };
    let looks = looks(&usable);
    let rows = 0..table.meanings.len();
    let weights: Vec<f64> = rows
        .clone()
        .map(|row| over_looks(&looks, |photo| ln_chance(table, row, photo, Caught::Whenever)))
        .chain([over_looks(&looks, ln_unlisted)])
        .collect();
    let posterior = posterior_of(&weights, constant_cover(table));
    let best = rivals(&posterior, None).first().map_or(0, |rival| rival.row);
    let candidates = could_look_so(
        rows.map(|row| over_looks(&looks, |photo| ln_chance(table, row, photo, Caught::AtBest)))
            .collect(),
    );
    let all_constant = candidates.iter().all(|row| is_constant(table, *row));
    let alone = group_of(table, best).len() == 1;
    let identity = plainest.identity;
    let decided = all_constant && alone && posterior[best] * identity >= settings.decide_at;
    let unlisted = posterior[posterior.len() - 1];
    Reading {
        outcome: if decided {
            Outcome::Decided { row: best }
        } else {
            Outcome::Undecided
        },
        confidence: identity * if decided { posterior[best] } else { 1.0 - unlisted },
        rivals: rivals(&posterior, decided.then_some(best)),
        unlisted,
        settle: if decided {
            Vec::new()
        } else {
            vec![settle::instead_of_photo(table, &candidates)]
        },
        timeline: Vec::new(),
        doubts: doubts::of_traces(plainest.lights.iter().flatten().copied()),
        grounds: None,
        shown: Vec::new(),
        stays: Vec::new(),
    }
}

/// The photo whose lamps are the surest to be the lights; the first of several, `None` where there is no photo.
#[must_use]
pub fn plainest(photos: &[Glimpsed<'_>]) -> Option<usize> {
    let surer = |a: &usize, b: &usize| photos[*a].identity.total_cmp(&photos[*b].identity);
    (0..photos.len()).rev().max_by(surer)
}

fn with_usable_lights<'a>(photo: &Glimpsed<'a>) -> Glimpsed<'a> {
    let usable = |light: &Option<&'a Trace>| light.filter(|trace| is_seen(trace));
    Glimpsed {
        lights: photo.lights.iter().map(usable).collect(),
        identity: photo.identity,
    }
}

fn is_seen(trace: &Trace) -> bool {
    let seen = |sample: &Sample| sample.sighting == Sighting::Seen;
    trace.samples.iter().any(seen)
}

fn is_likely(photo: &Glimpsed<'_>) -> bool {
    photo.identity >= LEAST_IDENTITY && photo.lights.iter().any(Option::is_some)
}

/// Photos that look alike, together.
fn looks<'p, 'a>(photos: &'p [Glimpsed<'a>]) -> Vec<Vec<&'p Glimpsed<'a>>> {
    let mut looks: Vec<Vec<&Glimpsed>> = Vec::new();
    for photo in photos {
        match looks.iter_mut().find(|look| look_of(look[0]) == look_of(photo)) {
            Some(look) => look.push(photo),
            None => looks.push(vec![photo]),
        }
    }
    looks
}

/// What a light seems to show.
#[derive(PartialEq)]
enum Look {
    Unseen,
    Dark,
    Lit(Option<ColourName>),
}

fn look_of(photo: &Glimpsed<'_>) -> Vec<Look> {
    let of = |trace: &Option<&Trace>| {
        let Some(trace) = trace else { return Look::Unseen };
        let sample = &trace.samples[0];
        if sample.level > LIT {
            Look::Lit(tint_names(trace, sample).map(|names| names.ranked()[0].0))
        } else {
            Look::Dark
        }
    };
    photo.lights.iter().map(of).collect()
}

/// Log evidence of all looks: the mean of a look's photos, summed over the looks.
fn over_looks(looks: &[Vec<&Glimpsed<'_>>], of: impl Fn(&Glimpsed<'_>) -> f64) -> f64 {
    let mean = |look: &Vec<&Glimpsed>| look.iter().map(|photo| of(photo)).sum::<f64>() / look.len() as f64;
    looks.iter().map(mean).sum()
}

fn ln_unlisted(photo: &Glimpsed<'_>) -> f64 {
    photo.lights.iter().flatten().count() as f64 * UNLISTED.ln()
}

fn ln_chance(table: &LightTable, row: usize, photo: &Glimpsed<'_>, caught: Caught) -> f64 {
    let of = |(light, trace): (usize, &Option<&Trace>)| {
        trace.map_or(0.0, |trace| {
            let sample = &trace.samples[0];
            shown(table, row, light)
                .map_or(UNLISTED, |pattern| chance(pattern, trace, sample, caught))
                .ln()
        })
    };
    photo.lights.iter().enumerate().map(of).sum()
}

/// Rows that could look like the photos had they been taken at the right moments.
fn could_look_so(ln_at_best: Vec<f64>) -> Vec<usize> {
    let most = ln_at_best.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (0..ln_at_best.len())
        .filter(|row| ln_at_best[*row] - most > CANNOT.ln())
        .collect()
}

/// The more of the constant looks a table lists, the less an unlisted one can hide among them.
fn posterior_of(weights: &[f64], covered: bool) -> Vec<f64> {
    let mut weights = weights.to_vec();
    if covered {
        let last = weights.len() - 1;
        weights[last] += MISTAKEN.ln();
    }
    posterior(&weights)
}

/// Whether the table has no rhythm at all: then nothing hints that the device has one.
fn constant_cover(table: &LightTable) -> bool {
    (0..table.meanings.len()).all(|row| is_constant(table, row))
}

fn is_constant(table: &LightTable, row: usize) -> bool {
    table.meanings[row]
        .shows
        .iter()
        .all(|show| matches!(show.pattern, Pattern::Constant(_)))
}

/// When a photo may have been taken.
#[derive(Debug, Clone, Copy)]
enum Caught {
    /// At any moment, each as likely.
    Whenever,
    /// At the moment that suits the pattern best.
    AtBest,
}

impl Caught {
    /// Chances of moments, each with its share of the time, as one.
    fn over(self, moments: impl Iterator<Item = (f64, f64)>) -> f64 {
        match self {
            Self::Whenever => moments.map(|(share, chance)| share * chance).sum(),
            Self::AtBest => moments.map(|(_, chance)| chance).fold(0.0, f64::max),
        }
    }
}

/// Chance, against that of an unlisted light, that the pattern is caught looking like the picture.
fn chance(pattern: &Pattern, trace: &Trace, sample: &Sample, caught: Caught) -> f64 {
    let names = tint_names(trace, sample);
    let lit = sample.level > LIT;
    let of = |shade: Shade| match shade {
        Shade::Dark if lit => MISTAKEN,
        Shade::Dark => 1.0,
        Shade::Lit(_, level) if !lit || level < 0.05 => MISTAKEN,
        Shade::Lit(colour, _) => names.map_or(1.0, |names| name_evidence(names, colour).exp()),
    };
    match pattern {
        Pattern::Constant(shade) => of(*shade),
        Pattern::Cycle(cycle) => caught.over(cycle.phases.iter().flat_map(|phase| {
            let share = 0.5 * phase.lasts_s / cycle.period_s;
            [(share, of(phase.from)), (share, of(phase.to))]
        })),
        Pattern::Sequence(parts) => caught.over(parts.iter().map(|part| {
            let share = 1.0 / parts.len() as f64;
            (share, chance(&part.pattern, trace, sample, caught))
        })),
    }
}

fn tint_names<'t>(trace: &'t Trace, sample: &Sample) -> Option<&'t NameBelief> {
    let tint = sample.tint.and_then(|tint| trace.tints.get(tint));
    tint.map(|tint| &tint.names)
}
