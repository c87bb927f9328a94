//! The program from outside, where no footage is needed: what it refuses, how it says so, with which exit
//! status.

#[path = "common/program.rs"]
mod program;

use program::{lampwise, text};
use rstest::rstest;

#[rstest]
#[case::no_command(&[], "no command was given")]
#[case::unknown_command(&["reed"], "there is no command reed")]
#[case::unknown_flag(&["read", "a.mp4", "--tabel", "t"], "there is no argument --tabel here")]
#[case::no_footage(&["read"], "still missing: <FOOTAGE>")]
#[case::two_clips(&["trace", "a.mp4", "b.mp4"], "there is no argument b.mp4 here")]
#[case::half_a_point(&["read", "a.mp4", "--at", "612"], "expected two numbers of pixels")]
#[case::sure_of_all(&["read", "a.mp4", "--threshold", "1"], "expected a probability from 0.5")]
#[case::no_unit(&["read", "a.mp4", "--lasted", "6"], "expected a duration with its unit")]
#[case::speeded_up(&["read", "a.mp4", "--slowed-by", "0.5"], "expected a number of 1 or more")]
#[case::two_forms(&["trace", "a.mp4", "--csv", "--json"], "--csv cannot stand beside --json")]
#[case::no_table_command(&["table"], "no command was given")]
#[case::missing_footage(&["read", "no/such.mp4"], "cannot open no/such.mp4")]
#[case::missing_in_trace(&["trace", "no/such.mp4"], "cannot open no/such.mp4")]
#[case::missing_table(&["read", "Cargo.toml", "--table", "no/such.toml"], "cannot open no/such.toml")]
#[case::missing_table_to_check(&["table", "check", "no/such.toml"], "cannot open no/such.toml")]
#[case::no_reset(&["drill", "fixtures/demo.mp4", "--table", "models/tables/linux-heartbeat.toml"], "no row is of the kind")]
#[case::bad_id(&["table", "learn", "fixtures/demo.mp4", "--as", "Bad Id", "--table", "models/tables/orchard-valve.toml"], "such as bad-id")]
#[case::clip_twice(&["table", "learn", "fixtures/demo.mp4", "./fixtures/demo.mp4", "--as", "l", "--table", "models/tables/orchard-valve.toml"], "is the same clip as")]
#[case::outside(&["read", "fixtures/demo.mp4", "--at", "5000,340"], "outside the picture of 1280 x 720")]
#[case::below(&["trace", "fixtures/demo.mp4", "--at", "50,720"], "outside the picture of 1280 x 720")]
#[case::a_folder(&["read", "src"], "cannot open src: it is a folder")]
fn wrong_usage_ends_with_three_and_a_hint(#[case] arguments: &[&str], #[case] words: &str) {
    let run = lampwise(arguments).code(3);
    let output = run.get_output();
    let error = text(&output.stderr);
    let lines: Vec<&str> = error.lines().collect();
    assert_eq!(lines.len(), 2, "{error}");
    assert!(
        lines[0].starts_with("lampwise: error: ") && lines[0].contains(words),
        "{error}"
    );
    assert!(
        lines[1].starts_with("hint: ") && lines[1].len() > "hint: ".len(),
        "{error}"
    );
    assert!(output.stdout.is_empty(), "errors are no output");
}

/// A place beside the lamp is dark for sure; that is no word on the lamp.
#[test]
fn a_dark_place_beside_a_lamp_decides_nothing() {
    let table = "models/tables/orchard-valve.toml";
    let run = lampwise(&[
        "read",
        "fixtures/fault.mp4",
        "--table",
        table,
        "--at",
        "200,100",
        "--json",
    ]);
    let report: serde_json::Value = serde_json::from_slice(&run.get_output().stdout).expect("JSON");
    assert_eq!(report["outcome"], "undecided", "{report:#}");
    let warnings = report["warnings"].as_array().expect("a list");
    assert!(
        warnings.iter().any(|warning| warning["code"] == "lamp-beside"),
        "{warnings:?}"
    );
}

/// A wall looks like a dark lamp.
#[test]
fn a_place_where_nothing_lights_up_is_doubted() {
    let folder = tempfile::tempdir().expect("a folder");
    let clip = folder.path().join("dark.mp4");
    let name = clip.to_str().expect("text");
    let table = "models/tables/orchard-valve.toml";
    lampwise(&["render", "--table", table, "--row", "dark", "--out", name]).success();
    let run = lampwise(&["read", name, "--table", table, "--at", "100,60", "--json"]);
    let report: serde_json::Value = serde_json::from_slice(&run.get_output().stdout).expect("JSON");
    let warnings = report["warnings"].as_array().expect("a list");
    assert!(
        warnings.iter().any(|warning| warning["code"] == "nothing-lit"),
        "{report:#}"
    );
}

#[test]
fn a_picture_shows_the_frame_and_a_plot_for_each_lamp() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("lamps.png");
    let name = file.to_str().expect("text");
    lampwise(&["trace", "fixtures/demo.mp4", "--picture", name]).success();
    let picture = image::open(&file).expect("a picture").into_rgb8();
    // The clip is 1280 by 720 pixels; the frame is drawn 960 wide.
    assert_eq!(picture.width(), 960);
    assert!(picture.height() > 540 + 64, "{}", picture.height());
    let blue = |rgb: &&image::Rgb<u8>| rgb[2] > 200 && rgb[0] < 140;
    assert!(
        picture.pixels().filter(blue).count() > 50,
        "the lamp is lit in it"
    );
}

#[test]
fn a_check_prints_one_object_for_programs() {
    let run = lampwise(&["table", "check", "models/tables/linux-heartbeat.toml", "--json"]).success();
    let json: serde_json::Value = serde_json::from_slice(&run.get_output().stdout).expect("JSON");
    let keys: Vec<&str> = json
        .as_object()
        .expect("an object")
        .keys()
        .map(String::as_str)
        .collect();
    let expected = [
        "schema",
        "device",
        "fine",
        "findings",
        "frames_per_s",
        "seconds",
        "rows",
        "pairs",
    ];
    assert_eq!(keys, expected);
}

#[test]
fn a_slip_is_put_right() {
    let run = lampwise(&["read", "a.mp4", "--tabel", "t"]);
    assert!(text(&run.get_output().stderr).contains("hint: did you mean --table?"));
}

#[test]
fn help_lists_what_works_and_nothing_else() {
    let run = lampwise(&["--help"]).success();
    let help = text(&run.get_output().stdout);
    let listed = help
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| !line.is_empty());
    let names: Vec<&str> = listed.filter_map(|line| line.split_whitespace().next()).collect();
    for name in ["read", "trace", "drill", "triage", "table"] {
        assert!(names.contains(&name), "{name} in {names:?}");
    }
    for name in &names {
        // Each can at least tell how it is used.
        lampwise(&[name, "--help"]).success();
    }
    assert!(!names.contains(&"help"), "{names:?}");
    let run = lampwise(&["table", "--help"]).success();
    let help = text(&run.get_output().stdout);
    for name in ["check", "preview", "learn"] {
        assert!(help.contains(name), "{name} in {help}");
    }
}

#[test]
fn version_is_the_crates() {
    lampwise(&["--version"])
        .success()
        .stdout(format!("lampwise {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn every_exit_status_is_in_the_help() {
    let run = lampwise(&["--help"]).success();
    let help = text(&run.get_output().stdout);
    for status in 0..=4 {
        assert!(
            help.lines()
                .any(|line| line.starts_with(&format!("  {status}  "))),
            "{status} in {help}"
        );
    }
}

/// A file that is no footage at all is unusable footage, not wrong usage.
#[test]
fn a_file_that_is_no_footage_ends_with_two() {
    let run = lampwise(&["read", "Cargo.toml"]).code(2);
    let error = text(&run.get_output().stderr);
    assert!(
        error.starts_with("lampwise: error: Cargo.toml: ") && error.contains("\nhint: "),
        "{error}"
    );
}

/// A broken table is found before the footage is looked at, and is the table's fault.
#[test]
fn a_broken_table_ends_with_three() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("broken.toml");
    std::fs::write(&path, "schema = 1\n[device\n").unwrap();
    let table = path.to_str().unwrap();
    for arguments in [
        vec!["table", "check", table],
        vec!["read", "Cargo.toml", "--table", table],
    ] {
        let run = lampwise(&arguments).code(3);
        let error = text(&run.get_output().stderr);
        assert!(
            error.starts_with("lampwise: error: ") && error.contains("hint: mend the table"),
            "{error}"
        );
    }
    // The tables after it are looked at all the same.
    let run = lampwise(&["table", "check", table, "models/tables/linux-heartbeat.toml"]).code(3);
    assert!(text(&run.get_output().stdout).contains(" rows, "));
}

/// A reader that has seen enough closes the pipe; that is no failure.
#[cfg(unix)]
#[test]
fn a_closed_pipe_is_no_error() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .arg("--help")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Closed before the program writes, or while it does: either way it must end well.
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(text(&output.stderr), "");
}

/// What a shell completes and what the manual tells comes from the commands.
#[test]
fn completions_and_the_manual_know_every_command() {
    let folder = tempfile::tempdir().unwrap();
    for shell in ["bash", "zsh", "fish"] {
        let run = lampwise(&["completions", shell]).success();
        let script = text(&run.get_output().stdout);
        assert!(
            script.contains("triage") && script.contains("powered-for"),
            "{shell}"
        );
    }
    let run = lampwise(&["manual"]).success();
    let page = text(&run.get_output().stdout);
    assert!(
        page.contains(".TH lampwise 1") && page.contains("Exit status"),
        "{page}"
    );
    lampwise(&["manual", "--out", folder.path().to_str().unwrap()]).success();
    for name in [
        "lampwise.1",
        "lampwise-read.1",
        "lampwise-drill.1",
        "lampwise-triage.1",
        "lampwise-table-check.1",
    ] {
        assert!(folder.path().join(name).exists(), "{name}");
    }
    // No page for what the help does not list.
    let help = lampwise(&["--help"]).success();
    let help = text(&help.get_output().stdout);
    for page in std::fs::read_dir(folder.path()).unwrap() {
        let name = page.unwrap().file_name().into_string().unwrap();
        let command = name.trim_end_matches(".1").split('-').nth(1).unwrap_or_default();
        assert!(help.contains(&format!("\n  {command}")), "{name}");
    }
}

#[rstest]
#[case::no_file(&["read", "no.mp4"], "no.mp4 lässt sich nicht öffnen", "Pfad")]
#[case::no_footage(&["read", "Cargo.toml"], "weder ein Video noch ein Foto", "MP4")]
#[case::no_argument(&["read", "a.mp4", "--tabel", "t"], "Das Argument --tabel gibt es hier nicht", "Meinten Sie --table?")]
#[case::half_a_point(&["read", "a.mp4", "--at", "612"], "Erwartet werden zwei Zahlen", "`lampwise read --help`")]
#[case::too_many_jobs(&["triage", "src", "--jobs", "0"], "ganze Zahl von 1 bis 256", "`lampwise triage --help`")]
#[case::no_name(&["read", "Cargo.toml", "--table", "models/tables/orchard-valve.toml", "--tried", "prayer"], "Den Namen „prayer“ gibt es in der Tabelle nicht", "power-cycle (Netzteil ab- und wieder angesteckt)")]
#[case::outside(&["read", "fixtures/demo.mp4", "--at", "5000,340"], "außerhalb des Bildes", "linken oberen Ecke")]
#[case::no_reset(&["drill", "fixtures/demo.mp4", "--table", "models/tables/linux-heartbeat.toml"], "Keine Zeile der Tabelle steht für", "Rücksetztaste")]
#[case::over_table(&["read", "a.mp4", "--table", "Cargo.toml", "--html", "Cargo.toml"], "würde überschrieben", "anderen Namen")]
#[case::two_to_one(&["drill", "a.mp4", "--table", "t.toml", "--html", "no/o", "--csv", "no/o"], "für zwei Ausgaben zugleich", "anderen Namen")]
fn errors_are_told_in_the_language_asked_for(
    #[case] arguments: &[&str],
    #[case] what: &str,
    #[case] next: &str,
) {
    let run = lampwise(&[arguments, &["--language", "de"]].concat());
    let error = text(&run.get_output().stderr);
    let lines: Vec<&str> = error.lines().collect();
    let [first, second] = lines.as_slice() else {
        panic!("{error}")
    };
    assert!(
        first.starts_with("lampwise: Fehler: ") && first.contains(what),
        "{error}"
    );
    assert!(
        second.starts_with("Hinweis: ") && second.contains(next),
        "{error}"
    );
}

#[test]
fn an_unknown_language_is_answered_with_the_known_ones() {
    let run = lampwise(&["read", "a.mp4", "--language", "xx"]).code(3);
    assert!(text(&run.get_output().stderr).contains("expected one of en, de"));
}
