//! Rows learnt from rendered clips are the rows that were rendered.
//!
//! `LAMPWISE_SEED` picks other cameras.

#[path = "rows/film.rs"]
#[allow(dead_code, reason = "it films for other tests too")]
mod film;

use std::path::Path;

use film::Filming;
use lampwise::colour::ColourName::{self, Blue, Red};
use lampwise::learn::{Description, LearnError, Look, RowHead, describe, learn, row_text};
use lampwise::light::Watcher;
use lampwise::pipeline::lamp;
use lampwise::render::{Beat, Recipe, Shown, frames};
use lampwise::table::{Kind, LightTable, Pattern, load, looks_alike, parse};
use lampwise::trace::Estimate;
use rstest::rstest;

const CAMERAS: u64 = if cfg!(debug_assertions) { 2 } else { 3 };

/// Cycles filmed: what people are asked for.
const CYCLES: f64 = 4.3;

fn seed() -> u64 {
    std::env::var("LAMPWISE_SEED").map_or(1, |text| text.parse().expect("a whole number"))
}

fn table_of(name: &str) -> (LightTable, String) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("models/tables")
        .join(name);
    let (table, source) = load(&path).expect("a shipped table");
    (table, source.text)
}

fn described(
    table: &LightTable,
    light: usize,
    recipe: &Recipe,
    clip: &str,
) -> Result<Description, LearnError> {
    let mut frames = frames(recipe).expect("a recipe of usual figures");
    let mut watcher = Watcher::new(None);
    while let Some(picture) = frames.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    let followed = watcher.finish().into_iter().next().expect("the lamp is found");
    let lamp = lamp(followed);
    describe(clip, &table.lights[light], &lamp.trace, &lamp.measured)
}

#[rstest]
#[case::breathing("orchard-valve.toml", "starting", 1)]
#[case::fixed("orchard-valve.toml", "internal-fault", 2)]
#[case::brief_flash("orchard-valve.toml", "watering", 3)]
#[case::steps("orchard-valve.toml", "updating", 4)]
#[case::group("orchard-valve.toml", "no-water", 5)]
#[case::group_of_four("orchard-valve.toml", "valve-stuck", 6)]
#[case::even_flash("orchard-valve.toml", "low-supply", 7)]
#[case::colours_in_turn("cold-store-logger.toml", "updating", 8)]
#[case::triple("cia-303-3.toml", "run-triple-flash", 9)]
fn a_row_is_learnt_as_it_is(#[case] name: &str, #[case] id: &str, #[case] own: u64) {
    let (table, text) = table_of(name);
    let row = table.meanings.iter().find(|meaning| meaning.id == id).unwrap();
    let show = row
        .shows
        .iter()
        .find(|show| show.pattern != Pattern::Constant(lampwise::table::Shade::Dark));
    let show = show.expect("a row that is lit");
    let clips: Vec<Description> = (0..CAMERAS)
        .map(|camera| {
            let filming = Filming::any((seed() * 100 + own) * 100 + camera);
            let (seconds, from_s) = match &show.pattern {
                Pattern::Cycle(cycle) => (
                    (CYCLES * cycle.period_s).max(4.0),
                    filming.moment * cycle.period_s,
                ),
                _ => (4.0, 0.0),
            };
            let recipe = filming.of(&[(Shown::from(&show.pattern), from_s)], seconds);
            described(&table, show.light, &recipe, &format!("{camera}.mp4"))
                .unwrap_or_else(|error| panic!("{error}: {filming:?}"))
        })
        .collect();
    let learnt = learn(clips).unwrap_or_else(|error| panic!("{error}"));
    let head = RowHead {
        id: "learnt".to_owned(),
        kind: Kind::Other,
        title: "As \"learnt\"\\".to_owned(),
        light: table.lights[show.light].id.clone(),
    };
    let added = format!("{text}\n{}", row_text(&head, &learnt));
    let with_row = parse("learnt.toml", &added).unwrap_or_else(|error| panic!("{}", error.render(false)));
    let new = with_row.meanings.last().unwrap();
    assert_eq!(new.title, head.title);
    let pattern = &new.shows[0].pattern;
    assert!(
        looks_alike(pattern, &show.pattern),
        "{}\nis not\n{:?}",
        learnt.shows,
        show.shows
    );
    if let (Pattern::Cycle(found), Pattern::Cycle(truth)) = (pattern, &show.pattern) {
        // A clip of four cycles times them to a fraction of a frame; 1 % is a third of a frame at the shortest.
        assert!(
            (found.period_s / truth.period_s - 1.0).abs() < 0.01,
            "{}",
            learnt.shows
        );
        assert!(found.within < 0.15, "{}", learnt.shows);
    }
}

fn flash(colour: ColourName, on_s: f64, off_s: f64) -> Shown {
    Shown::Cycle(vec![Beat::lit(colour, on_s), Beat::dark(off_s)])
}

#[test]
fn clips_of_two_states_make_no_row() {
    let (table, _) = table_of("orchard-valve.toml");
    let look = |shown: Shown, clip: &str| {
        let recipe = Filming::any(seed() * 100 + 77).of(&[(shown, 0.2)], 6.0);
        described(&table, 0, &recipe, clip).unwrap()
    };
    let red = look(flash(Red, 0.5, 0.5), "a.mp4");
    for (other, words) in [
        (look(flash(Blue, 0.5, 0.5), "b.mp4"), "goes blue, off"),
        (look(flash(Red, 0.7, 0.9), "b.mp4"), "one cycle in 1.6"),
        (
            look(Shown::Cycle(vec![Beat::lit(Red, 1.0)]), "b.mp4"),
            "b.mp4 is fixed red",
        ),
    ] {
        let error = learn(vec![red.clone(), other]).unwrap_err();
        assert!(matches!(error, LearnError::Disagree { .. }), "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
    assert_eq!(learn(Vec::new()), Err(LearnError::NoClips));
}

/// The scatter over clips is what the tolerance comes from: 1.00 s and 1.06 s are 3 % from their mean.
#[test]
fn the_tolerance_comes_from_the_scatter() {
    let clip = |period_s: f64| Description {
        clip: format!("{period_s}.mp4"),
        look: Look::Cycle(vec![(Some(Red), 0.5), (None, period_s - 0.5)]),
        period_s: Some(Estimate {
            value: period_s,
            sd: 0.0,
        }),
        frame_s: 1.0 / 30.0,
    };
    let learnt = learn(vec![clip(1.0), clip(1.06)]).unwrap();
    assert!((learnt.spread.unwrap() - 0.03 / 1.03).abs() < 1e-9);
    assert_eq!(learnt.within, Some(0.06));
    assert_eq!(
        learnt.shows,
        "{ flashing = \"red\", period = \"1.03 s\", on = \"500 ms\", within = \"6 %\" }"
    );
    let one = learn(vec![clip(1.0)]).unwrap();
    assert_eq!((one.within, one.spread), (None, None));
}

fn lampwise(arguments: &[&str]) -> assert_cmd::assert::Assert {
    let mut command = assert_cmd::Command::cargo_bin("lampwise").expect("cargo built it");
    let table = ["--table", "models/tables/orchard-valve.toml"];
    command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["table", "learn"])
        .args(arguments)
        .args(table)
        .assert()
}

/// The recipe of the fixture: red, lit for 0.7 s of every 1.4 s, which the table has as `low-supply`.
#[test]
fn the_program_prints_a_row_and_leaves_the_table_alone() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/tables/orchard-valve.toml");
    let before = std::fs::read(&path).unwrap();
    let run = lampwise(&[
        "fixtures/fault.mp4",
        "--as",
        "weak",
        "--kind",
        "fault",
        "--title",
        "Weak supply",
    ])
    .code(0);
    let row = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    assert!(row.contains("# Note: it looks the same as `low-supply`"), "{row}");
    assert!(row.contains("title       = \"Weak supply\"\n"), "{row}");
    assert!(
        row.contains("shows.crown = { flashing = \"red\", period = \"1.40 s\", on = "),
        "{row}"
    );
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[rstest]
#[case::two_states(&["fixtures/demo.mp4", "fixtures/fault.mp4", "--as", "x"], "the clips do not show the same: demo.mp4 breathes blue")]
#[case::sequence(&["fixtures/reset-took.mp4", "--as", "x"], "shows no repeating rhythm")]
#[case::light(&["fixtures/fault.mp4", "--as", "x", "--light", "crwon"], "the table has no light `crwon`")]
#[case::kind(&["fixtures/fault.mp4", "--as", "x", "--kind", "broken"], "expected one of booting, ready")]
fn the_program_refuses_with_a_way_out(#[case] arguments: &[&str], #[case] words: &str) {
    let run = lampwise(arguments).code(3);
    let error = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert!(error.contains(words) && error.contains("\nhint: "), "{error}");
    assert!(run.get_output().stdout.is_empty());
}

/// What the command prints when it succeeds.
fn printed(arguments: &[&str]) -> String {
    let mut command = assert_cmd::Command::cargo_bin("lampwise").expect("cargo built it");
    let run = command.current_dir(env!("CARGO_MANIFEST_DIR")).args(arguments);
    String::from_utf8(run.assert().success().get_output().stdout.clone()).expect("the program prints text")
}

#[test]
fn of_several_lamps_the_author_hears_which_was_learnt() {
    let folder = tempfile::tempdir().expect("a folder");
    let clip = folder.path().join("two.mp4");
    let clip = clip.to_str().expect("text");
    let table = "models/tables/cold-store-logger.toml";
    printed(&[
        "render",
        "--table",
        table,
        "--row",
        "probe-lost",
        "--seconds",
        "7",
        "--out",
        clip,
    ]);
    let learn = [
        "table", "learn", clip, "--as", "learnt", "--table", table, "--light", "alarm",
    ];
    let row = printed(&learn);
    let told = "# Note: two.mp4 shows 2 lamps; this is what the one at ";
    assert!(row.contains(told), "{row}");
    let at = row
        .split(told)
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .expect("a place");
    let row = printed(&[&learn[..], &["--at", at]].concat());
    assert!(!row.contains("shows 2 lamps") && row.contains("1.3"), "{row}");
}
