//! The report as one page: nothing is fetched, nothing is run; it prints on paper and reads on a phone.

mod axis;
mod evidence;
mod pictures;
mod plot;
mod style;

pub(super) use style::CSS;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::advice::{Advice, NextStep, duration};
use crate::meaning::Outcome;
use crate::words::{Words, words};

use super::findings::Findings;
use super::headline::headline;
use super::shots::Shot;
use super::text::{lasting, spelt};
use super::warning::warnings;
use super::words::{percent, sureness};

/// The whole page. `name` is what the footage is called, such as its file name; `shots` may be empty, and then the
/// page holds no picture.
#[must_use]
pub fn html(findings: &Findings, advice: &Advice, shots: &[Shot], name: &str) -> String {
    let words = words(findings.language);
    let title = headline(findings);
    let page = html! {
        (DOCTYPE)
        html lang=(words.language().code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light";
                // Nothing is to be fetched or run, whatever a table's texts say.
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'";
                title { (title) }
                style { (PreEscaped(CSS)) }
            }
            body {
                main {
                    header {
                        p.device { (device(findings, words)) }
                        h1 { (title) }
                        (confidence(findings, words))
                    }
                    (next(advice, words))
                    (earlier(findings, words))
                    (evidence::seen(findings, shots, words))
                    (evidence::could_be(findings, words))
                    (warning_list(findings, words))
                    (evidence::footage(findings, name, words))
                }
                footer { p { (words.say("page-footer")) " Lampwise " (env!("CARGO_PKG_VERSION")) } }
            }
        }
    };
    page.into_string()
}

fn device(findings: &Findings, words: &Words) -> String {
    match &findings.judged {
        Some(judged) => judged.told(&judged.table.device.name, words.language()),
        None => words.say("page-no-table"),
    }
}

/// A phrase, a number and a bar that repeats the number.
fn confidence(findings: &Findings, words: &Words) -> Markup {
    let Some(judged) = findings
        .judged
        .as_ref()
        .filter(|j| j.reading.outcome != Outcome::Unseen)
    else {
        return html! {};
    };
    let sure = judged.reading.confidence;
    // An undecided reading is sure of nothing but that.
    if judged.reading.outcome == Outcome::Undecided {
        return html! {};
    }
    let width = format!("width:{:.0}%", 100.0 * sure);
    html! {
        p.sure {
            (words.say("page-sure")) ": " strong { (sureness(sure, words.language())) } ", " (percent(sure, words.language()))
            span.bar aria-hidden="true" { span style=(width) {} }
        }
    }
}

fn next(advice: &Advice, words: &Words) -> Markup {
    html! {
        section aria-labelledby="next" {
            h2 #next { (words.say("page-next")) }
            @for caution in &advice.cautions {
                (caution_box(&caution.text(words.language()), words))
            }
            @for line in lasting(advice) {
                p { (line) }
            }
            @if advice.next.is_empty() {
                p { (words.say("no-step")) }
            } @else {
                ol.steps {
                    @for (index, step) in advice.next.iter().enumerate() {
                        (step_item(advice, index, step, words))
                    }
                }
            }
        }
    }
}

fn step_item(advice: &Advice, index: usize, step: &NextStep, words: &Words) -> Markup {
    html! {
        li {
            @for caution in spelt(advice, index) {
                (caution_box(&caution, words))
            }
            p { (step.sentence()) }
        }
    }
}

fn caution_box(text: &str, words: &Words) -> Markup {
    html! {
        p.caution { strong { (words.say("caution")) ": " } (text) }
    }
}

fn earlier(findings: &Findings, words: &Words) -> Markup {
    html! {
        @if !findings.earlier.is_empty() {
            section aria-labelledby="earlier" {
                h2 #earlier { (words.say("page-earlier")) }
                ul {
                    @for clip in &findings.earlier {
                        li {
                            (words.with("ago", &[("time", duration(clip.ago_s, words.language()).into())])) ": " (clip.sentence)
                            @if !clip.steps.is_empty() {
                                ul { @for step in &clip.steps { li { (step) } } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn warning_list(findings: &Findings, words: &Words) -> Markup {
    let all = warnings(findings);
    html! {
        @if !all.is_empty() {
            section aria-labelledby="warnings" {
                h2 #warnings { (words.say("page-warnings")) }
                ul {
                    @for warning in &all {
                        li { (warning.text) @if let Some(retake) = &warning.retake { " " (retake) } }
                    }
                }
            }
        }
    }
}
