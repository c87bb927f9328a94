//! Numbers and doubt in words.

use crate::colour::ColourName;
use crate::trace::{Estimate, Measured, Rhythm, Trace};
use crate::words::{Language, Words, say, say_with, words};

/// How sure a probability is, from the most sure down; the first that it reaches counts. The limits are a
/// choice of wording, not measured.
const SURENESS: [(f64, &str); 4] = [
    (0.99, "sure-all-but"),
    (0.95, "sure-very"),
    (0.85, "sure-fairly"),
    (0.6, "sure-not-very"),
];

/// A probability in words.
pub(super) fn sureness(probability: f64, language: Language) -> String {
    let reached = SURENESS.iter().find(|(least, _)| probability >= *least);
    say(language, reached.map_or("sure-not", |(_, id)| id))
}

/// A probability in whole per cent. Neither certainty nor impossibility is ever claimed.
pub(super) fn percent(probability: f64, language: Language) -> String {
    match probability * 100.0 {
        p if p >= 99.5 => say(language, "over-99"),
        p if p < 0.5 => say(language, "under-1"),
        p => format!("{p:.0} %"),
    }
}

/// A share in whole per cent; all and none only where it is so.
pub(super) fn share(share: f64, language: Language) -> String {
    if share >= 1.0 {
        say(language, "all")
    } else if share <= 0.0 {
        say(language, "none")
    } else {
        percent(share, language)
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
pub(super) fn seconds(estimate: Estimate, language: Language) -> String {
    let words = words(language);
    let Estimate { value, sd } = estimate;
    let places = decimals(sd);
    if sd.is_finite() && sd > 0.0 {
        format!("{} ± {} s", words.number(value, places), words.number(sd, places))
    } else {
        format!("{} s", words.number(value, places))
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
pub(super) fn rhythm(rhythm: Rhythm, language: Language) -> String {
    match rhythm {
        Rhythm::Off => say(language, "rhythm-off"),
        Rhythm::Fixed => say(language, "rhythm-fixed"),
        Rhythm::Flashing => say(language, "rhythm-flashing"),
        Rhythm::GroupFlashing { count } => say_with(language, "rhythm-group", &[("count", count.into())]),
        Rhythm::Alternating => say(language, "rhythm-alternating"),
        Rhythm::Breathing => say(language, "rhythm-breathing"),
        Rhythm::Irregular => say(language, "rhythm-irregular"),
        Rhythm::Unknown => say(language, "rhythm-unknown"),
    }
}

/// The colours of a trace by their likeliest names, or "dark".
pub(super) fn colours(trace: &Trace, language: Language) -> String {
    let names: Vec<String> = trace
        .tints
        .iter()
        .filter_map(|tint| {
            tint.names
                .ranked()
                .first()
                .map(|(name, _)| colour_name(*name, words(language)))
        })
        .collect();
    if names.is_empty() {
        say(language, "no-colour")
    } else {
        list(&names, &say(language, "and"))
    }
}

/// Colours, rhythm and cycle of one lamp, in one phrase.
pub(super) fn lamp(trace: &Trace, measured: &Measured, language: Language) -> String {
    if measured.rhythm == Rhythm::Off {
        return rhythm(Rhythm::Off, language);
    }
    let text = format!(
        "{}, {}",
        colours(trace, language),
        rhythm(measured.rhythm, language)
    );
    match measured.period_s {
        Some(period) => {
            let time = words(language).number(period.value, decimals(period.sd).min(2));
            format!(
                "{text}, {}",
                say_with(language, "one-cycle-in", &[("seconds", time.into())])
            )
        }
        None => text,
    }
}

/// `a, b or c`.
pub(super) fn list(items: &[String], last: &str) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}

/// How often.
pub(super) fn times(number: usize, language: Language) -> String {
    say_with(language, "times", &[("count", number.into())])
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
