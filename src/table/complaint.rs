//! Mistakes as people read them: file, line, column, the line itself with carets, the way out.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet, normalize_untrusted_str};

use super::problem::{Problem, ProblemKind, TableError};
use super::source::floor_char;

impl TableError {
    /// Every mistake with its line and the way out, in plain text, or with terminal colours if asked for.
    #[must_use]
    pub fn render(&self, coloured: bool) -> String {
        let renderer = if coloured {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        // One report each: the renderer leaves out blank lines between the groups of one report.
        let reports: Vec<_> = self
            .problems
            .iter()
            .map(|problem| renderer.render(&[self.group(problem)]))
            .collect();
        reports.join("\n\n")
    }

    fn group(&self, problem: &Problem) -> Group<'_> {
        let mut snippet = Snippet::source(self.text.as_str())
            .path(self.name.as_str())
            .annotation(AnnotationKind::Primary.span(self.visible(&problem.at)));
        if let Some((place, label)) = other_place(&problem.kind) {
            snippet = snippet.annotation(AnnotationKind::Context.span(self.visible(&place)).label(label));
        }
        Level::ERROR
            .primary_title(problem.kind.to_string())
            .element(snippet)
            .element(Level::HELP.message(normalize_untrusted_str(&problem.kind.help())))
    }

    /// Inside the text, on borders of characters, and within one line: a caret under a whole section shows
    /// nothing.
    fn visible(&self, at: &Range<usize>) -> Range<usize> {
        let start = floor_char(&self.text, at.start);
        let end = floor_char(&self.text, at.end).max(start);
        let end = self.text[start..end]
            .find('\n')
            .map_or(end, |newline| start + newline);
        start..end
    }
}

fn other_place(kind: &ProblemKind) -> Option<(Range<usize>, &'static str)> {
    match kind {
        ProblemKind::DuplicateKey {
            first: Some(first), ..
        }
        | ProblemKind::Duplicate { first, .. } => Some((first.clone(), "first here")),
        ProblemKind::ColourNotOfLight { declared, .. } => Some((declared.clone(), "its colours")),
        _ => None,
    }
}
