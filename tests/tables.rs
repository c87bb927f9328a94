//! Light tables from the outside: what is read, what is refused and how, what the shipped tables say.

#[path = "tables/findings.rs"]
mod findings;
#[path = "tables/forms.rs"]
mod forms;
#[path = "tables/mistaken_shows.rs"]
mod mistaken_shows;
#[path = "tables/mistakes.rs"]
mod mistakes;
#[path = "tables/patterns.rs"]
mod patterns;
#[path = "tables/preview.rs"]
mod preview;
#[path = "tables/rendering.rs"]
mod rendering;
#[path = "tables/robust.rs"]
mod robust;
#[path = "tables/shipped.rs"]
mod shipped;

use lampwise::table::{LightTable, Shows, TableError, parse};

/// A sound table with one row; the tests put mistakes into it.
const SOUND: &str = r#"schema = 1

[device]
name = "Test valve"

[[light]]
id      = "crown"
label   = "the round lamp"
colours = ["white", "blue", "red", "warm white"]

[[meaning]]
id          = "starting"
kind        = "booting"
title       = "Starting up"
shows.crown = { fixed = "blue" }
"#;

/// The sound table with one piece of its text replaced.
fn with(piece: &str, other: &str) -> String {
    assert_eq!(SOUND.matches(piece).count(), 1, "{piece} must be there once");
    SOUND.replace(piece, other)
}

/// The sound table with another `shows.crown`.
fn showing(shows: &str) -> String {
    with("{ fixed = \"blue\" }", shows)
}

/// The sound table with further lines at its end, that is in its row.
fn followed_by(lines: &str) -> String {
    format!("{SOUND}{lines}\n")
}

#[track_caller]
fn sound(text: &str) -> LightTable {
    parse("test.toml", text).unwrap_or_else(|error| panic!("{}", error.render(false)))
}

#[track_caller]
fn broken(text: &str) -> TableError {
    parse("test.toml", text).expect_err("the table holds a mistake")
}

#[track_caller]
fn shows(written: &str) -> Shows {
    sound(&showing(written)).meanings[0].shows[0].shows.clone()
}
