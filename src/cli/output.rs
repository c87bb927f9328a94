//! Printing. A reader that has seen enough and closed the pipe is no error.

use std::io::{self, ErrorKind, IsTerminal, Write};
use std::path::{Path, PathBuf};

use crate::report::Style;

use super::{Complaint, Misuse, Status};
use crate::words::{Language, one_line, words};

/// Writes to standard output.
pub(super) fn print(text: &str) -> anyhow::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => Err(Complaint::Unprintable { why }.into()),
        _ => Ok(()),
    }
}

/// Writes one JSON value to standard output.
pub(super) fn print_json(value: &serde_json::Value) -> anyhow::Result<()> {
    print(&format!("{value:#}\n"))
}

/// Refuses to write over what the same command reads, and two things to one file.
pub(super) fn spare<'p>(
    outputs: impl IntoIterator<Item = &'p Option<PathBuf>>,
    inputs: impl IntoIterator<Item = &'p Path>,
) -> Result<(), Complaint> {
    // What is not there yet overwrites nothing.
    let there = |path: &Path| path.canonicalize().ok();
    let inputs: Vec<PathBuf> = inputs.into_iter().filter_map(there).collect();
    let mut taken = Vec::new();
    for output in outputs.into_iter().flatten() {
        if there(output).is_some_and(|output| inputs.contains(&output)) {
            return Err(would_overwrite(output));
        }
        let path = there(output).unwrap_or_else(|| output.clone());
        // A device takes whatever comes.
        if taken.contains(&path) && (path.is_file() || !path.exists()) {
            return Err(Misuse::SameOutput { path: output.clone() }.into());
        }
        taken.push(path);
    }
    Ok(())
}

/// The complaint of [`spare`].
pub(super) fn would_overwrite(output: &Path) -> Complaint {
    Misuse::WouldOverwrite {
        path: output.to_owned(),
    }
    .into()
}

/// Writes a file so that at every moment either the old or the new one is there, whole.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    // A link stays one: what it leads to is replaced. A pipe or a device takes what is written.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let path = target.as_path();
    if path.exists() && !path.is_file() {
        return std::fs::write(path, bytes).map_err(|why| {
            Complaint::Unwritable {
                path: path.to_owned(),
                why,
            }
            .into()
        });
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or_else(|| Path::new("."));
    let unwritable = |why| Complaint::Unwritable {
        path: path.to_owned(),
        why,
    };
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(unwritable)?;
    readable_by_others(&file).map_err(unwritable)?;
    file.write_all(bytes).map_err(unwritable)?;
    file.as_file().sync_all().map_err(unwritable)?;
    file.persist(path).map_err(|error| unwritable(error.error))?;
    Ok(())
}

/// A temporary file is its owner's alone; a report is meant to be handed on.
fn readable_by_others(file: &tempfile::NamedTempFile) -> io::Result<()> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        file.as_file()
            .set_permissions(std::fs::Permissions::from_mode(0o644))?;
    }
    Ok(())
}

/// Colours only for a terminal, and not where <https://no-color.org> asks for none.
pub(super) fn style() -> Style {
    let unwanted = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    Style {
        colour: !unwanted && io::stdout().is_terminal(),
    }
}

/// Help and version are asked for: they go to standard output and are no error.
pub(super) fn help(answer: &clap::Error) -> anyhow::Result<Status> {
    print(&answer.render().to_string())?;
    Ok(Status::Done)
}

/// Tells standard error what went wrong and what to do.
pub(super) fn complain(error: &anyhow::Error, language: Language) -> Status {
    let words = words(language);
    let complaint = error.downcast_ref::<Complaint>();
    let (what, next) = match complaint {
        Some(complaint) => (complaint.what(words), complaint.next(words)),
        None => (format!("{error:#}"), words.say("failure")),
    };
    let what: Vec<String> = what.lines().map(one_line).collect();
    let what = words.with("complaint", &[("what", what.join("\n").into())]);
    let next = words.with("complaint-next", &[("what", next.into())]);
    // With standard error gone there is nobody left to tell.
    let _ = writeln!(io::stderr(), "lampwise: {what}\n{next}");
    complaint.map_or(Status::Failure, Complaint::status)
}
