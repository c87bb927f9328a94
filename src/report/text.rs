//! The report for people.

use crate::advice::{Advice, Caution, NextStep, duration};
use crate::words::{say, say_with};

use super::evidence::evidence;
use super::findings::Findings;
use super::headline::headline;
use super::paste;
use super::wrap::wrap;

/// How the text may be dressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// Use ANSI colours. They repeat what the words say and carry nothing alone.
    pub colour: bool,
}

const BOLD: &str = "\u{1b}[1m";
const YELLOW: &str = "\u{1b}[1;33m";
const PLAIN: &str = "\u{1b}[0m";

impl Style {
    /// Emphasis, line by line so that no line ends with it still on.
    pub(super) fn bold(self, text: &str) -> String {
        self.paint(BOLD, text)
    }

    fn alert(self, text: &str) -> String {
        self.paint(YELLOW, text)
    }

    fn paint(self, code: &str, text: &str) -> String {
        if !self.colour {
            return text.to_owned();
        }
        text.lines()
            .map(|line| format!("{code}{line}{PLAIN}\n"))
            .collect()
    }
}

/// The whole report: one sentence, what to do, and what it rests on. No line is wider than 80 columns.
#[must_use]
pub fn text(findings: &Findings, advice: &Advice, style: &Style) -> String {
    let mut out = style.bold(&wrap("", &headline(findings)));
    if !findings.photos.is_empty() {
        let count = [("count", findings.photos.len().into())];
        out.push_str(&wrap("", &say_with(findings.language, "photos-note", &count)));
    } else if findings.is_photo() {
        out.push_str(&wrap("", &say(findings.language, "photo-note")));
    }
    out.push_str(&earlier(findings));
    out.push('\n');
    out.push_str(&next(advice, *style));
    out.push('\n');
    out.push_str(&evidence(findings, *style));
    out.push_str(&forgotten(findings, *style));
    out
}

/// Earlier clips that the text tells of; the JSON has them all.
const EARLIER: usize = 3;

fn earlier(findings: &Findings) -> String {
    let language = findings.language;
    let skipped = findings.earlier.len().saturating_sub(EARLIER);
    let mut out = String::new();
    for clip in &findings.earlier[skipped..] {
        let ago = say_with(
            language,
            "ago",
            &[("time", duration(clip.ago_s, language).into())],
        );
        out.push_str(&wrap("  ", &format!("{ago}: {}", clip.sentence)));
        for step in &clip.steps {
            out.push_str(&wrap("    - ", step));
        }
    }
    if out.is_empty() {
        out
    } else {
        format!("\n{}:\n{out}", say(language, "page-earlier"))
    }
}

/// What no row says, as a row that the table's author may have forgotten. Not wrapped: it is there to be copied.
fn forgotten(findings: &Findings, style: Style) -> String {
    let Some(row) = findings.judged.as_ref().and_then(paste::proposed) else {
        return String::new();
    };
    let head = format!("{}\n", say(findings.language, "forgotten-row"));
    format!("\n{}\n{row}", style.bold(&head))
}

fn next(advice: &Advice, style: Style) -> String {
    let language = advice.language;
    let mut out = style.bold(&format!("{}\n", say(language, "next")));
    for caution in &advice.cautions {
        let mark = format!("  {}: ", say(language, "caution"));
        out.push_str(&style.alert(&wrap(&mark, &caution.text(language))));
    }
    for line in lasting(advice) {
        out.push_str(&wrap("  ", &line));
    }
    if advice.next.is_empty() {
        out.push_str(&wrap("  ", &say(language, "no-step")));
    }
    for (index, step) in advice.next.iter().enumerate() {
        out.push_str(&numbered(advice, index, step, style));
    }
    out
}

/// How long the state lasts, and whether that is over.
pub(super) fn lasting(advice: &Advice) -> Vec<String> {
    let language = advice.language;
    let Some(span) = advice.span else {
        return Vec::new();
    };
    let time = |s: f64| duration(s, language).into();
    let mut line = say_with(language, "lasts-usually", &[("time", time(span.usual_s))]);
    if let Some(at_most_s) = span.at_most_s {
        line.push_str(&format!(
            ", {}",
            say_with(language, "lasts-at-most", &[("time", time(at_most_s))])
        ));
    }
    if let Some(so_far_s) = span.so_far_s {
        line.push_str(&format!(
            "; {}",
            say_with(language, "lasts-so-far", &[("time", time(so_far_s))])
        ));
    }
    let mut lines = vec![line + "."];
    if let Some(at_most_s) = advice.overdue_s() {
        lines.push(say_with(language, "lasts-overdue", &[("time", time(at_most_s))]));
    }
    lines
}

/// A step after its cautions, since nobody reads on once the button is pressed.
fn numbered(advice: &Advice, index: usize, step: &NextStep, style: Style) -> String {
    let mut out = String::new();
    let mut mark = format!("{:>3}. ", index + 1);
    for caution in spelt(advice, index) {
        out.push_str(&style.alert(&wrap(
            &mark,
            &format!("{}: {caution}", say(advice.language, "caution")),
        )));
        mark = "     ".to_owned();
    }
    out.push_str(&wrap(&mark, &step.sentence()));
    out
}

/// The cautions of a step in words. One that an earlier step spelt out is only pointed to; what erases is spelt out
/// every time.
pub(super) fn spelt(advice: &Advice, index: usize) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for caution in &advice.next[index].cautions {
        let text = match told_before(advice, index, caution) {
            Some(earlier) => say_with(advice.language, "as-in-step", &[("step", (earlier + 1).into())]),
            None => caution.text(advice.language),
        };
        if !texts.contains(&text) {
            texts.push(text);
        }
    }
    texts
}

fn told_before(advice: &Advice, index: usize, caution: &Caution) -> Option<usize> {
    if matches!(caution, Caution::Erases(_)) {
        return None;
    }
    advice.next[..index]
        .iter()
        .position(|step| step.cautions.contains(caution))
}
