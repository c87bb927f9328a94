//! Every mistake outside `shows` gives its variant, the place under the caret, the line and the way out.

use lampwise::table::{MOST_LIGHTS, Problem, ProblemKind};
use rstest::rstest;

use super::{SOUND, broken, followed_by, with};

/// The only problem of a text, with the text under its caret.
#[track_caller]
pub(crate) fn only(text: &str) -> (Problem, &str) {
    let error = broken(text);
    assert_eq!(error.problems.len(), 1, "{}", error.render(false));
    let problem = error.problems[0].clone();
    let under = &text[problem.at.clone()];
    (problem, under)
}

#[rstest]
#[case::kind("\"booting\"", "\"bootin\"", "\"bootin\"", 13, "did you mean `booting`?")]
#[case::far_kind(
    "\"booting\"",
    "\"tired\"",
    "\"tired\"",
    13,
    "use `booting`, `ready`, `working`, `updating`, `fault`, `reset-acknowledged`, `reset-aborted`, `off` or `other`"
)]
#[case::light("shows.crown", "shows.crwn", "crwn", 15, "did you mean `crown`?")]
#[case::key_of_a_row("title ", "titel ", "titel", 14, "did you mean `title`?")]
#[case::key_of_a_light("colours", "colors", "colors", 9, "did you mean `colours`?")]
#[case::section("[device]", "[devise]", "devise", 3, "did you mean `device`?")]
#[case::schema(
    "schema = 1",
    "schema = 2",
    "2",
    1,
    "write `schema = 1`, or get the program that goes with the table"
)]
#[case::no_schema("schema = 1", "# schema", "# schema", 1, "add a line such as `schema = 1`")]
#[case::quoted_schema("schema = 1", "schema = \"1\"", "\"1\"", 1, "write it like `schema = 1`")]
#[case::one_bracket("[[meaning]]", "[meaning]", "[meaning]", 11, "write it like `[[meaning]]`")]
#[case::id(
    "\"starting\"",
    "\"Starting up!\"",
    "\"Starting up!\"",
    12,
    "use small letters, digits, `-` and `_`, a letter first, at most 64: `starting-up-`"
)]
#[case::empty_title("\"Starting up\"", "\" \"", "\" \"", 14, "fill it in")]
#[case::control(
    "\"Starting up\"",
    "\"Starting\\u001b[2J\"",
    "\"Starting\\u001b[2J\"",
    14,
    "write it on one line of plain text"
)]
#[case::colour_twice(
    "\"blue\",",
    "\"white\",",
    "\"white\"",
    9,
    "each colour stands once; rename or remove one"
)]
#[case::no_colours("[\"white\", \"blue\", \"red\", \"warm white\"]", "[]", "[]", 9, "fill it in")]
fn refuses_the_frame(
    #[case] piece: &str,
    #[case] other: &str,
    #[case] under: &str,
    #[case] line: usize,
    #[case] help: &str,
) {
    let text = with(piece, other);
    let error = broken(&text);
    let problem = error
        .problems
        .iter()
        .find(|problem| text[problem.at.clone()] == *under)
        .unwrap_or_else(|| panic!("{}", error.render(false)));
    assert_eq!(error.line_column(problem.at.start).0, line);
    assert_eq!(problem.kind.help(), help);
}

#[rstest]
#[case::lasts_backwards("lasts = { usual = \"6 min\", at_most = \"90 s\" }",
    ProblemKind::WrongOrder { earlier: "usual", later: "at_most", earlier_s: 360.0, later_s: 90.0 })]
#[case::never("next = [{ do = \"Wait.\", after = \"6 min\", until = \"6 min\" }]",
    ProblemKind::WrongOrder { earlier: "after", later: "until", earlier_s: 360.0, later_s: 360.0 })]
#[case::both("next = [{ do = \"Wait.\", hand_on = \"Over\" }]", ProblemKind::Exclusive { first: "do", second: "hand_on" })]
#[case::neither("next = [{ after = \"6 min\" }]",
    ProblemKind::MissingKey { key: "do`, `hand_on` or `include", inside: "a step", example: "do = \"Wait until the lamp changes.\"" })]
#[case::unknown_condition("next = [{ do = \"Fill it.\", unless = \"tank-full\" }]",
    ProblemKind::UnknownCondition { word: "tank-full".to_owned(), nearest: None, known: Vec::new() })]
#[case::when_and_unless("next = [{ do = \"Fill it.\", when = \"a\", unless = \"a\" }]",
    ProblemKind::Exclusive { first: "when", second: "unless" })]
#[case::two_clocks("next = [{ do = \"Wait.\", until = \"6 min\", powered_until = \"8 min\" }]",
    ProblemKind::Exclusive { first: "until` or `after", second: "powered_until` or `powered_after" })]
#[case::unknown_procedure("next = [{ include = \"no-lihgt\" }]",
    ProblemKind::UnknownProcedure { word: "no-lihgt".to_owned(), nearest: Some("no-light"), known: vec!["no-light", "start-up", "network"] })]
#[case::never_tried("next = [{ do = \"Unplug.\", tried = \"power-cycle\" }, { hand_on = \"Over\", after_tried = [\"power-cicle\"] }]",
    ProblemKind::NeverTried { word: "power-cicle".to_owned(), nearest: Some("power-cycle".to_owned()), known: vec!["power-cycle".to_owned()] })]
#[case::nothing_tried("next = [{ hand_on = \"Over\", after_tried = [\"reset\"] }]",
    ProblemKind::NeverTried { word: "reset".to_owned(), nearest: None, known: vec![] })]
#[case::erases("next = [{ do = \"Reset.\", erases = 1 }]",
    ProblemKind::WrongType { wanted: "`true`, `false` or what it erases", found: "a whole number", example: "erases = \"the watering plan and the row number\"" })]
fn refuses_the_procedure(#[case] lines: &str, #[case] kind: ProblemKind) {
    let text = followed_by(lines);
    let (problem, _) = only(&text);
    assert_eq!(problem.kind, kind);
    assert_eq!(broken(&text).line_column(problem.at.start).0, 16);
}

#[test]
fn the_same_id_twice_shows_both_places() {
    let row = SOUND.split_once("[[meaning]]").unwrap().1;
    let text = format!("{SOUND}\n[[meaning]]{row}");
    let (problem, under) = only(&text);
    let ProblemKind::Duplicate { what, word, first } = &problem.kind else {
        panic!("{problem:?}")
    };
    assert_eq!(
        (*what, word.as_str(), under),
        ("meaning", "starting", "\"starting\"")
    );
    let error = broken(&text);
    assert_eq!(
        (
            error.line_column(first.start).0,
            error.line_column(problem.at.start).0
        ),
        (12, 18)
    );
}

#[test]
fn the_same_key_twice_shows_both_places() {
    let text = followed_by("title = \"Again\"");
    let (problem, under) = only(&text);
    let ProblemKind::DuplicateKey {
        key,
        first: Some(first),
    } = &problem.kind
    else {
        panic!("{problem:?}")
    };
    assert_eq!((key.as_str(), under), ("title", "title"));
    let error = broken(&text);
    assert_eq!(
        (
            error.line_column(first.start),
            error.line_column(problem.at.start)
        ),
        ((14, 1), (16, 1))
    );
}

/// What follows is not called wrong for that.
#[rstest]
#[case::open_text("\"Starting up\"", "\"Starting up", 14)]
#[case::several_lines(
    "[device]",
    "\"#;\n    let table = parse(text);\n    let row = 0;\n[device]",
    3
)]
fn what_is_no_toml_is_shown_where_it_breaks(#[case] piece: &str, #[case] other: &str, #[case] line: usize) {
    let text = with(piece, other);
    let error = broken(&text);
    let [
        Problem {
            kind: ProblemKind::Syntax { .. },
            at,
        },
    ] = &error.problems[..]
    else {
        panic!("{error:?}");
    };
    assert_eq!(error.line_column(at.start).0, line);
}

#[test]
fn all_mistakes_come_at_once_and_in_order() {
    let text = SOUND
        .replace("\"booting\"", "\"bootin\"")
        .replace(
            "{ fixed = \"blue\" }",
            "{ flashing = \"blu\", perod = \"2\", on = \"1\" }",
        )
        .replace("[device]", "[device]\nmodel = 3");
    let error = broken(&text);
    let under: Vec<_> = error
        .problems
        .iter()
        .map(|problem| &text[problem.at.clone()])
        .collect();
    assert_eq!(under, ["model", "\"bootin\"", "\"blu\"", "perod", "1"]);
}

#[test]
fn a_light_that_cannot_be_read_makes_no_further_mistakes() {
    let text = with("id      = \"crown\"", "id      = 7");
    let (problem, under) = only(&text);
    assert!(
        matches!(problem.kind, ProblemKind::WrongType { .. }),
        "{problem:?}"
    );
    assert_eq!(under, "7");
}

#[test]
fn an_empty_text_says_what_it_needs() {
    let missing: Vec<_> = broken("")
        .problems
        .into_iter()
        .map(|problem| problem.kind)
        .collect();
    let keys: Vec<_> = missing
        .iter()
        .map(|kind| match kind {
            ProblemKind::MissingKey { key, .. } => *key,
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(keys, ["schema", "device", "light", "meaning"]);
}

/// Every way in which the lamps of a clip may be the lights is tried, so that there may not be many.
#[test]
fn a_panel_of_more_lights_takes_several_tables() {
    let lights: Vec<String> = (0..MOST_LIGHTS)
        .map(|light| format!("[[light]]\nid = \"l{light}\"\nlabel = \"the lamp\"\ncolours = [\"red\"]"))
        .collect();
    let text = followed_by(&lights.join("\n"));
    let (problem, _) = only(&text);
    assert!(matches!(problem.kind, ProblemKind::TooMany { found, most, .. } if found == most + 1));
}
