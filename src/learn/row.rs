//! The row as it would stand in the table.

use crate::table::Kind;
use crate::words::one_line;

use super::agree::Learnt;

/// What the author says of the row.
#[derive(Debug, Clone, PartialEq)]
pub struct RowHead {
    /// Its id.
    pub id: String,
    /// What sort of state it is.
    pub kind: Kind,
    /// For people.
    pub title: String,
    /// The id of the light.
    pub light: String,
}

/// The row in table syntax, with what it rests on as comments.
#[must_use]
pub fn row_text(head: &RowHead, learnt: &Learnt) -> String {
    let names: Vec<String> = learnt.clips.iter().map(|clip| one_line(&clip.clip)).collect();
    let mut text = format!("# Learnt from {}.\n", names.join(", "));
    for clip in learnt.clips.iter().filter(|_| learnt.clips.len() > 1) {
        if let Some(period) = clip.period_s {
            text.push_str(&format!(
                "#   {}: one cycle in {:.3} s, give or take {:.3} s\n",
                one_line(&clip.clip),
                period.value,
                period.sd
            ));
        }
    }
    text.push_str(match (learnt.within, learnt.period_s) {
        (None, Some(_)) => "# One clip shows no spread, so the usual tolerance of 15 % stands.\n",
        _ => "",
    });
    let quoted = |word: &str| toml::Value::String(word.to_owned()).to_string();
    let show = format!("shows.{}", head.light);
    let width = show.len().max("title".len());
    for (key, value) in [
        ("id", quoted(&head.id)),
        ("kind", quoted(head.kind.as_str())),
        ("title", quoted(&head.title)),
        (show.as_str(), learnt.shows.clone()),
    ] {
        if key == "id" {
            text.push_str("[[meaning]]\n");
        }
        text.push_str(&format!("{key:width$} = {value}\n"));
    }
    text
}
