//! The sheet of a drill: for every try at a reset what the light showed, and what to do better.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use serde_json::{Value, json};

use crate::meaning::{Attempt, SeenLight, attempts};
use crate::table::Kind;
use crate::trace::Estimate;
use crate::words::Words;

use super::findings::{Findings, Judged};
use super::page::CSS;
use super::sheet::text_cell;
use super::unusable::Unusable;
use super::verdict::{Verdict, verdict};
use super::wire::{probability, rounded};
use super::words::decimals;
use super::wrap::wrap;

/// One line of the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillLine {
    /// The name of the clip.
    pub clip: String,
    /// Which try of the clip, from 1; 0 where there is none.
    pub number: usize,
    /// What was measured of it.
    pub attempt: Option<Attempt>,
    /// What is made of it.
    pub verdict: Verdict,
    /// Why the clip could not be read, and what to do.
    pub why: Option<Unusable>,
}

/// The lines of one clip that was read; `decide_at` is the probability from which a row is believed.
#[must_use]
pub fn drill_lines(clip: &str, findings: &Findings, decide_at: f64) -> Vec<DrillLine> {
    let tries = findings
        .judged
        .as_ref()
        .map(|judged| tries(findings, judged))
        .unwrap_or_default();
    let line = |number, attempt, verdict| DrillLine {
        clip: clip.to_owned(),
        number,
        attempt,
        verdict,
        why: None,
    };
    if tries.is_empty() {
        return vec![line(0, None, Verdict::None)];
    }
    tries
        .into_iter()
        .enumerate()
        .map(|(index, (attempt, kind))| line(index + 1, Some(attempt), verdict(&attempt, kind, decide_at)))
        .collect()
}

/// The line of a clip that could not be read.
#[must_use]
pub fn drill_unreadable(clip: &str, why: Unusable) -> DrillLine {
    DrillLine {
        clip: clip.to_owned(),
        number: 0,
        attempt: None,
        verdict: Verdict::Unreadable,
        why: Some(why),
    }
}

fn tries(findings: &Findings, judged: &Judged) -> Vec<(Attempt, Kind)> {
    let lights: Vec<Option<SeenLight>> = judged
        .lamp_of_light
        .iter()
        .map(|lamp| {
            let lamp = findings.lamps.get((*lamp)?)?;
            Some((&lamp.trace, lamp.measured.flashes.as_slice()))
        })
        .collect();
    attempts(judged.table, &judged.reading, &lights)
        .into_iter()
        .map(|attempt| (attempt, judged.meaning(attempt.row).kind))
        .collect()
}

impl DrillLine {
    /// By how much it was held too short, where that was the fault.
    fn short_by_s(&self) -> Option<Estimate> {
        let attempt = self.attempt.filter(|_| self.verdict == Verdict::TooShort);
        attempt.and_then(|attempt| attempt.short_by_s())
    }
}

/// What to do better, or that it was well done.
fn hint(line: &DrillLine, words: &Words) -> String {
    let needed_s = line.attempt.and_then(|attempt| attempt.needed_s);
    let needed = needed_s.map(|s| words.number(s, usize::from(s.fract() > 0.0)));
    let unseen = line.attempt.is_some_and(|attempt| attempt.began_s.is_none());
    match (line.verdict, needed) {
        (Verdict::Took, _) if unseen => words.say("drill-hint-film-earlier"),
        (Verdict::Took, _) => words.say("drill-hint-took"),
        (Verdict::TooShort, Some(needed)) => words.with("drill-hint-longer", &[("needed", needed.into())]),
        (Verdict::Refused, Some(needed)) if unseen => {
            words.with("drill-hint-longer", &[("needed", needed.into())])
        }
        (Verdict::TooShort | Verdict::Refused, _) => words.say("drill-hint-refused"),
        (Verdict::Unclear, _) => words.say("drill-hint-unclear"),
        (Verdict::None, _) => words.say("drill-hint-none"),
        (Verdict::Unreadable, _) => line
            .why
            .as_ref()
            .map(|why| why.sentence(words))
            .unwrap_or_default(),
    }
}

/// Seconds with their standard deviation.
fn span(estimate: Option<Estimate>, words: &Words) -> Option<String> {
    let Estimate { value, sd } = estimate?;
    let places = decimals(sd).min(2);
    let value = words.number(value, places);
    // A trainer needs no thousandths, but nothing is measured without doubt.
    Some(if sd.is_finite() && sd > 0.0 {
        format!("{value} ± {} s", words.number(sd.max(0.01), places))
    } else {
        format!("{value} s")
    })
}

/// Stands in a cell where nothing was measured.
const NOTHING: &str = "–";

/// The cells of a line in words: clip, try, began, held, answered, too short by, verdict, hint.
fn cells(line: &DrillLine, words: &Words) -> [String; 8] {
    let attempt = line.attempt;
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| NOTHING.to_owned());
    let held = span(attempt.and_then(|a| a.held_s), words).map(|held| match attempt {
        Some(Attempt { began_s: None, .. }) => words.with("at-least", &[("what", held.into())]),
        _ => held,
    });
    [
        line.clip.clone(),
        if line.number > 0 {
            line.number.to_string()
        } else {
            NOTHING.to_owned()
        },
        or_dash(span(attempt.and_then(|a| a.began_s), words)),
        or_dash(held),
        or_dash(span(attempt.and_then(|a| a.answered_s), words)),
        or_dash(span(line.short_by_s(), words)),
        line.verdict.words(words),
        hint(line, words),
    ]
}

fn titles(words: &Words) -> [String; 8] {
    [
        words.say("drill-clip"),
        words.say("drill-try"),
        words.say("drill-began"),
        words.say("drill-held"),
        words.say("drill-answered"),
        words.say("drill-short"),
        words.say("drill-verdict"),
        words.say("drill-hint"),
    ]
}

/// The sheet as text, no wider than the page.
#[must_use]
pub fn drill_text(lines: &[DrillLine], words: &Words) -> String {
    let titles = titles(words);
    let width = titles
        .iter()
        .map(|title| title.chars().count())
        .max()
        .unwrap_or(0);
    let mut out = String::new();
    for line in lines {
        let cells = cells(line, words);
        let number = if line.number > 0 {
            format!(", {} {}", titles[1], line.number)
        } else {
            String::new()
        };
        out.push_str(&wrap("", &format!("{}{number}: {}", cells[0], cells[6])));
        for place in [2, 3, 4, 5, 7] {
            if cells[place] != NOTHING {
                let title = format!("  {:width$}  ", titles[place]);
                out.push_str(&wrap(&title, &cells[place]));
            }
        }
    }
    let took = lines.iter().filter(|line| line.verdict == Verdict::Took).count();
    let tries = lines.iter().filter(|line| line.number > 0).count();
    if tries > 0 {
        let sum = words.with("drill-sum", &[("took", took.into()), ("tries", tries.into())]);
        out.push_str(&wrap("", &sum));
    }
    out
}

/// The sheet for a class, as a page.
#[must_use]
pub fn drill_html(lines: &[DrillLine], device: &str, words: &Words) -> String {
    let title = words.with("drill-title", &[("device", device.into())]);
    let took = lines.iter().filter(|line| line.verdict == Verdict::Took).count();
    let tries = lines.iter().filter(|line| line.number > 0).count();
    let page = html! {
        (DOCTYPE)
        html lang=(words.language().code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (title) }
                style { (PreEscaped(CSS)) }
            }
            body {
                main {
                    h1 { (title) }
                    @if tries > 0 {
                        p { (words.with("drill-sum", &[("took", took.into()), ("tries", tries.into())])) }
                    }
                    p.caution { strong { (words.say("caution")) ": " } (words.say("drill-caution")) }
                    @if lines.len() > 1 { (overview(lines, words)) }
                    @for line in lines { (one_try(line, words)) }
                    p.key { (words.say("drill-key")) }
                }
            }
        }
    };
    page.into_string()
}

/// The class at a glance: who is to try again.
fn overview(lines: &[DrillLine], words: &Words) -> Markup {
    let titles = titles(words);
    let columns = [0, 1, 6, 5];
    html! {
        table.overview {
            thead { tr { @for place in columns { th scope="col" { (titles[place]) } } } }
            tbody {
                @for line in lines {
                    @let cells = cells(line, words);
                    tr { @for place in columns { td { (cells[place]) } } }
                }
            }
        }
    }
}

/// One try in full; what was not measured has no row.
fn one_try(line: &DrillLine, words: &Words) -> Markup {
    let (titles, cells) = (titles(words), cells(line, words));
    html! {
        section {
            h2 { (cells[0]) @if line.number > 0 { ", " (titles[1]) " " (line.number) } }
            table {
                tbody {
                    @for place in [6, 2, 3, 4, 5, 7] {
                        @if cells[place] != NOTHING {
                            tr { th scope="row" { (titles[place]) } td { (cells[place]) } }
                        }
                    }
                }
            }
        }
    }
}

/// Columns of [`drill_csv`].
const COLUMNS: [&str; 11] = [
    "clip",
    "try",
    "verdict",
    "confidence",
    "began_s",
    "held_s",
    "held_sd_s",
    "needed_s",
    "answered_s",
    "short_by_s",
    "hint",
];

/// The sheet as comma-separated values, one row a try.
#[must_use]
pub fn drill_csv(lines: &[DrillLine], words: &Words) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let number = |value: Option<f64>| value.map(|v| rounded(v, 3).to_string()).unwrap_or_default();
    writer.write_record(COLUMNS).expect("memory takes a record");
    for line in lines {
        let attempt = line.attempt;
        let value = |pick: fn(&Attempt) -> Option<Estimate>| attempt.as_ref().and_then(pick).map(|e| e.value);
        let record = [
            text_cell(line.clip.clone()),
            line.number.to_string(),
            line.verdict.code().to_owned(),
            number(attempt.map(|a| probability(a.confidence))),
            number(value(|a| a.began_s)),
            number(value(|a| a.held_s)),
            number(attempt.and_then(|a| a.held_s).map(|held| held.sd)),
            number(attempt.and_then(|a| a.needed_s)),
            number(value(|a| a.answered_s)),
            number(line.short_by_s().map(|short| short.value)),
            text_cell(hint(line, words)),
        ];
        writer.write_record(record).expect("memory takes a record");
    }
    let bytes = writer.into_inner().expect("memory takes everything");
    String::from_utf8(bytes).expect("texts were written")
}

/// The same as one object.
#[must_use]
pub fn drill_json(lines: &[DrillLine], words: &Words) -> Value {
    let tries: Vec<Value> = lines
        .iter()
        .map(|line| {
            let estimate = |e: Option<Estimate>| {
                e.map(|e| json!({ "value": rounded(e.value, 3), "sd": rounded(e.sd, 3) }))
            };
            let attempt = line.attempt;
            json!({
                "clip": line.clip,
                "try": line.number,
                "verdict": line.verdict.code(),
                "confidence": attempt.map(|a| probability(a.confidence)),
                "began_s": estimate(attempt.and_then(|a| a.began_s)),
                "held_s": estimate(attempt.and_then(|a| a.held_s)),
                "needed_s": attempt.and_then(|a| a.needed_s),
                "answered_s": estimate(attempt.and_then(|a| a.answered_s)),
                "short_by_s": estimate(line.short_by_s()),
                "hint": hint(line, words),
            })
        })
        .collect();
    json!({ "schema": super::wire::SCHEMA, "tries": tries })
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;
    use crate::words::Language;

    #[rstest]
    #[case::coarse(0.26, "5.1 ± 0.3 s")]
    #[case::finer_than_shown(0.001, "5.12 ± 0.01 s")]
    #[case::unknown(f64::NAN, "5.12 s")]
    #[case::not_measured(0.0, "5.12 s")]
    fn a_doubt_is_never_shown_as_nothing(#[case] sd: f64, #[case] shown: &str) {
        let estimate = Estimate { value: 5.123, sd };
        assert_eq!(
            span(Some(estimate), &Words::new(Language::English)).as_deref(),
            Some(shown)
        );
    }
}
