//! The `lampwise` program: see the library for what it does.

use std::process::ExitCode;

use lampwise::cli::{self, Status};

fn main() -> ExitCode {
    run().unwrap_or_else(|error| cli::report(&error)).into()
}

/// Arguments, the command they name, its exit status.
fn run() -> anyhow::Result<Status> {
    cli::run(std::env::args_os())
}
