//! `lampwise table`: light tables.

use std::path::{Path, PathBuf};

use clap::Subcommand;

use super::output::{complain, print, print_json, spare, style, write_whole};
use super::{Status, arguments, learn};
use crate::check::check;
use crate::report::{check_json, check_text, preview};
use crate::words::Language;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Say what is wrong with tables, which rows a phone will confuse, and how long a clip each row needs
    Check {
        /// The tables, TOML files
        #[arg(value_name = "TABLE", required = true)]
        paths: Vec<PathBuf>,
        /// Print one JSON object a table in place of text
        #[arg(long)]
        json: bool,
    },
    /// Show what every row looks like, as one HTML page to hold beside a description
    Preview {
        /// The table, a TOML file
        #[arg(value_name = "TABLE")]
        path: PathBuf,
        /// Where to write the page
        #[arg(long, short, value_name = "FILE.html")]
        out: PathBuf,
    },
    /// From clips of a known state, propose a row for a table; the table stays as it is
    Learn(learn::Args),
}

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    match &args.command {
        Command::Check { paths, json } => look_at(paths, *json),
        Command::Preview { path, out } => draw(path, out),
        Command::Learn(args) => learn::run(args),
    }
}

fn look_at(paths: &[PathBuf], json: bool) -> anyhow::Result<Status> {
    let mut status = Status::Done;
    for (index, path) in paths.iter().enumerate() {
        let (table, source) = match arguments::table_with_source(path) {
            Ok(loaded) => loaded,
            // The other tables are looked at all the same.
            Err(complaint) => {
                status = complain(&complaint.into(), Language::English);
                continue;
            }
        };
        let found = check(&table, &source);
        if json {
            print_json(&check_json(&table, &source, &found))?;
            continue;
        }
        let gap = if index > 0 { "\n" } else { "" };
        print(&format!("{gap}{}", check_text(&table, &source, &found, &style())))?;
    }
    Ok(status)
}

fn draw(path: &Path, out: &Path) -> anyhow::Result<Status> {
    spare([&Some(out.to_owned())], [path])?;
    let table = arguments::table(path)?;
    write_whole(out, preview(&table).as_bytes())?;
    print(&format!("{} written\n", out.display()))?;
    Ok(Status::Done)
}
