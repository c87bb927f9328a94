//! The report page in a real browser: nothing that hampers somebody, everything in its place, nothing fetched.
//!
//! Chromium, Node.js and the packages of `tests/page/` are installed by `./dev setup`; without them these tests fail.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

const TABLE: &str = "models/tables/orchard-valve.toml";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Writes a page with the program, and gives its path.
fn page(folder: &Path, name: &str, arguments: &[&str]) -> PathBuf {
    let path = folder.join(format!("{name}.html"));
    let run = Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .current_dir(root())
        .arg("read")
        .args(arguments)
        .arg("--html")
        .arg(&path)
        .output()
        .expect("cargo built the program");
    assert!(path.exists(), "{}", String::from_utf8_lossy(&run.stderr));
    path
}

/// The sheet of a drill, written by the program.
fn sheet(folder: &Path, name: &str, language: &str) -> PathBuf {
    let path = folder.join(format!("{name}.html"));
    // One that took, one let go too soon, one without a reset, and one that cannot be read.
    let run = Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .current_dir(root())
        .args([
            "drill",
            "fixtures/reset-took.mp4",
            "fixtures/reset-too-soon.mp4",
            "fixtures/demo.mp4",
            "README.md",
        ])
        .args(["--table", TABLE, "--language", language, "--html"])
        .arg(&path)
        .output()
        .expect("cargo built the program");
    assert!(path.exists(), "{}", String::from_utf8_lossy(&run.stderr));
    path
}

/// What the browser saw, one entry a page and width.
fn look(folder: &Path, pages: &[PathBuf]) -> Vec<Value> {
    let script = root().join("tests/page/look.mjs");
    assert!(
        root().join("tests/page/node_modules").is_dir(),
        "the packages of tests/page are missing; run ./dev setup"
    );
    let run = Command::new("node")
        .arg(script)
        .arg(folder)
        .args(pages)
        .output()
        .expect("Node.js is missing; run ./dev setup");
    let error = String::from_utf8_lossy(&run.stderr);
    assert!(
        run.status.success(),
        "the browser did not start; run ./dev setup\n{error}"
    );
    serde_json::from_slice(&run.stdout).expect("the script prints JSON")
}

/// Distinct colours of a picture, coarsely, and whether one of them is near a given one.
fn colours(path: &Path, near: [u8; 3]) -> (usize, bool) {
    let picture = image::open(path).expect("the browser writes PNG").into_rgb8();
    let mut found = std::collections::HashSet::new();
    let mut there = false;
    for pixel in picture.pixels() {
        found.insert(pixel.0.map(|v| v / 16));
        there |= pixel.0.iter().zip(near).all(|(a, b)| a.abs_diff(b) < 24);
    }
    (found.len(), there)
}

/// The blue of the plot's boxes: `report/page/axis.rs` paints blue lamps so.
const BLUE: [u8; 3] = [0x1e, 0x5f, 0xc4];

#[test]
fn the_page_is_read_on_a_phone_and_on_a_screen_by_everybody() {
    let folder = tempfile::tempdir().unwrap();
    let clip = "fixtures/demo.mp4";
    let pages = [
        page(folder.path(), "demo", &[clip, "--table", TABLE]),
        page(folder.path(), "bare", &[clip, "--table", TABLE, "--no-pictures"]),
        page(folder.path(), "fault", &["fixtures/fault.mp4", "--table", TABLE]),
        page(folder.path(), "no-table", &["fixtures/reset-took.mp4"]),
        page(
            folder.path(),
            "german",
            &[clip, "--table", TABLE, "--language", "de"],
        ),
    ];
    let seen = look(folder.path(), &pages);
    assert_eq!(seen.len(), 2 * pages.len());
    for one in &seen {
        let name = format!("{} at {} px", one["page"], one["width"]);
        assert_eq!(one["violations"], serde_json::json!([]), "{name}");
        assert!(
            one["rules_passed"].as_u64() > Some(10),
            "{name}: the checker had something to check"
        );
        assert!(
            one["scroll_width"].as_u64() <= one["width"].as_u64(),
            "{name} scrolls sideways"
        );
        assert_eq!(one["asked"], 1, "{name}: nothing but the page itself is fetched");
        assert_eq!(
            one["broken_words"],
            serde_json::json!([]),
            "{name}: a word is torn apart"
        );
        let width = one["width"].as_f64().unwrap();
        for place in one["plots"]
            .as_array()
            .unwrap()
            .iter()
            .chain(one["pictures"].as_array().unwrap())
        {
            let at = |key: &str| place[key].as_f64().unwrap_or_else(|| panic!("{name}: not shown"));
            assert!(at("width") > 60.0 && at("height") > 60.0, "{name}: {place}");
            assert!(
                at("x") >= 0.0 && at("x") + at("width") <= width,
                "{name}: {place}"
            );
        }
        assert!(!one["plots"].as_array().unwrap().is_empty(), "{name} has a plot");
        for height in one["letters"].as_array().unwrap() {
            assert!(
                height.as_f64() > Some(9.0),
                "{name}: letters of the plot {height} px high"
            );
        }
    }
}

#[test]
fn the_sheet_of_a_drill_is_read_on_a_phone_and_on_a_screen() {
    let folder = tempfile::tempdir().unwrap();
    let pages = [
        sheet(folder.path(), "sheet", "en"),
        sheet(folder.path(), "blatt", "de"),
    ];
    let seen = look(folder.path(), &pages);
    assert_eq!(seen.len(), 4);
    for one in &seen {
        let name = format!("{} at {} px", one["page"], one["width"]);
        assert_eq!(one["violations"], serde_json::json!([]), "{name}");
        assert!(one["rules_passed"].as_u64() > Some(10), "{name}");
        assert!(
            one["scroll_width"].as_u64() <= one["width"].as_u64(),
            "{name} scrolls sideways"
        );
        assert_eq!(one["asked"], 1, "{name}: nothing but the sheet itself is fetched");
        assert_eq!(
            one["headings"].as_array().unwrap().len(),
            5,
            "{name}: a title and four clips"
        );
        assert_eq!(
            one["broken_words"],
            serde_json::json!([]),
            "{name}: a word is torn apart"
        );
        if one["page"] == "sheet.html" {
            let text = one["text"].as_str().unwrap();
            for words in [
                "1 of 2 tries took",
                "A reset erases",
                "it took",
                "let go too soon",
                "no reset was seen",
                "could not be read",
            ] {
                assert!(text.contains(words), "{words} in {text}");
            }
            // Once in the overview and once with the try.
            assert_eq!(text.matches("let go too soon").count(), 2, "{text}");
        }
    }
}

#[test]
fn the_demo_page_shows_text_plot_and_pictures() {
    let folder = tempfile::tempdir().unwrap();
    let pages = [
        page(folder.path(), "demo", &["fixtures/demo.mp4", "--table", TABLE]),
        page(
            folder.path(),
            "bare",
            &["fixtures/demo.mp4", "--table", TABLE, "--no-pictures"],
        ),
    ];
    for one in look(folder.path(), &pages) {
        let (bare, width) = (one["page"] == "bare.html", one["width"].as_u64().unwrap());
        let text = one["text"].as_str().unwrap();
        for words in [
            "The light means \"Starting up\"",
            "How sure: ",
            " %",
            "Wait until the lamp changes",
            "One cycle",
            " ± ",
        ] {
            assert!(text.contains(words), "{words} in {text}");
        }
        let headings: Vec<&str> = one["headings"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_str)
            .collect();
        for heading in [
            "What to do next",
            "What was seen",
            "What it showed when",
            "The footage",
        ] {
            assert!(headings.contains(&heading), "{heading} in {headings:?}");
        }
        let loaded = one["loaded"].as_array().unwrap();
        assert_eq!(loaded.is_empty(), bare);
        assert!(loaded.iter().all(|side| side.as_u64() > Some(8)));
        let name = if bare { "bare" } else { "demo" };
        let picture = |what: &str| folder.path().join(format!("{name}-{width}{what}.png"));
        // The lamp of the clip is blue, so are the boxes of its flashes; a blank plot has neither.
        let (shades, blue) = colours(&picture("-plot"), BLUE);
        assert!(blue && shades > 8, "{shades} shades in the plot at {width} px");
        if !bare {
            let (shades, _) = colours(&picture("-light"), BLUE);
            assert!(shades > 8, "{shades} shades in the picture of the light");
        }
        if width == 1280 {
            let pdf = std::fs::read(folder.path().join(format!("{name}-1280.pdf"))).unwrap();
            let sheets = pdf.windows(11).filter(|at| at == b"/Type /Page").count();
            assert!(
                pdf.starts_with(b"%PDF") && (1..=5).contains(&sheets),
                "{sheets} sheets"
            );
        }
    }
}
