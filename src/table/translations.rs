//! The `[translation.…]` sections: the texts of a table in other languages, each by the text as it stands.

use std::collections::{BTreeMap, BTreeSet};

use super::fields::Fields;
use super::model::LightTable;
use super::nearest::nearest;
use super::problem::ProblemKind;
use super::reader::Reader;
use super::shared::shared;
use super::step::{Erases, Step};

/// By the code of the language, and the text as it stands.
pub(super) type Translations = BTreeMap<String, BTreeMap<String, String>>;

/// The sections as they stand. With `texts`, one that translates none of them is a mistake: the text was changed, or
/// its translation mistyped.
pub(super) fn translations<'t>(
    reader: &mut Reader<'t>,
    root: Fields<'_, 't>,
    texts: Option<&BTreeSet<&str>>,
) -> Translations {
    let mut found = Translations::new();
    let example = "[translation.de]";
    let all = root
        .get("translation")
        .and_then(|value| reader.fields(value, "`translation`", example));
    for (code, value) in all.iter().flat_map(|all| all.table.iter()) {
        let Some(inside) = reader.fields(value, "a translation", example) else {
            continue;
        };
        let mut own = BTreeMap::new();
        for (text, value) in inside.table {
            let original = text.get_ref().to_string();
            if texts.is_some_and(|texts| !texts.contains(original.as_str())) && !reader.full() {
                let known: Vec<&str> = texts.into_iter().flatten().copied().collect();
                let nearest = nearest(&original, &known).map(|text| (*text).to_owned());
                let word = original.clone();
                reader.note(ProblemKind::TranslatesNothing { word, nearest }, text.span());
            }
            if let Some(translated) = reader.prose(value, "a translation", "\"Starting up\" = \"Startet\"") {
                own.insert(original, translated);
            }
        }
        found.insert(code.get_ref().to_string(), own);
    }
    found
}

/// Adds what the shared procedures bring along for texts that a table has and does not translate itself.
pub(super) fn with_shared(mut own: Translations, texts: &BTreeSet<&str>) -> Translations {
    for (code, shared) in &shared().translations {
        let known = own.entry(code.clone()).or_default();
        for (text, translated) in shared.iter().filter(|(text, _)| texts.contains(text.as_str())) {
            known.entry(text.clone()).or_insert_with(|| translated.clone());
        }
    }
    own.retain(|_, texts| !texts.is_empty());
    own
}

impl LightTable {
    /// Texts of the table that people see and that are not translated into a language. Names of steps are no texts:
    /// they may be translated, but need not.
    #[must_use]
    pub fn untranslated(&self, code: &str) -> Vec<&str> {
        let known = self.translations.get(code);
        let is_known = |text: &str| known.is_some_and(|known| known.contains_key(text));
        prose(self).into_iter().filter(|text| !is_known(text)).collect()
    }
}

/// Everything of a table that may be translated: its texts, and the names under which its steps are tried.
pub(super) fn translatable(table: &LightTable) -> BTreeSet<&str> {
    let steps = table.meanings.iter().flat_map(|row| &row.next);
    let names = steps.filter_map(|step| match step {
        Step::Do { tried, .. } => tried.as_deref(),
        Step::HandOn { .. } => None,
    });
    prose(table).into_iter().chain(names).collect()
}

/// Every text of a table that people see.
fn prose(table: &LightTable) -> BTreeSet<&str> {
    let mut all = BTreeSet::from([table.device.name.as_str()]);
    all.extend(table.lights.iter().map(|light| light.label.as_str()));
    all.extend(table.conditions.iter().map(|condition| condition.ask.as_str()));
    for row in &table.meanings {
        all.insert(&row.title);
        all.extend(row.next.iter().flat_map(texts_of_step));
    }
    all
}

fn texts_of_step(step: &Step) -> Vec<&str> {
    match step {
        Step::Do {
            text,
            caution,
            erases,
            otherwise,
            basis,
            ..
        } => {
            let erases = match erases {
                Erases::Named(what) => Some(what),
                _ => None,
            };
            let more = [caution.as_ref(), erases, otherwise.as_ref(), basis.as_ref()];
            std::iter::once(text)
                .chain(more.into_iter().flatten())
                .map(String::as_str)
                .collect()
        }
        Step::HandOn { text, evidence, .. } => std::iter::once(text)
            .chain(evidence)
            .map(String::as_str)
            .collect(),
    }
}
