//! Every form of the file gives the values that it says.

use lampwise::colour::ColourName::{Blue, Red, WarmWhite, White};
use lampwise::table::{Erases, Kind, Lasts, Shows, Stay, Step, Timed};
use rstest::rstest;

use super::{SOUND, followed_by, showing, shows, sound, with};

const fn timed(seconds: f64) -> Timed {
    Timed {
        seconds,
        within: 0.15,
    }
}

#[rstest]
#[case::off("\"off\"", Shows::Off)]
#[case::off_as_a_table("{ off = true }", Shows::Off)]
#[case::fixed("{ fixed = \"warm white\" }", Shows::Fixed(WarmWhite))]
#[case::breathing("{ breathing = \"blue\", period = \"2.4 s\" }", Shows::Breathing { colour: Blue, period: timed(2.4) })]
#[case::breathing_by_rate(
    "{ breathing = \"blue\", rate = \"30 /min\", within = \"20 %\" }",
    Shows::Breathing { colour: Blue, period: Timed { seconds: 2.0, within: 0.2 } }
)]
#[case::alternating(
    "{ alternating = [\"blue\", \"white\", \"red\"], each = \"120 ms\" }",
    Shows::Alternating { colours: vec![Blue, White, Red], each: timed(0.12) }
)]
#[case::steps(
    "{ steps = [\"blue 150 ms\", \"off 150 ms\", \"warm white 0.3 s\"], within = \"5 %\" }",
    Shows::Steps(vec![
        (Some(Blue), Timed { seconds: 0.15, within: 0.05 }),
        (None, Timed { seconds: 0.15, within: 0.05 }),
        (Some(WarmWhite), Timed { seconds: 0.3, within: 0.05 }),
    ])
)]
fn reads_each_form(#[case] written: &str, #[case] expected: Shows) {
    assert_eq!(shows(written), expected);
}

/// `on`: the nominal, 15 % less and more where it is given; 20 to 80 % where it is not; half of the dark
/// always stays.
#[rstest]
#[case::time("period = \"1.6 s\", on = \"0.4 s\"", 1.6, (0.34, 0.46))]
#[case::share("period = \"2 s\", on = \"40 %\"", 2.0, (0.68, 0.92))]
#[case::omitted("period = \"2 s\"", 2.0, (0.4, 1.6))]
#[case::rate("rate = \"2.5 Hz\", on = \"50 %\", within = \"10 %\"", 0.4, (0.18, 0.22))]
#[case::nearly_always_lit("period = \"1 s\", on = \"0.9 s\"", 1.0, (0.85, 0.95))]
fn reads_flashes(#[case] timing: &str, #[case] period_s: f64, #[case] on: (f64, f64)) {
    let Shows::Flashing {
        colour,
        period,
        on_s,
        group,
        apart_s,
    } = shows(&format!("{{ flashing = \"red\", {timing} }}"))
    else {
        panic!("flashing must be read as flashing")
    };
    assert_eq!((colour, group, apart_s), (Red, 1, None));
    assert!((period.seconds - period_s).abs() < 1e-12, "{period:?}");
    assert!(
        (on_s.0 - on.0).abs() < 1e-12 && (on_s.1 - on.1).abs() < 1e-12,
        "{on_s:?}"
    );
}

#[test]
fn reads_groups() {
    let written = "{ flashing = \"red\", group = 3, apart = \"400 ms\", period = \"2 s\", within = \"50 %\", on = \"100 ms\" }";
    let expected = Shows::Flashing {
        colour: Red,
        period: Timed {
            seconds: 2.0,
            within: 0.5,
        },
        on_s: (0.05, 0.15000000000000002),
        group: 3,
        apart_s: Some(0.4),
    };
    assert_eq!(shows(written), expected);
}

#[test]
fn reads_sequences() {
    let written = "{ sequence = [
        { alternating = [\"blue\", \"white\"], each = \"120 ms\", for = \"3 s..\" },
        { off = true, for = \"..4 s\" },
        { fixed = \"red\", for = \"2 s..5 s\" },
        { fixed = \"blue\", for = \"10 s\", within = \"20 %\" },
        { flashing = \"white\", period = \"1.5 s\", on = \"0.5 s\", within = \"20 %\", times = 2 },
    ] }";
    let Shows::Sequence(stays) = shows(written) else {
        panic!("a sequence must be read as one")
    };
    let alternating = Shows::Alternating {
        colours: vec![Blue, White],
        each: timed(0.12),
    };
    assert_eq!(
        stays[0],
        Stay {
            shows: alternating,
            for_s: (3.0, f64::INFINITY)
        }
    );
    assert_eq!(
        stays[1],
        Stay {
            shows: Shows::Off,
            for_s: (0.0, 4.0)
        }
    );
    assert_eq!(
        stays[2],
        Stay {
            shows: Shows::Fixed(Red),
            for_s: (2.0, 5.0)
        }
    );
    assert_eq!(
        stays[3],
        Stay {
            shows: Shows::Fixed(Blue),
            for_s: (8.0, 12.0)
        }
    );
    // Two cycles of 1.5 s, a fifth less and more.
    let (least_s, most_s) = stays[4].for_s;
    assert!(
        (least_s - 2.4).abs() < 1e-12 && (most_s - 3.6).abs() < 1e-12,
        "{:?}",
        stays[4]
    );
}

#[test]
fn times_counts_whole_cycles_of_every_rhythm() {
    let written = "{ sequence = [
        { alternating = [\"blue\", \"white\"], each = \"100 ms\", times = 5, within = \"0 %\" },
        { steps = [\"red 100 ms\", \"off 300 ms\"], times = 5, within = \"0 %\" },
        { breathing = \"blue\", period = \"2 s\", times = 5, within = \"0 %\" },
    ] }";
    let Shows::Sequence(stays) = shows(written) else {
        panic!("a sequence must be read as one")
    };
    let lengths: Vec<_> = stays.iter().map(|stay| stay.for_s).collect();
    assert_eq!(lengths, [(1.0, 1.0), (2.0, 2.0), (10.0, 10.0)]);
}

#[test]
fn reads_the_frame_of_a_table() {
    let table = sound(SOUND);
    assert_eq!(table.device.name, "Test valve");
    assert_eq!(table.lights.len(), 1);
    assert_eq!(table.lights[0].label, "the round lamp");
    assert_eq!(table.lights[0].colours, [White, Blue, Red, WarmWhite]);
    let row = &table.meanings[0];
    assert_eq!(
        (row.id.as_str(), row.kind, row.title.as_str()),
        ("starting", Kind::Booting, "Starting up")
    );
    assert_eq!((row.lasts, row.next.len(), row.shows[0].light), (None, 0, 0));
    assert_eq!(&SOUND[row.at.clone()], "\"starting\"");
}

#[test]
fn reads_every_kind() {
    for (kind, word) in Kind::ALL {
        assert_eq!(sound(&with("booting", word)).meanings[0].kind, kind);
        assert_eq!(kind.as_str(), word);
    }
}

#[test]
fn reads_lasts_and_steps() {
    let table = sound(&followed_by(
        "lasts = { usual = \"90 s\", at_most = \"6 min\" }
        next = [
          { do = \"Wait.\", until = \"6 min\" },
          { do = \"Erase.\", after = \"6 min\", tried = \"reset\", caution = \"Write down first.\", erases = true },
          { hand_on = \"Never ends\", after_tried = [\"reset\"] },
          { hand_on = \"At once\" },
        ]",
    ));
    let row = &table.meanings[0];
    assert_eq!(
        row.lasts,
        Some(Lasts {
            usual_s: 90.0,
            at_most_s: Some(360.0)
        })
    );
    let mut wait = Step::plain("Wait.");
    if let Step::Do { until_s, .. } = &mut wait {
        *until_s = Some(360.0);
    }
    let mut erase = Step::plain("Erase.");
    if let Step::Do {
        after_s,
        tried,
        caution,
        erases,
        ..
    } = &mut erase
    {
        *after_s = Some(360.0);
        *tried = Some("reset".to_owned());
        *caution = Some("Write down first.".to_owned());
        *erases = Erases::Settings;
    }
    let hand_on = |text: &str, after_tried: &[&str]| Step::HandOn {
        text: text.to_owned(),
        after_tried: after_tried.iter().map(|&name| name.to_owned()).collect(),
        given: None,
        evidence: Vec::new(),
    };
    let (hand_on, at_once) = (hand_on("Never ends", &["reset"]), hand_on("At once", &[]));
    assert_eq!(row.next, [wait, erase, hand_on, at_once]);
}

#[test]
fn several_lights_are_kept_in_the_order_of_their_sections() {
    let second = "[[light]]\nid = \"base\"\nlabel = \"below\"\ncolours = [\"red\"]\n\n[[meaning]]";
    let text = showing("\"off\"").replace("[[meaning]]", second) + "shows.base = { fixed = \"red\" }\n";
    let row = &sound(&text).meanings[0];
    let seen: Vec<_> = row
        .shows
        .iter()
        .map(|show| (show.light, show.shows.clone()))
        .collect();
    assert_eq!(seen, [(0, Shows::Off), (1, Shows::Fixed(Red))]);
}
