//! Every mistake gives its variant, the place under the caret, the line and the way out.

use lampwise::colour::ColourName::{self, Blue, Green, Red, WarmWhite, White};
use lampwise::table::{Problem, ProblemKind};
use rstest::rstest;

use super::{SOUND, broken, followed_by, showing, with};

/// The only problem of a text, with the text under its caret.
#[track_caller]
fn only(text: &str) -> (Problem, &str) {
    let error = broken(text);
    assert_eq!(error.problems.len(), 1, "{}", error.render(false));
    let problem = error.problems[0].clone();
    let under = &text[problem.at.clone()];
    (problem, under)
}

/// A mistake in `shows.crown`, which stands in line 15.
#[track_caller]
fn check_shows(shows: &str, under: &str, kind: &ProblemKind, help: &str) {
    let text = showing(shows);
    let (problem, found) = only(&text);
    assert_eq!(&problem.kind, kind);
    assert_eq!(found, under);
    assert_eq!(problem.kind.help(), help);
    assert_eq!(broken(&text).line_column(problem.at.start).0, 15);
}

fn no_unit(number: &str, proposal: &str) -> ProblemKind {
    ProblemKind::NoUnit { number: number.to_owned(), proposal: proposal.to_owned() }
}

#[rstest]
#[case::text("period = \"2.4\"", "2.4", no_unit("2.4", "2.4 s"), "write \"2.4 s\"")]
#[case::number("period = 2.4", "2.4", no_unit("2.4", "2.4 s"), "write \"2.4 s\"")]
#[case::rate("rate = \"2\"", "2", no_unit("2", "2 Hz"), "write \"2 Hz\"")]
#[case::within("period = \"1 s\", within = 20", "20", no_unit("20", "20 %"), "write \"20 %\"")]
#[case::comma(
    "period = \"2,4 s\"", "2,4 s",
    ProblemKind::DecimalComma { text: "2,4 s".to_owned(), proposal: "2.4 s".to_owned() },
    "write \"2.4 s\""
)]
#[case::unit(
    "period = \"2.4 secs\"", "secs",
    ProblemKind::UnknownUnit { unit: "secs".to_owned(), quantity: "time", nearest: Some("s"), known: vec!["ms", "s", "min", "h"] },
    "did you mean `s`?"
)]
#[case::far_unit(
    "period = \"2.4 parsec\"", "parsec",
    ProblemKind::UnknownUnit { unit: "parsec".to_owned(), quantity: "time", nearest: None, known: vec!["ms", "s", "min", "h"] },
    "use `ms`, `s`, `min` or `h`"
)]
#[case::rate_unit(
    "rate = \"90 per min\"", "per min",
    ProblemKind::UnknownUnit { unit: "per min".to_owned(), quantity: "rate", nearest: Some("/min"), known: vec!["Hz", "/min"] },
    "did you mean `/min`?"
)]
#[case::no_number(
    "period = \"fast\"", "fast",
    ProblemKind::NoNumber { text: "fast".to_owned(), example: "\"2.4 s\" or \"150 ms\"" },
    "write a number and its unit, such as \"2.4 s\" or \"150 ms\""
)]
#[case::zero(
    "period = \"0 s\"", "0 s",
    ProblemKind::NotPositive { text: "0 s".to_owned() },
    "leave it out if it does not happen"
)]
#[case::negative(
    "period = \"-2 s\"", "-2 s",
    ProblemKind::NotPositive { text: "-2 s".to_owned() },
    "leave it out if it does not happen"
)]
#[case::no_time_at_all(
    "period = \"2 s\", on = \"0 %\"", "0 %",
    ProblemKind::NotPositive { text: "0 %".to_owned() },
    "leave it out if it does not happen"
)]
#[case::too_short(
    "period = \"0.2 ms\"", "0.2 ms",
    ProblemKind::OutOfRange { what: "a time", least: "1 ms", most: "366 days" },
    "use 1 ms to 366 days"
)]
#[case::too_long(
    "period = \"9000 h\"", "9000 h",
    ProblemKind::OutOfRange { what: "a time", least: "1 ms", most: "366 days" },
    "use 1 ms to 366 days"
)]
#[case::within_everything(
    "period = \"1 s\", within = \"100 %\"", "100 %",
    ProblemKind::OutOfRange { what: "a share", least: "0 %", most: "less than 100 %" },
    "use 0 % to less than 100 %"
)]
fn refuses_quantities(#[case] timing: &str, #[case] under: &str, #[case] kind: ProblemKind, #[case] help: &str) {
    check_shows(&format!("{{ flashing = \"red\", {timing} }}"), under, &kind, help);
}

#[rstest]
#[case::on_as_long_as_the_period(
    "period = \"1 s\", on = \"1 s\"", "\"1 s\"",
    ProblemKind::OnTooLong { on_s: 1.0, slot_s: 1.0 },
    "make the lit part shorter than 1 s"
)]
#[case::on_as_long_as_the_gap(
    "period = \"3 s\", on = \"600 ms\", group = 2, apart = \"500 ms\"", "\"600 ms\"",
    ProblemKind::OnTooLong { on_s: 0.6, slot_s: 0.5 },
    "make the lit part shorter than 0.5 s"
)]
#[case::group_without_a_pause(
    "period = \"2 s\", group = 4, apart = \"500 ms\"", "group",
    ProblemKind::GroupDoesNotFit { group: 4, apart_s: 0.5, period_s: 2.0 },
    "a period goes from the first flash of a group to the first of the next: more than 2 s here"
)]
#[case::group_without_apart(
    "period = \"2 s\", group = 4", "group",
    ProblemKind::NeedsBeside { key: "group", needs: "`apart`", example: "group = 3, apart = \"400 ms\", period = \"2 s\"" },
    "write it like `group = 3, apart = \"400 ms\", period = \"2 s\"`"
)]
#[case::apart_without_group(
    "period = \"2 s\", apart = \"500 ms\"", "apart",
    ProblemKind::NeedsBeside { key: "apart", needs: "`group`", example: "group = 3, apart = \"400 ms\", period = \"2 s\"" },
    "write it like `group = 3, apart = \"400 ms\", period = \"2 s\"`"
)]
#[case::huge_group(
    "period = \"2 s\", group = 4000000000, apart = \"1 ms\"", "4000000000",
    ProblemKind::OutOfRange { what: "`group`", least: "2", most: "32" },
    "use 2 to 32"
)]
#[case::period_and_rate(
    "period = \"2 s\", rate = \"1 Hz\"", "rate",
    ProblemKind::Exclusive { first: "period", second: "rate" },
    "keep either `period` or `rate`"
)]
#[case::mistyped_key(
    "perod = \"2 s\", rate = \"1 Hz\"", "perod",
    ProblemKind::UnknownKey {
        key: "perod".to_owned(),
        inside: "`flashing`",
        nearest: Some("period"),
        known: vec!["flashing", "period", "rate", "on", "group", "apart", "within"],
    },
    "did you mean `period`?"
)]
#[case::key_of_another_form(
    "each = \"2 s\", rate = \"1 Hz\"", "each",
    ProblemKind::UnknownKey {
        key: "each".to_owned(),
        inside: "`flashing`",
        nearest: None,
        known: vec!["flashing", "period", "rate", "on", "group", "apart", "within"],
    },
    "use `flashing`, `period`, `rate`, `on`, `group`, `apart` or `within`"
)]
fn refuses_flashes(#[case] timing: &str, #[case] under: &str, #[case] kind: ProblemKind, #[case] help: &str) {
    check_shows(&format!("{{ flashing = \"red\", {timing} }}"), under, &kind, help);
}

fn unknown_colour(word: &str, nearest: Option<ColourName>) -> ProblemKind {
    ProblemKind::UnknownColour { word: word.to_owned(), nearest }
}

#[rstest]
#[case::mistyped("{ fixed = \"blu\" }", "\"blu\"", unknown_colour("blu", Some(Blue)), "did you mean `blue`?")]
#[case::capital("{ fixed = \"Red\" }", "\"Red\"", unknown_colour("Red", Some(Red)), "did you mean `red`?")]
#[case::other_word("{ fixed = \"warm-white\" }", "\"warm-white\"", unknown_colour("warm-white", Some(WarmWhite)), "did you mean `warm white`?")]
#[case::no_colour(
    "{ fixed = \"loud\" }", "\"loud\"", unknown_colour("loud", None),
    "use `red`, `amber`, `yellow`, `green`, `cyan`, `blue`, `violet`, `white` or `warm white`"
)]
#[case::in_a_step("{ steps = [\"blu 150 ms\", \"off 150 ms\"] }", "blu", unknown_colour("blu", Some(Blue)), "did you mean `blue`?")]
#[case::not_of_this_light(
    "{ fixed = \"green\" }", "\"green\"",
    ProblemKind::ColourNotOfLight { light: "crown".to_owned(), colour: Green, has: vec![White, Blue, Red, WarmWhite], declared: 94..132 },
    "use `white`, `blue`, `red` or `warm white`, or add \"green\" to the light's `colours`"
)]
#[case::no_form("{ period = \"1 s\" }", "{ period = \"1 s\" }", ProblemKind::NoForm,
    "name one of `off`, `fixed`, `flashing`, `alternating`, `breathing`, `steps` or `sequence`")]
#[case::two_forms("{ fixed = \"red\", breathing = \"red\", period = \"1 s\" }", "breathing",
    ProblemKind::Exclusive { first: "fixed", second: "breathing" }, "keep either `fixed` or `breathing`")]
#[case::a_word_that_is_not_off("\"red\"", "\"red\"",
    ProblemKind::WrongType { wanted: "\"off\" or a table", found: "a text", example: "{ flashing = \"blue\", period = \"1.6 s\" }" },
    "write it like `{ flashing = \"blue\", period = \"1.6 s\" }`")]
#[case::no_period("{ breathing = \"red\" }", "{ breathing = \"red\" }",
    ProblemKind::MissingKey { key: "period` or `rate", inside: "`breathing`", example: "period = \"2.4 s\"" },
    "add a line such as `period = \"2.4 s\"`")]
#[case::dark_among_colours("{ alternating = [\"red\", \"off\"], each = \"1 s\" }", "\"off\"", ProblemKind::DarkAmongColours,
    "write the states out: `steps = [\"blue 150 ms\", \"off 150 ms\"]`")]
#[case::one_colour("{ alternating = [\"red\"], each = \"1 s\" }", "[\"red\"]",
    ProblemKind::TooFew { what: "alternating", found: 1, least: 2 }, "write at least 2")]
#[case::same_around_the_ring("{ steps = [\"red 1 s\", \"off 1 s\", \"red 2 s\"] }", "\"red 1 s\"",
    ProblemKind::SameNeighbours { state: "red".to_owned() }, "write the two as one, also when one is last and the other first")]
#[case::step_without_time("{ steps = [\"red\", \"off 1 s\"] }", "red",
    ProblemKind::NoNumber { text: "red".to_owned(), example: "\"blue 150 ms\"" },
    "write a number and its unit, such as \"blue 150 ms\"")]
#[case::step_without_unit("{ steps = [\"red 150\", \"off 1 s\"] }", "150", no_unit("150", "150 s"), "write \"150 s\"")]
#[case::stay_missing("{ sequence = [{ fixed = \"red\" }] }", "{ fixed = \"red\" }",
    ProblemKind::MissingKey { key: "for` or `times", inside: "a part of a sequence", example: "for = \"3 s..\"" },
    "add a line such as `for = \"3 s..\"`")]
#[case::times_of_nothing("{ sequence = [{ fixed = \"red\", times = 2 }] }", "times",
    ProblemKind::TimesWithoutCycle { form: "fixed" }, "say how long it stays: `for = \"3 s\"`")]
#[case::no_times("{ sequence = [{ breathing = \"red\", period = \"1 s\", times = 0 }] }", "0",
    ProblemKind::OutOfRange { what: "`times`", least: "1", most: "1000" }, "use 1 to 1000")]
#[case::backwards("{ sequence = [{ fixed = \"red\", for = \"5 s..2 s\" }] }", "5 s..2 s",
    ProblemKind::WrongOrder { earlier: "the start of the range", later: "its end", earlier_s: 5.0, later_s: 2.0 },
    "swap them, or mend `the start of the range` or `its end`")]
#[case::range_without_unit("{ sequence = [{ fixed = \"red\", for = \"2..5 s\" }] }", "2", no_unit("2", "2 s..5 s"), "write \"2 s..5 s\"")]
#[case::nested("{ sequence = [{ sequence = [], for = \"1 s\" }] }", "sequence", ProblemKind::NestedSequence,
    "write its parts into the outer sequence")]
#[case::empty("{ sequence = [] }", "[]", ProblemKind::Empty { what: "sequence" }, "fill it in")]
fn refuses_shows(#[case] shows: &str, #[case] under: &str, #[case] kind: ProblemKind, #[case] help: &str) {
    check_shows(shows, under, &kind, help);
}

#[rstest]
#[case::kind("\"booting\"", "\"bootin\"", "\"bootin\"", 13, "did you mean `booting`?")]
#[case::far_kind("\"booting\"", "\"tired\"", "\"tired\"", 13,
    "use `booting`, `ready`, `working`, `updating`, `fault`, `reset-acknowledged`, `reset-aborted`, `off` or `other`")]
#[case::light("shows.crown", "shows.crwn", "crwn", 15, "did you mean `crown`?")]
#[case::key_of_a_row("title ", "titel ", "titel", 14, "did you mean `title`?")]
#[case::key_of_a_light("colours", "colors", "colors", 9, "did you mean `colours`?")]
#[case::section("[device]", "[devise]", "devise", 3, "did you mean `device`?")]
#[case::schema("schema = 1", "schema = 2", "2", 1, "write `schema = 1`, or get the program that goes with the table")]
#[case::no_schema("schema = 1", "# schema", "# schema", 1, "add a line such as `schema = 1`")]
#[case::quoted_schema("schema = 1", "schema = \"1\"", "\"1\"", 1, "write it like `schema = 1`")]
#[case::one_bracket("[[meaning]]", "[meaning]", "[meaning]", 11, "write it like `[[meaning]]`")]
#[case::id("\"starting\"", "\"Starting up!\"", "\"Starting up!\"", 12,
    "use small letters, digits, `-` and `_`, a letter first, at most 64: `starting-up-`")]
#[case::empty_title("\"Starting up\"", "\" \"", "\" \"", 14, "fill it in")]
#[case::control("\"Starting up\"", "\"Starting\\u001b[2J\"", "\"Starting\\u001b[2J\"", 14, "write it on one line of plain text")]
#[case::colour_twice("\"blue\",", "\"white\",", "\"white\"", 9, "each colour stands once; rename or remove one")]
#[case::no_colours("[\"white\", \"blue\", \"red\", \"warm white\"]", "[]", "[]", 9, "fill it in")]
fn refuses_the_frame(#[case] piece: &str, #[case] other: &str, #[case] under: &str, #[case] line: usize, #[case] help: &str) {
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
    ProblemKind::MissingKey { key: "do` or `hand_on", inside: "a step", example: "do = \"Wait until the lamp changes.\"" })]
#[case::never_tried("next = [{ do = \"Unplug.\", tried = \"power-cycle\" }, { hand_on = \"Over\", after_tried = [\"power-cicle\"] }]",
    ProblemKind::NeverTried { word: "power-cicle".to_owned(), nearest: Some("power-cycle".to_owned()), known: vec!["power-cycle".to_owned()] })]
#[case::nothing_tried("next = [{ hand_on = \"Over\", after_tried = [\"reset\"] }]",
    ProblemKind::NeverTried { word: "reset".to_owned(), nearest: None, known: vec![] })]
#[case::erases("next = [{ do = \"Reset.\", erases = \"yes\" }]",
    ProblemKind::WrongType { wanted: "`true` or `false`", found: "a text", example: "erases = true" })]
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
    let ProblemKind::Duplicate { what, word, first } = &problem.kind else { panic!("{problem:?}") };
    assert_eq!((*what, word.as_str(), under), ("meaning", "starting", "\"starting\""));
    let error = broken(&text);
    assert_eq!((error.line_column(first.start).0, error.line_column(problem.at.start).0), (12, 18));
}

#[test]
fn the_same_key_twice_shows_both_places() {
    let text = followed_by("title = \"Again\"");
    let (problem, under) = only(&text);
    let ProblemKind::DuplicateKey { key, first: Some(first) } = &problem.kind else { panic!("{problem:?}") };
    assert_eq!((key.as_str(), under), ("title", "title"));
    let error = broken(&text);
    assert_eq!((error.line_column(first.start), error.line_column(problem.at.start)), ((14, 1), (16, 1)));
}

#[test]
fn what_is_no_toml_is_shown_where_it_breaks() {
    let text = with("\"Starting up\"", "\"Starting up");
    let error = broken(&text);
    assert!(matches!(error.problems[0].kind, ProblemKind::Syntax { .. }), "{error:?}");
    assert_eq!(error.line_column(error.problems[0].at.start).0, 14);
}

#[test]
fn all_mistakes_come_at_once_and_in_order() {
    let text = SOUND
        .replace("\"booting\"", "\"bootin\"")
        .replace("{ fixed = \"blue\" }", "{ flashing = \"blu\", perod = \"2\", on = \"1\" }")
        .replace("[device]", "[device]\nmodel = 3");
    let error = broken(&text);
    let under: Vec<_> = error.problems.iter().map(|problem| &text[problem.at.clone()]).collect();
    let whole = "{ flashing = \"blu\", perod = \"2\", on = \"1\" }";
    assert_eq!(under, ["model", "\"bootin\"", whole, "\"blu\"", "perod"]);
}

#[test]
fn a_light_that_cannot_be_read_makes_no_further_mistakes() {
    let text = with("id      = \"crown\"", "id      = 7");
    let (problem, under) = only(&text);
    assert!(matches!(problem.kind, ProblemKind::WrongType { .. }), "{problem:?}");
    assert_eq!(under, "7");
}

#[test]
fn an_empty_text_says_what_it_needs() {
    let missing: Vec<_> = broken("").problems.into_iter().map(|problem| problem.kind).collect();
    let keys: Vec<_> = missing
        .iter()
        .map(|kind| match kind {
            ProblemKind::MissingKey { key, .. } => *key,
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(keys, ["schema", "device", "light", "meaning"]);
}
