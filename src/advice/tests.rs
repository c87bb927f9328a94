//! Advice against the written rules: what is filtered, what is cautioned, what is asked for.

use rstest::rstest;

use super::samples::*;
use super::*;
use crate::colour::ColourName;
use crate::meaning::{Doubt, Rival, Settle};

fn facts(lasted_s: Option<f64>, tried: &[&str]) -> Facts {
    let seen = Seen {
        found: true,
        ..Seen::default()
    };
    Facts {
        lasted_s,
        tried: tried.iter().map(|&name| name.into()).collect(),
        seen,
        ..Facts::default()
    }
}

fn decided(row: usize, facts: &Facts) -> Advice {
    advise(&table(), &reading(Outcome::Decided { row }, 0.97), facts)
}

fn sentences(advice: &Advice) -> Vec<String> {
    advice.next.iter().map(NextStep::sentence).collect()
}

const WAIT: &str = "Wait until the lamp changes. Leave the power connected.";
const SUPPLY: &str = "Check that the supply is the one for this controller.";
const HAND_ON: &str = "Stop here and hand the case on, with this report: starts but never finishes.";

fn handed_on(lasted: &str) -> String {
    format!(
        "{HAND_ON} Hand on with it: how long it has been so: {lasted}; what was tried: supply, power-cycle."
    )
}

#[rstest]
#[case::all_is_open(None, &[], &[
    &*format!("For the first 6 min: {WAIT}"),
    &*format!("Only after 6 min of this: {SUPPLY}"),
])]
#[case::too_soon_for_the_supply(Some(120.0), &[], &[&*format!("For up to 4 min more: {WAIT}")])]
#[case::at_the_limit(Some(360.0), &[], &[SUPPLY])]
#[case::waited_long_enough(Some(600.0), &[], &[SUPPLY])]
#[case::not_all_was_tried(Some(600.0), &["power-cycle"], &[SUPPLY])]
#[case::all_was_tried(Some(600.0), &["supply", "power-cycle"], &[&*handed_on("10 min")])]
#[case::tried_but_still_time(Some(60.0), &["supply", "power-cycle"], &[&*format!("For up to 5 min more: {WAIT}")])]
fn steps_are_filtered_by_time_and_by_what_was_tried(
    #[case] lasted_s: Option<f64>,
    #[case] tried: &[&str],
    #[case] expected: &[&str],
) {
    assert_eq!(sentences(&decided(STARTING, &facts(lasted_s, tried))), expected);
}

#[test]
fn hands_on_when_no_step_is_left() {
    let advice = decided(STARTING, &facts(Some(600.0), &["supply"]));
    assert_eq!(advice.next.len(), 1);
    assert_eq!(
        advice.next[0].sort,
        Sort::HandOn,
        "the supply was tried and the wait is over"
    );
}

#[test]
fn between_two_steps_the_coming_one_is_told() {
    let mut table = table();
    table.meanings[READY].next = vec![
        timed("Wait.", (None, Some(60.0)), None),
        timed("Knock.", (Some(300.0), None), None),
    ];
    let reading = reading(Outcome::Decided { row: READY }, 0.97);
    let advice = advise(&table, &reading, &facts(Some(120.0), &[]));
    assert_eq!(sentences(&advice), ["Only after 5 min of this: Knock."]);
}

#[test]
fn nothing_follows_a_hand_on() {
    let mut table = table();
    table.meanings[READY].next = vec![hand_on("done", &[]), todo("Never shown.")];
    let advice = advise(
        &table,
        &reading(Outcome::Decided { row: READY }, 0.97),
        &facts(None, &[]),
    );
    assert_eq!(
        sentences(&advice),
        ["Stop here and hand the case on, with this report: done."]
    );
}

#[test]
fn a_row_without_steps_asks_for_nothing() {
    assert_eq!(decided(READY, &facts(None, &[])).next, []);
}

#[rstest]
#[case(Some(361.0), Some(360.0))]
#[case(Some(360.0), None)]
#[case(None, None)]
fn too_long_is_said(#[case] lasted_s: Option<f64>, #[case] expected: Option<f64>) {
    assert_eq!(decided(STARTING, &facts(lasted_s, &[])).overdue_s(), expected);
}

#[test]
fn a_step_that_erases_says_so_first_and_keeps_the_tables_own_caution() {
    let advice = decided(LOST, &facts(None, &[]));
    let reset = &advice.next[1];
    assert_eq!(
        reset.cautions,
        [
            Caution::Erases(None),
            Caution::Stated("The valve may open.".into())
        ]
    );
    assert!(
        Caution::Erases(None)
            .text(Language::English)
            .contains("Have them written down first")
    );
}

#[test]
fn an_erasing_step_is_never_given_without_a_decision() {
    let mut undecided = reading(Outcome::Undecided, 0.6);
    undecided.rivals = vec![
        Rival {
            row: LOST,
            probability: 0.6,
        },
        Rival {
            row: NO_WATER,
            probability: 0.4,
        },
    ];
    let advice = advise(&table(), &undecided, &facts(None, &[]));
    assert!(advice.next.iter().all(|step| step.sort != Sort::Do));
}

#[rstest]
#[case("Check that the supply is the right one.", true)]
#[case("Unplug it, count to ten, plug it in again.", true)]
#[case("Turn the power off and on.", true)]
#[case("Leave the power connected and look at the fuse.", true)]
#[case("Do not unplug it until the lamp changes.", false)]
#[case("Do not wait; unplug it.", true)]
#[case("Leave the power connected.", false)]
#[case("Wait until the lamp changes.", false)]
#[case("Replugging is no word of the list.", false)]
fn steps_at_the_power_carry_the_power_caution(#[case] text: &str, #[case] expected: bool) {
    assert_eq!(
        Caution::called_for_by(text).contains(&Caution::PowerCheck),
        expected
    );
}

#[test]
fn the_power_caution_names_every_danger() {
    let text = Caution::PowerCheck.text(Language::English);
    for danger in [
        "Dry hands",
        "mains equipment",
        "ladder",
        "site's own rules",
        "electrical codes",
        "licensed",
    ] {
        assert!(text.contains(danger), "{danger}");
    }
}

#[test]
fn a_dark_row_never_proves_that_the_power_is_off() {
    let advice = decided(OFF, &facts(None, &[]));
    assert_eq!(advice.cautions, [Caution::DarkProvesNothing, Caution::PowerCheck]);
}

#[test]
fn a_dark_light_is_cautioned_whatever_the_row() {
    let mut facts = facts(None, &[]);
    facts.seen.dark = true;
    assert_eq!(decided(READY, &facts).cautions, [Caution::DarkProvesNothing]);
    assert!(
        advise_without_table(&facts)
            .cautions
            .contains(&Caution::DarkProvesNothing)
    );
}

#[test]
fn a_dark_episode_or_a_dark_rival_is_cautioned() {
    let mut shown = reading(Outcome::Undecided, 0.5);
    shown.timeline[0].row = Some(OFF);
    let mut possible = reading(Outcome::Undecided, 0.5);
    possible.rivals = vec![
        Rival {
            row: READY,
            probability: 0.5,
        },
        Rival {
            row: OFF,
            probability: 0.5,
        },
    ];
    for reading in [shown, possible, reading(Outcome::Unseen, 0.9)] {
        let advice = advise(&table(), &reading, &facts(None, &[]));
        assert!(
            advice.cautions.contains(&Caution::DarkProvesNothing),
            "{reading:?}"
        );
    }
}

#[rstest]
#[case::it_is(UPDATING, 0.0, true)]
#[case::it_may_be(READY, 0.02, true)]
#[case::hardly(READY, 0.01, false)]
fn power_stays_on_while_it_may_be_updating(#[case] row: usize, #[case] rival: f64, #[case] expected: bool) {
    let mut reading = reading(Outcome::Decided { row }, 0.97);
    if row != UPDATING {
        reading.rivals = vec![Rival {
            row: UPDATING,
            probability: rival,
        }];
    }
    let advice = advise(&table(), &reading, &facts(None, &[]));
    assert_eq!(advice.cautions.contains(&Caution::KeepPower), expected);
}

#[test]
fn an_undecided_reading_asks_first_for_what_settles_it() {
    let mut reading = reading(Outcome::Undecided, 0.6);
    reading.settle = vec![Settle::FilmLonger { seconds: 5.2 }, Settle::WhiteSheet];
    reading.doubts = vec![
        Doubt::FewCycles { cycles: 1.4 },
        Doubt::NearColours {
            first: ColourName::White,
            second: ColourName::Blue,
        },
    ];
    let mut facts = facts(None, &[]);
    facts.seen.notices = vec![Notice::HandShake { pixels: 14.0 }];
    let advice = advise(&table(), &reading, &facts);
    assert_eq!(
        sentences(&advice),
        [
            "Film the light again, for 6 s longer than this time.",
            "Put a white sheet of paper beside the lamp and film both.",
            "Brace the phone against something firm and hold it still.",
        ]
    );
    assert_eq!(
        advice.cautions,
        [Caution::BrightLight],
        "whoever films looks at the lamp"
    );
}

#[test]
fn rows_that_no_clip_can_part_become_a_question() {
    let mut reading = reading(Outcome::Undecided, 0.6);
    reading.settle = vec![Settle::Ask {
        rows: vec![LOST, NO_WATER],
    }];
    let advice = advise(&table(), &reading, &facts(None, &[]));
    assert_eq!(advice.next.len(), 1, "filming again would be in vain");
    assert_eq!(advice.next[0].sort, Sort::Ask);
    assert!(
        advice.next[0]
            .text
            .starts_with("Ask which it is: \"Lost the base station\" or \"No water\"?")
    );
}

#[test]
fn a_photo_asks_for_a_clip_and_not_for_a_longer_photo() {
    let mut reading = reading(Outcome::Undecided, 0.6);
    reading.doubts = vec![Doubt::FewCycles { cycles: 0.0 }];
    let mut facts = facts(None, &[]);
    facts.seen.photo = true;
    let advice = advise(&table(), &reading, &facts);
    assert_eq!(
        sentences(&advice),
        ["Film a clip of 10 s; a photo cannot show what the light does over time."]
    );
}

#[test]
fn an_undecided_reading_is_never_without_a_next_step() {
    let advice = advise(&table(), &reading(Outcome::Undecided, 0.6), &facts(None, &[]));
    assert_eq!(advice.next.len(), 1);
}

#[test]
fn an_unlisted_light_leads_to_the_table_and_then_onwards() {
    let advice = advise(&table(), &reading(Outcome::Unlisted, 0.9), &facts(None, &[]));
    let sorts: Vec<Sort> = advice.next.iter().map(|step| step.sort).collect();
    assert_eq!(sorts, [Sort::Ask, Sort::HandOn]);
    assert!(advice.next[0].text.contains("Orchard valve controller"));
}

#[test]
fn an_unseen_light_is_described_by_its_place() {
    let advice = advise(&table(), &reading(Outcome::Unseen, 0.9), &facts(None, &[]));
    assert!(
        advice.next[0]
            .text
            .starts_with("Film the round lamp above the hose inlet for 10 s")
    );
}

#[rstest]
#[case(24.0, 30.0)]
#[case(31.0, 60.0)]
#[case(120.0, 120.0)]
#[case(300.5, 301.0)]
fn asks_for_a_frame_rate_that_phones_have(#[case] fps: f64, #[case] expected: f64) {
    assert_eq!(
        Retake::FasterFrames { fps }.phrase(Language::English),
        format!("film at {expected} frames a second or more")
    );
}

#[rstest]
#[case(0.4, "0.4 s")]
#[case(6.0, "6 s")]
#[case(9.96, "10 s")]
#[case(90.0, "90 s")]
#[case(119.6, "2 min")]
#[case(390.0, "6 min 30 s")]
#[case(7200.0, "2 h")]
#[case(9000.0, "2 h 30 min")]
fn spans_of_time_read_well(#[case] seconds: f64, #[case] expected: &str) {
    assert_eq!(duration(seconds, Language::English), expected);
}
