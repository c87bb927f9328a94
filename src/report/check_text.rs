//! What there is to say of a table that parses, for its author.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet, normalize_untrusted_str};

use crate::check::{Check, FPS, Finding, FindingKind, Forecast, Pair, SECONDS, Severity};
use crate::table::{LightTable, Source};
use crate::words::Language;

use super::text::Style;
use super::words::{count, percent};
use super::wrap::wrap;

/// Pairs that a short clip confuses with at least this probability are listed.
const WORTH_A_LINE: f64 = 0.05;

/// Longest list of such pairs; the JSON has all.
const MOST_PAIRS: usize = 12;

/// The findings with their places, and how long a clip each row needs.
#[must_use]
pub fn check_text(table: &LightTable, source: &Source, check: &Check, style: &Style) -> String {
    let mut out = wrap("", &headline(table, check));
    let renderer = if style.colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    for finding in &check.findings {
        out.push('\n');
        out.push_str(&placed(source, finding, &renderer));
        out.push('\n');
    }
    out.push('\n');
    out.push_str(&needs(table, check));
    out.push_str(&pairs(table, &check.forecast));
    out
}

fn headline(table: &LightTable, check: &Check) -> String {
    let rows = count(table.meanings.len(), "row", "rows");
    let of = |severity| {
        let found = check
            .findings
            .iter()
            .filter(|finding| finding.severity == severity);
        found.count()
    };
    let (warnings, notes) = (of(Severity::Warning), of(Severity::Note));
    let warnings = match warnings {
        0 => "fine".to_owned(),
        some => count(some, "warning", "warnings"),
    };
    let notes = match notes {
        0 => String::new(),
        some => format!(", {}", count(some, "note", "notes")),
    };
    format!("{}: {rows}, {warnings}{notes}.", table.device.name)
}

fn placed(source: &Source, finding: &Finding, renderer: &Renderer) -> String {
    let level = match finding.severity {
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut snippet = Snippet::source(source.text.as_str())
        .path(source.name.as_str())
        .annotation(AnnotationKind::Primary.span(one_line(source, &finding.at)));
    if let Some((place, label)) = &finding.other {
        snippet = snippet.annotation(
            AnnotationKind::Context
                .span(one_line(source, place))
                .label(*label),
        );
    }
    let group = level
        .primary_title(finding.kind.message())
        .element(snippet)
        .element(Level::HELP.message(normalize_untrusted_str(&finding.kind.help())));
    renderer.render(&[group])
}

/// Carets under a whole section show nothing: they end with the line.
fn one_line(source: &Source, at: &Range<usize>) -> Range<usize> {
    let end = source.text[at.clone()]
        .find('\n')
        .map_or(at.end, |newline| at.start + newline);
    at.start..end
}

/// A table of the clip that each row needs.
fn needs(table: &LightTable, check: &Check) -> String {
    let mut out = wrap(
        "",
        "Clip that tells a row from all others, by frames a second, and the row that is hardest to tell from it:",
    );
    let width = table.meanings.iter().map(|row| row.id.chars().count()).max();
    let width = width.unwrap_or(0).clamp(3, 30);
    let fps: Vec<String> = FPS.iter().map(|fps| format!("{fps:>8}")).collect();
    out.push_str(&format!("  {:width$}{}  nearest\n", "row", fps.concat()));
    let asks = |row: usize| {
        let same = |finding: &&Finding| matches!(finding.kind, FindingKind::SameLook { .. });
        let mut groups = check.findings.iter().filter(same);
        groups.any(|finding| finding.rows.contains(&row))
    };
    for (row, of_row) in check.forecast.rows.iter().enumerate() {
        let none = if asks(row) {
            "asks".to_owned()
        } else {
            format!("> {:.0} s", SECONDS[SECONDS.len() - 1])
        };
        let cells: Vec<String> = of_row
            .shortest_s
            .iter()
            .map(|seconds| seconds.map_or_else(|| none.clone(), ceiled))
            .map(|cell| format!("{cell:>8}"))
            .collect();
        let nearest = of_row
            .nearest
            .map_or("none", |row| table.meanings[row].id.as_str());
        let id = &table.meanings[row].id;
        out.push_str(&format!("  {id:width$}{}  {nearest}\n", cells.concat()));
    }
    out
}

fn ceiled(seconds: f64) -> String {
    format!("{:.0} s", seconds.ceil())
}

/// Pairs that a clip of the shortest length looked at may confuse.
fn pairs(table: &LightTable, forecast: &Forecast) -> String {
    let confusion = |pair: &Pair| pair.confusion[1][0];
    let mut near: Vec<&Pair> = forecast
        .pairs
        .iter()
        .filter(|pair| confusion(pair) >= WORTH_A_LINE)
        .collect();
    near.sort_by(|a, b| confusion(b).total_cmp(&confusion(a)));
    if near.is_empty() {
        return String::new();
    }
    let mut out = wrap(
        "",
        &format!(
            "Pairs that a clip of {} s at {} frames a second may confuse, and how likely:",
            SECONDS[0], FPS[1]
        ),
    );
    let left = near.len().saturating_sub(MOST_PAIRS);
    for pair in near.into_iter().take(MOST_PAIRS) {
        let id = |row: usize| &table.meanings[row].id;
        let needs = pair.shortest_s[1].map_or_else(
            || "no clip looked at parts them".to_owned(),
            |seconds| format!("{} part them", ceiled(seconds)),
        );
        let line = format!(
            "{} and {}: {}; {needs}",
            id(pair.first),
            id(pair.second),
            percent(confusion(pair), Language::English)
        );
        out.push_str(&wrap("  - ", &line));
    }
    if left > 0 {
        out.push_str(&wrap("  - ", &format!("and {left} more (`--json` has all)")));
    }
    out
}
