//! Commands that are planned and do not exist. They are in no list; who calls one is told so.

use std::ffi::OsString;

use super::Complaint;

#[derive(Debug, clap::Subcommand)]
pub(super) enum Command {
    #[command(hide = true, disable_help_flag = true)]
    Desk(Anything),
}

/// Whatever is given to such a command.
#[derive(Debug, clap::Args)]
pub(super) struct Anything {
    #[arg(hide = true, trailing_var_arg = true, allow_hyphen_values = true)]
    _any: Vec<OsString>,
}

impl Command {
    pub(super) const fn refusal(&self) -> Complaint {
        Complaint::Unbuilt {
            name: match self {
                Self::Desk(_) => "lampwise desk",
            },
        }
    }
}
