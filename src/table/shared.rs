//! Procedures that hold for any device and come with the program, for tables to include.

use std::sync::LazyLock;

use toml::de::DeTable;

use super::fields::Fields;
use super::reader::Reader;
use super::step::{Condition, Given, Step};
use super::steps::{self, Known, MOST_PROCEDURES};
use super::translations::{Translations, translations};

/// Part of the program and not of a table, so that a table cannot make the program open another file.
const TEXT: &str = include_str!("../../models/procedures/shared.toml");

/// The shared procedures, checked.
pub(super) struct Shared {
    conditions: Vec<Condition>,
    pub(super) procedures: Vec<Procedure>,
    pub(super) translations: Translations,
}

/// One of them.
pub(super) struct Procedure {
    pub(super) id: String,
    /// Names under which its steps are tried.
    pub(super) tried: Vec<String>,
    pub(super) steps: Vec<Step>,
}

pub(super) fn shared() -> &'static Shared {
    static SHARED: LazyLock<Shared> =
        LazyLock::new(|| read(TEXT).expect("a test reads the shipped procedures"));
    &SHARED
}

impl Shared {
    pub(super) fn find(&self, id: &str) -> Option<&Procedure> {
        self.procedures.iter().find(|procedure| procedure.id == id)
    }

    /// The steps of one, speaking of a table's conditions; those that the table lacks are added to it. A question
    /// that the table words itself stays as it is.
    pub(super) fn included(&self, procedure: &Procedure, conditions: &mut Vec<Condition>) -> Vec<Step> {
        let mut steps = procedure.steps.clone();
        for step in &mut steps {
            let (Step::Do { given, .. } | Step::HandOn { given, .. }) = step;
            if let Some(given) = given {
                *given = Given {
                    condition: place(&self.conditions[given.condition], conditions),
                    ..*given
                };
            }
        }
        steps
    }
}

fn place(condition: &Condition, conditions: &mut Vec<Condition>) -> usize {
    let found = conditions.iter().position(|known| known.id == condition.id);
    found.unwrap_or_else(|| {
        conditions.push(condition.clone());
        conditions.len() - 1
    })
}

/// What is wrong with it as one text, if anything is.
fn read(text: &'static str) -> Result<Shared, String> {
    let root = DeTable::parse(text).map_err(|error| error.to_string())?;
    let mut reader = Reader::new(text);
    let fields = Fields::new(root.get_ref(), "the shared procedures", &(0..0));
    reader.check_keys(fields, &["schema", "condition", "procedure", "translation"]);
    let mut conditions = steps::conditions(&mut reader, fields);
    let list = reader.entries(fields, ("procedure", MOST_PROCEDURES), "[[procedure]]");
    let mut procedures = Vec::new();
    for entry in list {
        let inside = reader.fields(entry, "a `[[procedure]]`", "[[procedure]]");
        let Some(inside) = inside else { continue };
        reader.check_keys(inside, &["id", "next"]);
        let example = "id = \"no-light\"";
        let id = reader
            .need(inside, "id", example)
            .and_then(|value| reader.id(value, example));
        let tried = steps::names_in(entry);
        let mut known = Known {
            tried: tried.iter().copied().collect(),
            conditions: &mut conditions,
        };
        let next = inside
            .get("next")
            .map(|value| steps::steps(&mut reader, value, &mut known));
        if let (Some(id), Some(steps)) = (id, next) {
            procedures.push(Procedure {
                id: id.value.to_owned(),
                tried: tried.into_iter().map(str::to_owned).collect(),
                steps,
            });
        }
    }
    let translations = translations(&mut reader, fields, None);
    if reader.problems.is_empty() {
        Ok(Shared {
            conditions,
            procedures,
            translations,
        })
    } else {
        let told: Vec<String> = reader
            .problems
            .iter()
            .map(|p| format!("byte {}: {}", p.at.start, p.kind))
            .collect();
        Err(told.join("\n"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_procedures_are_sound() {
        let shared = read(TEXT).unwrap_or_else(|told| panic!("{told}"));
        let ids: Vec<&str> = shared.procedures.iter().map(|p| p.id.as_str()).collect();
        assert_eq!(ids, ["no-light", "start-up", "network"]);
    }

    /// A figure that nobody vouches for says so.
    #[test]
    fn every_figure_of_common_practice_is_marked() {
        for procedure in &shared().procedures {
            for step in &procedure.steps {
                let Step::Do {
                    text,
                    until_s,
                    after_s,
                    powered,
                    basis,
                    ..
                } = step
                else {
                    continue;
                };
                let timed = until_s
                    .or(*after_s)
                    .or(powered.until_s)
                    .or(powered.after_s)
                    .is_some();
                if timed || text.contains("minutes") {
                    let basis = basis.as_deref().unwrap_or_default();
                    assert!(basis.contains("common practice, no source"), "{text}");
                }
            }
        }
    }
}
