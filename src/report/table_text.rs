//! What there is to say of a table that parses.

use crate::table::LightTable;

use super::alike::alike;
use super::words::count;
use super::wrap::wrap;

/// "N rows, fine", and the rows that look alike.
#[must_use]
pub fn table_text(table: &LightTable) -> String {
    let rows = count(table.meanings.len(), "row", "rows");
    let mut out = wrap("", &format!("{}: {rows}, fine.", table.device.name));
    let pairs = alike(table);
    if !pairs.is_empty() {
        out.push_str(&wrap(
            "",
            "Rows that no clip can part, since one light may fit both:",
        ));
    }
    for (a, b) in pairs {
        let (a, b) = (&table.meanings[a], &table.meanings[b]);
        out.push_str(&wrap(
            "  - ",
            &format!("{} and {} (\"{}\", \"{}\")", a.id, b.id, a.title, b.title),
        ));
    }
    out
}
