//! `lampwise table`: light tables.

use std::path::{Path, PathBuf};

use clap::Subcommand;

use super::output::print;
use super::unbuilt::Anything;
use super::{Complaint, Status, arguments};
use crate::report::table_text;
use crate::table::same_look;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Say what is wrong with a table, or which of its rows look alike
    Check {
        /// The table, a TOML file
        #[arg(value_name = "TABLE")]
        path: PathBuf,
    },
    #[command(hide = true, disable_help_flag = true)]
    Preview(Anything),
    #[command(hide = true, disable_help_flag = true)]
    Learn(Anything),
}

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    match &args.command {
        Command::Check { path } => check(path),
        Command::Preview(_) => Err(Complaint::Unbuilt {
            name: "lampwise table preview",
        }
        .into()),
        Command::Learn(_) => Err(Complaint::Unbuilt {
            name: "lampwise table learn",
        }
        .into()),
    }
}

fn check(path: &Path) -> anyhow::Result<Status> {
    let table = arguments::table(path)?;
    print(&table_text(&table, &same_look(&table)))?;
    Ok(Status::Done)
}
