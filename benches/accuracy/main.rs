//! How often lamps are found, coloured and timed rightly: rendered clips, whose truth is exact, one effect of
//! the camera at a time and mixed, and real clips where the folder with them lies beside the checkout.
//!
//! The figures are for reading. Nothing in the program may be fitted to these clips.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench's table is its output, and its progress must not stand in it"
)]

mod arguments;
mod compressed;
mod effects;
mod judge;
mod left_open;
mod plan;
mod real;
mod run;
mod table;
mod turned;

use std::process::ExitCode;

use arguments::Arguments;

fn main() -> ExitCode {
    match Arguments::read(std::env::args().skip(1)).and_then(|arguments| work(&arguments)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("accuracy: {message}\n{}", arguments::USAGE);
            ExitCode::FAILURE
        }
    }
}

fn work(arguments: &Arguments) -> Result<(), String> {
    if let Some(index) = arguments.only {
        return one(index, arguments);
    }
    let write = |text: &str| {
        arguments.out.as_ref().map_or(Ok(()), |path| {
            std::fs::write(path, text).map_err(|error| format!("cannot write {}: {error}", path.display()))
        })
    };
    let judged = run::all(arguments.clips, arguments.seed, |judged| {
        let unfinished = format!("UNFINISHED, {} clips wanted\n", arguments.clips);
        if let Err(error) = write(&(unfinished + &table::text(judged, arguments.seed))) {
            eprintln!("{error}");
        }
    })?;
    let mut text = table::text(&judged, arguments.seed);
    text.push_str(&real::text());
    print!("{text}");
    write(&text)
}

/// One clip alone: its recipe, what was made of it, and the clip itself if asked for.
fn one(index: usize, arguments: &Arguments) -> Result<(), String> {
    let job = plan::job(index, arguments.seed);
    let recipe = toml::to_string(&job.recipe).map_err(|error| error.to_string())?;
    println!("# clip {index}: {}\n{recipe}", job.title());
    if let Some(path) = &arguments.save {
        lampwise::render::clip(&job.recipe, path).map_err(|error| error.to_string())?;
        println!("# written to {}", path.display());
    }
    let judged = run::one(job)?;
    println!("# {judged:#?}");
    Ok(())
}
