//! `lampwise completions` and `lampwise manual`: made from the commands themselves.

use std::path::PathBuf;

use clap::CommandFactory;

use super::output::print;
use super::{Cli, Complaint, Status};

/// Prints what makes a shell complete the commands.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "For bash: lampwise completions bash > ~/.local/share/bash-completion/completions/lampwise"
)]
pub(super) struct Completions {
    /// The shell
    #[arg(value_name = "SHELL")]
    shell: clap_complete::Shell,
}

/// Prints the manual page, or writes one for every command.
#[derive(Debug, clap::Args)]
#[command(after_help = "To read it: lampwise manual | man -l -")]
pub(super) struct Manual {
    /// Write the pages of all commands into this folder
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

pub(super) fn completions(args: &Completions) -> anyhow::Result<Status> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "lampwise", &mut script);
    print(&String::from_utf8(script)?)?;
    Ok(Status::Done)
}

pub(super) fn manual(args: &Manual) -> anyhow::Result<Status> {
    let Some(folder) = &args.out else {
        let mut page = Vec::new();
        clap_mangen::Man::new(Cli::command()).render(&mut page)?;
        print(&String::from_utf8(page)?)?;
        return Ok(Status::Done);
    };
    clap_mangen::generate_to(Cli::command(), folder).map_err(|why| Complaint::Unwritable {
        path: folder.clone(),
        why,
    })?;
    Ok(Status::Done)
}
