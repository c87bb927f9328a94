//! No text, however broken, brings the parser or the messages down.

use std::io::Write;
use std::path::Path;

use lampwise::table::{LoadError, ProblemKind, load, parse, same_look};
use proptest::prelude::*;

use super::{SOUND, broken, sound};

const WHOLE: &str = include_str!("../../models/tables/orchard-valve.toml");

/// Sound or not, everything that can be asked of the outcome can be asked.
fn swallow(text: &str) {
    match parse("any.toml", text) {
        Ok(table) => {
            for group in same_look(&table) {
                assert!(group.iter().all(|row| *row < table.meanings.len()), "rows exist");
            }
        }
        Err(error) => {
            assert!(!error.problems.is_empty(), "an error has a reason");
            for problem in &error.problems {
                assert!(
                    text.get(problem.at.clone()).is_some(),
                    "{problem:?} lies in the text"
                );
                assert!(!problem.kind.help().is_empty(), "{problem:?} has a way out");
            }
            assert!(error.render(false).contains("any.toml"), "the file is named");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text(text in ".{0,400}") {
        swallow(&text);
    }

    #[test]
    fn any_value_in_a_sound_table(value in "[\\PC\n]{0,40}") {
        swallow(&SOUND.replace("{ fixed = \"blue\" }", &value));
    }

    #[test]
    fn any_quantity(value in "[-0-9.,% smihnHz/]{0,12}") {
        swallow(&SOUND.replace("fixed = \"blue\"", &format!("flashing = \"blue\", period = \"{value}\", on = \"{value}\"")));
        swallow(&SOUND.replace("fixed = \"blue\"", &format!("sequence = [{{ off = true, for = \"{value}..{value}\" }}]")));
        swallow(&SOUND.replace("fixed = \"blue\"", &format!("steps = [\"blue {value}\", \"off{value}\"]")));
    }

    #[test]
    fn pieces_lost_doubled_and_swapped(cuts in prop::collection::vec((0..WHOLE.len(), 0..60_usize, 0..3_u8), 1..6)) {
        let mut text = WHOLE.to_owned();
        for (from, length, what) in cuts {
            let from = text.floor_char_boundary(from);
            let to = text.floor_char_boundary(from + length);
            let piece = text[from..to].to_owned();
            match what {
                0 => text.replace_range(from..to, ""),
                1 => text.insert_str(from, &piece),
                _ => text.replace_range(from..to, &piece.chars().rev().collect::<String>()),
            }
        }
        swallow(&text);
    }
}

#[test]
fn a_text_without_end_is_not_read() {
    let text = "#".repeat(300_000);
    let problem = &broken(&text).problems[0];
    assert_eq!(
        problem.kind,
        ProblemKind::TooBig {
            bytes: 300_000,
            limit: 262_144
        }
    );
}

#[test]
fn a_thousand_mistakes_are_not_all_described() {
    let text: String = (0..2000).map(|at| format!("key{at} = 1\n")).collect();
    assert_eq!(broken(&text).problems.len(), 100);
}

#[test]
fn the_worst_texts_take_no_long_time() {
    // Half of the keys again, and rows that are all alike: what costs the product of two counts.
    let keys: String = (0..12_000).map(|at| format!("key{at} = 1\n")).collect();
    let rows: String = (0..512)
        .map(|at| {
            format!("[[meaning]]\nid = \"row-{at}\"\nkind = \"off\"\ntitle = \"Off\"\nshows.crown = {{ steps = [{}] }}\n", {
                "\"red 1 s\", \"off 1 s\", ".repeat(16)
            })
        })
        .collect();
    let head = SOUND
        .split("[[meaning]]")
        .next()
        .expect("a split has a first part");
    let start = std::time::Instant::now();
    swallow(&format!("{keys}{}", &keys[..keys.len() / 2]));
    assert_eq!(same_look(&sound(&format!("{head}{rows}")))[0].len(), 512);
    assert!(start.elapsed().as_secs() < 10, "took {:?}", start.elapsed());
}

#[test]
fn deep_nesting_is_a_mistake_and_no_crash() {
    let text = format!("schema = {}{}", "[".repeat(50_000), "]".repeat(50_000));
    swallow(&text);
}

#[test]
fn files_that_are_no_tables_say_why() {
    let missing = load(Path::new("no/such/table.toml")).unwrap_err();
    assert!(matches!(missing, LoadError::Unreadable { .. }), "{missing}");
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(b"schema = 1\n\xff\xfe").unwrap();
    let binary = load(file.path()).unwrap_err();
    assert!(matches!(binary, LoadError::NotText { at: 11, .. }), "{binary}");
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(&vec![b'#'; 300_000]).unwrap();
    let big = load(file.path()).unwrap_err();
    assert!(matches!(big, LoadError::TooBig { .. }), "{big}");
}

#[test]
fn line_ends_of_other_systems_make_no_difference() {
    let table = parse("crlf.toml", &SOUND.replace('\n', "\r\n")).unwrap();
    assert_eq!(table.meanings[0].id, "starting");
}
