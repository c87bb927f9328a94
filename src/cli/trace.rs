//! `lampwise trace`: the measured signal.

use crate::report::{signal_csv, signal_json};

use super::Status;
use super::footage::Footage;
use super::output::{print, print_json};

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
}

/// The threshold has no part in a trace; any will do.
const NO_DECISION: f64 = 0.9;

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    let findings = args.footage.read(NO_DECISION)?;
    if args.json {
        print_json(&signal_json(&findings))?;
    } else {
        print(&signal_csv(&findings))?;
    }
    Ok(Status::from(&findings))
}
