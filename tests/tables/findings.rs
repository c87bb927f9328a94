//! What a check says of sound tables: each finding on a table that must show it, and none where nothing is wrong.
//!
//! The forecast is made once for each table here, so the tables are small.

use lampwise::check::{FindingKind, Severity, check};
use lampwise::report::{Style, check_json, check_text};
use lampwise::table::{Source, parse};
use rstest::rstest;

/// A table of one row of a kind, with more lines; and other rows.
fn table(kind: &str, more: &str, others: &str) -> String {
    format!(
        "schema = 1\n[device]\nname = \"Test valve\"\n[[light]]\nid = \"crown\"\nlabel = \"the round lamp\"\n\
         colours = [\"white\", \"blue\", \"red\", \"amber\"]\n[[meaning]]\nid = \"one\"\nkind = \"{kind}\"\n\
         title = \"One\"\nshows.crown = {{ fixed = \"blue\" }}\n{more}\n{others}"
    )
}

fn row(id: &str, shows: &str) -> String {
    format!("[[meaning]]\nid = \"{id}\"\nkind = \"other\"\ntitle = \"{id}\"\nshows.crown = {shows}\n")
}

/// Codes with the text under the caret, by a table's text.
fn found(text: &str) -> Vec<(&'static str, String, Severity)> {
    let table = parse("test.toml", text).unwrap_or_else(|error| panic!("{}", error.render(false)));
    let (name, text) = ("test.toml".to_owned(), text.to_owned());
    let source = Source { name, text };
    let findings = check(&table, &source).findings;
    let under = |finding: &lampwise::check::Finding| source.text[finding.at.clone()].to_owned();
    findings
        .iter()
        .map(|finding| {
            assert!(
                !finding.kind.message().is_empty() && !finding.kind.help().is_empty(),
                "{finding:?}"
            );
            (finding.kind.code(), under(finding), finding.severity)
        })
        .collect()
}

#[rstest]
#[case::behind(
    "fault",
    "next = [{ hand_on = \"Over\" }, { do = \"Look.\" }]",
    "behind-hand-on",
    "{ do = \"Look.\" }"
)]
#[case::twice(
    "ready",
    "next = [{ do = \"Look.\", tried = \"look\" }, { do = \"Listen.\", tried = \"look\" }]",
    "tried-twice",
    "{ do = \"Listen.\", tried = \"look\" }"
)]
#[case::waits(
    "booting",
    "lasts = { usual = \"1 min\", at_most = \"2 min\" }\nnext = [{ do = \"Wait.\", until = \"6 min\" }]",
    "waits-too-long",
    "{ do = \"Wait.\", until = \"6 min\" }"
)]
#[case::too_soon(
    "booting",
    "lasts = { usual = \"10 min\" }\nnext = [{ do = \"Wait.\", until = \"3 min\" }, { do = \"Look.\", after = \"3 min\" }]",
    "too-soon",
    "{ do = \"Look.\", after = \"3 min\" }"
)]
#[case::gap(
    "booting",
    "next = [{ do = \"Wait.\", until = \"3 min\" }, { do = \"Look.\", after = \"5 min\" }]",
    "nothing-to-do",
    "{ do = \"Wait.\", until = \"3 min\" }"
)]
#[case::erases(
    "working",
    "next = [{ do = \"Reset.\", erases = true }]",
    "erases-in-service",
    "{ do = \"Reset.\", erases = true }"
)]
#[case::dead_end("fault", "next = [{ do = \"Look.\" }]", "no-hand-on", "{ do = \"Look.\" }")]
fn steps_that_cannot_be(#[case] kind: &str, #[case] more: &str, #[case] code: &str, #[case] under: &str) {
    let found = found(&table(kind, more, ""));
    let codes: Vec<_> = found
        .iter()
        .map(|(code, under, _)| (*code, under.as_str()))
        .collect();
    assert_eq!(codes, [(code, under)]);
}

const TRANSLATED: &str =
    "[translation.de]\n\"Test valve\" = \"Prüfventil\"\n\"the round lamp\" = \"die runde Lampe\"\n";

#[rstest]
#[case::whole("\"One\" = \"Eins\"\n", &[])]
#[case::a_text_is_missing("", &[("untranslated", "de")])]
#[case::not_to_the_letter("\"One\" = \"Eins\"\n[translation.DE]\n\"One\" = \"Eins\"\n", &[("unknown-language", "DE")])]
#[case::nobody_speaks_it("\"One\" = \"Eins\"\n[translation.deutsch]\n\"One\" = \"Eins\"\n", &[("unknown-language", "deutsch")])]
fn translations_are_whole_and_can_be_asked_for(#[case] more: &str, #[case] expected: &[(&str, &str)]) {
    let found = found(&table("ready", "", &format!("{TRANSLATED}{more}")));
    let found: Vec<_> = found
        .iter()
        .map(|(code, under, _)| (*code, under.as_str()))
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn a_hand_on_waits_for_what_its_own_row_tries() {
    let more = "next = [{ do = \"Look.\" }, { hand_on = \"Over\", after_tried = [\"reset\"] }]";
    let other = row("two", "{ fixed = \"red\" }") + "next = [{ do = \"Reset.\", tried = \"reset\" }]\n";
    let codes: Vec<_> = found(&table("fault", more, &other))
        .into_iter()
        .map(|one| one.0)
        .collect();
    assert_eq!(codes, ["never-tried-here"]);
    // Rows that look the same are one case to whoever reads them, so their steps count together.
    let same = row("two", "{ fixed = \"blue\" }") + "next = [{ do = \"Reset.\", tried = \"reset\" }]\n";
    let codes: Vec<_> = found(&table("fault", more, &same))
        .into_iter()
        .map(|one| one.0)
        .collect();
    assert_eq!(codes, ["same-look"]);
}

/// Two faults may share a rhythm; a fault that looks like a state that is well misleads people.
#[rstest]
#[case::of_one_kind("other", Severity::Note)]
#[case::of_two("fault", Severity::Warning)]
fn rows_that_look_the_same_are_worse_where_they_are_of_two_kinds(
    #[case] kind: &str,
    #[case] expected: Severity,
) {
    let same = row("two", "{ fixed = \"blue\" }");
    let more = "next = [{ hand_on = \"Over\" }]";
    let severities: Vec<_> = found(&table(kind, more, &same))
        .into_iter()
        .map(|(code, _, severity)| (code, severity))
        .collect();
    assert_eq!(severities, [("same-look", expected)]);
}

#[rstest]
#[case::prefix(
    "{ sequence = [{ fixed = \"red\", for = \"2 s..4 s\" }] }",
    "{ sequence = [{ fixed = \"red\", for = \"3 s..\" }, { fixed = \"white\", for = \"1 s..2 s\" }] }",
    "prefix"
)]
#[case::begins(
    "{ sequence = [{ fixed = \"blue\", for = \"2 s..4 s\" }, { fixed = \"white\", for = \"2 s..4 s\" }] }",
    "{ fixed = \"red\" }",
    "begins-like"
)]
#[case::ends(
    "{ sequence = [{ fixed = \"white\", for = \"2 s..4 s\" }, { fixed = \"blue\", for = \"2 s..4 s\" }] }",
    "{ fixed = \"red\" }",
    "ends-like"
)]
fn sequences_that_look_like_others(#[case] one: &str, #[case] other: &str, #[case] code: &str) {
    let rows = row("two", one) + &row("three", other);
    let found = found(&table("other", "", &rows));
    assert!(
        found
            .iter()
            .any(|(found, under, _)| *found == code && under == one),
        "{found:?}"
    );
}

/// 60 frames a second show up to 30 Hz (Nyquist), 30 up to 15; a tolerance of 15 % counts at its fast end.
#[rstest]
#[case("12 Hz", &[24.0])]
#[case("14 Hz", &[24.0, 30.0])]
#[case("40 Hz", &[24.0, 30.0, 60.0])]
fn rates_beyond_nyquist(#[case] rate: &str, #[case] expected: &[f64]) {
    let rows = row(
        "two",
        &format!("{{ flashing = \"red\", rate = \"{rate}\", on = \"50 %\" }}"),
    );
    let text = table("other", "", &rows);
    let table = parse("test.toml", &text).unwrap();
    let source = Source {
        name: "test.toml".to_owned(),
        text,
    };
    let findings = check(&table, &source).findings;
    let fps = findings.iter().find_map(|finding| match &finding.kind {
        FindingKind::TooFast { fps, .. } => Some(fps.clone()),
        _ => None,
    });
    assert_eq!(fps.unwrap(), expected);
}

#[test]
fn near_colours_are_shown_with_both_places() {
    let rows = row("two", "{ fixed = \"red\" }") + &row("three", "{ fixed = \"amber\" }");
    let text = table("other", "", &rows);
    let table = parse("test.toml", &text).unwrap();
    let source = Source {
        name: "test.toml".to_owned(),
        text,
    };
    let found = check(&table, &source);
    assert!(!found.is_fine());
    let text = check_text(&table, &source, &found, &Style { colour: false });
    assert!(text.starts_with("Test valve: 3 rows, 1 warning.\n"), "{text}");
    assert!(
        text.contains("warning: `two` and `three` differ only as red from amber"),
        "{text}"
    );
    assert!(
        text.contains("--> test.toml:23:15") && text.contains("the same in a near colour"),
        "{text}"
    );
    let json = check_json(&table, &source, &found);
    assert_eq!(json["schema"], 1);
    assert_eq!(json["fine"], false);
    let finding = &json["findings"][0];
    assert_eq!(
        (&finding["code"], &finding["severity"]),
        (&"near-colours".into(), &"warning".into())
    );
    assert_eq!(finding["rows"], serde_json::json!(["two", "three"]));
    assert_eq!(finding["from"], serde_json::json!({ "line": 23, "column": 15 }));
    let pairs = json["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 3, "every two rows");
    assert!(pairs.iter().all(|pair| {
        pair["confusion"]
            .as_array()
            .is_some_and(|by_fps| by_fps.len() == 3)
    }));
}
