//! `lampwise table learn`: a row proposed from clips of a known state.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::digest::digest;
use super::output::{print, print_json};
use super::{Complaint, Misuse, Status, arguments};
use crate::learn::{Description, LearnError, Learnt, RowHead, describe, learn, row_text};
use crate::pipeline::{Options, read};
use crate::report::{Lamp, learn_json};
use crate::table::{Kind, Light, LightTable, made_id, parse, same_look};
use crate::words::{Language, one_line};

/// Of no use to learning, which reads without a table.
const ANY_THRESHOLD: f64 = 0.9;

/// Stands in for the row's id while it is looked at, so that a row of that id is no mistake. No author writes it.
const STAND_IN: &str = "x-learnt-row-looked-at";

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Clips of one state, better three than one
    #[arg(value_name = "CLIP", required = true)]
    clips: Vec<PathBuf>,
    /// Id of the row
    #[arg(long = "as", value_name = "ID", value_parser = id)]
    id: String,
    /// The table whose lights are filmed
    #[arg(long, short, value_name = "TABLE")]
    table: PathBuf,
    /// Which light of the table, by its id; needed where there are several
    #[arg(long, value_name = "ID")]
    light: Option<String>,
    /// What the row means, for people
    #[arg(long, value_name = "TEXT")]
    title: Option<String>,
    /// What sort of state it is: booting, ready, working, updating, fault, reset-acknowledged, reset-aborted, off or other
    #[arg(long, value_name = "KIND", default_value = "other", value_parser = kind)]
    kind: Kind,
    /// Where the lamp is in the first picture of every clip, in pixels from the upper left corner
    #[arg(long, value_name = "X,Y", value_parser = arguments::point)]
    at: Option<(f64, f64)>,
    /// How many times slower than life the clips play (slow motion), 1 or more
    #[arg(long, value_name = "N", default_value = "1", value_parser = arguments::slowness)]
    slowed_by: f64,
    /// Print one JSON object in place of text
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    let (table, source) = arguments::table_with_source(&args.table)?;
    let light = light(&table, args.light.as_deref())?;
    differ(&args.clips)?;
    let looks: Result<Vec<(Description, Option<String>)>, Complaint> =
        args.clips.iter().map(|clip| look(args, clip, light)).collect();
    let (clips, of_others): (Vec<_>, Vec<_>) = looks?.into_iter().unzip();
    let learnt = learn(clips).map_err(|error| refusal(&error))?;
    let head = RowHead {
        id: args.id.clone(),
        kind: args.kind,
        title: args.title.clone().unwrap_or_else(|| args.id.clone()),
        light: light.id.clone(),
    };
    let mut notes = notes(&table, &source.text, &head, &learnt)?;
    notes.extend(of_others.into_iter().flatten());
    let row = row_text(&head, &learnt);
    if args.json {
        print_json(&learn_json(&head, &learnt, &row, &notes))?;
    } else {
        let notes: String = notes
            .iter()
            .map(|note| format!("# Note: {}.\n", one_line(note)))
            .collect();
        print(&format!("{notes}{row}"))?;
    }
    Ok(Status::Done)
}

fn id(word: &str) -> Result<String, String> {
    let proposal = made_id(word);
    if proposal == word {
        Ok(proposal)
    } else {
        Err(format!(
            "expected small letters, digits, - and _, a letter first, such as {proposal}"
        ))
    }
}

/// The tolerance comes from how clips differ, so that none may count twice.
fn differ(clips: &[PathBuf]) -> anyhow::Result<()> {
    let mut seen: BTreeMap<String, &PathBuf> = BTreeMap::new();
    for clip in clips {
        super::complaint::openable(clip)?;
        if let Some(first) = seen.insert(digest(clip)?, clip) {
            return Err(author(
                format!("{} is the same clip as {}", clip.display(), first.display()),
                "give each clip once; the tolerance comes from how they differ".to_owned(),
            )
            .into());
        }
    }
    Ok(())
}

fn kind(word: &str) -> Result<Kind, String> {
    let known = Kind::ALL.iter().find(|(_, name)| *name == word);
    known.map(|(kind, _)| *kind).ok_or_else(|| {
        let words = Kind::ALL.map(|(_, name)| name);
        format!("expected one of {}", words.join(", "))
    })
}

fn light<'t>(table: &'t LightTable, wanted: Option<&str>) -> Result<&'t Light, Complaint> {
    let ids: Vec<&str> = table.lights.iter().map(|light| light.id.as_str()).collect();
    let hint = format!("the table has {}: name one with --light", ids.join(", "));
    match wanted {
        Some(id) => table
            .lights
            .iter()
            .find(|light| light.id == id)
            .ok_or_else(|| author(format!("the table has no light `{id}`"), hint)),
        None if table.lights.len() == 1 => Ok(&table.lights[0]),
        None => Err(author(
            format!("the table has {} lights, and the clips may show any", ids.len()),
            hint,
        )),
    }
}

/// What one clip shows of the light, and a word if it may be another lamp.
fn look(args: &Args, clip: &Path, light: &Light) -> Result<(Description, Option<String>), Complaint> {
    let options = Options {
        at: args.at,
        threshold: ANY_THRESHOLD,
        slowed_by: args.slowed_by,
        threads: None,
        language: Language::English,
    };
    let findings = read(clip, None, &options).map_err(Complaint::from)?;
    let name = clip.file_name().map_or_else(
        || clip.display().to_string(),
        |name| name.to_string_lossy().into_owned(),
    );
    if findings.lamps.is_empty() {
        return Err(Complaint::NoLamp {
            path: clip.to_owned(),
        });
    }
    let found = |lamp: &Lamp| describe(&name, light, &lamp.trace, &lamp.measured);
    // The likeliest lamp that this light can be; if none can, what speaks against the likeliest.
    let mut looks = findings.lamps.iter().map(|lamp| (lamp, found(lamp)));
    let first = looks.next().expect("there is a lamp");
    let (lamp, description) = match first {
        (_, Err(_)) if args.at.is_none() => looks.find(|(_, look)| look.is_ok()).unwrap_or(first),
        _ => first,
    };
    let description = description.map_err(|error| refusal(&error))?;
    let of_others = args.at.is_none() && findings.lamps.len() > 1;
    let word = of_others.then(|| {
        format!(
            "{name} shows {} lamps; this is what the one at {:.0},{:.0} does. If it is another, say where with --at",
            findings.lamps.len(),
            lamp.x,
            lamp.y
        )
    });
    Ok((description, word))
}

fn refusal(error: &LearnError) -> Complaint {
    author(error.to_string(), error.hint().to_owned())
}

fn author(what: String, next: String) -> Complaint {
    Misuse::Author { what, next }.into()
}

/// What the author should know before the row goes into the table.
fn notes(table: &LightTable, text: &str, head: &RowHead, learnt: &Learnt) -> Result<Vec<String>, Complaint> {
    let mut notes = Vec::new();
    if table.meanings.iter().any(|meaning| meaning.id == head.id) {
        notes.push(format!(
            "the table has a row `{}` already; this one would take its place",
            head.id
        ));
    }
    let stand_in = RowHead {
        id: STAND_IN.to_owned(),
        ..head.clone()
    };
    let with_row = parse("the row", &format!("{text}\n{}", row_text(&stand_in, learnt)));
    let with_row = with_row.map_err(|error| Complaint::Table(error.into()))?;
    let row = with_row.meanings.len() - 1;
    for group in same_look(&with_row).iter().filter(|group| group.contains(&row)) {
        let others = group.iter().filter(|other| **other != row);
        let ids: Vec<String> = others
            .map(|other| with_row.meanings[*other].id.clone())
            .filter(|id| *id != head.id)
            .map(|id| format!("`{id}`"))
            .collect();
        if !ids.is_empty() {
            notes.push(format!(
                "it looks the same as {}: no clip can part them",
                ids.join(", ")
            ));
        }
    }
    Ok(notes)
}
