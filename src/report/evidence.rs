//! What the reading rests on, for whoever wants to check it.

use crate::advice::settle_phrase;
use crate::footage::Kind;
use crate::meaning::Outcome;
use crate::table::Light;
use crate::trace::{Rhythm, Trace};
use crate::words::{Language, say, say_with, words};

use super::findings::{Findings, Judged, Lamp};
use super::photos::photo_lines;
use super::strip::strip;
use super::text::Style;
use super::warning::warnings;
use super::words::{colour_name, percent, rhythm, seconds, share, times};
use super::wrap::wrap;

/// A rival less likely than this is left out of the text; the JSON has them all.
const RIVAL_FROM: f64 = 0.005;

pub(super) fn evidence(findings: &Findings, style: Style) -> String {
    let language = findings.language;
    let mut out = style.bold(&format!("{}\n", say(language, "rests-on")));
    out.push_str(&source(findings));
    if let Some(judged) = &findings.judged {
        out.push_str(&timeline(judged, language));
    }
    out.push_str(&photos(findings));
    let lights = findings.lights();
    for (index, (light, lamp)) in lights.iter().enumerate() {
        let title = lamp_title(findings, *light, index, lights.len());
        out.push_str(&lamp_block(&title, lamp, language));
    }
    let others = findings.other_lamps();
    if !others.is_empty() {
        out.push_str(&other_lamps(&others, language));
    }
    if let Some(judged) = &findings.judged {
        out.push_str(&rivals(judged, language));
        out.push_str(&settle(judged, language));
    }
    out.push_str(&warning_block(findings, style));
    out
}

/// A label and its value under the evidence. Labels are as wide as the widest of them.
fn labelled(indent: &str, id: &str, among: &[&str], language: Language, value: &str) -> String {
    let gap = if indent.len() > 2 { " " } else { "  " };
    let label = |id: &str| say(language, id);
    let widest = among
        .iter()
        .map(|id| label(id).chars().count())
        .max()
        .unwrap_or(0);
    wrap(&format!("{indent}{:widest$}{gap}", label(id)), value)
}

fn source(findings: &Findings) -> String {
    let language = findings.language;
    let table = match &findings.judged {
        Some(judged) => {
            let rows = say_with(language, "rows", &[("count", judged.table.meanings.len().into())]);
            format!("{} ({rows})", judged.told(&judged.table.device.name, language))
        }
        None => say(language, "no-table"),
    };
    let among = ["label-footage", "label-table"];
    labelled("  ", "label-footage", &among, language, &source_words(findings))
        + &labelled("  ", "label-table", &among, language, &table)
}

/// The footage in figures.
pub(super) fn source_words(findings: &Findings) -> String {
    let language = findings.language;
    let footage = &findings.footage;
    let size = [
        ("width", footage.width.to_string().into()),
        ("height", footage.height.to_string().into()),
    ];
    let size = say_with(language, "size", &size);
    match footage.kind {
        Kind::Photo if !findings.photos.is_empty() => {
            let plainest = findings.photos.iter().find(|photo| photo.plainest);
            let name = plainest.map(|photo| photo.name.clone()).unwrap_or_default();
            let about = [
                ("count", findings.photos.len().into()),
                ("name", name.into()),
                ("size", size.into()),
            ];
            say_with(language, "some-photos", &about)
        }
        Kind::Photo => say_with(language, "a-photo", &[("size", size.into())]),
        Kind::Clip => {
            let rate = format!("{:.4}", Trim(footage.fps));
            let rate = words(language).point(&rate);
            let length = words(language).number(footage.length_s, 1);
            let about = [
                ("seconds", length.into()),
                ("frames", footage.frames.into()),
                ("rate", rate.into()),
                ("size", size.into()),
            ];
            say_with(language, "a-clip", &about)
        }
    }
}

fn photos(findings: &Findings) -> String {
    let lines = photo_lines(findings);
    if lines.is_empty() {
        return String::new();
    }
    let title = format!("  {}:\n", say(findings.language, "photos-show"));
    lines.iter().fold(title, |out, line| out + &wrap("    - ", line))
}

/// A number with as many decimals as it needs, two at the most.
struct Trim(f64);

impl std::fmt::Display for Trim {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = format!("{:.2}", self.0);
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

fn timeline(judged: &Judged, language: Language) -> String {
    let episodes = &judged.reading.timeline;
    if episodes.is_empty() {
        return String::new();
    }
    let mut out = format!("  {}\n", say(language, "label-when"));
    let to = say(language, "to");
    let time = |s: f64| words(language).number(s, 1);
    for episode in episodes {
        let what = episode.row.map_or_else(
            || say(language, "not-in-table"),
            |row| judged.title(row, language),
        );
        let span = format!(
            "    {:>5} {to} {:>5} s  ",
            time(episode.from_s),
            time(episode.to_s)
        );
        let sure = percent(episode.confidence, language);
        out.push_str(&wrap(&span, &format!("{what} ({sure})")));
    }
    out
}

fn lamp_title(findings: &Findings, light: Option<&Light>, index: usize, all: usize) -> String {
    let language = findings.language;
    match (light, &findings.judged) {
        (Some(light), Some(judged)) => {
            let label = judged.told(&light.label, language);
            let about = [("id", light.id.clone().into()), ("label", label.into())];
            say_with(language, "light-of-table", &about)
        }
        _ if all == 1 => say(language, "the-light-title"),
        _ => say_with(language, "light-number", &[("number", (index + 1).into())]),
    }
}

const LABELS: [&str; 7] = [
    "label-place",
    "label-colour",
    "label-rhythm",
    "label-cycle",
    "label-on",
    "label-flashes",
    "label-seen",
];

fn lamp_block(title: &str, lamp: &Lamp, language: Language) -> String {
    let mut out = wrap("  ", title);
    let mut row = |id: &str, value: &str| out.push_str(&labelled("    ", id, &LABELS, language, value));
    row("label-place", &place(lamp, language));
    row("label-colour", &colour(&lamp.trace, language));
    let measured = &lamp.measured;
    row("label-rhythm", &rhythm(measured.rhythm, language));
    if let Some(period) = measured.period_s {
        row("label-cycle", &seconds(period, language));
    }
    if let Some(on) = measured.on_s {
        let on = seconds(on, language);
        row(
            "label-on",
            &say_with(language, "at-a-time", &[("seconds", on.into())]),
        );
    }
    // How often says nothing of a lamp that stays lit, or of a single picture.
    if !matches!(measured.rhythm, Rhythm::Off | Rhythm::Fixed | Rhythm::Unknown) {
        row("label-flashes", &times(measured.flashes.len(), language));
    }
    let seen = share(measured.seen_share, language);
    row(
        "label-seen",
        &say_with(language, "of-the-frames", &[("share", seen.into())]),
    );
    if let Some(strip) = strip(&lamp.trace, measured, language) {
        let covers = words(language).number(strip.covers_s, 1);
        out.push_str(&format!("    0 s {} {covers} s\n", strip.letters));
        out.push_str(&wrap("        ", &strip.legend));
    }
    out
}

/// Where a lamp is in the picture.
pub(super) fn place(lamp: &Lamp, language: Language) -> String {
    let words = words(language);
    let about = [
        ("x", words.number(lamp.x.max(0.0), 0).into()),
        ("y", words.number(lamp.y.max(0.0), 0).into()),
        ("radius", words.number(lamp.radius, 1).into()),
        ("score", percent(lamp.score, language).into()),
    ];
    let pointed = lamp.score >= 1.0;
    words.with(if pointed { "place-pointed" } else { "place" }, &about)
}

/// Every colour with the names that fit it.
pub(super) fn colour(trace: &Trace, language: Language) -> String {
    if trace.tints.is_empty() {
        return say(language, "none-seen");
    }
    let or = format!(" {} ", say(language, "or"));
    let tints = trace.tints.iter().map(|tint| {
        let ranked = tint.names.ranked();
        // The first name always; another only where it is a real rival.
        let names = ranked
            .iter()
            .enumerate()
            .filter(|(index, (_, p))| *index == 0 || *p >= 0.05);
        let names: Vec<String> = names
            .map(|(_, (name, p))| {
                format!(
                    "{} ({})",
                    colour_name(*name, words(language)),
                    percent(*p, language)
                )
            })
            .collect();
        names.join(&or)
    });
    tints.collect::<Vec<_>>().join("; ")
}

fn other_lamps(others: &[&Lamp], language: Language) -> String {
    let places: Vec<String> = others
        .iter()
        .map(|lamp| format!("{:.0},{:.0}", lamp.x, lamp.y))
        .collect();
    let places = places.join(&format!(" {} ", say(language, "and")));
    wrap(
        "  ",
        &say_with(language, "other-lamps", &[("places", places.into())]),
    )
}

fn rivals(judged: &Judged, language: Language) -> String {
    let lines = rival_lines(judged, language);
    if lines.is_empty() {
        return String::new();
    }
    let title = match judged.reading.outcome {
        Outcome::Decided { .. } => say(language, "could-also-be"),
        Outcome::Unseen => say(language, "could-be-if-lamp"),
        Outcome::Undecided | Outcome::Unlisted => say(language, "could-be"),
    };
    lines
        .iter()
        .fold(format!("  {title}\n"), |out, line| out + &wrap("    - ", line))
}

/// What else it may be, each with its probability.
pub(super) fn rival_lines(judged: &Judged, language: Language) -> Vec<String> {
    let reading = &judged.reading;
    let likely = reading
        .rivals
        .iter()
        .filter(|rival| rival.probability >= RIVAL_FROM);
    let mut lines: Vec<String> = likely
        .map(|rival| {
            let sure = percent(rival.probability, language);
            format!("{} ({sure})", judged.title(rival.row, language))
        })
        .collect();
    if reading.unlisted >= RIVAL_FROM && reading.outcome != Outcome::Unlisted {
        let sure = percent(reading.unlisted, language);
        lines.push(format!("{} ({sure})", say(language, "something-unlisted")));
    }
    lines
}

fn settle(judged: &Judged, language: Language) -> String {
    if judged.reading.settle.is_empty() {
        return String::new();
    }
    let lines = judged
        .reading
        .settle
        .iter()
        .map(|settle| settle_phrase(judged.table, settle, language));
    lines.fold(format!("  {}\n", say(language, "would-settle")), |out, line| {
        out + &wrap("    - ", &line)
    })
}

fn warning_block(findings: &Findings, style: Style) -> String {
    let all = warnings(findings);
    if all.is_empty() {
        return String::new();
    }
    let mut out = style.bold(&format!("{}\n", say(findings.language, "warnings")));
    for warning in all {
        let retake = warning
            .retake
            .map(|retake| format!(" {retake}"))
            .unwrap_or_default();
        out.push_str(&wrap(
            "  - ",
            &format!("{}{retake} [{}]", warning.text, warning.code),
        ));
    }
    out
}
