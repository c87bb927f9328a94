//! Rows that no clip can part.

use crate::table::{LightTable, Pattern};

/// Rows in groups of equal look; a row that looks like no other is a group of one.
pub(super) fn groups(table: &LightTable) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for row in 0..table.meanings.len() {
        match groups.iter_mut().find(|group| same(table, group[0], row)) {
            Some(group) => group.push(row),
            None => groups.push(vec![row]),
        }
    }
    groups
}

fn same(table: &LightTable, first: usize, second: usize) -> bool {
    let looks = |row: usize| -> Vec<Option<&Pattern>> {
        (0..table.lights.len())
            .map(|light| super::rows::shown(table, row, light))
            .collect()
    };
    looks(first) == looks(second)
}
