//! The `lampwise` program: see the library for what it does.

use std::process::ExitCode;

use lampwise::cli;

fn main() -> ExitCode {
    cli::run(std::env::args_os()).into()
}
