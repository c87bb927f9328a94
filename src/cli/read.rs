//! `lampwise read`: the job.

use std::path::PathBuf;

use crate::advice::{Facts, advise, advise_without_table};
use crate::report::{json, text};

use super::Status;
use super::arguments::{self, Footage};
use super::output::{print, print_json, style};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    footage: Footage,
    /// What the device's lights mean; without it only what was seen is told
    #[arg(long, short, value_name = "TABLE")]
    table: Option<PathBuf>,
    /// Print one JSON object in place of text
    #[arg(long)]
    json: bool,
    /// Probability from which a meaning is decided on
    #[arg(long, value_name = "P", default_value = "0.9", value_parser = arguments::threshold)]
    threshold: f64,
    /// How long the light has been so, such as "6 min"
    #[arg(long, value_name = "DURATION", value_parser = arguments::duration)]
    lasted: Option<f64>,
    /// What was tried already, by the table's names for it
    #[arg(long, value_name = "NAME,...", value_delimiter = ',')]
    tried: Vec<String>,
}

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    let table = args.table.as_deref().map(arguments::table).transpose()?;
    let findings = args.footage.read(table.as_ref(), args.threshold)?;
    let facts = Facts {
        lasted_s: args.lasted,
        tried: args.tried.clone(),
        seen: findings.seen(),
    };
    let advice = match &findings.judged {
        Some(judged) => advise(judged.table, &judged.reading, &facts),
        None => advise_without_table(&facts),
    };
    if args.json {
        print_json(&json(&findings, &advice))?;
    } else {
        print(&text(&findings, &advice, &style()))?;
    }
    Ok(Status::from(&findings))
}
