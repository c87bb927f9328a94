//! How often a meaning is read rightly, and how good the confidence is: rendered clips of every table through the whole
//! pipeline, patterns that no table lists, clips that are too short, and clips in which one meaning gives way to another.
//!
//! `--fit` fits the parameters of the confidence on these clips and writes them; the figures quoted are those of another
//! seed, with other cameras.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench's table is its output, and its progress must not stand in it"
)]

mod arguments;
mod calibration;
mod camera;
mod differs;
#[path = "../accuracy/effects/mod.rs"]
mod effects;
mod fit;
mod judge;
mod keep;
mod plan;
mod readings;
mod run;
mod show;
mod speed;
mod synthetic;
mod tables;
mod text;

use std::process::ExitCode;

use arguments::Arguments;

fn main() -> ExitCode {
    match Arguments::read(std::env::args().skip(1)).and_then(|arguments| work(&arguments)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("meaning: {message}\n{}", arguments::USAGE);
            ExitCode::FAILURE
        }
    }
}

fn work(arguments: &Arguments) -> Result<(), String> {
    if arguments.speed {
        print!("{}", speed::text());
        return Ok(());
    }
    let tables = tables::all(arguments.table.as_deref())?;
    if arguments.see {
        return run::see(&tables, arguments);
    }
    if let (Some(index), Some(path)) = (arguments.only, &arguments.save) {
        let recipe = plan::job(index, arguments.seed, &tables).recipe;
        let text = toml::to_string(&recipe).map_err(|error| error.to_string())?;
        std::fs::write(path, text).map_err(|error| format!("cannot write {}: {error}", path.display()))?;
    }
    let judged = run::all(&tables, arguments)?;
    if let Some(path) = &arguments.readings {
        readings::write(path, &judged)?;
    }
    if arguments.fit {
        let command = format!(
            "cargo bench --bench meaning -- --seed {} --clips {} --fit",
            arguments.seed, arguments.clips
        );
        return fit::write(&judged, &command);
    }
    let mut text = text::text(&tables, &judged, arguments.seed);
    text.push_str(&calibration::text(&judged));
    text.push('\n');
    text.push_str(&speed::text());
    text.push_str(&text::misses(&tables, &judged));
    print!("{text}");
    if let Some(path) = &arguments.out {
        std::fs::write(path, &text).map_err(|error| format!("cannot write {}: {error}", path.display()))?;
    }
    Ok(())
}
