//! What commands write, and what they leave alone.

#[path = "common/program.rs"]
mod program;

use assert_cmd::Command;
use program::{lampwise, text};
use rstest::rstest;

/// A slip of the hand costs no clip and no table.
#[rstest]
#[case::page_over_clip(&["read", "a.mp4", "--table", "t.toml", "--html", "a.mp4"])]
#[case::page_over_table(&["read", "a.mp4", "--table", "t.toml", "--html", "./t.toml"])]
#[case::picture_over_clip(&["trace", "a.mp4", "--picture", "a.mp4"])]
#[case::sheet_over_clip(&["drill", "a.mp4", "--table", "t.toml", "--csv", "a.mp4"])]
#[case::list_over_clip(&["triage", ".", "--table", "t.toml", "--csv", "a.mp4"])]
#[case::list_over_table(&["triage", ".", "--table", "t.toml", "--jsonl", "t.toml"])]
#[case::journal_over_table(&["triage", ".", "--table", "t.toml", "--journal", "t.toml"])]
#[case::preview_over_table(&["table", "preview", "t.toml", "--out", "t.toml"])]
#[case::clip_over_recipe(&["render", "--recipe", "r.toml", "--out", "r.toml"])]
#[case::truth_over_table(&["render", "--table", "t.toml", "--row", "watering", "--out", "b.mp4", "--truth", "t.toml"])]
fn nothing_is_written_over_what_is_read(#[case] arguments: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    let read = [
        ("fixtures/demo.mp4", "a.mp4"),
        ("fixtures/demo.toml", "r.toml"),
        ("models/tables/orchard-valve.toml", "t.toml"),
    ];
    for (from, to) in read {
        std::fs::copy(from, folder.path().join(to)).expect("a copy");
    }
    let mut command = Command::cargo_bin("lampwise").expect("cargo built it");
    let run = command
        .current_dir(folder.path())
        .args(arguments)
        .assert()
        .code(3);
    let error = text(&run.get_output().stderr);
    assert!(error.contains("would be overwritten"), "{error}");
    for (from, to) in read {
        let now = std::fs::read(folder.path().join(to)).expect("still there");
        assert!(now == std::fs::read(from).expect("a file"), "{to}");
    }
}

/// The list at the end would be written over what was noted as done.
#[rstest]
#[case::by_name(&["--journal", "j.jsonl", "--jsonl", "j.jsonl"])]
#[case::the_usual_one(&["--csv", "./.lampwise-triage.jsonl"])]
fn no_list_takes_the_place_of_the_journal(#[case] arguments: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::copy("models/tables/orchard-valve.toml", folder.path().join("t.toml")).expect("a copy");
    let mut command = Command::cargo_bin("lampwise").expect("cargo built it");
    let run = command
        .current_dir(folder.path())
        .args(["triage", ".", "--table", "t.toml"])
        .args(arguments)
        .assert()
        .code(3);
    let error = text(&run.get_output().stderr);
    assert!(error.contains("two outputs"), "{error}");
}

#[test]
fn a_page_that_cannot_be_written_takes_no_reading_away() {
    let run = lampwise(&["read", "fixtures/fault.mp4", "--html", "no-such-folder/page.html"]);
    let output = run.code(3).get_output().clone();
    assert!(text(&output.stdout).contains("One light was seen"), "{output:?}");
    assert!(text(&output.stderr).contains("cannot write"), "{output:?}");
}

/// A row as a small clip.
const RENDER: [&str; 9] = [
    "render",
    "--table",
    "models/tables/orchard-valve.toml",
    "--row",
    "watering",
    "--size",
    "160x120",
    "--seconds",
    "0.1",
];

#[test]
fn a_faster_camera_needs_no_other_exposure_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("a.mp4");
    let rest = ["--fps", "240", "--out", out.to_str().expect("a name")];
    lampwise(&[&RENDER[..], &rest[..]].concat()).code(0);
}

#[rstest]
#[case::clip(&["--out", "no-such-folder/a.mp4"])]
#[case::truth(&["--out", "/dev/null", "--truth", "no-such-folder/a.json"])]
fn a_clip_that_cannot_be_written_is_no_failure_of_the_program(#[case] outputs: &[&str]) {
    let run = lampwise(&[&RENDER[..], outputs].concat()).code(3);
    let error = text(&run.get_output().stderr);
    assert!(error.contains("cannot write no-such-folder"), "{error}");
}

#[test]
fn a_preview_that_cannot_be_written_says_so() {
    let table = "models/tables/vita-40.toml";
    let run = lampwise(&["table", "preview", table, "--out", "no/such/page.html"]).code(3);
    assert!(text(&run.get_output().stderr).starts_with("lampwise: error: cannot write no/such/page.html"));
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    lampwise(&["table", "preview", table, "--out", page.to_str().expect("text")]).success();
    assert!(
        std::fs::read_to_string(page)
            .expect("it is there")
            .starts_with("<!DOCTYPE html>")
    );
}
