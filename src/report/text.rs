//! The report for people.

use crate::advice::{Advice, Caution, NextStep, duration};

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
    if findings.is_photo() {
        out.push_str(&wrap(
            "",
            "This is a photo; a clip would settle what the light does over time.",
        ));
    }
    out.push('\n');
    out.push_str(&next(advice, *style));
    out.push('\n');
    out.push_str(&evidence(findings, *style));
    out.push_str(&forgotten(findings, *style));
    out
}

/// What no row says, as a row that the table's author may have forgotten. Not wrapped: it is there to be copied.
fn forgotten(findings: &Findings, style: Style) -> String {
    match &findings.judged {
        Some(judged) if !judged.reading.shown.is_empty() => {
            let row = paste::row(judged.table, &judged.reading.shown);
            format!(
                "\n{}\n{row}",
                style.bold("If the table lacks this row, it would be:\n")
            )
        }
        _ => String::new(),
    }
}

fn next(advice: &Advice, style: Style) -> String {
    let mut out = style.bold("Next:\n");
    for caution in &advice.cautions {
        out.push_str(&style.alert(&wrap("  Caution: ", caution.text())));
    }
    if let Some(at_most_s) = advice.overdue_s {
        let most = duration(at_most_s);
        out.push_str(&wrap(
            "  ",
            &format!("It has been so for longer than the {most} of the table: something is wrong."),
        ));
    }
    if advice.next.is_empty() {
        out.push_str("  The table has no step for this.\n");
    }
    for (index, step) in advice.next.iter().enumerate() {
        out.push_str(&numbered(advice, index, step, style));
    }
    out
}

/// A step after its cautions, since nobody reads on once the button is pressed.
fn numbered(advice: &Advice, index: usize, step: &NextStep, style: Style) -> String {
    let mut out = String::new();
    let mut mark = format!("{:>3}. ", index + 1);
    for caution in &step.cautions {
        let said = told_before(advice, index, caution);
        let words = match said {
            Some(earlier) => format!("Caution: as in step {}.", earlier + 1),
            None => format!("Caution: {}", caution.text()),
        };
        out.push_str(&style.alert(&wrap(&mark, &words)));
        mark = "     ".to_owned();
    }
    out.push_str(&wrap(&mark, &step.sentence()));
    out
}

/// The step that spelt a long caution out already. What erases is spelt out every time.
fn told_before(advice: &Advice, index: usize, caution: &Caution) -> Option<usize> {
    if *caution != Caution::PowerCheck {
        return None;
    }
    advice.next[..index]
        .iter()
        .position(|step| step.cautions.contains(caution))
}
