//! What the reading rests on, as tables, plots and pictures.

use maud::{Markup, html};

use crate::advice::settle_phrase;
use crate::meaning::Outcome;
use crate::words::Words;

use super::super::evidence::{colour, place, rival_lines, source_words};
use super::super::findings::{Findings, Judged, Lamp};
use super::super::photos::photo_lines;
use super::super::shots::Shot;
use super::super::words::{percent, rhythm, seconds, share, times};
use super::pictures::strip;
use super::plot::plot;

pub(super) fn seen(findings: &Findings, shots: &[Shot], words: &Words) -> Markup {
    html! {
        section aria-labelledby="seen" {
            h2 #seen { (words.say("page-seen")) }
            @if let Some(judged) = &findings.judged {
                (timeline(judged, words))
            }
            @if !findings.photos.is_empty() {
                h3 { (words.say("photos-show")) }
                ol { @for line in photo_lines(findings) { li { (line) } } }
            }
            @for (light, lamp) in findings.light_lamps() {
                (one_light(findings, light, lamp, shots, words))
            }
            @if !findings.other_lamps().is_empty() {
                p { (words.with("page-others", &[("count", findings.other_lamps().len().into())])) }
            }
        }
    }
}

fn timeline(judged: &Judged, words: &Words) -> Markup {
    let episodes = &judged.reading.timeline;
    html! {
        @if !episodes.is_empty() {
            h3 { (words.say("page-timeline")) }
            table.timeline {
                thead { tr {
                    th scope="col" { (words.say("column-from")) }
                    th scope="col" { (words.say("column-to")) }
                    th scope="col" { (words.say("column-meaning")) }
                    th scope="col" { (words.say("column-sure")) }
                } }
                tbody {
                    @for episode in episodes {
                        tr {
                            td { (words.number(episode.from_s, 1)) " s" }
                            td { (words.number(episode.to_s, 1)) " s" }
                            td {
                                @match episode.row {
                                    Some(row) => (judged.title(row, words.language())),
                                    None => (words.say("not-in-table")),
                                }
                            }
                            td { (percent(episode.confidence, words.language())) }
                        }
                    }
                }
            }
        }
    }
}

fn one_light(
    findings: &Findings,
    light: Option<usize>,
    lamp: usize,
    shots: &[Shot],
    words: &Words,
) -> Markup {
    let shown = &findings.lamps[lamp];
    let own: Vec<&Shot> = shots.iter().filter(|shot| shot.moment.lamp == lamp).collect();
    let label = light.and_then(|light| {
        let judged = findings.judged.as_ref()?;
        Some(judged.told(&judged.table.lights[light].label, words.language()))
    });
    html! {
        h3 {
            @match label {
                Some(label) => (label),
                None => (words.with("page-light", &[("number", (lamp + 1).into())])),
            }
        }
        @if let Some(plot) = plot(findings, light, lamp, words) {
            (plot)
        }
        (strip(shown, &own, words))
        (measured(shown, words))
    }
}

/// What was measured, with its uncertainty.
fn measured(lamp: &Lamp, words: &Words) -> Markup {
    let language = words.language();
    let measured = &lamp.measured;
    let mut rows = vec![
        (words.say("measured-colour"), colour(&lamp.trace, language)),
        (words.say("measured-rhythm"), rhythm(measured.rhythm, language)),
    ];
    if let Some(period) = measured.period_s {
        rows.push((words.say("measured-period"), seconds(period, language)));
    }
    if let Some(on) = measured.on_s {
        rows.push((words.say("measured-on"), seconds(on, language)));
    }
    if !measured.flashes.is_empty() {
        rows.push((
            words.say("measured-flashes"),
            times(measured.flashes.len(), language),
        ));
    }
    rows.push((words.say("measured-seen"), share(measured.seen_share, language)));
    rows.push((words.say("measured-place"), place(lamp, language)));
    html! {
        table.measured {
            tbody {
                @for (what, value) in &rows {
                    tr { th scope="row" { (what) } td { (value) } }
                }
            }
        }
    }
}

/// Rivals, and what would settle it.
pub(super) fn could_be(findings: &Findings, words: &Words) -> Markup {
    let Some(judged) = &findings.judged else {
        return html! {};
    };
    let rivals = rival_lines(judged, words.language());
    let title = match judged.reading.outcome {
        Outcome::Decided { .. } => "page-also",
        Outcome::Unseen => "page-could-if-lamp",
        Outcome::Undecided | Outcome::Unlisted => "page-could",
    };
    let settle = &judged.reading.settle;
    html! {
        @if !rivals.is_empty() {
            section aria-labelledby="rivals" {
                h2 #rivals { (words.say(title)) }
                ul { @for line in &rivals { li { (line) } } }
            }
        }
        @if !settle.is_empty() {
            section aria-labelledby="settle" {
                h2 #settle { (words.say("page-settle")) }
                ul { @for way in settle { li { (settle_phrase(judged.table, way, words.language())) } } }
            }
        }
    }
}

pub(super) fn footage(findings: &Findings, name: &str, words: &Words) -> Markup {
    html! {
        section aria-labelledby="footage" {
            h2 #footage { (words.say("page-footage")) }
            p { @if !name.is_empty() { (name) ": " } (source_words(findings)) "." }
        }
    }
}
