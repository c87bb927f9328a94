//! Every reading as a line, so that two versions of the inference can be compared clip by clip.

use std::collections::BTreeSet;
use std::path::Path;

use lampwise::meaning::{Episode, Outcome};
use lampwise::render::{Beat, Recipe, Shown};
use serde::Serialize;

use super::judge::Judged;

#[derive(Serialize)]
struct Line {
    index: usize,
    kind: &'static str,
    table: usize,
    outcome: &'static str,
    /// The likeliest answer: a row, or empty for "in no row".
    row: Option<usize>,
    confidence: f64,
    unlisted: f64,
    identity: f64,
    /// Nats, by the model alone.
    log_odds: Option<f64>,
    fit: Option<f64>,
    cycles: Option<f64>,
    seen_share: Option<f64>,
    seen_s: Option<f64>,
    /// Colours that the first lamp truly has.
    colours: String,
    /// Row and seconds of every episode.
    timeline: String,
    settle: String,
}

pub(crate) fn write(path: &Path, judged: &[Judged]) -> Result<(), String> {
    let say = |error: csv::Error| format!("cannot write {}: {error}", path.display());
    let mut writer = csv::Writer::from_path(path).map_err(say)?;
    for one in judged {
        writer.serialize(line(one)).map_err(say)?;
    }
    writer
        .flush()
        .map_err(|error| format!("cannot write {}: {error}", path.display()))
}

fn line(judged: &Judged) -> Line {
    let reading = &judged.reading;
    let outcome = match reading.outcome {
        Outcome::Decided { .. } => "decided",
        Outcome::Undecided => "undecided",
        Outcome::Unlisted => "unlisted",
        Outcome::Unseen => "unseen",
    };
    let answer = judged.answer();
    Line {
        index: judged.job.index,
        kind: judged.job.kind.word(),
        table: judged.job.table,
        outcome,
        row: answer.and_then(|(row, _)| row),
        confidence: answer.map_or(0.0, |(_, confidence)| confidence),
        unlisted: reading.unlisted,
        identity: judged.identity,
        log_odds: reading.grounds.map(|grounds| grounds.log_odds),
        fit: reading.grounds.map(|grounds| grounds.fit),
        cycles: reading.grounds.map(|grounds| grounds.cycles),
        seen_share: reading.grounds.map(|grounds| grounds.seen_share),
        seen_s: reading.grounds.map(|grounds| grounds.seen_s),
        colours: colours(&judged.job.recipe),
        timeline: reading.timeline.iter().map(episode).collect::<Vec<_>>().join(" "),
        settle: format!("{:?}", reading.settle),
    }
}

fn colours(recipe: &Recipe) -> String {
    let of = |beats: &[Beat]| beats.iter().filter_map(|beat| beat.colour).collect::<Vec<_>>();
    let shown = recipe.lamps.first().map(|lamp| &lamp.shows);
    let colours: BTreeSet<String> = match shown {
        Some(Shown::Cycle(beats)) => of(beats),
        Some(Shown::Sequence(stretches)) => stretches.iter().flat_map(|stretch| of(&stretch.cycle)).collect(),
        None => Vec::new(),
    }
    .iter()
    .map(|colour| format!("{colour:?}"))
    .collect();
    colours.into_iter().collect::<Vec<_>>().join(" ")
}

fn episode(episode: &Episode) -> String {
    let row = episode.row.map_or_else(|| "?".to_owned(), |row| row.to_string());
    format!("{row}:{:.2}-{:.2}", episode.from_s, episode.to_s)
}
