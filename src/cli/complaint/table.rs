//! A light table that cannot be used. The places of its mistakes are told in the language of those who write tables.

use crate::report::system_reason;
use crate::table::LoadError;
use crate::words::Words;

/// What is wrong.
pub(super) fn what(error: &LoadError, words: &Words) -> String {
    match error {
        LoadError::Unreadable { path, source } => {
            let why = system_reason(source, words);
            let path = path.display().to_string();
            words.with("cannot-open", &[("path", path.into()), ("why", why.into())])
        }
        LoadError::TooBig { path, limit } => {
            let path = path.display().to_string();
            words.with(
                "table-too-big",
                &[("path", path.into()), ("limit", (*limit).into())],
            )
        }
        LoadError::NotText { path, .. } => {
            words.with("table-no-text", &[("path", path.display().to_string().into())])
        }
        LoadError::Broken(mistakes) => {
            let first = mistakes.problems.first().map_or(0, |problem| problem.at.start);
            let (line, column) = mistakes.line_column(first);
            let values = [
                ("path", mistakes.name.clone().into()),
                ("count", mistakes.problems.len().into()),
                ("line", line.into()),
                ("column", column.into()),
            ];
            format!(
                "{}\n{}",
                words.with("table-broken", &values),
                mistakes.render(false)
            )
        }
    }
}

/// The text that says what to do.
pub(super) const fn next(error: &LoadError) -> &'static str {
    match error {
        LoadError::Unreadable { .. } => "next-check-path",
        LoadError::TooBig { .. } | LoadError::NotText { .. } => "next-give-table",
        LoadError::Broken(_) => "next-mend-table",
    }
}
