//! `lampwise drill`: was the reset held long enough.

use std::path::{Path, PathBuf};

use super::arguments;
use super::output::{print, print_json, spare, write_whole};
use super::{Complaint, Misuse, Status};
use crate::pipeline::{Options, read};
use crate::report::{
    DrillLine, Verdict, drill_csv, drill_html, drill_json, drill_lines, drill_text, drill_unreadable,
    unusable,
};
use crate::table::{Kind, LightTable};
use crate::words::{Words, words};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Clips of reset practice; each may show several tries
    #[arg(value_name = "CLIP", required = true)]
    clips: Vec<PathBuf>,
    /// Light table, the TOML file that says what the device's lights mean
    #[arg(long, short, value_name = "TABLE")]
    table: PathBuf,
    /// Print one JSON object in place of text
    #[arg(long)]
    json: bool,
    /// Also write the sheet as a page that opens in any browser
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Also write the sheet as comma-separated values
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Probability from which a try is judged
    #[arg(long, value_name = "P", default_value = "0.9", value_parser = arguments::threshold)]
    threshold: f64,
    #[command(flatten)]
    speak: arguments::Speak,
}

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    let inputs = args.clips.iter().chain([&args.table]).map(PathBuf::as_path);
    spare([&args.html, &args.csv], inputs)?;
    let table = arguments::table(&args.table)?;
    let is_reset = |kind| matches!(kind, Kind::ResetAcknowledged | Kind::ResetAborted);
    if !table.meanings.iter().any(|row| is_reset(row.kind)) {
        return Err(Complaint::from(Misuse::NoResetRow {
            path: args.table.clone(),
        })
        .into());
    }
    let language = args.speak.language();
    let words = words(language);
    for clip in &args.clips {
        super::complaint::openable(clip)?;
    }
    let lines: Vec<DrillLine> = args
        .clips
        .iter()
        .flat_map(|clip| lines(clip, &table, args.threshold, words))
        .collect();
    if let Some(path) = &args.html {
        let device = table.told(&table.device.name, language.code());
        write_whole(path, drill_html(&lines, device, words).as_bytes())?;
    }
    if let Some(path) = &args.csv {
        write_whole(path, drill_csv(&lines, words).as_bytes())?;
    }
    if args.json {
        print_json(&drill_json(&lines, words))?;
    } else {
        print(&drill_text(&lines, words))?;
    }
    Ok(status(&lines))
}

fn lines(clip: &Path, table: &LightTable, threshold: f64, words: &Words) -> Vec<DrillLine> {
    let name = clip.file_name().unwrap_or_default().to_string_lossy();
    let options = Options {
        at: None,
        threshold,
        slowed_by: 1.0,
        threads: None,
        language: words.language(),
    };
    match read(clip, Some(table), &options) {
        Ok(findings) => drill_lines(&name, &findings, threshold),
        Err(error) => vec![drill_unreadable(&name, unusable(&error, words))],
    }
}

/// Judged all of them, some, or could read none.
fn status(lines: &[DrillLine]) -> Status {
    let count = |verdict: Verdict| lines.iter().filter(|line| line.verdict == verdict).count();
    if count(Verdict::Unreadable) == lines.len() {
        Status::Unseen
    } else if count(Verdict::Unreadable) + count(Verdict::Unclear) + count(Verdict::None) > 0 {
        Status::Open
    } else {
        Status::Done
    }
}
