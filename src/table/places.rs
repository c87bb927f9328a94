//! Where the pieces of a sound table stand in its text, for messages about tables without mistakes.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::shared::shared;
use super::{LightTable, Source};

/// Where the pieces of a table stand, in bytes of its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// Row by row.
    rows: Vec<RowPlaces>,
    /// The languages of the table's own translations.
    translations: Vec<(String, Range<usize>)>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct RowPlaces {
    id: Range<usize>,
    /// In the order of the row's shows.
    shows: Vec<Range<usize>>,
    steps: Vec<Range<usize>>,
    lasts: Option<Range<usize>>,
}

impl Places {
    /// Finds the pieces of a table in the text that it was made from.
    #[must_use]
    pub fn of(table: &LightTable, source: &Source) -> Self {
        let root = DeTable::parse_recoverable(&source.text).0;
        let meanings = root
            .get_ref()
            .get("meaning")
            .and_then(|value| value.get_ref().as_array());
        let entry = |row: usize| meanings?.get(row)?.get_ref().as_table();
        let rows = table.meanings.iter().enumerate().map(|(row, meaning)| {
            let get = |key: &str| entry(row)?.get(key);
            let show = |light: usize| {
                let id: &str = &table.lights[light].id;
                get("shows")?.get_ref().as_table()?.get(id)
            };
            let steps = get("next").and_then(|value| value.get_ref().as_array());
            RowPlaces {
                id: meaning.at.clone(),
                shows: meaning
                    .shows
                    .iter()
                    .map(|one| show(one.light).map_or_else(|| meaning.at.clone(), Spanned::span))
                    .collect(),
                steps: steps
                    .into_iter()
                    .flat_map(|steps| steps.iter().flat_map(|step| vec![step.span(); brings(step)]))
                    .collect(),
                lasts: get("lasts").map(Spanned::span),
            }
        });
        let languages = root
            .get_ref()
            .get("translation")
            .and_then(|value| value.get_ref().as_table());
        let named = languages.into_iter().flat_map(|languages| languages.iter());
        Self {
            rows: rows.collect(),
            translations: named
                .map(|(code, _)| (code.get_ref().to_string(), code.span()))
                .collect(),
        }
    }

    /// The language of each translation that the table itself holds.
    pub fn translations(&self) -> impl Iterator<Item = (&str, Range<usize>)> {
        self.translations
            .iter()
            .map(|(code, at)| (code.as_str(), at.clone()))
    }

    /// The id of a row.
    #[must_use]
    pub fn row(&self, row: usize) -> Range<usize> {
        self.rows[row].id.clone()
    }

    /// What the `show`th named light of a row does.
    #[must_use]
    pub fn show(&self, row: usize, show: usize) -> Range<usize> {
        self.rows[row].shows[show].clone()
    }

    /// A step of a row.
    #[must_use]
    pub fn step(&self, row: usize, step: usize) -> Range<usize> {
        self.rows[row]
            .steps
            .get(step)
            .cloned()
            .unwrap_or_else(|| self.row(row))
    }

    /// How long a row lasts.
    #[must_use]
    pub fn lasts(&self, row: usize) -> Range<usize> {
        self.rows[row].lasts.clone().unwrap_or_else(|| self.row(row))
    }
}

/// How many steps an entry stands for: more than one where it takes up a shared procedure.
fn brings(entry: &Spanned<DeValue<'_>>) -> usize {
    let included = entry
        .get_ref()
        .get("include")
        .and_then(|value| value.get_ref().as_str());
    included
        .and_then(|id| shared().find(id))
        .map_or(1, |procedure| procedure.steps.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::parse;

    #[test]
    fn points_at_what_it_names() {
        let text = "schema = 1\n[device]\nname = \"Valve\"\n[[light]]\nid = \"a\"\nlabel = \"left\"\n\
            colours = [\"red\"]\n[[light]]\nid = \"b\"\nlabel = \"right\"\ncolours = [\"blue\"]\n[[meaning]]\n\
            id = \"one\"\nkind = \"fault\"\ntitle = \"One\"\nshows.b = { fixed = \"blue\" }\nshows.a = \"off\"\n\
            lasts = { usual = \"2 s\" }\nnext = [{ do = \"Look.\" }, { hand_on = \"Over\" }]\n";
        let table = parse("valve.toml", text).unwrap();
        let name = "valve.toml".to_owned();
        let places = Places::of(
            &table,
            &Source {
                name,
                text: text.to_owned(),
            },
        );
        assert_eq!(&text[places.row(0)], "\"one\"");
        assert_eq!(&text[places.show(0, 0)], "\"off\"");
        assert_eq!(&text[places.show(0, 1)], "{ fixed = \"blue\" }");
        assert_eq!(&text[places.step(0, 1)], "{ hand_on = \"Over\" }");
        assert_eq!(&text[places.lasts(0)], "{ usual = \"2 s\" }");
    }
}
