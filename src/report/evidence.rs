//! What the reading rests on, for whoever wants to check it.

use crate::advice::settle_phrase;
use crate::footage::Kind;
use crate::meaning::Outcome;
use crate::table::Light;
use crate::trace::Trace;

use super::findings::{Findings, Judged, Lamp};
use super::strip::strip;
use super::text::Style;
use super::warning::warnings;
use super::words::{count, percent, rhythm, seconds, share};
use super::wrap::wrap;

/// A rival less likely than this is left out of the text; the JSON has them all.
const RIVAL_FROM: f64 = 0.005;

pub(super) fn evidence(findings: &Findings, style: Style) -> String {
    let mut out = style.bold("What this rests on:\n");
    out.push_str(&source(findings));
    if let Some(judged) = &findings.judged {
        out.push_str(&timeline(judged));
    }
    let lights = findings.lights();
    for (index, (light, lamp)) in lights.iter().enumerate() {
        out.push_str(&lamp_block(&lamp_title(*light, index, lights.len()), lamp));
    }
    let others = findings.other_lamps();
    if !others.is_empty() {
        out.push_str(&other_lamps(&others));
    }
    if let Some(judged) = &findings.judged {
        out.push_str(&rivals(judged));
        out.push_str(&settle(judged));
    }
    out.push_str(&warning_block(findings, style));
    out
}

fn source(findings: &Findings) -> String {
    let table = match &findings.judged {
        Some(judged) => {
            format!(
                "{} ({})",
                judged.table.device.name,
                count(judged.table.meanings.len(), "row", "rows")
            )
        }
        None => "none".to_owned(),
    };
    wrap("  Footage:  ", &source_words(findings)) + &wrap("  Table:    ", &table)
}

/// The footage in figures.
pub(super) fn source_words(findings: &Findings) -> String {
    let footage = &findings.footage;
    let size = format!("{} x {} pixels", footage.width, footage.height);
    match footage.kind {
        Kind::Photo => format!("a photo, {size}"),
        Kind::Clip => {
            let frames = count(footage.frames, "frame", "frames");
            format!(
                "a clip of {:.1} s, {frames} ({:.4} a second), {size}",
                footage.length_s,
                Trim(footage.fps)
            )
        }
    }
}

/// A number with as many decimals as it needs, two at the most.
struct Trim(f64);

impl std::fmt::Display for Trim {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let text = format!("{:.2}", self.0);
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

fn timeline(judged: &Judged) -> String {
    let episodes = &judged.reading.timeline;
    if episodes.is_empty() {
        return String::new();
    }
    let mut out = String::from("  When:\n");
    for episode in episodes {
        let what = episode
            .row
            .map_or("not in the table", |row| judged.meaning(row).title.as_str());
        let span = format!("    {:>5.1} to {:>5.1} s  ", episode.from_s, episode.to_s);
        out.push_str(&wrap(&span, &format!("{what} ({})", percent(episode.confidence))));
    }
    out
}

fn lamp_title(light: Option<&Light>, index: usize, all: usize) -> String {
    match light {
        Some(light) => format!("Light \"{}\", {}:", light.id, light.label),
        None if all == 1 => "The light:".to_owned(),
        None => format!("Light {}:", index + 1),
    }
}

fn lamp_block(title: &str, lamp: &Lamp) -> String {
    let mut out = wrap("  ", title);
    let place = format!(
        "{:.0} across, {:.0} down, radius {:.1} pixels; looks like a lamp: {}",
        lamp.x,
        lamp.y,
        lamp.radius,
        percent(lamp.score)
    );
    out.push_str(&wrap("    place     ", &place));
    out.push_str(&wrap("    colour    ", &colour(&lamp.trace)));
    let measured = &lamp.measured;
    out.push_str(&wrap("    rhythm    ", &rhythm(measured.rhythm)));
    if let Some(period) = measured.period_s {
        out.push_str(&wrap("    one cycle ", &seconds(period)));
    }
    if let Some(on) = measured.on_s {
        out.push_str(&wrap("    lit for   ", &format!("{} at a time", seconds(on))));
    }
    if !measured.flashes.is_empty() {
        out.push_str(&wrap(
            "    lit       ",
            &count(measured.flashes.len(), "time", "times"),
        ));
    }
    out.push_str(&wrap(
        "    in view   ",
        &format!("{} of the frames", share(measured.seen_share)),
    ));
    if let Some(strip) = strip(&lamp.trace, measured) {
        out.push_str(&format!("    0 s {} {:.1} s\n", strip.letters, strip.covers_s));
        out.push_str(&wrap("        ", &strip.legend));
    }
    out
}

/// Every colour with the names that fit it.
pub(super) fn colour(trace: &Trace) -> String {
    if trace.tints.is_empty() {
        return "none seen".to_owned();
    }
    let tints = trace.tints.iter().map(|tint| {
        let ranked = tint.names.ranked();
        // The first name always; another only where it is a real rival.
        let names = ranked
            .iter()
            .enumerate()
            .filter(|(index, (_, p))| *index == 0 || *p >= 0.05);
        let names: Vec<String> = names
            .map(|(_, (name, p))| format!("{name} ({})", percent(*p)))
            .collect();
        names.join(" or ")
    });
    tints.collect::<Vec<_>>().join("; ")
}

fn other_lamps(others: &[&Lamp]) -> String {
    let places: Vec<String> = others
        .iter()
        .map(|lamp| format!("{:.0},{:.0}", lamp.x, lamp.y))
        .collect();
    wrap(
        "  ",
        &format!(
            "Other lamps in the picture, not used: at {}.",
            places.join(" and ")
        ),
    )
}

fn rivals(judged: &Judged) -> String {
    let lines = rival_lines(judged);
    if lines.is_empty() {
        return String::new();
    }
    let title = if judged.decided().is_some() {
        "  It could also be:\n"
    } else {
        "  It could be:\n"
    };
    lines
        .iter()
        .fold(title.to_owned(), |out, line| out + &wrap("    - ", line))
}

/// What else it may be, each with its probability.
pub(super) fn rival_lines(judged: &Judged) -> Vec<String> {
    let reading = &judged.reading;
    let likely = reading
        .rivals
        .iter()
        .filter(|rival| rival.probability >= RIVAL_FROM);
    let mut lines: Vec<String> = likely
        .map(|rival| {
            format!(
                "{} ({})",
                judged.meaning(rival.row).title,
                percent(rival.probability)
            )
        })
        .collect();
    if reading.unlisted >= RIVAL_FROM && reading.outcome != Outcome::Unlisted {
        lines.push(format!(
            "something not in the table ({})",
            percent(reading.unlisted)
        ));
    }
    lines
}

fn settle(judged: &Judged) -> String {
    if judged.reading.settle.is_empty() {
        return String::new();
    }
    let lines = judged
        .reading
        .settle
        .iter()
        .map(|settle| settle_phrase(judged.table, settle));
    lines.fold("  What would settle it:\n".to_owned(), |out, line| {
        out + &wrap("    - ", &line)
    })
}

fn warning_block(findings: &Findings, style: Style) -> String {
    let all = warnings(findings);
    if all.is_empty() {
        return String::new();
    }
    let mut out = style.bold("Warnings:\n");
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
