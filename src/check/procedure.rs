//! Steps that nobody ever gets to, and steps that contradict each other or the state that they belong to.

use super::finding::{Finding, FindingKind, Severity};
use crate::table::{Erases, Kind, LightTable, Meaning, Places, Step};

pub(super) fn findings(table: &LightTable, places: &Places, alike: &[Vec<usize>]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (row, meaning) in table.meanings.iter().enumerate() {
        let mut note = |severity: Severity, kind: FindingKind, step: Option<usize>| {
            findings.push(Finding {
                severity,
                kind,
                rows: vec![row],
                at: step.map_or_else(|| places.row(row), |step| places.step(row, step)),
                other: None,
            });
        };
        let group = alike.iter().find(|group| group.contains(&row));
        let rows = group.map_or_else(|| vec![row], Clone::clone);
        let tried_here: Vec<&str> = rows
            .iter()
            .flat_map(|row| table.meanings[*row].next.iter().filter_map(name))
            .collect();
        for (index, step) in meaning.next.iter().enumerate() {
            let before = &meaning.next[..index];
            for kind in of_step(meaning, step, before, &tried_here) {
                note(Severity::Warning, kind, Some(index));
            }
        }
        if let Some(kind) = gap(meaning) {
            note(Severity::Note, kind, Some(0));
        }
        let hands_on = meaning
            .next
            .iter()
            .any(|step| matches!(step, Step::HandOn { .. }));
        if meaning.kind == Kind::Fault && !meaning.next.is_empty() && !hands_on {
            note(
                Severity::Note,
                FindingKind::NoHandOn,
                Some(meaning.next.len() - 1),
            );
        }
    }
    findings
}

fn of_step(meaning: &Meaning, step: &Step, before: &[Step], tried_here: &[&str]) -> Vec<FindingKind> {
    let mut kinds = Vec::new();
    let ends =
        |step: &Step| matches!(step, Step::HandOn { after_tried, given: None, .. } if after_tried.is_empty());
    if before.iter().any(ends) {
        kinds.push(FindingKind::BehindHandOn);
    }
    match step {
        Step::HandOn { after_tried, .. } => {
            let missing = after_tried
                .iter()
                .find(|name| !tried_here.contains(&name.as_str()));
            kinds.extend(missing.map(|name| FindingKind::NeverTriedHere { name: name.clone() }));
        }
        Step::Do {
            until_s,
            after_s,
            tried,
            erases,
            ..
        } => {
            let again = tried
                .as_ref()
                .filter(|name| before.iter().any(|step| self::name(step) == Some(name.as_str())));
            kinds.extend(again.map(|name| FindingKind::TriedTwice { name: name.clone() }));
            kinds.extend(against_lasts(meaning, *until_s, *after_s));
            let in_service = matches!(meaning.kind, Kind::Ready | Kind::Working | Kind::Updating);
            if *erases != Erases::Nothing && in_service {
                kinds.push(FindingKind::ErasesInService);
            }
        }
    }
    kinds
}

fn name(step: &Step) -> Option<&str> {
    match step {
        Step::Do { tried, .. } => tried.as_deref(),
        Step::HandOn { .. } => None,
    }
}

fn against_lasts(meaning: &Meaning, until_s: Option<f64>, after_s: Option<f64>) -> Vec<FindingKind> {
    let Some(lasts) = meaning.lasts else {
        return Vec::new();
    };
    let too_long = until_s
        .zip(lasts.at_most_s)
        .filter(|(until_s, at_most_s)| until_s > at_most_s)
        .map(|(until_s, at_most_s)| FindingKind::WaitsTooLong { until_s, at_most_s });
    let usual_s = lasts.usual_s;
    let too_soon = after_s
        .filter(|after_s| *after_s < usual_s)
        .map(|after_s| FindingKind::TooSoon { after_s, usual_s });
    too_long.into_iter().chain(too_soon).collect()
}

/// The first time, since the state began, in which no step applies although one does later.
fn gap(meaning: &Meaning) -> Option<FindingKind> {
    let mut windows: Vec<(f64, f64)> = meaning
        .next
        .iter()
        .map(|step| match step {
            Step::Do { until_s, after_s, .. } => (after_s.unwrap_or(0.0), until_s.unwrap_or(f64::INFINITY)),
            Step::HandOn { after_tried, .. } if after_tried.is_empty() => (0.0, f64::INFINITY),
            // Waits for other steps to be done; it fills no time.
            Step::HandOn { .. } => (f64::INFINITY, f64::INFINITY),
        })
        .filter(|(from_s, _)| from_s.is_finite())
        .collect();
    windows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut covered_s = 0.0;
    for (from_s, to_s) in windows {
        if from_s > covered_s {
            return Some(FindingKind::NothingToDo {
                from_s: covered_s,
                to_s: from_s,
            });
        }
        covered_s = f64::max(covered_s, to_s);
    }
    None
}
