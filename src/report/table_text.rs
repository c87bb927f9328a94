//! What there is to say of a table that parses.

use crate::table::LightTable;

use super::words::{count, list};
use super::wrap::wrap;

/// "N rows, fine", and the groups of rows (indices) that look alike.
#[must_use]
pub fn table_text(table: &LightTable, alike: &[Vec<usize>]) -> String {
    let rows = count(table.meanings.len(), "row", "rows");
    let mut out = wrap("", &format!("{}: {rows}, fine.", table.device.name));
    if !alike.is_empty() {
        out.push_str(&wrap(
            "",
            "Rows that look alike, so that no clip can part them and the answer is a question:",
        ));
    }
    for group in alike {
        let names = group.iter().map(|row| &table.meanings[*row]);
        let names: Vec<String> = names
            .map(|meaning| format!("{} (\"{}\")", meaning.id, meaning.title))
            .collect();
        out.push_str(&wrap("  - ", &list(&names, "and")));
    }
    out
}
