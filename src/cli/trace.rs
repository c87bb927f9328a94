//! `lampwise trace`: the measured signal.

use std::path::PathBuf;

use crate::report::{signal_csv, signal_json};

use super::Status;
use super::footage::Footage;
use super::output::{print, print_json, spare, write_whole};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    footage: Footage,
    /// Print comma-separated values, one row a lamp and frame; the default
    #[arg(long)]
    csv: bool,
    /// Print one JSON object, with the edges of every flash
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Write a picture (PNG): the lamps on a frame of the footage, and the trace of each below
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
}

/// The threshold has no part in a trace; any will do.
const NO_DECISION: f64 = 0.9;

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    spare([&args.picture], [args.footage.path()])?;
    let findings = args.footage.read(NO_DECISION)?;
    if let Some(path) = &args.picture {
        write_whole(path, &args.footage.picture(&findings, NO_DECISION)?)?;
    }
    if args.json {
        print_json(&signal_json(&findings))?;
    } else {
        print(&signal_csv(&findings))?;
    }
    Ok(Status::from(&findings))
}
