//! Translations that nobody will see, or that leave texts out.

use super::finding::{Finding, FindingKind, Severity};
use crate::table::{LightTable, Places};
use crate::words::Language;

pub(super) fn findings(table: &LightTable, places: &Places) -> Vec<Finding> {
    places
        .translations()
        .filter_map(|(code, at)| {
            Some(Finding {
                severity: Severity::Warning,
                kind: kind(table, code)?,
                rows: Vec::new(),
                at,
                other: None,
            })
        })
        .collect()
}

fn kind(table: &LightTable, code: &str) -> Option<FindingKind> {
    // A table's texts are looked up by the code to the letter.
    if !Language::ALL.iter().any(|language| language.code() == code) {
        return Some(FindingKind::UnknownLanguage {
            code: code.to_owned(),
            known: Language::ALL.map(Language::code).to_vec(),
        });
    }
    let missing = table.untranslated(code);
    let first = missing.first()?;
    Some(FindingKind::Untranslated {
        code: code.to_owned(),
        texts: missing.len(),
        first: (*first).to_owned(),
    })
}
