//! Numbers and doubt in words.

use crate::colour::ColourName;
use crate::trace::{Estimate, Measured, Rhythm, Trace};
use crate::words::Words;

/// How sure a probability is, from the most sure down; the first that it reaches counts. The limits are a
/// choice of wording, not measured.
const SURENESS: [(f64, &str); 4] = [
    (0.99, "all but certain"),
    (0.95, "very sure"),
    (0.85, "fairly sure"),
    (0.6, "not very sure"),
];

/// A probability in words.
pub(super) fn sureness(probability: f64) -> &'static str {
    SURENESS
        .iter()
        .find(|(least, _)| probability >= *least)
        .map_or("unsure", |(_, words)| words)
}

/// A probability in whole per cent. Neither certainty nor impossibility is ever claimed.
pub(super) fn percent(probability: f64) -> String {
    match probability * 100.0 {
        p if p >= 99.5 => "over 99 %".to_owned(),
        p if p < 0.5 => "under 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// A share in whole per cent; all and none only where it is so.
pub(super) fn share(share: f64) -> String {
    if share >= 1.0 {
        "all".to_owned()
    } else if share <= 0.0 {
        "none".to_owned()
    } else {
        percent(share)
    }
}

/// Decimals that show one digit of the standard deviation; three (milliseconds) where there is none.
pub(super) fn decimals(sd: f64) -> usize {
    if !(sd.is_finite() && sd > 0.0) {
        return 3;
    }
    // A single comparison chain: logarithms and casts would need more care than four limits.
    [0.95, 0.095, 0.0095, 0.00095]
        .iter()
        .take_while(|limit| sd < **limit)
        .count()
        .min(4)
}

/// An estimate in seconds with its standard deviation.
pub(super) fn seconds(estimate: Estimate) -> String {
    let Estimate { value, sd } = estimate;
    let places = decimals(sd);
    if sd.is_finite() && sd > 0.0 {
        format!("{value:.places$} ± {sd:.places$} s")
    } else {
        format!("{value:.places$} s")
    }
}

/// The word for a rhythm in JSON.
pub(super) const fn rhythm_code(rhythm: Rhythm) -> &'static str {
    match rhythm {
        Rhythm::Off => "off",
        Rhythm::Fixed => "fixed",
        Rhythm::Flashing => "flashing",
        Rhythm::GroupFlashing { .. } => "group-flashing",
        Rhythm::Alternating => "alternating",
        Rhythm::Breathing => "breathing",
        Rhythm::Irregular => "irregular",
        Rhythm::Unknown => "unknown",
    }
}

/// A rhythm in plain words.
pub(super) fn rhythm(rhythm: Rhythm) -> String {
    match rhythm {
        Rhythm::Off => "dark all the time".to_owned(),
        Rhythm::Fixed => "lit all the time".to_owned(),
        Rhythm::Flashing => "flashing".to_owned(),
        Rhythm::GroupFlashing { count } => format!("flashing in groups of {count}"),
        Rhythm::Alternating => "changing colours in turn".to_owned(),
        Rhythm::Breathing => "breathing (swelling and fading)".to_owned(),
        Rhythm::Irregular => "changing without a rhythm".to_owned(),
        Rhythm::Unknown => "no rhythm to be told".to_owned(),
    }
}

/// The colours of a trace by their likeliest names, or "dark".
pub(super) fn colours(trace: &Trace) -> String {
    let names: Vec<String> = trace
        .tints
        .iter()
        .filter_map(|tint| tint.names.ranked().first().map(|(name, _)| name.to_string()))
        .collect();
    if names.is_empty() {
        "no colour seen".to_owned()
    } else {
        list(&names, "and")
    }
}

/// Colours, rhythm and cycle of one lamp, in one phrase.
pub(super) fn lamp(trace: &Trace, measured: &Measured) -> String {
    if measured.rhythm == Rhythm::Off {
        return rhythm(Rhythm::Off);
    }
    let mut text = format!("{}, {}", colours(trace), rhythm(measured.rhythm));
    if let Some(period) = measured.period_s {
        text.push_str(&format!(
            ", one cycle in {:.*} s",
            decimals(period.sd).min(2),
            period.value
        ));
    }
    text
}

/// `a, b or c`.
pub(super) fn list(items: &[String], last: &str) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}

/// A count with its noun.
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// The word for a colour.
pub(super) fn colour_name(name: ColourName, words: &Words) -> String {
    words.say(match name {
        ColourName::Red => "red",
        ColourName::Amber => "amber",
        ColourName::Yellow => "yellow",
        ColourName::Green => "green",
        ColourName::Cyan => "cyan",
        ColourName::Blue => "blue",
        ColourName::Violet => "violet",
        ColourName::White => "white",
        ColourName::WarmWhite => "warm-white",
    })
}
