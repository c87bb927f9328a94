//! What people and programs get to see, on findings made by hand.

mod languages;
mod programs;
mod schema;
mod texts;

use crate::advice::{Advice, Facts, advise, advise_without_table};

use super::samples::*;
use super::*;

fn advice(findings: &Findings) -> Advice {
    let facts = Facts {
        seen: findings.seen(),
        ..Facts::default()
    };
    match &findings.judged {
        Some(judged) => advise(judged.table, &judged.reading, &facts),
        None => advise_without_table(&facts),
    }
}

fn plain(findings: &Findings) -> String {
    text(findings, &advice(findings), &Style::default())
}

fn all(table: &crate::table::LightTable) -> Vec<Findings<'_>> {
    vec![
        decided(table),
        undecided(table),
        unlisted(table),
        unseen(table),
        hardly_a_lamp(table),
        from_photo(table),
        without_table(vec![flashing(), breathing(), dark()]),
        without_table(vec![]),
    ]
}

#[test]
fn a_light_of_the_table_that_was_not_found_is_told() {
    let mut table = crate::advice::samples::table();
    let mut second = table.lights[0].clone();
    (second.id, second.label) = ("foot".into(), "the bar below".into());
    table.lights.push(second);
    let mut findings = decided(&table);
    findings.judged.as_mut().unwrap().lamp_of_light = vec![Some(0), None];
    let codes: Vec<&str> = warnings(&findings).iter().map(|warning| warning.code).collect();
    assert_eq!(codes, ["light-not-found", "hand-shake"]);
    assert!(findings.seen().dark, "it may have been dark");
}
