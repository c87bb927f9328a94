//! The first line: one sentence with the meaning and how sure it is.

use crate::meaning::Outcome;
use crate::words::{say, say_with};

use super::findings::{Findings, Judged};
use super::words::{lamp, list, percent, sureness};

/// Rows named in the first line of an undecided reading; the rest are in the evidence.
const NAMED: usize = 3;

/// A row less likely than this is not named in the first line.
const NAMED_FROM: f64 = 0.01;

/// What the reading was made from.
enum Shown {
    Clip,
    Photo,
    Photos,
}

impl Shown {
    fn of(findings: &Findings) -> Self {
        match (findings.is_photo(), findings.photos.is_empty()) {
            (false, _) => Self::Clip,
            (true, true) => Self::Photo,
            (true, false) => Self::Photos,
        }
    }
}

/// The reading in one sentence.
#[must_use]
pub fn headline(findings: &Findings) -> String {
    match &findings.judged {
        Some(judged) => judged_headline(judged, findings),
        None => unjudged_headline(findings),
    }
}

fn judged_headline(judged: &Judged, findings: &Findings) -> String {
    let language = findings.language;
    let confidence = judged.reading.confidence;
    let sure = || {
        format!(
            "{}, {}",
            sureness(confidence, language),
            percent(confidence, language)
        )
        .into()
    };
    match judged.reading.outcome {
        Outcome::Decided { row } => {
            let title = judged.title(row, language).into();
            say_with(language, "head-decided", &[("title", title), ("sure", sure())])
        }
        Outcome::Undecided => undecided(judged, findings),
        Outcome::Unlisted => say_with(language, "head-unlisted", &[("sure", sure())]),
        Outcome::Unseen => match Shown::of(findings) {
            Shown::Clip => say(language, "head-unseen-clip"),
            Shown::Photo => say(language, "head-unseen-photo"),
            Shown::Photos => say(language, "head-unseen-photos"),
        },
    }
}

fn undecided(judged: &Judged, findings: &Findings) -> String {
    let language = findings.language;
    let reading = &judged.reading;
    let likely = |probability: f64| probability >= NAMED_FROM;
    let rows: Vec<_> = reading
        .rivals
        .iter()
        .filter(|rival| likely(rival.probability))
        .collect();
    let mut named: Vec<String> = rows
        .iter()
        .take(NAMED)
        .map(|rival| {
            let title = judged.title(rival.row, language);
            let title = say_with(language, "quoted", &[("what", title.into())]);
            format!("{title} ({})", percent(rival.probability, language))
        })
        .collect();
    if rows.len() > NAMED {
        let more = rows.len() - NAMED;
        named.push(say_with(language, "other-rows", &[("count", more.into())]));
    }
    if likely(reading.unlisted) {
        let sure = percent(reading.unlisted, language);
        named.push(format!("{} ({sure})", say(language, "something-unlisted")));
    }
    let rows = || list(&named, &say(language, "or")).into();
    match (named.is_empty(), Shown::of(findings)) {
        (true, Shown::Clip) => say(language, "head-open-clip"),
        (true, Shown::Photo) => say(language, "head-open-photo"),
        (true, Shown::Photos) => say(language, "head-open-photos"),
        (false, Shown::Clip) => say_with(language, "head-undecided-clip", &[("rows", rows())]),
        (false, Shown::Photo) => say_with(language, "head-undecided-photo", &[("rows", rows())]),
        (false, Shown::Photos) => say_with(language, "head-undecided-photos", &[("rows", rows())]),
    }
}

fn unjudged_headline(findings: &Findings) -> String {
    let language = findings.language;
    let best = findings.lamps.first().filter(|_| findings.light_seen());
    let Some(best) = best else {
        return match Shown::of(findings) {
            Shown::Clip => say(language, "head-nothing-clip"),
            Shown::Photo => say(language, "head-nothing-photo"),
            Shown::Photos => say(language, "head-nothing-photos"),
        };
    };
    let what = lamp(&best.trace, &best.measured, language);
    let count = findings.lamps.len();
    say_with(
        language,
        "head-seen",
        &[("count", count.into()), ("what", what.into())],
    )
}
