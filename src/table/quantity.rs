//! Quantities as a table writes them: a number and its unit.

use std::ops::Range;

use super::nearest::nearest;
use super::problem::ProblemKind;

/// A mistake in a quantity, with the bytes of the word that are wrong.
pub(super) type Slip = (ProblemKind, Range<usize>);

/// A unit as numerator and denominator, so that "150 ms" is the number nearest to 0.15.
type Unit = (&'static str, f64, f64);

const TIME_UNITS: [Unit; 4] = [
    ("ms", 1.0, 1000.0),
    ("s", 1.0, 1.0),
    ("min", 60.0, 1.0),
    ("h", 3600.0, 1.0),
];
const RATE_UNITS: [Unit; 2] = [("Hz", 1.0, 1.0), ("/min", 1.0, 60.0)];
const SHARE_UNITS: [Unit; 1] = [("%", 1.0, 100.0)];

/// What people write for a unit, and the unit.
const OTHER_NAMES: [(&str, &str); 22] = [
    ("sec", "s"),
    ("secs", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("msec", "ms"),
    ("millisecond", "ms"),
    ("milliseconds", "ms"),
    ("m", "min"),
    ("mins", "min"),
    ("minute", "min"),
    ("minutes", "min"),
    ("hr", "h"),
    ("hrs", "h"),
    ("hour", "h"),
    ("hours", "h"),
    ("hz", "Hz"),
    ("/s", "Hz"),
    ("per second", "Hz"),
    ("per min", "/min"),
    ("per minute", "/min"),
    ("percent", "%"),
    ("per cent", "%"),
];

/// Shortest state in a rhythm, seconds. Anything faster is the dimming of a lamp: no camera shows it as a
/// rhythm (a guess on the safe side: the fastest phones film at 960 frames a second).
const SHORTEST_S: f64 = 0.001;
/// Longest time in a table, seconds: a year. Anything longer is a slip of the unit.
const LONGEST_S: f64 = 366.0 * 86_400.0;

/// A time in seconds, more than nothing.
pub(super) fn duration_s(word: &str) -> Result<f64, Slip> {
    let seconds = quantity(word, "time", &TIME_UNITS, "\"2.4 s\" or \"150 ms\"")?;
    check_time(seconds, word)
}

fn check_time(seconds: f64, word: &str) -> Result<f64, Slip> {
    if seconds <= 0.0 {
        let text = word.trim().to_owned();
        return Err((ProblemKind::NotPositive { text }, 0..word.len()));
    }
    if !(SHORTEST_S..=LONGEST_S).contains(&seconds) {
        return Err((
            ProblemKind::OutOfRange {
                what: "a time",
                least: "1 ms",
                most: "366 days",
            },
            0..word.len(),
        ));
    }
    Ok(seconds)
}

/// A rate in cycles per second, as the length of one cycle in seconds.
pub(super) fn rate_as_period_s(word: &str) -> Result<f64, Slip> {
    let hertz = quantity(word, "rate", &RATE_UNITS, "\"2.5 Hz\" or \"30 /min\"")?;
    if hertz <= 0.0 {
        let text = word.trim().to_owned();
        return Err((ProblemKind::NotPositive { text }, 0..word.len()));
    }
    check_time(1.0 / hertz, word).map_err(|(_, at)| {
        let kind = ProblemKind::OutOfRange {
            what: "a rate",
            least: "once in 366 days",
            most: "1000 Hz",
        };
        (kind, at)
    })
}

/// A share, 0 up to less than 1.
pub(super) fn share(word: &str) -> Result<f64, Slip> {
    let share = quantity(word, "share", &SHARE_UNITS, "\"20 %\"")?;
    if share >= 1.0 {
        return Err((
            ProblemKind::OutOfRange {
                what: "a share",
                least: "0 %",
                most: "less than 100 %",
            },
            0..word.len(),
        ));
    }
    Ok(share)
}

/// A range of times in seconds: "2 s..5 s", "3 s..", "..4 s"; or one time, for which `within` gives the range.
pub(super) fn range_s(word: &str, within: f64) -> Result<(f64, f64), Slip> {
    let Some(dots) = word.find("..") else {
        let seconds = duration_s(word)?;
        return Ok((seconds * (1.0 - within), seconds * (1.0 + within)));
    };
    let (low, high) = (&word[..dots], &word[dots + 2..]);
    if low.trim().is_empty() && high.trim().is_empty() {
        return Err((
            ProblemKind::NoNumber {
                text: word.to_owned(),
                example: "\"3 s..\", \"2 s..5 s\" or \"..4 s\"",
            },
            0..word.len(),
        ));
    }
    let from_s = match low.trim() {
        "" => 0.0,
        _ => range_start_s(low, high)?,
    };
    let to_s = match high.trim() {
        "" => f64::INFINITY,
        _ => duration_s(high).map_err(|(kind, at)| (kind, at.start + dots + 2..at.end + dots + 2))?,
    };
    if from_s >= to_s {
        return Err((
            ProblemKind::WrongOrder {
                earlier: "the start of the range",
                later: "its end",
                earlier_s: from_s,
                later_s: to_s,
            },
            0..word.len(),
        ));
    }
    Ok((from_s, to_s))
}

/// The start of a range may be zero, and a missing unit is most likely that of its end.
fn range_start_s(low: &str, high: &str) -> Result<f64, Slip> {
    match duration_s(low) {
        Err((ProblemKind::NotPositive { .. }, _)) if !low.contains('-') => Ok(0.0),
        Err((ProblemKind::NoUnit { number, .. }, at)) => {
            let unit = high
                .trim()
                .trim_start_matches(|c: char| c.is_ascii_digit() || c == '.')
                .trim();
            let unit = if unit.is_empty() { "s" } else { unit };
            let proposal = format!("{number} {unit}..{}", high.trim());
            Err((ProblemKind::NoUnit { number, proposal }, at))
        }
        other => other,
    }
}

/// How many bytes of `word` belong to its leading number.
pub(super) fn number_length(word: &str) -> usize {
    word.find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(word.len())
}

fn quantity(word: &str, name: &'static str, units: &[Unit], example: &'static str) -> Result<f64, Slip> {
    let start = word.len() - word.trim_start().len();
    let trimmed = word.trim();
    let whole = start..start + trimmed.len();
    if trimmed.starts_with('-') {
        let text = trimmed.to_owned();
        return Err((ProblemKind::NotPositive { text }, whole));
    }
    let digits = number_length(trimmed);
    let (number, rest) = trimmed.split_at(digits);
    if rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) && !number.is_empty() {
        let text = trimmed.to_owned();
        let proposal = trimmed.replacen(',', ".", 1);
        return Err((ProblemKind::DecimalComma { text, proposal }, whole));
    }
    let value = parse_number(number).ok_or_else(|| {
        let text = trimmed.to_owned();
        (ProblemKind::NoNumber { text, example }, whole.clone())
    })?;
    let unit = rest.trim();
    if unit.is_empty() {
        let number = number.to_owned();
        let proposal = format!("{number} {}", likeliest_unit(units));
        return Err((ProblemKind::NoUnit { number, proposal }, whole));
    }
    match units.iter().find(|(known, ..)| *known == unit) {
        Some((_, numerator, denominator)) => Ok(value * numerator / denominator),
        None => Err((unknown_unit(unit, name, units), whole.end - unit.len()..whole.end)),
    }
}

/// Plain decimals only: an exponent in a light table would be a slip.
fn parse_number(number: &str) -> Option<f64> {
    if !number.starts_with(|c: char| c.is_ascii_digit()) || number.ends_with('.') {
        return None;
    }
    number.parse().ok()
}

/// Times are mostly in seconds; the other quantities have their usual unit first.
fn likeliest_unit(units: &[Unit]) -> &'static str {
    if units.iter().any(|(unit, ..)| *unit == "s") {
        "s"
    } else {
        units[0].0
    }
}

fn unknown_unit(unit: &str, quantity: &'static str, units: &[Unit]) -> ProblemKind {
    let known: Vec<_> = units.iter().map(|(unit, ..)| *unit).collect();
    let lower = unit.to_lowercase();
    let other_name = OTHER_NAMES
        .iter()
        .find(|(name, _)| *name == lower)
        .map(|(_, unit)| *unit);
    ProblemKind::UnknownUnit {
        unit: unit.to_owned(),
        quantity,
        nearest: other_name
            .filter(|unit| known.contains(unit))
            .or_else(|| nearest(unit, &known).copied()),
        known,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("150 ms", 0.15)]
    #[case("2.4 s", 2.4)]
    #[case("2.4s", 2.4)]
    #[case(" 6 min ", 360.0)]
    #[case("1.5 h", 5400.0)]
    fn reads_times(#[case] word: &str, #[case] seconds: f64) {
        assert_eq!(duration_s(word), Ok(seconds));
    }

    #[rstest]
    #[case("2.5 Hz", 0.4)]
    #[case("30 /min", 2.0)]
    #[case("120/min", 0.5)]
    fn reads_rates_as_periods(#[case] word: &str, #[case] period_s: f64) {
        assert_eq!(rate_as_period_s(word), Ok(period_s));
    }

    #[rstest]
    #[case("3 s..", (3.0, f64::INFINITY))]
    #[case("2 s..5 s", (2.0, 5.0))]
    #[case("..4 s", (0.0, 4.0))]
    #[case("0 s..4 s", (0.0, 4.0))]
    #[case("500 ms .. 1 min", (0.5, 60.0))]
    #[case("10 s", (8.0, 12.0))]
    fn reads_ranges(#[case] word: &str, #[case] expected: (f64, f64)) {
        assert_eq!(range_s(word, 0.2), Ok(expected));
    }

    #[rstest]
    #[case("2..5 s", "2 s..5 s")]
    #[case("2..", "2 s..")]
    #[case("2..5 min", "2 min..5 min")]
    fn proposes_the_unit_of_the_end_for_the_start(#[case] word: &str, #[case] expected: &str) {
        let Err((ProblemKind::NoUnit { proposal, .. }, at)) = range_s(word, 0.15) else {
            panic!("a range without unit must be refused");
        };
        assert_eq!((proposal.as_str(), at), (expected, 0..1));
    }

    #[rstest]
    #[case("1 s..2 sx", 7..9)]
    #[case("1 sx..2 s", 2..4)]
    fn points_at_the_wrong_unit_of_a_range(#[case] word: &str, #[case] expected: Range<usize>) {
        let (kind, at) = range_s(word, 0.15).expect_err("no such unit");
        assert!(matches!(kind, ProblemKind::UnknownUnit { .. }), "{kind:?}");
        assert_eq!(at, expected);
    }
}
