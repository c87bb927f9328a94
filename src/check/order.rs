//! Sequences that begin or end like something else in the table.

use super::finding::{Finding, FindingKind, Severity};
use crate::table::{LightTable, Part, Pattern, Places, looks_alike};

pub(super) fn findings(table: &LightTable, places: &Places) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (row, meaning) in table.meanings.iter().enumerate() {
        for (index, show) in meaning.shows.iter().enumerate() {
            let Pattern::Sequence(parts) = &show.pattern else {
                continue;
            };
            for (rival, other) in table
                .meanings
                .iter()
                .enumerate()
                .filter(|(rival, _)| *rival != row)
            {
                let Some(at) = other.shows.iter().position(|one| one.light == show.light) else {
                    continue;
                };
                let kind = like(parts, &other.shows[at].pattern, &other.id);
                findings.extend(kind.map(|(severity, kind, word)| Finding {
                    severity,
                    kind,
                    rows: vec![row, rival],
                    at: places.show(row, index),
                    other: Some((places.show(rival, at), word)),
                }));
            }
        }
    }
    findings
}

fn like(parts: &[Part], other: &Pattern, id: &str) -> Option<(Severity, FindingKind, &'static str)> {
    let row = id.to_owned();
    match other {
        Pattern::Sequence(longer) => {
            let pairs = || parts.iter().zip(longer);
            let is_prefix = parts.len() < longer.len() && pairs().all(|(a, b)| may_be_one(a, b));
            is_prefix.then_some((
                Severity::Warning,
                FindingKind::Prefix { longer: row },
                "goes on where the other ends",
            ))
        }
        _ if looks_alike(&parts[0].pattern, other) => Some((
            Severity::Note,
            FindingKind::BeginsLike { row },
            "looks like its beginning",
        )),
        _ if looks_alike(&parts[parts.len() - 1].pattern, other) => Some((
            Severity::Note,
            FindingKind::EndsLike { row },
            "looks like its end",
        )),
        _ => None,
    }
}

/// The same look, and stays that overlap.
fn may_be_one(a: &Part, b: &Part) -> bool {
    looks_alike(&a.pattern, &b.pattern) && a.for_s.0 <= b.for_s.1 && b.for_s.0 <= a.for_s.1
}
