//! How mistakes look to who wrote them.

use std::path::{Path, PathBuf};

use lampwise::table::{LoadError, TableError, load};

use super::{broken, showing};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tables").join(name)
}

/// The mistakes of a file, under its bare name so that the test does not depend on the folder.
fn mistakes(name: &str) -> TableError {
    match load(&fixture(name)) {
        Err(LoadError::Broken(mut error)) => {
            name.clone_into(&mut error.name);
            error
        }
        other => panic!("{name} holds mistakes: {other:?}"),
    }
}

#[test]
fn slips_of_the_pen() {
    insta::assert_snapshot!(mistakes("slips.toml").render(false), @"");
}

#[test]
fn things_that_are_there_twice() {
    insta::assert_snapshot!(mistakes("twice.toml").render(false), @"");
}

#[test]
fn a_key_that_is_there_twice() {
    insta::assert_snapshot!(mistakes("key-twice.toml").render(false), @"");
}

#[test]
fn timings_that_cannot_be() {
    insta::assert_snapshot!(mistakes("impossible.toml").render(false), @"");
}

#[test]
fn plain_text_has_no_terminal_codes_unless_asked_for() {
    let error = broken(&showing("{ fixed = \"blu\" }"));
    assert!(!error.render(false).contains('\u{1b}'));
    assert!(error.render(true).contains('\u{1b}'));
}

#[test]
fn in_one_line_it_says_how_many_and_where() {
    let error = broken(&showing("{ fixed = \"blu\" }"));
    let expected = "the light table test.toml has 1 mistake, the first in line 15, column 25: `blu` is no colour";
    assert_eq!(error.to_string(), expected);
}

#[test]
fn columns_count_characters() {
    let error = broken(&showing("{ fixed = \"blu\" } # ü").replace("shows.crown", "\"shows\".\"crown\""));
    assert_eq!(error.line_column(error.problems[0].at.start), (15, 29));
    let error = broken("schema = 1\n\"ü\" = 1 # two bytes\n\"ü\" = 2");
    assert_eq!(error.line_column(error.problems[0].at.end), (3, 4));
}
