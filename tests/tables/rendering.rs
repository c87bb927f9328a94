//! How mistakes look to who wrote them.

use std::path::{Path, PathBuf};

use lampwise::table::{LoadError, TableError, load};

use super::{broken, showing};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/tables")
        .join(name)
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
    insta::assert_snapshot!(mistakes("slips.toml").render(false), @r#"
    error: `bootin` is no kind of meaning
      --> slips.toml:13:15
       |
    13 | kind        = "bootin"
       |               ^^^^^^^^
       |
       = help: did you mean `booting`?

    error: `blu` is no colour
      --> slips.toml:15:29
       |
    15 | shows.crown = { breathing = "blu", period = "2.4 sec" }
       |                             ^^^^^
       |
       = help: did you mean `blue`?

    error: `sec` is no unit of time
      --> slips.toml:15:50
       |
    15 | shows.crown = { breathing = "blu", period = "2.4 sec" }
       |                                                  ^^^
       |
       = help: did you mean `s`?

    error: `titel` means nothing in a `[[meaning]]`
      --> slips.toml:20:1
       |
    20 | titel       = "In service"
       | ^^^^^
       |
       = help: did you mean `title`?

    error: there is no light `crwon`
      --> slips.toml:21:7
       |
    21 | shows.crwon = { fixed = "white" }
       |       ^^^^^
       |
       = help: did you mean `crown`?

    error: light `crown` has no red
      --> slips.toml:27:28
       |
     9 | colours = ["white", "blue"]
       |           ----------------- its colours
    ...
    27 | shows.crown = { flashing = "red", period = "2.4" }
       |                            ^^^^^
       |
       = help: use `white` or `blue`, or add "red" to the light's `colours`

    error: `2.4` has no unit
      --> slips.toml:27:45
       |
    27 | shows.crown = { flashing = "red", period = "2.4" }
       |                                             ^^^
       |
       = help: write "2.4 s"
    "#);
}

#[test]
fn things_that_are_there_twice() {
    insta::assert_snapshot!(mistakes("twice.toml").render(false), @r#"
    error: colour `white` is there twice
     --> twice.toml:9:29
      |
    9 | colours = ["white", "blue", "white"]
      |            -------          ^^^^^^^
      |            |
      |            first here
      |
      = help: each colour stands once; rename or remove one

    error: meaning `starting` is there twice
      --> twice.toml:18:15
       |
    12 | id          = "starting"
       |               ---------- first here
    ...
    18 | id          = "starting"
       |               ^^^^^^^^^^
       |
       = help: each meaning stands once; rename or remove one
    "#);
}

#[test]
fn a_key_that_is_there_twice() {
    insta::assert_snapshot!(mistakes("key-twice.toml").render(false), @r#"
    error: `label` is written twice
      --> key-twice.toml:10:1
       |
     8 | label   = "the round lamp"
       | ----- first here
     9 | colours = ["white", "blue"]
    10 | label   = "the same again"
       | ^^^^^
       |
       = help: keep one of the two
    "#);
}

#[test]
fn timings_that_cannot_be() {
    insta::assert_snapshot!(mistakes("impossible.toml").render(false), @r#"
    error: lit for 1.2 s does not fit into 1 s from one flash to the next
      --> impossible.toml:15:56
       |
    15 | shows.crown = { flashing = "red", period = "1 s", on = "1.2 s" }
       |                                                        ^^^^^^^
       |
       = help: make the lit part shorter than 1 s

    error: 4 flashes 0.5 s apart leave no pause in a period of 2 s
      --> impossible.toml:21:51
       |
    21 | shows.crown = { flashing = "red", period = "2 s", group = 4, apart = "500 ms" }
       |                                                   ^^^^^
       |
       = help: a period goes from the first flash of a group to the first of the next: more than 2 s here

    error: `0 ms` is not more than nothing
      --> impossible.toml:27:31
       |
    27 | shows.crown = { steps = ["red 0 ms", "off 1 s"] }
       |                               ^^^^
       |
       = help: leave it out if it does not happen
    "#);
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
    let expected =
        "the light table test.toml has 1 mistake, the first in line 15, column 25: `blu` is no colour";
    assert_eq!(error.to_string(), expected);
}

#[test]
fn columns_count_characters() {
    let error = broken(&showing("{ fixed = \"blu\" } # ü").replace("shows.crown", "\"shows\".\"crown\""));
    assert_eq!(error.line_column(error.problems[0].at.start), (15, 29));
    let error = broken("schema = 1\n\"ü\" = 1 # two bytes\n\"ü\" = 2");
    assert_eq!(error.line_column(error.problems[0].at.end), (3, 4));
}
