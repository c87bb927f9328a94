//! Every mistake in `shows` gives its variant, the place under the caret, the line and the way out.

use lampwise::colour::ColourName::{self, Blue, Green, Red, WarmWhite, White};
use lampwise::table::ProblemKind;
use rstest::rstest;

use super::mistakes::only;
use super::{broken, showing};

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
    ProblemKind::NoUnit {
        number: number.to_owned(),
        proposal: proposal.to_owned(),
    }
}

#[rstest]
#[case::text("period = \"2.4\"", "2.4", no_unit("2.4", "2.4 s"), "write \"2.4 s\"")]
#[case::number("period = 2.4", "2.4", no_unit("2.4", "2.4 s"), "write \"2.4 s\"")]
#[case::rate("rate = \"2\"", "2", no_unit("2", "2 Hz"), "write \"2 Hz\"")]
#[case::within(
    "period = \"1 s\", within = 20",
    "20",
    no_unit("20", "20 %"),
    "write \"20 %\""
)]
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
#[case::too_fast(
    "rate = \"5000 Hz\"", "5000 Hz",
    ProblemKind::OutOfRange { what: "a rate", least: "once in 366 days", most: "1000 Hz" },
    "use once in 366 days to 1000 Hz"
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
fn refuses_quantities(
    #[case] timing: &str,
    #[case] under: &str,
    #[case] kind: ProblemKind,
    #[case] help: &str,
) {
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
    ProblemKind::UnknownColour {
        word: word.to_owned(),
        nearest,
    }
}

#[rstest]
#[case::mistyped(
    "{ fixed = \"blu\" }",
    "\"blu\"",
    unknown_colour("blu", Some(Blue)),
    "did you mean `blue`?"
)]
#[case::capital(
    "{ fixed = \"Red\" }",
    "\"Red\"",
    unknown_colour("Red", Some(Red)),
    "did you mean `red`?"
)]
#[case::other_word(
    "{ fixed = \"warm-white\" }",
    "\"warm-white\"",
    unknown_colour("warm-white", Some(WarmWhite)),
    "did you mean `warm white`?"
)]
#[case::no_colour(
    "{ fixed = \"loud\" }",
    "\"loud\"",
    unknown_colour("loud", None),
    "use `red`, `amber`, `yellow`, `green`, `cyan`, `blue`, `violet`, `white` or `warm white`"
)]
#[case::in_a_step(
    "{ steps = [\"blu 150 ms\", \"off 150 ms\"] }",
    "blu",
    unknown_colour("blu", Some(Blue)),
    "did you mean `blue`?"
)]
#[case::no_form(
    "{ period = \"1 s\" }",
    "{ period = \"1 s\" }",
    ProblemKind::NoForm,
    "name one of `off`, `fixed`, `flashing`, `alternating`, `breathing`, `steps` or `sequence`"
)]
#[case::two_forms("{ fixed = \"red\", breathing = \"red\", period = \"1 s\" }", "breathing",
    ProblemKind::Exclusive { first: "fixed", second: "breathing" }, "keep either `fixed` or `breathing`")]
#[case::a_word_that_is_not_off("\"red\"", "\"red\"",
    ProblemKind::WrongType { wanted: "\"off\" or a table", found: "a text", example: "{ flashing = \"blue\", period = \"1.6 s\" }" },
    "write it like `{ flashing = \"blue\", period = \"1.6 s\" }`")]
#[case::no_period("{ breathing = \"red\" }", "{ breathing = \"red\" }",
    ProblemKind::MissingKey { key: "period` or `rate", inside: "`breathing`", example: "period = \"2.4 s\"" },
    "add a line such as `period = \"2.4 s\"`")]
#[case::dark_among_colours(
    "{ alternating = [\"red\", \"off\"], each = \"1 s\" }",
    "\"off\"",
    ProblemKind::DarkAmongColours,
    "write the states out: `steps = [\"blue 150 ms\", \"off 150 ms\"]`"
)]
#[case::one_colour("{ alternating = [\"red\"], each = \"1 s\" }", "[\"red\"]",
    ProblemKind::TooFew { what: "alternating", found: 1, least: 2 }, "write at least 2")]
#[case::same_around_the_ring("{ steps = [\"red 1 s\", \"off 1 s\", \"red 2 s\"] }", "\"red 1 s\"",
    ProblemKind::SameNeighbours { state: "red".to_owned() }, "write the two as one, also when one is last and the other first")]
#[case::step_without_time("{ steps = [\"red\", \"off 1 s\"] }", "red",
    ProblemKind::NoNumber { text: "red".to_owned(), example: "\"blue 150 ms\"" },
    "write a number and its unit, such as \"blue 150 ms\"")]
#[case::step_without_unit(
    "{ steps = [\"red 150\", \"off 1 s\"] }",
    "150",
    no_unit("150", "150 s"),
    "write \"150 s\""
)]
#[case::stay_missing("{ sequence = [{ fixed = \"red\" }] }", "{ fixed = \"red\" }",
    ProblemKind::MissingKey { key: "for` or `times", inside: "a part of a sequence", example: "for = \"3 s..\"" },
    "add a line such as `for = \"3 s..\"`")]
#[case::times_of_nothing("{ sequence = [{ fixed = \"red\", times = 2 }] }", "times",
    ProblemKind::TimesWithoutCycle { form: "fixed" }, "say how long it stays: `for = \"3 s\"`")]
#[case::no_times("{ sequence = [{ breathing = \"red\", period = \"1 s\", times = 0 }] }", "0",
    ProblemKind::OutOfRange { what: "`times`", least: "1", most: "1000" }, "use 1 to 1000")]
#[case::backwards("{ sequence = [{ fixed = \"red\", for = \"5 s..2 s\" }] }", "5 s..2 s",
    ProblemKind::WrongOrder { earlier: "the start of the range", later: "its end", earlier_s: 5.0, later_s: 2.0 },
    "swap the two, or mend one of them")]
#[case::range_without_unit(
    "{ sequence = [{ fixed = \"red\", for = \"2..5 s\" }] }",
    "2",
    no_unit("2", "2 s..5 s"),
    "write \"2 s..5 s\""
)]
#[case::nested(
    "{ sequence = [{ sequence = [], for = \"1 s\" }] }",
    "sequence",
    ProblemKind::NestedSequence,
    "write its parts into the outer sequence"
)]
#[case::empty("{ sequence = [] }", "[]", ProblemKind::Empty { what: "sequence" }, "fill it in")]
fn refuses_shows(#[case] shows: &str, #[case] under: &str, #[case] kind: ProblemKind, #[case] help: &str) {
    check_shows(shows, under, &kind, help);
}

/// Once for the whole pattern, and not for each of its keys.
#[test]
fn a_pattern_without_its_light_is_told_where_to_go() {
    let text = showing("").replace(
        "shows.crown = ",
        "shows = { period = \"1 s\", flashing = \"blue\" }",
    );
    let (problem, under) = only(&text);
    let ProblemKind::ShowsNoLight { form, .. } = problem.kind else {
        panic!("{problem:?}")
    };
    assert_eq!((form, under), ("flashing", "flashing"));
    assert_eq!(
        problem.kind.help(),
        "say which light does it: `shows.crown = { flashing = … }`"
    );
}

#[test]
fn a_colour_that_the_light_has_not_shows_those_it_has() {
    let text = showing("{ fixed = \"green\" }");
    let (problem, under) = only(&text);
    let ProblemKind::ColourNotOfLight {
        light,
        colour,
        has,
        declared,
    } = &problem.kind
    else {
        panic!("{problem:?}")
    };
    assert_eq!((light.as_str(), *colour, under), ("crown", Green, "\"green\""));
    assert_eq!(has, &[White, Blue, Red, WarmWhite]);
    assert_eq!(
        &text[declared.clone()],
        "[\"white\", \"blue\", \"red\", \"warm white\"]"
    );
    let help = "use `white`, `blue`, `red` or `warm white`, or add \"green\" to the light's `colours`";
    assert_eq!(problem.kind.help(), help);
}
