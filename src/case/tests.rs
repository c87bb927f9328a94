//! Cases over time, with moments set by hand.

use super::*;

fn at(minute: i64) -> Timestamp {
    Timestamp::from_second(1_700_000_000 + 60 * minute).unwrap()
}

fn visit(minute: i64, clip: &str, meaning: Option<&str>) -> Visit {
    Visit {
        at: at(minute),
        since: None,
        clip: clip.to_owned(),
        name: format!("{clip}.mp4"),
        said: Said {
            outcome: if meaning.is_some() { "decided" } else { "undecided" }.to_owned(),
            meaning: meaning.map(str::to_owned),
            confidence: 0.97,
            sentence: "The light means something.".to_owned(),
        },
        steps: vec!["Wait.".to_owned()],
    }
}

fn told(powered_s: Option<f64>, site: &[(&str, bool)], tried: &[&str]) -> Told {
    Told {
        lasted_s: None,
        powered_s,
        site: site
            .iter()
            .map(|(name, holds)| ((*name).to_owned(), *holds))
            .collect(),
        tried: tried.iter().map(|&name| name.to_owned()).collect(),
    }
}

#[test]
fn facts_grow_and_time_goes_on() {
    let mut case = Case::new("Frost fan");
    case.known(told(Some(120.0), &[("tank-full", true)], &["supply"]), "a", at(0));
    let known = case.known(
        told(None, &[("tank-full", false)], &["supply", "power-cycle"]),
        "b",
        at(10),
    );
    assert_eq!(known.powered_s, Some(720.0), "2 minutes, and 10 since");
    assert_eq!(
        known.site,
        [("tank-full".to_owned(), false)],
        "the last word counts"
    );
    assert_eq!(known.tried, ["supply", "power-cycle"]);
    let known = case.known(told(Some(60.0), &[], &[]), "c", at(20));
    assert_eq!(known.powered_s, Some(60.0), "the power was off meanwhile");
}

#[test]
fn a_state_lasts_since_the_first_clip_that_showed_it_without_a_break() {
    let mut case = Case::new("Frost fan");
    for (minute, clip, meaning) in [
        (0, "a", "starting"),
        (1, "b", "fault"),
        (2, "c", "starting"),
        (5, "d", "starting"),
    ] {
        case.note(visit(minute, clip, Some(meaning)));
    }
    assert_eq!(case.shown_for_s("starting", at(9)), Some(420.0), "since minute 2");
    assert_eq!(
        case.shown_for_s("fault", at(9)),
        None,
        "it was something else in between"
    );
    case.note(visit(9, "e", None));
    assert_eq!(
        case.shown_for_s("starting", at(9)),
        None,
        "an open reading is no proof that it is still so"
    );
}

#[test]
fn what_was_told_of_the_beginning_counts() {
    let mut case = Case::new("Frost fan");
    let mut first = visit(0, "a", Some("starting"));
    first.since = before(at(0), 300.0);
    case.note(first);
    assert_eq!(case.shown_for_s("starting", at(1)), Some(360.0));
}

#[test]
fn a_clip_read_again_counts_once() {
    let mut case = Case::new("Frost fan");
    case.note(visit(0, "a", Some("starting")));
    case.known(told(None, &[], &[]), "a", at(5));
    assert_eq!(case.visits, []);
}

#[test]
fn a_case_comes_back_as_it_was_written() {
    let mut case = Case::new("Frost \"fan\" \u{1b}");
    case.known(told(Some(1.5), &[("tank-full", true)], &["supply"]), "a", at(0));
    case.note(visit(0, "a", None));
    assert_eq!(Case::parse(&case.to_text()).unwrap(), case);
}

/// Cut anywhere, it is refused and not half read.
#[test]
fn a_file_cut_off_anywhere_is_refused() {
    let mut case = Case::new("Frost fan");
    case.note(visit(0, "a", Some("starting")));
    let text = case.to_text();
    for end in 0..text.trim_end().len() {
        assert!(Case::parse(&text[..end]).is_err(), "cut after {end} bytes");
    }
}

#[test]
fn another_version_and_another_file_are_told_apart_from_damage() {
    let text = Case::new("Frost fan").to_text();
    assert!(matches!(
        Case::parse(&text.replace("\"schema\": 1", "\"schema\": 2")),
        Err(CaseError::OtherSchema { found: 2 })
    ));
    assert!(matches!(Case::parse("{\"name\": 1}"), Err(CaseError::NoCase)));
    assert!(matches!(
        Case::parse(&text.replace("\"site\"", "\"sight\"")),
        Err(CaseError::Damaged(_))
    ));
}
