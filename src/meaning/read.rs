//! The stage's entry: traces and a table in, a reading out.

use super::assign::Identity;
use super::cuts::Cuts;
use super::decide::{self, Case};
use super::doubts;
use super::episodes::{self, Whole};
use super::photo::{Glimpsed, read_photos};
use super::propose::propose;
use super::pulsed::unless_otherwise;
use super::reading::{Outcome, Reading, Shown};
use super::recoloured;
use super::rows::{Evidence, LightEvidence, shown as shown_by};
use super::settings::Settings;
use super::settle::Filmed;
use super::stays::{self, Stay};
use crate::table::{LightTable, Pattern};
use crate::trace::{Sighting, Trace};

/// A light seen in less than this share of the frames, and for less than [`ENOUGH_S`] seconds in all, or in fewer frames
/// than [`ENOUGH_FRAMES`], is not read at all: what it did meanwhile outweighs what was seen (all guessed).
const ENOUGH_SHARE: f64 = 0.2;
const ENOUGH_S: f64 = 1.0;
const ENOUGH_FRAMES: usize = 3;

/// Below this probability nothing that was found is taken for the light: it is then three times likelier that the lamp
/// was not found at all, and a row read off a sticker would only mislead. What it would be stays among the rivals.
pub(super) const LEAST_IDENTITY: f64 = 0.25;

/// Reads what the lights mean. `lights[i]` is the trace of the lamp taken for light `i` of the table, `None` where no
/// lamp was found; all traces are of the same clip. `identity` says how sure it is that these lamps are the
/// lights. `photo` says that there is one frame only.
#[must_use]
pub fn read(
    table: &LightTable,
    lights: &[Option<&Trace>],
    identity: &Identity,
    photo: bool,
    settings: &Settings,
) -> Reading {
    if photo {
        let lights = lights.to_vec();
        let identity = identity.probability;
        return read_photos(table, &[Glimpsed { lights, identity }], settings);
    }
    let clip = |lights: &[Option<&Trace>]| read_clip(table, lights, identity, settings);
    unless_otherwise(clip(lights), table, lights, clip)
}

fn read_clip(
    table: &LightTable,
    lights: &[Option<&Trace>],
    identity: &Identity,
    settings: &Settings,
) -> Reading {
    let usable: Vec<Option<&Trace>> = lights
        .iter()
        .map(|light| light.filter(|trace| is_usable(trace)))
        .collect();
    let traces: Vec<&Trace> = usable.iter().flatten().copied().collect();
    if traces.is_empty() {
        return unseen(lights.iter().flatten().copied());
    }
    let cuts = Cuts::of(&traces);
    let evidence_of_lights: Vec<Option<LightEvidence>> = usable
        .iter()
        .enumerate()
        .map(|(light, trace)| trace.map(|trace| LightEvidence::new(table, light, trace, &cuts)))
        .collect();
    let evidence = Evidence::new(table, &evidence_of_lights, &cuts);
    let whole = episodes::decode(table, &evidence, &cuts);
    let rates = evidence_of_lights.iter().flatten().map(|light| light.watch.fps());
    let filmed = Filmed {
        fps: rates.fold(f64::INFINITY, f64::min),
        length_s: cuts.time_s(cuts.len() - 1),
    };
    let seen_share = traces.iter().map(|trace| doubts::seen_share(trace));
    let case = Case {
        recoloured: recoloured::odds(
            table,
            &usable,
            whole.path.last().map_or(0.0, |last| cuts.time_s(last.from)),
        ),
        seen_s: seen_share.fold(0.0, f64::max) * filmed.length_s,
        table,
        evidence: &evidence,
        whole: &whole,
        cuts: &cuts,
        filmed,
        found: (0..table.lights.len())
            .map(|light| usable.get(light).is_some_and(Option::is_some))
            .collect(),
        identity,
        settings,
    };
    if identity.probability < LEAST_IDENTITY {
        return Reading {
            rivals: decide::rivals(&case.shares(), None),
            ..unseen(lights.iter().flatten().copied())
        };
    }
    let mut reading = case.reading(doubts::of_traces(traces.into_iter()));
    if reading.outcome == Outcome::Unlisted {
        reading.shown = shown(&usable);
    }
    reading.stays = stays_of(table, &reading, &evidence_of_lights, &whole, &cuts);
    reading
}

/// How long each part of the likeliest row stayed, if that is a sequence.
fn stays_of(
    table: &LightTable,
    reading: &Reading,
    lights: &[Option<LightEvidence>],
    whole: &Whole,
    cuts: &Cuts,
) -> Vec<Stay> {
    let row = match reading.outcome {
        Outcome::Decided { row } => Some(row),
        _ => reading.rivals.first().map(|rival| rival.row),
    };
    let Some(row) = row else { return Vec::new() };
    let Some(last) = whole.path.iter().rfind(|stretch| stretch.state == row) else {
        return Vec::new();
    };
    let of =
        |(light, evidence): (usize, &Option<LightEvidence>)| match (evidence, shown_by(table, row, light)) {
            (Some(evidence), Some(Pattern::Sequence(parts))) => {
                let between = (last.from, last.to);
                stays::stays((light, parts), &evidence.watch, &evidence.free.any, cuts, between)
            }
            _ => Vec::new(),
        };
    lights.iter().enumerate().flat_map(of).collect()
}

/// What every light was seen to do.
fn shown(lights: &[Option<&Trace>]) -> Vec<Shown> {
    let of = |(light, trace): (usize, &Option<&Trace>)| {
        let shows = propose((*trace)?)?;
        Some(Shown { light, shows })
    };
    lights.iter().enumerate().filter_map(of).collect()
}

fn is_usable(trace: &Trace) -> bool {
    let seen = || {
        trace
            .samples
            .iter()
            .filter(|sample| sample.sighting == Sighting::Seen)
    };
    let seen_s: f64 = seen().map(|sample| sample.span_s).sum();
    seen().count() >= ENOUGH_FRAMES && (doubts::seen_share(trace) >= ENOUGH_SHARE || seen_s >= ENOUGH_S)
}

/// Nothing was seen that could be read.
pub(super) fn unseen<'a>(traces: impl Iterator<Item = &'a Trace>) -> Reading {
    Reading {
        outcome: Outcome::Unseen,
        confidence: 1.0,
        rivals: Vec::new(),
        unlisted: 0.0,
        settle: Vec::new(),
        timeline: Vec::new(),
        doubts: doubts::of_traces(traces),
        grounds: None,
        shown: Vec::new(),
        stays: Vec::new(),
    }
}
