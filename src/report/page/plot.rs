//! The trace of one light as a plot: how bright it was, what was lit, and the row's pattern drawn over it.

use std::fmt::Write;

use maud::{Markup, html};

use crate::colour::ColourName;
use crate::meaning::{Stretch, lay};
use crate::trace::Sighting;
use crate::words::Words;

use super::super::findings::{Findings, Lamp};
use super::super::strip::letter;
use super::axis::{Row, WIDTH, paint, rows};

/// Rows of a plot from the top, in its own units: the curve from bright to dark, the bars, the times.
const BRIGHT: f64 = 12.0;
const DARK: f64 = 62.0;
const SEEN_BAR: f64 = 70.0;
const TABLE_BAR: f64 = 87.0;
const BAR: f64 = 12.0;
const HEIGHT: f64 = 118.0;
const HEIGHT_BARE: f64 = 101.0;

/// A bar needs this width to hold a letter.
const LETTER: f64 = 9.0;

/// A level that is drawn at the top; more is drawn as this.
const TOP: f64 = 1.2;

/// A stretch of one colour in a bar.
struct Lit {
    span_s: (f64, f64),
    colour: Option<ColourName>,
}

/// The plot of one light; `light` is its index in the table. `None` for a photo.
pub(super) fn plot(findings: &Findings, light: Option<usize>, lamp: usize, words: &Words) -> Option<Markup> {
    let shown = &findings.lamps[lamp];
    let first = shown.trace.samples.first()?;
    let length_s = shown.trace.length_s();
    if shown.trace.samples.len() < 2 || length_s <= 0.0 {
        return None;
    }
    let laid = light
        .map(|light| laid(findings, light, shown))
        .unwrap_or_default();
    let rows = rows(first.time_s, first.time_s + length_s);
    let cut = rows
        .last()
        .is_some_and(|row| row.to_s < first.time_s + length_s - 1e-6);
    Some(html! {
        figure {
            @for (index, row) in rows.iter().enumerate() {
                (row_plot(shown, &laid, *row, &format!("l{lamp}r{index}"), words))
            }
            figcaption {
                (words.say("plot-key"))
                @if !laid.is_empty() { " " (words.say("plot-key-table")) }
                @if hidden(shown, &rows) { " " (words.say("plot-key-hidden")) }
                @if cut { " " (words.with("plot-cut", &[("seconds", words.number(rows[rows.len() - 1].to_s, 0).into())])) }
                " " (legend(shown, &laid, words))
            }
        }
    })
}

/// The patterns of the rows that the light showed, each over its own stretch of the clip.
fn laid(findings: &Findings, light: usize, lamp: &Lamp) -> Vec<Stretch> {
    let Some(judged) = &findings.judged else {
        return Vec::new();
    };
    let episodes = judged.reading.timeline.iter();
    episodes
        .filter_map(|episode| {
            let shows = &judged.meaning(episode.row?).shows;
            let show = shows.iter().find(|show| show.light == light)?;
            let span_s = (episode.from_s, episode.to_s);
            Some(lay(&show.pattern, &lamp.trace, &lamp.measured.flashes, span_s))
        })
        .flatten()
        .collect()
}

fn row_plot(lamp: &Lamp, laid: &[Stretch], row: Row, id: &str, words: &Words) -> Markup {
    let height = if laid.is_empty() { HEIGHT_BARE } else { HEIGHT };
    let flashes = seen_bars(lamp);
    let within = flashes.iter().filter(|lit| row.cut(lit.span_s).is_some()).count();
    let times = |s: f64| words.number(s, 1);
    let about = [
        ("from", times(row.from_s).into()),
        ("to", times(row.to_s).into()),
        ("flashes", within.into()),
    ];
    let (title_id, about_id) = (format!("{id}t"), format!("{id}d"));
    let table = laid_bars(laid);
    let labels = format!("{title_id} {about_id}");
    html! {
        svg viewBox=(format!("0 0 {WIDTH} {height}")) role="img" aria-labelledby=(labels) {
            title id=(title_id) { (words.with("plot-title", &about)) }
            desc id=(about_id) { (words.with("plot-about", &about)) }
            text x="0" y=(BRIGHT + 4.0) { (words.say("plot-bright")) }
            text x="0" y=(DARK) { (words.say("plot-dark")) }
            line x1=(row.x(row.from_s)) x2=(row.x(row.to_s)) y1=(DARK) y2=(DARK) stroke="#8a94a0" stroke-width=".6" {}
            (hidden_spans(lamp, row))
            path.trace d=(curve(lamp, row)) fill="none" stroke="#1b1f24" stroke-width="1.3" {}
            @if !laid.is_empty() {
                path.pattern d=(pattern(laid, row)) fill="none" stroke="#a3005c" stroke-width="1.2" stroke-dasharray="3 2" {}
            }
            text x="0" y=(SEEN_BAR + 10.0) { (words.say("plot-seen")) }
            (bar(&flashes, row, SEEN_BAR, "flash"))
            @if !laid.is_empty() {
                text x="0" y=(TABLE_BAR + 10.0) { (words.say("plot-table")) }
                (bar(&table, row, TABLE_BAR, "laid"))
            }
            @for tick in row.ticks() {
                line x1=(row.x(tick)) x2=(row.x(tick)) y1=(DARK) y2=(DARK + 4.0) stroke="#8a94a0" stroke-width=".8" {}
                text.letter x=(row.x(tick).min(WIDTH - 14.0)) y=(height - 3.0) { (tick_label(tick, words)) }
            }
        }
    }
}

fn tick_label(tick: f64, words: &Words) -> String {
    let decimals = usize::from((tick - tick.round()).abs() > 1e-6);
    format!("{} s", words.number(tick, decimals))
}

fn seen_bars(lamp: &Lamp) -> Vec<Lit> {
    let flashes = lamp.measured.flashes.iter();
    flashes
        .map(|flash| Lit {
            span_s: (flash.from_s.value, flash.to_s.value),
            colour: flash.tint.and_then(|tint| name(lamp, tint)),
        })
        .collect()
}

/// Where the pattern is lit by the measure of a flash, at half its brightness or more; what meets and is of one colour
/// is one box.
fn laid_bars(laid: &[Stretch]) -> Vec<Lit> {
    let mut bars: Vec<Lit> = Vec::new();
    for stretch in laid.iter().filter(|stretch| stretch.colour.is_some()) {
        let (first, last) = stretch.level;
        let half_s = stretch.from_s + (stretch.to_s - stretch.from_s) * (0.5 - first) / (last - first);
        let span_s = match (first >= 0.5, last >= 0.5) {
            (true, true) => (stretch.from_s, stretch.to_s),
            (true, false) => (stretch.from_s, half_s),
            (false, true) => (half_s, stretch.to_s),
            (false, false) => continue,
        };
        let joined = |bar: &&mut Lit| bar.colour == stretch.colour && (bar.span_s.1 - span_s.0).abs() < 1e-6;
        match bars.last_mut().filter(joined) {
            Some(bar) => bar.span_s.1 = span_s.1,
            None => bars.push(Lit {
                span_s,
                colour: stretch.colour,
            }),
        }
    }
    bars
}

fn name(lamp: &Lamp, tint: usize) -> Option<ColourName> {
    let ranked = lamp.trace.tints.get(tint)?.names.ranked();
    ranked.first().map(|(name, _)| *name)
}

/// Lit stretches as boxes with a letter, so that colour is never alone.
fn bar(lits: &[Lit], row: Row, top: f64, class: &str) -> Markup {
    let boxes = lits.iter().filter_map(|lit| {
        let (fill, ink) = lit.colour.map(paint).unwrap_or(("#8a94a0", "#1b1f24"));
        let (from_s, to_s) = row.cut(lit.span_s)?;
        Some((row.x(from_s), row.x(to_s), fill, ink, lit.colour))
    });
    html! {
        @for (left, right, fill, ink, colour) in boxes {
            rect class=(class) x=(fixed(left)) y=(top) width=(fixed((right - left).max(0.6))) height=(BAR) fill=(fill) stroke="#1b1f24" stroke-width=".5" {}
            @if right - left >= LETTER {
                text.letter x=(fixed(0.5 * (left + right))) y=(top + 10.0) style=(format!("fill:{ink}")) { (colour.map_or('#', letter)) }
            }
        }
    }
}

fn fixed(value: f64) -> String {
    format!("{value:.2}")
}

fn y(level: f64) -> f64 {
    DARK - level.clamp(0.0, TOP) / TOP * (DARK - BRIGHT)
}

/// The level of every frame in which the lamp was in view; the line breaks where it was not.
fn curve(lamp: &Lamp, row: Row) -> String {
    let mut path = String::new();
    let mut down = false;
    for sample in &lamp.trace.samples {
        let middle_s = sample.time_s + 0.5 * sample.span_s;
        if sample.sighting != Sighting::Seen || !(row.from_s..=row.to_s).contains(&middle_s) {
            down = false;
            continue;
        }
        point(&mut path, down, row.x(middle_s), y(sample.level));
        down = true;
    }
    path
}

fn pattern(laid: &[Stretch], row: Row) -> String {
    let mut path = String::new();
    let mut end: Option<f64> = None;
    for stretch in laid {
        let Some((from_s, to_s)) = row.cut((stretch.from_s, stretch.to_s)) else {
            continue;
        };
        let level = |s: f64| {
            let share = (s - stretch.from_s) / (stretch.to_s - stretch.from_s);
            stretch.level.0 + (stretch.level.1 - stretch.level.0) * share
        };
        let joined = end.is_some_and(|end| (end - from_s).abs() < 1e-6);
        point(&mut path, joined, row.x(from_s), y(level(from_s)));
        point(&mut path, true, row.x(to_s), y(level(to_s)));
        end = Some(to_s);
    }
    path
}

fn point(path: &mut String, down: bool, x: f64, y: f64) {
    let pen = if down { 'L' } else { 'M' };
    write!(path, "{pen}{x:.1} {y:.1}").expect("writing to a string does not fail");
}

/// Stretches in which the lamp was not in view.
fn unseen(lamp: &Lamp) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for sample in lamp.trace.samples.iter().filter(|s| s.sighting != Sighting::Seen) {
        let end_s = sample.time_s + sample.span_s;
        match spans
            .last_mut()
            .filter(|span| (span.1 - sample.time_s).abs() < 1e-6)
        {
            Some(span) => span.1 = end_s,
            None => spans.push((sample.time_s, end_s)),
        }
    }
    spans
}

fn hidden(lamp: &Lamp, rows: &[Row]) -> bool {
    let spans = unseen(lamp);
    rows.iter()
        .any(|row| spans.iter().any(|span| row.cut(*span).is_some()))
}

fn hidden_spans(lamp: &Lamp, row: Row) -> Markup {
    let spans = unseen(lamp);
    let cut = spans.iter().filter_map(|span| row.cut(*span));
    let boxes: Vec<(f64, f64)> = cut.map(|(from_s, to_s)| (row.x(from_s), row.x(to_s))).collect();
    html! {
        @for (left, right) in boxes {
            rect.hidden x=(fixed(left)) y=(BRIGHT) width=(fixed(right - left)) height=(DARK - BRIGHT) fill="#e4e8ec" {}
            @if right - left >= LETTER {
                text.letter x=(fixed(0.5 * (left + right))) y=(0.5 * (BRIGHT + DARK)) { "?" }
            }
        }
    }
}

/// What the letters mean.
fn legend(lamp: &Lamp, laid: &[Stretch], words: &Words) -> String {
    let seen = (0..lamp.trace.tints.len()).filter_map(|tint| name(lamp, tint));
    let mut names: Vec<ColourName> = seen
        .chain(laid.iter().filter_map(|stretch| stretch.colour))
        .collect();
    names.sort_by_key(|name| *name as usize);
    names.dedup();
    let parts: Vec<String> = names
        .iter()
        .map(|name| {
            format!(
                "{} {}",
                letter(*name),
                super::super::words::colour_name(*name, words)
            )
        })
        .collect();
    if parts.is_empty() {
        String::new()
    } else {
        format!("{}.", parts.join(", "))
    }
}
