//! The whole report in another language.

use crate::table::parse;
use crate::words::Language;

use super::*;

fn german<'a>(findings: &'a Findings<'a>) -> (Findings<'a>, Advice) {
    let findings = Findings {
        language: Language::German,
        ..findings.clone()
    };
    let facts = Facts {
        seen: findings.seen(),
        language: Language::German,
        ..Facts::default()
    };
    let advice = match &findings.judged {
        Some(judged) => advise(judged.table, &judged.reading, &facts),
        None => advise_without_table(&facts),
    };
    (findings, advice)
}

#[test]
fn text_of_a_decided_reading_in_german() {
    let mut table = crate::advice::samples::table();
    let texts = [
        ("Starting up", "Startet"),
        (
            "Check that the supply is the one for this controller.",
            "Prüfen Sie das Netzteil.",
        ),
    ];
    let texts = texts.map(|(text, german)| (text.to_owned(), german.to_owned()));
    table.translations = [("de".to_owned(), texts.into())].into();
    let findings = decided(&table);
    let (findings, advice) = german(&findings);
    insta::assert_snapshot!(text(&findings, &advice, &Style::default()), @r#""#);
}

/// Words that only English has, in no text that the table did not write itself.
#[test]
fn no_english_is_left_and_no_line_is_wider_than_the_page() {
    let english = [
        " the ", " and ", " of ", " is ", " not ", "Film ", " lit ", " clip", " frames",
    ];
    let mut table = crate::advice::samples::table();
    // What the table says stays as it is where nobody translated it; so it says next to nothing here.
    table.device.name = "Gerät".into();
    table.lights[0].label = "Lampe".into();
    for meaning in &mut table.meanings {
        meaning.title = "Zustand".into();
        meaning.next.clear();
    }
    for findings in all(&table) {
        let (findings, advice) = german(&findings);
        let pages = [
            text(&findings, &advice, &Style::default()),
            html(&findings, &advice, &[], ""),
        ];
        for page in &pages {
            let body = page.split("</style>").last().unwrap_or_default();
            for word in english {
                assert!(!body.contains(word), "{word:?} in {body}");
            }
        }
        assert!(
            pages[0].lines().all(|line| line.chars().count() <= 80),
            "{}",
            pages[0]
        );
        assert!(pages[1].contains("<html lang=\"de\">"));
    }
}

/// A table that claims a language has all of its texts in it, those of the procedures that it includes too.
#[test]
fn the_shipped_table_and_procedures_are_wholly_translated() {
    for (file, own) in [("orchard-valve.toml", true), ("radio-hub.toml", false)] {
        let path = format!("{}/models/tables/{file}", env!("CARGO_MANIFEST_DIR"));
        let table = parse(file, &std::fs::read_to_string(path).unwrap()).unwrap();
        for row in 0..table.meanings.len() {
            let facts = Facts {
                language: Language::German,
                ..Facts::default()
            };
            let reading = crate::advice::samples::reading(crate::meaning::Outcome::Decided { row }, 0.97);
            let own = own || ["dark", "no-network"].contains(&table.meanings[row].id.as_str());
            for step in advise(&table, &reading, &facts).next.iter().filter(|_| own) {
                assert!(!step.sentence().contains(" the "), "{}", step.sentence());
            }
        }
    }
}
