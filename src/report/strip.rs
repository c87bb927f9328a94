//! The trace as a line of letters, so that anybody can check the rhythm by eye.

use crate::colour::ColourName;
use crate::trace::{Measured, Sample, Sighting, Trace};
use crate::words::{Language, say, words};

use super::words::colour_name;

/// Cells of the strip; with its indent and its times it fits the page.
const CELLS: usize = 56;

/// A strip shows at most so many cycles, so that the letters of one stay readable.
const CYCLES: f64 = 5.0;

/// A cell whose mean level is under this share of the usual lit level counts as dark.
const DARK_BELOW: f64 = 0.15;

/// From this share on a cell counts as fully lit.
const LIT_FROM: f64 = 0.6;

/// The strip of one trace.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// One letter a cell.
    pub(super) letters: String,
    /// Seconds that the strip covers, from the start of the clip.
    pub(super) covers_s: f64,
    /// What the letters mean.
    pub(super) legend: String,
}

/// The letter of a colour.
pub(super) const fn letter(name: ColourName) -> char {
    match name {
        ColourName::Red => 'R',
        ColourName::Amber => 'A',
        ColourName::Yellow => 'Y',
        ColourName::Green => 'G',
        ColourName::Cyan => 'C',
        ColourName::Blue => 'B',
        ColourName::Violet => 'V',
        ColourName::White => 'W',
        ColourName::WarmWhite => 'M',
    }
}

/// The strip of a trace; `None` for a photo.
pub(super) fn strip(trace: &Trace, measured: &Measured, language: Language) -> Option<Strip> {
    let length_s = trace.length_s();
    if trace.samples.len() < 2 || length_s <= 0.0 {
        return None;
    }
    let cycles_s = measured.period_s.map_or(length_s, |period| period.value * CYCLES);
    let covers_s = if cycles_s > 0.0 {
        cycles_s.min(length_s)
    } else {
        length_s
    };
    let start_s = trace.samples[0].time_s;
    let cell_s = covers_s / CELLS as f64;
    let letters: String = (0..CELLS)
        .map(|cell| {
            let from_s = start_s + cell as f64 * cell_s;
            cell_letter(trace, from_s, from_s + cell_s)
        })
        .collect();
    let legend = legend(trace, &letters, language);
    Some(Strip {
        letters,
        covers_s,
        legend,
    })
}

/// The letter for a stretch of time: the mean level over it, and the colour that was lit the longest in it.
fn cell_letter(trace: &Trace, from_s: f64, to_s: f64) -> char {
    let overlap = |sample: &Sample| (sample.time_s + sample.span_s).min(to_s) - sample.time_s.max(from_s);
    let (mut seen_s, mut hidden_s, mut light) = (0.0, 0.0, 0.0);
    let mut tint_s = vec![0.0; trace.tints.len()];
    for sample in &trace.samples {
        let span_s = overlap(sample);
        if span_s <= 0.0 {
            continue;
        }
        if sample.sighting != Sighting::Seen {
            hidden_s += span_s;
            continue;
        }
        seen_s += span_s;
        light += span_s * sample.level;
        if let Some(slot) = sample.tint.and_then(|tint| tint_s.get_mut(tint)) {
            *slot += span_s;
        }
    }
    if hidden_s >= seen_s {
        return '?';
    }
    let level = light / seen_s;
    if level < DARK_BELOW {
        return '_';
    }
    let longest = tint_s
        .iter()
        .enumerate()
        .filter(|(_, s)| **s > 0.0)
        .max_by(|a, b| a.1.total_cmp(b.1));
    let lit = longest.map_or('#', |(tint, _)| tint_letter(trace, tint));
    match (level >= LIT_FROM, lit) {
        (true, lit) => lit,
        (false, '#') => '-',
        (false, lit) => lit.to_ascii_lowercase(),
    }
}

fn tint_letter(trace: &Trace, tint: usize) -> char {
    trace.tints[tint]
        .names
        .ranked()
        .first()
        .map_or('#', |(name, _)| letter(*name))
}

fn legend(trace: &Trace, letters: &str, language: Language) -> String {
    let mut parts: Vec<String> = Vec::new();
    for tint in &trace.tints {
        if let Some((name, _)) = tint.names.ranked().first() {
            let part = format!("{} {}", letter(*name), colour_name(*name, words(language)));
            if !parts.contains(&part) {
                parts.push(part);
            }
        }
    }
    if letters.contains(|c: char| c.is_ascii_lowercase()) {
        parts.push(say(language, "strip-half"));
    }
    for (mark, meaning) in [
        ('#', say(language, "strip-lit")),
        ('-', say(language, "strip-half-lit")),
        ('_', say(language, "strip-dark")),
        ('?', say(language, "strip-unseen")),
    ] {
        if letters.contains(mark) {
            parts.push(format!("{mark} {meaning}"));
        }
    }
    parts.join(", ")
}
