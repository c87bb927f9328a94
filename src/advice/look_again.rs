//! The next steps where the light was not read: film better, or ask.

use crate::meaning::{Reading, Settle};
use crate::table::LightTable;
use crate::words::{Language, say, say_with};

use super::retake::USUAL_CLIP_S;
use super::step::duration;
use super::{Facts, NextStep, Retake, Sort};

/// Several rows fit: what settles it, most telling first.
pub(super) fn undecided(table: &LightTable, reading: &Reading, facts: &Facts) -> Vec<NextStep> {
    let mut next = Vec::new();
    let mut retakes = Vec::new();
    for settle in &reading.settle {
        match (settle, Retake::settling(settle)) {
            (Settle::Ask { rows }, _) => next.push(question(table, rows, facts.language)),
            (_, Some(retake)) => retake.add(&mut retakes),
            (_, None) => {}
        }
    }
    if next.is_empty() || !retakes.is_empty() {
        // Where all that helps is to ask, filming better would be in vain.
        weaknesses(Some(reading), facts, &mut retakes);
    }
    if next.is_empty() && retakes.is_empty() {
        retakes.push(usual(facts));
    }
    next.extend(film(&retakes, facts.language));
    next
}

/// Seen well, in no row: the wrong table, or a case for somebody else.
pub(super) fn unlisted(table: &LightTable, reading: &Reading, facts: &Facts) -> Vec<NextStep> {
    let language = facts.language;
    let mut retakes = Vec::new();
    weaknesses(Some(reading), facts, &mut retakes);
    let device = table.told(&table.device.name, language.code()).to_owned();
    let right_table = say_with(language, "ask-right-table", &[("device", device.into())]);
    let mut next = vec![NextStep::new(language, Sort::Ask, right_table)];
    next.extend(film(&retakes, language));
    next.push(NextStep::new(
        language,
        Sort::HandOn,
        say(language, "hand-on-unlisted"),
    ));
    next
}

/// No usable light.
pub(super) fn unseen(table: Option<&LightTable>, facts: &Facts) -> Vec<NextStep> {
    let language = facts.language;
    let lamp = match table.map(|table| (table, table.lights.as_slice())) {
        Some((table, [light])) => table.told(&light.label, language.code()).to_owned(),
        _ => say(language, "the-light"),
    };
    let time = duration(USUAL_CLIP_S, language);
    let how = say_with(
        language,
        "film-first",
        &[("lamp", lamp.into()), ("time", time.into())],
    );
    let mut retakes = Vec::new();
    weaknesses(None, facts, &mut retakes);
    retakes.retain(|retake| !matches!(retake, Retake::Clip { .. } | Retake::Closer));
    let mut next = vec![NextStep::new(language, Sort::Film, how)];
    next.extend(film(&retakes, language));
    if !facts.seen.photo {
        // A lamp that does not clip and never changes may look like paper to the program, and plain to a person.
        let point = facts.seen.hardly.map_or_else(
            || say(language, "film-point-if-plain"),
            |(x, y)| {
                let place = format!("{x:.0},{y:.0}");
                say_with(language, "film-point-if-there", &[("place", place.into())])
            },
        );
        next.push(NextStep::new(language, Sort::Film, point));
    }
    next
}

/// Seen, and no table was given.
pub(super) fn seen(facts: &Facts) -> Vec<NextStep> {
    let language = facts.language;
    let mut retakes = Vec::new();
    weaknesses(None, facts, &mut retakes);
    let table = NextStep::new(language, Sort::Ask, say(language, "ask-table"));
    std::iter::once(table).chain(film(&retakes, language)).collect()
}

/// What would settle it, in a few words; a question where no clip can.
#[must_use]
pub fn settle_phrase(table: &LightTable, settle: &Settle, language: Language) -> String {
    match settle {
        Settle::Ask { rows } => {
            let rows = titles(table, rows, language);
            say_with(language, "phrase-ask", &[("rows", rows.into())])
        }
        other => Retake::settling(other)
            .map(|retake| retake.phrase(language))
            .unwrap_or_default(),
    }
}

fn question(table: &LightTable, rows: &[usize], language: Language) -> NextStep {
    let spans: Vec<String> = rows
        .iter()
        .map(|row| &table.meanings[*row])
        .filter_map(|meaning| {
            let time = duration(meaning.lasts?.at_most_s?, language);
            let title = table.told(&meaning.title, language.code()).to_owned();
            Some(say_with(
                language,
                "ask-lasts",
                &[("title", title.into()), ("time", time.into())],
            ))
        })
        .collect();
    let rows = titles(table, rows, language);
    let mut text = say_with(language, "ask-which", &[("rows", rows.into())]);
    if !spans.is_empty() {
        text.push(' ');
        text.push_str(&say_with(
            language,
            "ask-how-long",
            &[("spans", spans.join(", ").into())],
        ));
    }
    NextStep::new(language, Sort::Ask, text)
}

fn titles(table: &LightTable, rows: &[usize], language: Language) -> String {
    let titles: Vec<String> = rows
        .iter()
        .map(|row| {
            table
                .told(&table.meanings[*row].title, language.code())
                .to_owned()
        })
        .map(|title| say_with(language, "quoted", &[("what", title.into())]))
        .collect();
    titles.join(&format!(" {} ", say(language, "or")))
}

/// What made the footage weak, after what is there already.
fn weaknesses(reading: Option<&Reading>, facts: &Facts, retakes: &mut Vec<Retake>) {
    let clip_wanted = retakes.iter().any(|retake| matches!(retake, Retake::Clip { .. }));
    if facts.seen.photo && !clip_wanted {
        Retake::USUAL_CLIP.add(retakes);
    }
    for doubt in reading.iter().flat_map(|reading| &reading.doubts) {
        Retake::from(doubt).add(retakes);
    }
    for notice in &facts.seen.notices {
        Retake::from(notice).add(retakes);
    }
    if facts.seen.photo {
        // A photo has no length and no frame rate to better.
        retakes.retain(|retake| !matches!(retake, Retake::Longer { .. } | Retake::FasterFrames { .. }));
    }
}

fn usual(facts: &Facts) -> Retake {
    if facts.seen.photo {
        Retake::USUAL_CLIP
    } else {
        Retake::Longer { seconds: None }
    }
}

fn film(retakes: &[Retake], language: Language) -> impl Iterator<Item = NextStep> {
    retakes
        .iter()
        .map(move |retake| NextStep::new(language, Sort::Film, retake.sentence(language)))
}
