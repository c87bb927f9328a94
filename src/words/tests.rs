//! The catalogues against each other and against the source that uses them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use super::*;

/// Every message with its variables, read line by line: a message starts in the first column, and `$` begins a
/// variable. Naive on purpose, so that it does not share the parser's mistakes.
fn messages(source: &str) -> BTreeMap<String, BTreeSet<String>> {
    let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut current = String::new();
    for line in source.lines().filter(|line| !line.starts_with('#')) {
        if let Some((id, _)) = line
            .split_once(" =")
            .filter(|_| line.starts_with(|c: char| c.is_ascii_lowercase()))
        {
            current = id.to_owned();
            assert!(
                found.insert(id.to_owned(), BTreeSet::new()).is_none(),
                "{id} is there twice"
            );
        }
        let variables = line.split('$').skip(1).map(|rest| {
            rest.chars()
                .take_while(|c| c.is_ascii_alphanumeric() || *c == '-')
                .collect::<String>()
        });
        if let Some(known) = found.get_mut(&current) {
            known.extend(variables);
        }
    }
    found
}

#[test]
fn every_language_has_the_same_texts_with_the_same_variables() {
    let english = messages(Language::English.source());
    assert!(english.len() > 50, "{} texts were read", english.len());
    for language in Language::ALL {
        let own = messages(language.source());
        for (id, variables) in &english {
            assert_eq!(own.get(id), Some(variables), "{id} in {}", language.code());
        }
        assert_eq!(
            own.len(),
            english.len(),
            "{} has texts of its own",
            language.code()
        );
    }
}

/// Names of texts in the source: what stands in quotes after `say(`, `with(`, and what functions give that end in
/// `_id`, whose names all begin as a text of the catalogue does.
#[test]
fn every_text_that_the_source_names_is_there_and_every_text_is_used() {
    let known = messages(Language::English.source());
    let mut source = String::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.to_string_lossy().contains("tests") {
                source.push_str(&std::fs::read_to_string(path).unwrap());
            }
        }
    }
    let squeezed: String = source.split_whitespace().collect();
    for call in [".say(\"", ".with(\"", "say(language,\"", "say_with(language,\""] {
        for rest in squeezed.split(call).skip(1) {
            let id = rest.split('"').next().unwrap_or_default();
            assert!(
                known.contains_key(id),
                "the source says {id}, which is in no catalogue"
            );
        }
    }
    for id in known.keys() {
        assert!(source.contains(&format!("\"{id}\"")), "{id} is never said");
    }
}

#[test]
fn numbers_follow_the_language() {
    assert_eq!(Words::new(Language::English).number(2.405, 1), "2.4");
    assert_eq!(Words::new(Language::German).number(2.405, 1), "2,4");
}

#[test]
fn languages_go_by_their_code() {
    assert_eq!("de".parse(), Ok(Language::German));
    assert!(
        "xx".parse::<Language>()
            .unwrap_err()
            .to_string()
            .contains("en and de")
    );
}
