//! Values of arguments that several commands take.

use std::path::Path;

use crate::table::{LightTable, Source, Step, load};
use crate::words::{Language, say};

use super::complaint::openable;
use super::{Complaint, Misuse};

/// What a value of an argument should have been.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{}", say(Language::English, self.id()))]
pub(super) enum Expected {
    /// Two numbers of pixels.
    Point,
    /// By how much slower than life.
    Slowness,
    /// A probability from which to decide.
    Threshold,
    /// What holds at the site.
    Condition,
    /// A time with its unit.
    Duration,
    /// How many at a time.
    Jobs,
}

impl Expected {
    /// The text that says it.
    pub(super) const fn id(self) -> &'static str {
        match self {
            Self::Point => "expected-point",
            Self::Slowness => "expected-slowness",
            Self::Threshold => "expected-threshold",
            Self::Condition => "expected-condition",
            Self::Duration => "expected-duration",
            Self::Jobs => "expected-jobs",
        }
    }
}

/// In which language to speak to people.
#[derive(Debug, Clone, Copy, clap::Args)]
pub(super) struct Speak {
    /// Language of the texts: en or de
    #[arg(long, value_name = "CODE", default_value = "en")]
    language: Language,
}

impl Speak {
    pub(super) const fn language(self) -> Language {
        self.language
    }
}

/// Loads a table.
pub(super) fn table(path: &Path) -> Result<LightTable, Complaint> {
    table_with_source(path).map(|(table, _)| table)
}

/// Loads a table with its text.
pub(super) fn table_with_source(path: &Path) -> Result<(LightTable, Source), Complaint> {
    openable(path)?;
    load(path).map_err(Complaint::Table)
}

/// `X,Y`, both not negative.
pub(super) fn point(text: &str) -> Result<(f64, f64), Expected> {
    let number = |part: &str| {
        part.trim()
            .parse::<f64>()
            .ok()
            .filter(|n| n.is_finite() && *n >= 0.0)
    };
    text.split_once(',')
        .and_then(|(x, y)| Some((number(x)?, number(y)?)))
        .ok_or(Expected::Point)
}

/// A number of 1 or more.
pub(super) fn slowness(text: &str) -> Result<f64, Expected> {
    let number = text.parse::<f64>().ok().filter(|n| n.is_finite() && *n >= 1.0);
    number.ok_or(Expected::Slowness)
}

/// A probability from one half up to, but not, one: below one half two rows could both be decided on.
pub(super) fn threshold(text: &str) -> Result<f64, Expected> {
    let number = text.parse::<f64>().ok().filter(|n| (0.5..1.0).contains(n));
    number.ok_or(Expected::Threshold)
}

/// How many clips at a time. More threads than this no machine has a use for.
pub(super) fn jobs(text: &str) -> Result<u16, Expected> {
    let number = text.parse::<u16>().ok().filter(|n| (1..=256).contains(n));
    number.ok_or(Expected::Jobs)
}

/// `NAME`, `NAME=yes` or `NAME=no`.
pub(super) fn condition(text: &str) -> Result<(String, bool), Expected> {
    let (name, answer) = text.split_once('=').unwrap_or((text, "yes"));
    let holds = match answer.trim() {
        "yes" => true,
        "no" => false,
        _ => return Err(Expected::Condition),
    };
    Ok((name.trim().to_owned(), holds))
}

/// Refuses names that the table does not have: a step whose name was mistyped would be asked for again.
pub(super) fn known_names(
    table: &LightTable,
    tried: &[String],
    site: &[(String, bool)],
    language: Language,
) -> Result<(), Complaint> {
    let mut steps: Vec<&str> = table
        .meanings
        .iter()
        .flat_map(|meaning| &meaning.next)
        .filter_map(|step| match step {
            Step::Do { tried, .. } => tried.as_deref(),
            Step::HandOn { .. } => None,
        })
        .collect();
    steps.sort_unstable();
    steps.dedup();
    let conditions: Vec<&str> = table
        .conditions
        .iter()
        .map(|condition| condition.id.as_str())
        .collect();
    let asked = site.iter().map(|(name, _)| (name, "--site", &conditions));
    for (name, option, known) in tried.iter().map(|name| (name, "--tried", &steps)).chain(asked) {
        if !known.contains(&name.as_str()) {
            return Err(Misuse::NoSuchName {
                option,
                name: name.clone(),
                known: known
                    .iter()
                    .map(|&name| with_meaning(table, name, language))
                    .collect(),
            }
            .into());
        }
    }
    Ok(())
}

/// A name with what the table calls it in another language.
fn with_meaning(table: &LightTable, name: &str, language: Language) -> String {
    match table.told(name, language.code()) {
        same if same == name => name.to_owned(),
        told => format!("{name} ({told})"),
    }
}

/// A duration such as `90 s`, `6min` or `1 h 20 min`, in seconds.
pub(super) fn duration(text: &str) -> Result<f64, Expected> {
    let mut rest = text.trim();
    let mut total_s = 0.0;
    if rest.is_empty() {
        return Err(Expected::Duration);
    }
    while !rest.is_empty() {
        let end = rest
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .ok_or(Expected::Duration)?;
        let number: f64 = rest[..end].parse().map_err(|_| Expected::Duration)?;
        rest = rest[end..].trim_start();
        let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
        total_s += number * unit_s(&rest[..end]).ok_or(Expected::Duration)?;
        rest = rest[end..].trim_start();
    }
    Some(total_s).filter(|s| s.is_finite()).ok_or(Expected::Duration)
}

/// Seconds in a unit.
fn unit_s(unit: &str) -> Option<f64> {
    match unit {
        "s" | "sec" => Some(1.0),
        "min" => Some(60.0),
        "h" => Some(3600.0),
        "d" => Some(86400.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("90 s", 90.0)]
    #[case("90s", 90.0)]
    #[case(" 6 min ", 360.0)]
    #[case("1 h 20 min", 4800.0)]
    #[case("1.5h", 5400.0)]
    #[case("2 d", 172_800.0)]
    fn reads_durations(#[case] text: &str, #[case] seconds: f64) {
        assert_eq!(duration(text), Ok(seconds));
    }

    #[rstest]
    #[case("")]
    #[case("6")]
    #[case("6 m")]
    #[case("min")]
    #[case("-6 min")]
    #[case("1..2 s")]
    #[case("6 min and more")]
    fn refuses_what_is_no_duration(#[case] text: &str) {
        assert!(
            duration(text).unwrap_err().to_string().contains("6 min"),
            "the message shows a duration"
        );
    }

    #[rstest]
    #[case("612,340", (612.0, 340.0))]
    #[case("0, 7.5", (0.0, 7.5))]
    fn reads_points(#[case] text: &str, #[case] expected: (f64, f64)) {
        assert_eq!(point(text), Ok(expected));
    }

    #[rstest]
    #[case("612")]
    #[case("612,-1")]
    #[case("NaN,3")]
    #[case("1,2,3")]
    fn refuses_what_is_no_point(#[case] text: &str) {
        assert!(point(text).is_err());
    }

    #[rstest]
    #[case("1")]
    #[case("0.49")]
    #[case("NaN")]
    #[case("90")]
    fn refuses_a_threshold_that_decides_nothing_or_too_much(#[case] text: &str) {
        assert!(threshold(text).is_err());
    }
}
