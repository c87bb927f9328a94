//! The published schema: in step with the code, and obeyed by what the code gives.

use serde_json::json as value;

use crate::advice::samples::table;

use super::*;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/models/reading.schema.json");

#[test]
fn the_published_schema_is_the_codes() {
    let text = format!("{:#}\n", reading_schema());
    if std::env::var_os("LAMPWISE_BLESS").is_some() {
        std::fs::write(FILE, &text).unwrap();
    }
    assert_eq!(
        std::fs::read_to_string(FILE).unwrap_or_default(),
        text,
        "models/reading.schema.json is out of step; after a wanted change: LAMPWISE_BLESS=1 cargo test the_published_schema"
    );
}

#[test]
fn every_sort_of_reading_obeys_it() {
    let schema = serde_json::from_str(&std::fs::read_to_string(FILE).unwrap()).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    let table = table();
    for findings in all(&table) {
        let value = json(&findings, &advice(&findings));
        let told: Vec<String> = schema
            .iter_errors(&value)
            .map(|e| format!("{e} at {}", e.instance_path()))
            .collect();
        assert!(told.is_empty(), "{told:?} in {value:#}");
    }
}

/// A schema that takes anything would prove nothing.
#[test]
fn it_refuses_what_is_no_reading() {
    let schema = jsonschema::validator_for(&reading_schema()).unwrap();
    let table = table();
    let findings = decided(&table);
    let good = json(&findings, &advice(&findings));
    for (key, wrong) in [
        ("outcome", value!("maybe")),
        ("schema", value!("1")),
        ("lights", value!({})),
        ("next", value!([{}])),
    ] {
        let mut bad = good.clone();
        bad[key] = wrong;
        assert!(!schema.is_valid(&bad), "{key}");
    }
    let mut short = good.clone();
    short.as_object_mut().unwrap().remove("confidence");
    short.as_object_mut().unwrap().remove("footage");
    assert!(!schema.is_valid(&short));
}
