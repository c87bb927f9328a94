//! A case over several clips, by the program itself: what the second clip knows of the first, and that nothing of a
//! case file is ever lost.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

const TABLE: &str = "models/tables/orchard-valve.toml";

fn lampwise(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(arguments)
        .output()
        .expect("cargo built the program")
}

fn read(case: &Path, clip: &str, more: &[&str]) -> Output {
    let case = case.to_str().expect("a path of plain letters");
    let mut arguments = vec!["read", clip, "--table", TABLE, "--json", "--case", case];
    arguments.extend(more);
    lampwise(&arguments)
}

fn reading(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

fn case() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("there is room for a folder");
    let path = folder.path().join("row-7.json");
    (folder, path)
}

/// Puts the case back by so many seconds, as if that time had passed.
fn wait(path: &Path, seconds: i64) {
    let mut case: Value = serde_json::from_str(&std::fs::read_to_string(path).expect("the case was written"))
        .expect("the case is JSON");
    let back = |moment: &mut Value| {
        if let Some(text) = moment.as_str() {
            let time: jiff::Timestamp = text.parse().expect("a moment");
            *moment = (time - jiff::SignedDuration::from_secs(seconds))
                .to_string()
                .into();
        }
    };
    back(&mut case["powered_since"]);
    for visit in case["visits"].as_array_mut().expect("a list") {
        back(&mut visit["at"]);
        back(&mut visit["since"]);
    }
    std::fs::write(path, case.to_string()).expect("the folder is there");
}

#[test]
fn the_second_clip_knows_what_the_first_said_and_how_long_ago() {
    let (_folder, path) = case();
    let first = reading(&read(
        &path,
        "fixtures/demo.mp4",
        &["--powered-for", "2 min", "--tried", "supply"],
    ));
    assert_eq!(first["earlier"], serde_json::json!([]));
    assert_eq!(
        first["lasts"]["so_far_s"], 120.0,
        "it has been starting since the power came"
    );
    wait(&path, 600);
    let second = reading(&read(&path, "fixtures/fault.mp4", &[]));
    let earlier = &second["earlier"][0];
    assert_eq!(earlier["meaning"], "starting");
    let ago_s = earlier["ago_s"].as_f64().unwrap();
    assert!((600.0..660.0).contains(&ago_s), "{ago_s}");
    assert!(
        earlier["steps"][0]
            .as_str()
            .unwrap()
            .contains("Wait until the lamp changes")
    );
}

#[test]
fn a_state_that_goes_on_grows_overdue_from_clip_to_clip() {
    let (folder, path) = case();
    // The same lamp a second time: another file of the same pictures.
    let again = folder.path().join("again.mp4");
    let mut bytes = std::fs::read("fixtures/demo.mp4").unwrap();
    bytes.extend(b"\0\0\0\x08free");
    std::fs::write(&again, bytes).unwrap();
    read(&path, "fixtures/demo.mp4", &["--tried", "supply,power-cycle"]);
    wait(&path, 420);
    let second = reading(&read(&path, again.to_str().unwrap(), &[]));
    assert_eq!(
        second["overdue_s"], 360.0,
        "seen seven minutes apart, six are allowed"
    );
    assert_eq!(
        second["next"][0]["sort"], "hand-on",
        "what was tried was told with the first clip: {second:#}"
    );
}

/// Whatever is wrong with a case file, it is refused with status 3 and stays as it is to the byte.
#[test]
fn a_damaged_case_is_refused_and_left_as_it_is() {
    let (_folder, path) = case();
    read(&path, "fixtures/demo.mp4", &[]);
    let whole = std::fs::read(&path).unwrap();
    let newer = String::from_utf8(whole.clone())
        .unwrap()
        .replace("\"schema\": 1", "\"schema\": 9");
    let other = String::from_utf8(whole.clone())
        .unwrap()
        .replace("Orchard valve", "Frost fan");
    let cases: [(&[u8], &str); 5] = [
        (&whole[..whole.len() / 2], "damaged"),
        (b"", "damaged"),
        (b"\xff\xfe", "no text"),
        (newer.as_bytes(), "schema 9"),
        (other.as_bytes(), "another device"),
    ];
    for (bytes, words) in cases {
        std::fs::write(&path, bytes).unwrap();
        let output = read(&path, "fixtures/demo.mp4", &[]);
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(3), "{words}: {error}");
        assert!(error.contains(words), "{words} in {error}");
        assert_eq!(std::fs::read(&path).unwrap(), bytes, "{words}: left as it was");
    }
}

#[test]
fn a_clip_that_cannot_be_read_leaves_the_case_alone() {
    let (folder, path) = case();
    read(&path, "fixtures/demo.mp4", &[]);
    let before = std::fs::read(&path).unwrap();
    let output = read(&path, "Cargo.toml", &[]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(std::fs::read(&path).unwrap(), before);
    let names: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    assert_eq!(names, ["row-7.json"], "no half-written file is left behind");
}

#[test]
fn a_name_that_the_table_does_not_have_is_refused() {
    for (option, value) in [("--tried", "suply"), ("--site", "tank-full")] {
        let output = lampwise(&["read", "fixtures/demo.mp4", "--table", TABLE, option, value]);
        assert_eq!(output.status.code(), Some(3));
        assert!(String::from_utf8_lossy(&output.stderr).contains(value));
    }
}
