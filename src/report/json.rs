//! The reading for programs.

use serde_json::Value;

use crate::advice::{Advice, Caution, NextStep, Sort, settle_phrase};
use crate::footage::{Kind, Summary};
use crate::meaning::Outcome;
use crate::trace::{Estimate, Rhythm, Tint};
use crate::words::Language;

use super::findings::{Findings, Judged, Lamp};
use super::paste;
use super::warning::warnings;
use super::wire::{self, probability, rounded};
use super::words::{decimals, rhythm_code};

/// The whole reading as one object.
#[must_use]
pub fn json(findings: &Findings, advice: &Advice) -> Value {
    let judged = findings.judged.as_ref();
    let reading = judged.map(|judged| &judged.reading);
    let language = findings.language;
    let report = wire::Report {
        schema: wire::SCHEMA,
        outcome: outcome_word(findings),
        confidence: reading.map(|reading| probability(reading.confidence)),
        meaning: judged.and_then(|judged| {
            judged.decided().map(|meaning| wire::Meaning {
                id: &meaning.id,
                kind: meaning.kind.as_str(),
                title: judged.table.told(&meaning.title, language.code()),
            })
        }),
        rivals: judged.map(|judged| rivals(judged, language)).unwrap_or_default(),
        settle: judged
            .map(|judged| settle(judged, findings.language))
            .unwrap_or_default(),
        lights: findings
            .lights()
            .into_iter()
            .map(|(id, lamp)| light(id.map(|l| l.id.as_str()), lamp))
            .collect(),
        timeline: judged.map(timeline).unwrap_or_default(),
        warnings: warning_list(findings),
        next: next(advice),
        cautions: advice
            .cautions
            .iter()
            .map(|caution| wire::Caution {
                code: caution.code(),
                text: caution.text(advice.language),
            })
            .collect(),
        overdue_s: advice.overdue_s(),
        unlisted: reading.map(|reading| probability(reading.unlisted)),
        other_lamps: findings
            .other_lamps()
            .into_iter()
            .map(|lamp| light(None, lamp))
            .collect(),
        table: judged.map(|judged| judged.table.told(&judged.table.device.name, language.code())),
        footage: footage(&findings.footage),
        earlier: earlier(findings),
        photos: photos(findings),
        lasts: advice.span.map(|span| wire::Lasts {
            usual_s: span.usual_s,
            at_most_s: span.at_most_s,
            so_far_s: span.so_far_s,
        }),
        stays: judged.map(stays).unwrap_or_default(),
        proposed_row: judged.and_then(paste::proposed),
    };
    serde_json::to_value(report).expect("the wire types have string keys and no failing serialiser")
}

/// What [`json`] gives, as a JSON schema. It is published in `models/reading.schema.json`.
#[must_use]
pub fn reading_schema() -> Value {
    let settings = schemars::generate::SchemaSettings::draft2020_12().for_serialize();
    settings
        .into_generator()
        .into_root_schema_for::<wire::Report>()
        .to_value()
}

/// The word for the outcome: decided, undecided, unlisted or unseen. `None` without a table, unless nothing was seen
/// either.
#[must_use]
pub fn outcome_word(findings: &Findings) -> Option<&'static str> {
    match &findings.judged {
        Some(judged) => Some(match judged.reading.outcome {
            Outcome::Decided { .. } => "decided",
            Outcome::Undecided => "undecided",
            Outcome::Unlisted => "unlisted",
            Outcome::Unseen => "unseen",
        }),
        None if findings.light_seen() => None,
        None => Some("unseen"),
    }
}

fn warning_list(findings: &Findings) -> Vec<wire::Warning> {
    warnings(findings)
        .into_iter()
        .map(|warning| wire::Warning {
            code: warning.code,
            text: warning.text,
            retake: warning.retake,
        })
        .collect()
}

fn earlier<'a>(findings: &'a Findings) -> Vec<wire::Earlier<'a>> {
    findings
        .earlier
        .iter()
        .map(|earlier| wire::Earlier {
            ago_s: rounded(earlier.ago_s, 0),
            outcome: &earlier.outcome,
            meaning: earlier.meaning.as_deref(),
            sentence: &earlier.sentence,
            steps: &earlier.steps,
        })
        .collect()
}

fn rivals<'a>(judged: &'a Judged, language: Language) -> Vec<wire::Rival<'a>> {
    let rivals = judged.reading.rivals.iter().map(|rival| {
        let meaning = judged.meaning(rival.row);
        wire::Rival {
            id: &meaning.id,
            probability: probability(rival.probability),
            title: judged.table.told(&meaning.title, language.code()),
        }
    });
    rivals.collect()
}

fn settle(judged: &Judged, language: Language) -> Vec<String> {
    judged
        .reading
        .settle
        .iter()
        .map(|settle| settle_phrase(judged.table, settle, language))
        .collect()
}

fn timeline<'a>(judged: &'a Judged) -> Vec<wire::Episode<'a>> {
    let episodes = judged.reading.timeline.iter().map(|episode| wire::Episode {
        from_s: rounded(episode.from_s, 2),
        to_s: rounded(episode.to_s, 2),
        meaning: episode.row.map(|row| judged.meaning(row).id.as_str()),
        confidence: probability(episode.confidence),
    });
    episodes.collect()
}

fn stays<'a>(judged: &'a Judged) -> Vec<wire::Stay<'a>> {
    let reading = &judged.reading;
    let likeliest = match reading.outcome {
        Outcome::Decided { row } => Some(row),
        _ => reading.rivals.first().map(|rival| rival.row),
    };
    let Some(row) = likeliest else { return Vec::new() };
    let stays = reading.stays.iter().map(|stay| wire::Stay {
        meaning: &judged.meaning(row).id,
        light: &judged.table.lights[stay.light].id,
        part: stay.part,
        from_s: rounded(stay.from_s, 3),
        to_s: rounded(stay.to_s, 3),
        open_start: stay.open_start,
        open_end: stay.open_end,
    });
    stays.collect()
}

pub(super) fn light<'a>(id: Option<&'a str>, lamp: &Lamp) -> wire::Light<'a> {
    let measured = &lamp.measured;
    wire::Light {
        id,
        x: rounded(lamp.x, 1),
        y: rounded(lamp.y, 1),
        radius: rounded(lamp.radius, 1),
        score: probability(lamp.score),
        colours: lamp.trace.tints.iter().filter_map(colour).collect(),
        rhythm: rhythm_code(measured.rhythm),
        period_s: measured.period_s.map(value),
        period_sd_s: measured.period_s.map(sd),
        on_s: measured.on_s.map(value),
        flashes: measured.flashes.len(),
        seen_share: rounded(measured.seen_share, 3),
        on_sd_s: measured.on_s.map(sd),
        group: match measured.rhythm {
            Rhythm::GroupFlashing { count } => Some(count),
            _ => None,
        },
    }
}

fn colour(tint: &Tint) -> Option<wire::Colour> {
    let mut names = tint.names.ranked().into_iter();
    let (name, first) = names.next()?;
    // Below one in a hundred a name is no rival.
    let or = names.filter(|(_, p)| *p >= 0.01).map(|(name, p)| wire::Name {
        name: name.as_str(),
        probability: probability(p),
    });
    Some(wire::Colour {
        name: name.as_str(),
        probability: probability(first),
        or: or.collect(),
        share: rounded(tint.share, 3),
    })
}

/// The value to one digit beyond what its standard deviation vouches for.
fn value(estimate: Estimate) -> f64 {
    rounded(estimate.value, places(estimate))
}

fn sd(estimate: Estimate) -> f64 {
    rounded(estimate.sd, places(estimate))
}

fn places(estimate: Estimate) -> i32 {
    i32::try_from(decimals(estimate.sd)).map_or(4, |places| places + 1)
}

fn next(advice: &Advice) -> Vec<wire::Next> {
    let steps = advice.next.iter().enumerate().map(|(index, step)| {
        let general: &[Caution] = if index == 0 { &advice.cautions } else { &[] };
        wire::Next {
            r#do: step.sentence(),
            caution: cautions(general, step),
            sort: match step.sort {
                Sort::Do => "do",
                Sort::HandOn => "hand-on",
                Sort::Film => "film",
                Sort::Ask => "ask",
            },
            tried: step.tried.clone(),
            asks: step.asks.clone(),
        }
    });
    steps.collect()
}

fn cautions(general: &[Caution], step: &NextStep) -> Option<String> {
    let texts: Vec<String> = general
        .iter()
        .chain(&step.cautions)
        .map(|caution| caution.text(step.language))
        .collect();
    (!texts.is_empty()).then(|| texts.join(" "))
}

fn photos<'a>(findings: &'a Findings) -> Vec<wire::Photo<'a>> {
    let lights = findings.judged.as_ref().map(|judged| &judged.table.lights);
    let light = |(light, lamp): &'a (Option<usize>, Lamp)| wire::PhotoLight {
        id: lights
            .zip(*light)
            .map(|(lights, light)| lights[light].id.as_str()),
        x: rounded(lamp.x, 1),
        y: rounded(lamp.y, 1),
        lit: !lamp.trace.tints.is_empty(),
        colours: lamp.trace.tints.iter().filter_map(colour).collect(),
    };
    let each = findings.photos.iter().map(|photo| wire::Photo {
        name: &photo.name,
        width: photo.footage.width,
        height: photo.footage.height,
        plainest: photo.plainest,
        lights: photo.lights.iter().map(light).collect(),
    });
    each.collect()
}

fn footage(summary: &Summary) -> wire::Footage {
    wire::Footage {
        kind: match summary.kind {
            Kind::Clip => "clip",
            Kind::Photo => "photo",
        },
        length_s: rounded(summary.length_s, 3),
        frames: summary.frames,
        fps: rounded(summary.fps, 3),
        width: summary.width,
        height: summary.height,
    }
}
