//! The schema is the one that is kept, takes every sound table, and refuses nothing that the parser takes.

use std::fs;
use std::path::{Path, PathBuf};

use jsonschema::Validator;
use proptest::prelude::*;
use rstest::rstest;

use super::schema;
use crate::table::parse;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn validator() -> Validator {
    jsonschema::validator_for(&schema()).expect("the schema is one")
}

/// Whether the schema takes a text that is TOML.
fn taken(validator: &Validator, text: &str) -> Option<bool> {
    let value: toml::Value = toml::from_str(text).ok()?;
    let json = serde_json::to_value(value).expect("TOML fits into JSON");
    Some(validator.is_valid(&json))
}

#[test]
fn the_schema_in_models_is_the_one_made_from_the_types() {
    let path = root().join("models/light-table.schema.json");
    let made = format!("{:#}\n", schema());
    if std::env::var_os("LAMPWISE_BLESS").is_some() {
        fs::write(&path, &made).unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == made,
        "models/light-table.schema.json is not what the types say: LAMPWISE_BLESS=1 cargo test --lib schema"
    );
    jsonschema::meta::validate(&schema()).expect("a schema by the rules of schemas");
}

#[test]
fn every_shipped_table_is_taken() {
    let validator = validator();
    let tables: Vec<PathBuf> = fs::read_dir(root().join("models/tables"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    assert!(tables.len() >= 3, "the tables were found");
    for path in tables {
        let text = fs::read_to_string(&path).unwrap();
        let value: toml::Value = toml::from_str(&text).unwrap();
        let errors: Vec<String> = validator
            .iter_errors(&serde_json::to_value(value).unwrap())
            .map(|error| format!("{} at {}", error, error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", path.display());
    }
}

/// A sound table in which one row does what is given, and is followed by more lines.
fn table(shows: &str, more: &str) -> String {
    format!(
        "schema = 1\n[device]\nname = \"Test valve\"\n[[light]]\nid = \"crown\"\nlabel = \"the round lamp\"\n\
         colours = [\"white\", \"blue\", \"red\", \"warm white\"]\n[[meaning]]\nid = \"one\"\nkind = \"fault\"\n\
         title = \"One\"\nshows.crown = {shows}\n{more}\n"
    )
}

#[rstest]
#[case("\"off\"")]
#[case("{ off = true }")]
#[case("{ fixed = \"warm white\" }")]
#[case("{ flashing = \"red\", rate = \"90 /min\", on = \"40 %\", within = \"20 %\" }")]
#[case("{ flashing = \"red\", group = 2, apart = \"500ms\", period = \" 2.5 s \" }")]
#[case("{ alternating = [\"red\", \"blue\"], each = \"120 ms\" }")]
#[case("{ breathing = \"blue\", period = \"1.5 min\" }")]
#[case("{ steps = [\"warm white 150 ms\", \"off 1 s\"] }")]
#[case(
    "{ sequence = [{ off = true, for = \"..4 s\" }, { fixed = \"red\", for = \"2 s..5 s\", within = \"9 %\" }] }"
)]
#[case(
    "{ sequence = [{ breathing = \"red\", period = \"1 s\", times = 3 }, { fixed = \"red\", for = \"0 s..\" }] }"
)]
fn every_form_is_taken_by_both(#[case] shows: &str) {
    let text = table(shows, "");
    parse("sound.toml", &text).unwrap_or_else(|error| panic!("{}", error.render(false)));
    assert_eq!(taken(&validator(), &text), Some(true), "{shows}");
}

/// Mistakes that a schema can see. The parser's own tests name the mistake.
#[rstest]
#[case::no_form("{ period = \"1 s\" }", "")]
#[case::two_forms("{ fixed = \"red\", breathing = \"red\", period = \"1 s\" }", "")]
#[case::word("\"red\"", "")]
#[case::colour("{ fixed = \"blu\" }", "")]
#[case::capital("{ fixed = \"Red\" }", "")]
#[case::key("{ flashing = \"red\", perod = \"1 s\" }", "")]
#[case::key_of_another_form("{ flashing = \"red\", each = \"2 s\", rate = \"1 Hz\" }", "")]
#[case::no_period("{ breathing = \"red\" }", "")]
#[case::both("{ flashing = \"red\", period = \"1 s\", rate = \"1 Hz\" }", "")]
#[case::no_unit("{ breathing = \"red\", period = \"2.4\" }", "")]
#[case::bare_number("{ breathing = \"red\", period = 2.4 }", "")]
#[case::unit("{ breathing = \"red\", period = \"2.4 sec\" }", "")]
#[case::comma("{ breathing = \"red\", period = \"2,4 s\" }", "")]
#[case::nothing("{ breathing = \"red\", period = \"0 s\" }", "")]
#[case::negative("{ breathing = \"red\", period = \"-2 s\" }", "")]
#[case::no_time_lit("{ flashing = \"red\", period = \"2 s\", on = \"0 %\" }", "")]
#[case::group_alone("{ flashing = \"red\", period = \"2 s\", group = 4 }", "")]
#[case::apart_alone("{ flashing = \"red\", period = \"2 s\", apart = \"1 s\" }", "")]
#[case::huge_group("{ flashing = \"red\", period = \"2 s\", group = 33, apart = \"1 ms\" }", "")]
#[case::dark_among("{ alternating = [\"red\", \"off\"], each = \"1 s\" }", "")]
#[case::one_colour("{ alternating = [\"red\"], each = \"1 s\" }", "")]
#[case::step("{ steps = [\"red\", \"off 1 s\"] }", "")]
#[case::step_unit("{ steps = [\"red 150\", \"off 1 s\"] }", "")]
#[case::no_stay("{ sequence = [{ fixed = \"red\" }] }", "")]
#[case::times_of_fixed("{ sequence = [{ fixed = \"red\", times = 2 }] }", "")]
#[case::no_times("{ sequence = [{ breathing = \"red\", period = \"1 s\", times = 0 }] }", "")]
#[case::nested("{ sequence = [{ sequence = [], for = \"1 s\" }] }", "")]
#[case::empty("{ sequence = [] }", "")]
#[case::range_unit("{ sequence = [{ fixed = \"red\", for = \"2..5 s\" }] }", "")]
#[case::empty_range("{ sequence = [{ fixed = \"red\", for = \"..\" }] }", "")]
#[case::do_and_hand_on("\"off\"", "next = [{ do = \"Wait.\", hand_on = \"Over\" }]")]
#[case::neither("\"off\"", "next = [{ after = \"6 min\" }]")]
#[case::erases("\"off\"", "next = [{ do = \"Reset.\", erases = 1 }]")]
#[case::caution_of_hand_on("\"off\"", "next = [{ hand_on = \"Over\", caution = \"Dry hands.\" }]")]
#[case::blank("\"off\"", "next = [{ do = \" \" }]")]
#[case::control("\"off\"", "next = [{ do = \"Wait\\u001b[2J\" }]")]
#[case::tried("\"off\"", "next = [{ do = \"Wait.\", tried = \"Power cycle\" }]")]
#[case::lasts("\"off\"", "lasts = { at_most = \"6 min\" }")]
#[case::key_of_row("\"off\"", "color = \"red\"")]
fn both_refuse(#[case] shows: &str, #[case] more: &str) {
    let text = table(shows, more);
    assert!(parse("wrong.toml", &text).is_err(), "the parser takes {text}");
    assert_eq!(taken(&validator(), &text), Some(false), "the schema takes {text}");
}

/// Mistakes of sums, order and reference, which no schema sees: they are the parser's alone.
#[rstest]
#[case::colour_of_light("{ fixed = \"green\" }", "")]
#[case::on_too_long("{ flashing = \"red\", period = \"1 s\", on = \"1.2 s\" }", "")]
#[case::group_too_long("{ flashing = \"red\", period = \"2 s\", group = 4, apart = \"500 ms\" }", "")]
#[case::neighbours("{ steps = [\"red 1 s\", \"off 1 s\", \"red 2 s\"] }", "")]
#[case::backwards("{ sequence = [{ fixed = \"red\", for = \"5 s..2 s\" }] }", "")]
#[case::lasts_backwards("\"off\"", "lasts = { usual = \"6 min\", at_most = \"90 s\" }")]
#[case::never_tried("\"off\"", "next = [{ hand_on = \"Over\", after_tried = [\"reset\"] }]")]
#[case::too_fast("{ flashing = \"red\", rate = \"5000 Hz\" }", "")]
#[case::whole_tolerance("{ flashing = \"red\", rate = \"1 Hz\", within = \"100 %\" }", "")]
fn only_the_parser_refuses(#[case] shows: &str, #[case] more: &str) {
    let text = table(shows, more);
    assert!(parse("wrong.toml", &text).is_err(), "the parser takes {text}");
    assert_eq!(
        taken(&validator(), &text),
        Some(true),
        "note it above: the schema sees {text}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever the schema refuses the parser refuses, for quantities of all sorts and keys put anywhere.
    #[test]
    fn the_schema_is_never_stricter_than_the_parser(
        period in "[0-9]{0,3}(\\.[0-9]{0,2})?[ ]{0,2}(ms|s|min|h|Hz|/min|%|)",
        on in "[0-9]{1,3}(\\.[0-9]{1,2})? ?(ms|s|%)",
        stay in "([0-9]{1,2} ?s)?(\\.\\.)?([0-9]{1,2} ?s)?",
        key in "(period|rate|on|group|apart|each|within|for|times)",
        colour in "(red|blue|white|warm white|off|green)",
    ) {
        let validator = validator();
        for shows in [
            format!("{{ flashing = \"{colour}\", {key} = \"{period}\", on = \"{on}\" }}"),
            format!("{{ breathing = \"{colour}\", {key} = \"{period}\" }}"),
            format!("{{ steps = [\"{colour} {on}\", \"off{period}\"] }}"),
            format!("{{ sequence = [{{ fixed = \"{colour}\", for = \"{stay}\" }}, {{ off = true, {key} = \"{stay}\" }}] }}"),
        ] {
            let text = table(&shows, "");
            if taken(&validator, &text) == Some(false) {
                prop_assert!(parse("any.toml", &text).is_err(), "only the schema refuses {}", shows);
            }
        }
    }
}
