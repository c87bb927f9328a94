//! One file a command. Only here are arguments parsed and is anything printed.

mod arguments;
mod case;
mod complaint;
mod digest;
mod drill;
mod footage;
mod learn;
mod output;
mod read;
mod render;
mod shell;
mod status;
mod table;
mod trace;
mod triage;

use std::ffi::OsString;

use clap::{CommandFactory, Parser, Subcommand};

use crate::words::words;

pub use complaint::{CaseFault, Complaint, Misuse};
pub use status::Status;

/// Reads a device's status light from a phone clip or a photo, says what it means, how sure that is, and what
/// to do next.
#[derive(Debug, Parser)]
#[command(name = "lampwise", version, disable_help_subcommand = true, after_help = AFTER_HELP, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

const AFTER_HELP: &str = "\
To begin with:
  lampwise read clip.mp4 --table device.toml   what a light means, and what to do next
  lampwise triage clips --table device.toml    a folder of clips, the most urgent first
  lampwise drill tries.mp4 --table device.toml whether a reset was held long enough
  lampwise table check device.toml             which states a phone will confuse

Exit status:
  0  decided; without --table: a light was seen
  1  undecided, or in no row of the table
  2  no usable light, or unusable footage
  3  wrong usage or a broken table
  4  a failure of the program";

#[derive(Debug, Subcommand)]
enum Command {
    /// Say what the light in a clip or a photo means
    Read(read::Args),
    /// Print the measured signal of every lamp
    Trace(trace::Args),
    /// Say whether resets were held long enough
    Drill(drill::Args),
    /// Read a folder of clips, the most urgent first
    Triage(triage::Args),
    /// Check a light table, show what it describes, or learn a row for it
    Table(table::Args),
    /// Make a clip with known truth
    Render(render::Args),
    /// Print what makes a shell complete the commands
    Completions(shell::Completions),
    /// Print the manual page
    Manual(shell::Manual),
}

/// Does what the arguments say, and tells standard error if something is wrong with them or goes wrong.
#[must_use]
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> Status {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let language = complaint::asked_language(&arguments);
    let done = match Cli::try_parse_from(&arguments) {
        Ok(cli) => perform(cli),
        Err(answer) if !answer.use_stderr() => output::help(&answer),
        Err(error) => Err(complaint::usage(&error, &Cli::command(), &arguments, words(language)).into()),
    };
    done.unwrap_or_else(|error| output::complain(&error, language))
}

fn perform(cli: Cli) -> anyhow::Result<Status> {
    match cli.command {
        Command::Read(args) => read::run(&args),
        Command::Trace(args) => trace::run(&args),
        Command::Drill(args) => drill::run(&args),
        Command::Triage(args) => triage::run(&args),
        Command::Table(args) => table::run(&args),
        Command::Render(args) => render::run(&args),
        Command::Completions(args) => shell::completions(&args),
        Command::Manual(args) => shell::manual(&args),
    }
}
