//! `lampwise triage`: many clips.

mod journal;
mod work;

use std::collections::BTreeMap;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use super::arguments;
use super::digest::digest;
use super::output::{print, spare, would_overwrite, write_whole};
use super::{Complaint, Misuse, Status};
use crate::footage::{Footage, Limits};
use crate::report::{TriageRecord, by_urgency, triage_csv, triage_parquet, triage_summary};
use crate::table::{Kind, LightTable};
use crate::words::words;

use journal::{Head, Journal};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Folder with clips and photos, folders within it included
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
    /// Light table, the TOML file that says what the device's lights mean
    #[arg(long, short, value_name = "TABLE")]
    table: PathBuf,
    /// What was done so far; a run that was stopped goes on from it [default: .lampwise-triage.jsonl in the folder]
    #[arg(long, value_name = "FILE")]
    journal: Option<PathBuf>,
    /// Write one row a clip as comma-separated values, the most urgent first
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write one JSON object a line and clip, the most urgent first
    #[arg(long, value_name = "FILE")]
    jsonl: Option<PathBuf>,
    /// Write one row a clip as Apache Parquet, the most urgent first
    #[arg(long, value_name = "FILE")]
    parquet: Option<PathBuf>,
    /// Clips read at the same time [default: one a core]
    #[arg(long, value_name = "N", value_parser = arguments::jobs)]
    jobs: Option<u16>,
    /// Probability from which a meaning is decided on
    #[arg(long, value_name = "P", default_value = "0.9", value_parser = arguments::threshold)]
    threshold: f64,
    #[command(flatten)]
    speak: arguments::Speak,
}

/// Name of the journal in the folder. It begins with a dot, as do files that are passed over.
const JOURNAL: &str = ".lampwise-triage.jsonl";

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    args.spare_inputs()?;
    let table = arguments::table(&args.table)?;
    let words = words(args.speak.language());
    let clips = clips(&args.folder, &args.written())?;
    let head = Head {
        schema: 2,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        table: digest(&args.table)?,
        threshold: args.threshold,
        language: args.speak.language().code().to_owned(),
    };
    let (journal, done) = Journal::open(&args.journal(), &head)?;
    let work = work::Work {
        table: &table,
        words,
        threshold: args.threshold,
        jobs: args.jobs.map(usize::from),
        bar: std::io::stderr().is_terminal(),
    };
    let mut records = work.read_all(&clips, done, journal)?;
    let faults = faults(&table);
    by_urgency(&mut records, &faults);
    args.write(&records, &faults)?;
    print(&triage_summary(&records, &faults, words))?;
    Ok(status(&records))
}

impl Args {
    fn journal(&self) -> PathBuf {
        self.journal.clone().unwrap_or_else(|| self.folder.join(JOURNAL))
    }

    /// Files that this command writes; they are no clips even where they stand in the folder.
    fn written(&self) -> Vec<&Path> {
        [&self.csv, &self.jsonl, &self.parquet, &self.journal]
            .into_iter()
            .filter_map(|path| path.as_deref())
            .collect()
    }

    /// A file that this command is to write may be there from an earlier run, but it is no clip.
    fn spare_inputs(&self) -> Result<(), Complaint> {
        let outputs = [&self.csv, &self.jsonl, &self.parquet];
        let journal = Some(self.journal());
        spare(outputs.into_iter().chain([&journal]), [self.table.as_path()])?;
        let is_clip = |path: &&PathBuf| Footage::open(path, Limits::default()).is_ok();
        match outputs.into_iter().flatten().find(is_clip) {
            Some(clip) => Err(would_overwrite(clip)),
            None => Ok(()),
        }
    }

    fn write(&self, records: &[TriageRecord], faults: &[&str]) -> anyhow::Result<()> {
        if let Some(path) = &self.csv {
            write_whole(path, triage_csv(records, faults).as_bytes())?;
        }
        if let Some(path) = &self.jsonl {
            let lines: Result<Vec<String>, _> = records.iter().map(serde_json::to_string).collect();
            let text: String = lines?.iter().map(|line| format!("{line}\n")).collect();
            write_whole(path, text.as_bytes())?;
        }
        if let Some(path) = &self.parquet {
            write_whole(path, &triage_parquet(records, faults)?)?;
        }
        Ok(())
    }
}

/// Ids of the rows whose kind is a fault.
fn faults(table: &LightTable) -> Vec<&str> {
    let rows = table.meanings.iter().filter(|row| row.kind == Kind::Fault);
    rows.map(|row| row.id.as_str()).collect()
}

/// Every file of the folder by its path within it, in order; hidden ones and those that are written are left out.
fn clips(folder: &Path, written: &[&Path]) -> Result<BTreeMap<String, PathBuf>, Complaint> {
    if folder.is_file() {
        return Err(Misuse::NoFolder {
            path: folder.to_owned(),
        }
        .into());
    }
    let written: Vec<PathBuf> = written
        .iter()
        .filter_map(|path| path.canonicalize().ok())
        .collect();
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(current) = folders.pop() {
        let refuse = |why| Complaint::Path {
            path: current.clone(),
            why,
        };
        for entry in std::fs::read_dir(&current).map_err(refuse)? {
            let entry = entry.map_err(refuse)?;
            let path = entry.path();
            let hidden = entry.file_name().to_string_lossy().starts_with('.');
            // A link to a folder could lead round in a circle.
            let sort = entry.file_type().map_err(refuse)?;
            if hidden || path.canonicalize().is_ok_and(|path| written.contains(&path)) {
                continue;
            }
            if sort.is_dir() {
                folders.push(path);
            } else if path.is_file() {
                let name = path
                    .strip_prefix(folder)
                    .unwrap_or(&path)
                    .to_string_lossy()
                    .into_owned();
                found.insert(name, path);
            }
        }
    }
    if found.is_empty() {
        return Err(Misuse::NoFiles {
            path: folder.to_owned(),
        }
        .into());
    }
    Ok(found)
}

/// All decided, some open, or none read.
fn status(records: &[TriageRecord]) -> Status {
    let all = |outcome: &str| records.iter().all(|record| record.outcome() == outcome);
    if all("decided") {
        Status::Done
    } else if records
        .iter()
        .all(|record| matches!(record.outcome(), "unseen" | "unreadable"))
    {
        Status::Unseen
    } else {
        Status::Open
    }
}
