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
    insta::assert_snapshot!(text(&findings, &advice, &Style::default()), @r#"
    Die Lampe bedeutet „Startet“ (sehr sicher, 97 %).

    Jetzt zu tun:
      Vorsicht: Das Gerät tauscht vielleicht gerade seine Firmware aus. Lassen Sie
                den Strom angeschlossen, bis es fertig ist.
      Das dauert gewöhnlich 90 s, höchstens 6 min.
      1. Während der ersten 6 min: Wait until the lamp changes. Leave the power
         connected.
      2. Vorsicht: Nur mit trockenen Händen. Öffnen Sie keine Geräte, die unter
         Netzspannung stehen. Steigen Sie nur auf eine gesicherte Leiter, und nur,
         wenn jemand dabei ist. Die Regeln vor Ort, die örtlichen Vorschriften für
         Elektroanlagen und das, was Fachleuten vorbehalten ist, gehen vor.
         Erst nach 6 min in diesem Zustand: Prüfen Sie das Netzteil.

    Worauf das beruht:
      Aufnahme:  ein Video von 9,8 s, 294 Einzelbilder (29,97 je Sekunde), 1920 x
                 1080 Bildpunkte
      Tabelle:   Orchard valve controller (6 Zeilen)
      Wann:
          0,0 bis   9,8 s  Startet (97 %)
      Lampe „crown“, the round lamp above the hose inlet:
        Ort       612 nach rechts, 340 nach unten, Radius 7,5 Bildpunkte; sieht aus
                  wie eine Lampe: 98 %
        Farbe     blau (99 %)
        Rhythmus  wird langsam heller und dunkler
        Durchgang 2,41 ± 0,02 s
        leuchtete 4 Mal
        im Bild   100 % der Einzelbilder
        0 s __bbBBBBBBbb___bbbBBBBBBbb___bbBBBBBBbbb___bbBBBBBBbb___ 9,8 s
            B blau, kleiner Buchstabe halb hell, _ dunkel
      Es könnte auch sein:
        - Updating its firmware (2 %)
        - etwas, das nicht in der Tabelle steht (1 %)
    Warnungen:
      - Das Telefon wurde bewegt: 12 Bildpunkte von Bild zu Bild. Stützen Sie das
        Telefon an etwas Festem ab und halten Sie es ruhig. [hand-shake]
    "#);
}

/// Words that only English has, in no text that the table did not write itself.
#[test]
fn no_english_is_left_and_no_line_is_wider_than_the_page() {
    let english = [
        " the ", " and ", " of ", " is ", " not ", "Film the", " lit ", " clip", " frames",
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
            for step in advise(&table, &reading, &facts)
                .next
                .iter()
                .filter(|step| own && step.asks.is_none())
            {
                assert!(!step.sentence().contains(" the "), "{}", step.sentence());
            }
        }
    }
}
