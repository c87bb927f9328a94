//! The next steps where the light was not read: film better, or ask.

use crate::meaning::{Reading, Settle};
use crate::table::LightTable;

use super::retake::USUAL_CLIP_S;
use super::step::duration;
use super::{Facts, NextStep, Retake, Sort};

/// Several rows fit: what settles it, most telling first.
pub(super) fn undecided(table: &LightTable, reading: &Reading, facts: &Facts) -> Vec<NextStep> {
    let mut next = Vec::new();
    let mut retakes = Vec::new();
    for settle in &reading.settle {
        match (settle, Retake::settling(settle)) {
            (Settle::Ask { rows }, _) => next.push(question(table, rows)),
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
    next.extend(film(&retakes));
    next
}

/// Seen well, in no row: the wrong table, or a case for somebody else.
pub(super) fn unlisted(table: &LightTable, reading: &Reading, facts: &Facts) -> Vec<NextStep> {
    let mut retakes = Vec::new();
    weaknesses(Some(reading), facts, &mut retakes);
    let mut next = vec![NextStep::new(
        Sort::Ask,
        format!(
            "Check that the device is the one that the table describes: {}.",
            table.device.name
        ),
    )];
    next.extend(film(&retakes));
    next.push(NextStep::new(
        Sort::HandOn,
        "the light does something that the table does not list.",
    ));
    next
}

/// No usable light.
pub(super) fn unseen(table: Option<&LightTable>, facts: &Facts) -> Vec<NextStep> {
    let lamp = match table.map(|table| table.lights.as_slice()) {
        Some([light]) => light.label.clone(),
        _ => "the light".to_owned(),
    };
    let how = format!(
        "Film {lamp} for {}, near enough that it is plain to see on the screen.",
        duration(USUAL_CLIP_S)
    );
    let mut retakes = Vec::new();
    weaknesses(None, facts, &mut retakes);
    retakes.retain(|retake| !matches!(retake, Retake::Clip { .. } | Retake::Closer));
    let mut next = vec![NextStep::new(Sort::Film, how)];
    next.extend(film(&retakes));
    next
}

/// Seen, and no table was given.
pub(super) fn seen(facts: &Facts) -> Vec<NextStep> {
    let mut retakes = Vec::new();
    weaknesses(None, facts, &mut retakes);
    let table = NextStep::new(
        Sort::Ask,
        "Give the device's light table, to learn what this means.",
    );
    std::iter::once(table).chain(film(&retakes)).collect()
}

/// What would settle it, in a few words; a question where no clip can.
#[must_use]
pub fn settle_phrase(table: &LightTable, settle: &Settle) -> String {
    match settle {
        Settle::Ask { rows } => format!("ask which it is: {}", titles(table, rows)),
        other => Retake::settling(other).map(Retake::phrase).unwrap_or_default(),
    }
}

fn question(table: &LightTable, rows: &[usize]) -> NextStep {
    let spans: Vec<String> = rows
        .iter()
        .map(|row| &table.meanings[*row])
        .filter_map(|meaning| {
            let at_most_s = meaning.lasts?.at_most_s?;
            Some(format!(
                "\"{}\" lasts {} at most",
                meaning.title,
                duration(at_most_s)
            ))
        })
        .collect();
    let mut text = format!(
        "Ask which it is: {}? They look the same; no clip can tell.",
        titles(table, rows)
    );
    if !spans.is_empty() {
        text.push_str(&format!(" Ask how long it has been so: {}.", spans.join(", ")));
    }
    NextStep::new(Sort::Ask, text)
}

fn titles(table: &LightTable, rows: &[usize]) -> String {
    let titles: Vec<String> = rows
        .iter()
        .map(|row| format!("\"{}\"", table.meanings[*row].title))
        .collect();
    titles.join(" or ")
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

fn film(retakes: &[Retake]) -> impl Iterator<Item = NextStep> {
    retakes
        .iter()
        .map(|retake| NextStep::new(Sort::Film, retake.sentence()))
}
