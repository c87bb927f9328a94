//! Steps that depend on the case: the site, the power, what was tried. The expected lists follow from the written
//! rules of a step's keys; the tables are read from text as an author would write them.

use rstest::rstest;

use super::samples::reading;
use super::*;
use crate::table::parse;

const HEAD: &str = "schema = 1\n[device]\nname = \"Frost fan\"\n[[light]]\nid = \"eye\"\nlabel = \"the lamp\"\ncolours = [\"red\"]\n";

fn table(kind: &str, next: &str) -> LightTable {
    let text = format!(
        "{HEAD}[[condition]]\nid = \"tank-full\"\nask = \"Is the tank full?\"\n[[meaning]]\nid = \"row\"\nkind = \
         \"{kind}\"\ntitle = \"Row\"\nshows.eye = {{ fixed = \"red\" }}\nlasts = {{ usual = \"2 min\", at_most = \"8 \
         min\" }}\nnext = [{next}]\n"
    );
    parse("test", &text).unwrap_or_else(|error| panic!("{}", error.render(false)))
}

#[derive(Default)]
struct Case<'a> {
    lasted_s: Option<f64>,
    powered_s: Option<f64>,
    site: &'a [(&'a str, bool)],
    tried: &'a [&'a str],
}

fn advice(table: &LightTable, case: &Case) -> Advice {
    let facts = Facts {
        lasted_s: case.lasted_s,
        powered_s: case.powered_s,
        site: case
            .site
            .iter()
            .map(|(id, holds)| ((*id).to_owned(), *holds))
            .collect(),
        tried: case.tried.iter().map(|&name| name.to_owned()).collect(),
        seen: Seen {
            found: true,
            ..Seen::default()
        },
        language: Language::English,
    };
    advise(table, &reading(Outcome::Decided { row: 0 }, 0.97), &facts)
}

fn steps(table: &LightTable, case: &Case) -> Vec<String> {
    advice(table, case).next.iter().map(NextStep::sentence).collect()
}

const TANK: &str = "{ do = \"Fill it.\", unless = \"tank-full\", tried = \"fill\" }, { do = \"Open the tap.\", when = \
                    \"tank-full\" }, { do = \"Look again.\" }";

#[rstest]
#[case::unknown(&[], &["Is the tank full?", "If no to step 1: Fill it.", "If yes to step 1: Open the tap.", "Look again."])]
#[case::full(&[("tank-full", true)], &["Open the tap.", "Look again."])]
#[case::empty(&[("tank-full", false)], &["Fill it.", "Look again."])]
#[case::last_word_counts(&[("tank-full", false), ("tank-full", true)], &["Open the tap.", "Look again."])]
fn the_site_is_asked_once_and_then_obeyed(#[case] site: &[(&str, bool)], #[case] expected: &[&str]) {
    let case = Case {
        site,
        ..Case::default()
    };
    assert_eq!(steps(&table("fault", TANK), &case), expected);
}

#[test]
fn the_question_names_its_condition_for_programs() {
    let advice = advice(&table("fault", TANK), &Case::default());
    assert_eq!(advice.next[0].sort, Sort::Ask);
    assert_eq!(advice.next[0].asks.as_deref(), Some("tank-full"));
}

const POWER: &str =
    "{ do = \"Wait.\", powered_until = \"8 min\" }, { do = \"Knock.\", powered_after = \"8 min\" }";

#[rstest]
#[case(None, &["Until it has had power for 8 min: Wait.", "Only once it has had power for 8 min: Knock."])]
#[case(Some(180.0), &["For up to 5 min more: Wait."])]
#[case(Some(480.0), &["Knock."])]
fn steps_wait_for_the_time_with_power(#[case] powered_s: Option<f64>, #[case] expected: &[&str]) {
    let case = Case {
        powered_s,
        ..Case::default()
    };
    assert_eq!(steps(&table("other", POWER), &case), expected);
}

const LASTED: &str = "{ do = \"Wait.\", until = \"6 min\" }, { do = \"Knock.\", after = \"6 min\" }";

/// Starting up began with the power. No other lit state can be older than the power; a dark one can.
#[rstest]
#[case::starting("booting", None, Some(600.0), &["Knock."])]
#[case::starting_for_less("booting", None, Some(120.0), &["For up to 4 min more: Wait."])]
#[case::cannot_be_older("fault", Some(3600.0), Some(120.0), &["For up to 4 min more: Wait."])]
#[case::not_yet("fault", None, Some(120.0), &["For the first 6 min: Wait."])]
#[case::dark_before("off", Some(3600.0), Some(120.0), &["Knock."])]
fn power_bounds_how_long_it_has_been_so(
    #[case] kind: &str,
    #[case] lasted_s: Option<f64>,
    #[case] powered_s: Option<f64>,
    #[case] expected: &[&str],
) {
    let case = Case {
        lasted_s,
        powered_s,
        ..Case::default()
    };
    assert_eq!(steps(&table(kind, LASTED), &case), expected);
}

#[test]
fn a_step_tells_what_to_do_if_it_does_not_help_and_what_its_figure_rests_on() {
    let next = "{ do = \"Wait.\", powered_until = \"8 min\", otherwise = \"knock.\", basis = \"common practice, no \
                source\" }";
    let case = Case {
        powered_s: Some(0.0),
        ..Case::default()
    };
    assert_eq!(
        steps(&table("booting", next), &case),
        ["For up to 8 min more: Wait. If that does not help: knock. (common practice, no source)"]
    );
}

#[test]
fn a_case_is_handed_on_with_its_facts_and_the_tables_evidence() {
    let next = "{ do = \"Knock.\", tried = \"knock\" }, { hand_on = \"Deaf\", after_tried = [\"knock\"], evidence = \
                [\"a photo of the type plate\"] }";
    let case = Case {
        lasted_s: Some(600.0),
        tried: &["knock"],
        ..Case::default()
    };
    assert_eq!(
        steps(&table("fault", next), &case),
        [
            "Stop here and hand the case on, with this report: Deaf. Hand on with it: how long it has been so: 10 min; \
          what was tried: knock; a photo of the type plate."
        ]
    );
}

/// Who has no tank to fill is not kept from handing on by not having filled it.
#[test]
fn what_the_site_rules_out_need_not_be_tried() {
    let next = "{ do = \"Fill it.\", unless = \"tank-full\", tried = \"fill\" }, { hand_on = \"Dry\", after_tried = \
                [\"fill\"] }";
    let table = table("fault", next);
    let full = Case {
        site: &[("tank-full", true)],
        ..Case::default()
    };
    assert_eq!(
        steps(&table, &full),
        ["Stop here and hand the case on, with this report: Dry."]
    );
    assert_eq!(
        steps(&table, &Case::default()),
        ["Is the tank full?", "If no to step 1: Fill it."]
    );
}

#[rstest]
#[case::named(
    "{ do = \"Hold the button.\", erases = \"the fan's plan\" }",
    "This erases the fan's plan. Have that written down or saved first."
)]
#[case::unnamed(
    "{ do = \"Hold the button.\", erases = true }",
    "A reset erases the settings of the device. Have them written down first."
)]
#[case::by_its_words(
    "{ do = \"Hold the reset button.\" }",
    "A reset erases the settings of the device. Have them written down first."
)]
#[case::by_its_name(
    "{ do = \"Hold the button.\", tried = \"factory-reset\" }",
    "A reset erases the settings of the device. Have them written down first."
)]
fn a_reset_says_first_what_it_erases(#[case] next: &str, #[case] caution: &str) {
    let advice = advice(&table("fault", next), &Case::default());
    assert_eq!(advice.next[0].cautions[0].text(Language::English), caution);
}

#[test]
fn the_tables_caution_does_not_repeat_the_general_one() {
    let next = "{ do = \"Check the plug.\", caution = \"Dry hands only. Mind the dog. Do not open mains equipment.\" }, \
                { do = \"Check the fuse.\", caution = \"Dry hands only.\" }";
    let advice = advice(&table("fault", next), &Case::default());
    assert_eq!(
        advice.next[0].cautions,
        [Caution::PowerCheck, Caution::Stated("Mind the dog.".into())]
    );
    assert_eq!(advice.next[1].cautions, [Caution::PowerCheck]);
}

fn questions(advice: &Advice) -> Vec<&str> {
    advice
        .next
        .iter()
        .filter_map(|step| step.asks.as_deref())
        .collect()
}

#[test]
fn a_table_takes_up_the_shared_procedure_for_no_light() {
    let table = table("off", "{ include = \"no-light\" }");
    let open = advice(&table, &Case::default());
    assert_eq!(questions(&open), ["network-power", "injector"]);
    let by_cable = advice(
        &table,
        &Case {
            site: &[("network-power", true), ("injector", true)],
            ..Case::default()
        },
    );
    let tried: Vec<&str> = by_cable
        .next
        .iter()
        .filter_map(|step| step.tried.as_deref())
        .collect();
    assert_eq!(
        tried,
        ["socket", "cable", "injector-ports", "switch-port", "power-budget"]
    );
    let by_supply = advice(
        &table,
        &Case {
            site: &[("network-power", false), ("injector", false)],
            tried: &["socket", "supply"],
            ..Case::default()
        },
    );
    assert_eq!(by_supply.next.len(), 1);
    assert_eq!(by_supply.next[0].sort, Sort::HandOn, "nothing is left to try");
}

#[rstest]
#[case(&[("first-start", false)], Some(120.0), "8 minutes")]
#[case(&[("first-start", true)], Some(900.0), "over 20 minutes")]
fn starting_up_takes_minutes_by_common_practice(
    #[case] site: &[(&str, bool)],
    #[case] powered_s: Option<f64>,
    #[case] figure: &str,
) {
    let case = Case {
        site,
        powered_s,
        ..Case::default()
    };
    let steps = steps(&table("booting", "{ include = \"start-up\" }"), &case);
    assert_eq!(steps.len(), 1);
    assert!(
        steps[0].contains(figure) && steps[0].contains("common practice, no source"),
        "{}",
        steps[0]
    );
}
