//! What must not be in the source: imports against the flow of data, and things that only one place may do.

#[path = "layering/rules.rs"]
mod rules;
#[path = "layering/source.rs"]
mod source;

use std::fs;
use std::path::{Path, PathBuf};

use rules::complaints;

/// Every Rust file of the crate, by its path under `src/`.
fn files() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("src can be listed") {
            let path: PathBuf = entry.expect("src can be listed").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let name = path
                    .strip_prefix(&root)
                    .expect("it lies in src")
                    .to_string_lossy()
                    .replace('\\', "/");
                files.push((name, fs::read_to_string(&path).expect("source is text")));
            }
        }
    }
    files.sort();
    files
}

#[test]
fn the_source_keeps_its_layers() {
    let files = files();
    assert!(files.len() > 20, "the source was found: {} files", files.len());
    let all: Vec<String> = files
        .iter()
        .flat_map(|(name, text)| complaints(name, text))
        .collect();
    assert!(all.is_empty(), "\n{}", all.join("\n"));
}

#[track_caller]
fn refused(name: &str, text: &str, words: &str) {
    let found = complaints(name, text);
    assert_eq!(found.len(), 1, "{name}: {text:?} gave {found:?}");
    assert!(found[0].contains(words), "{found:?} does not say {words:?}");
}

#[track_caller]
fn allowed(name: &str, text: &str) {
    assert_eq!(complaints(name, text), Vec::<String>::new(), "{name}: {text:?}");
}

#[test]
fn refuses_an_import_against_the_flow() {
    refused(
        "trace/edges.rs",
        "use crate::meaning::Reading;",
        "trace must not know meaning",
    );
    refused(
        "footage/mod.rs",
        "use crate::colour::ColourName;",
        "footage must not know colour",
    );
    refused(
        "light/find.rs",
        "fn f(r: &crate::report::Findings) {}",
        "light must not know report",
    );
    refused(
        "colour/mod.rs",
        "use crate::{footage::Frame, table};",
        "colour must not know table",
    );
    refused(
        "advice/mod.rs",
        "use crate::{\n    meaning::{Reading, Outcome},\n    footage,\n};",
        "footage",
    );
    refused(
        "trace/deep/mod.rs",
        "use super::super::table::Kind;",
        "trace must not know table",
    );
    refused(
        "table/mod.rs",
        "use lampwise::trace::Trace;",
        "table must not know trace",
    );
    refused(
        "meaning/mod.rs",
        "pub(crate) use crate::pipeline::Options;",
        "meaning must not know pipeline",
    );
    refused(
        "pipeline.rs",
        "use crate::cli::Status;",
        "pipeline must not know cli",
    );
}

#[test]
fn allows_the_flow() {
    allowed(
        "report/text.rs",
        "use crate::{advice::Advice, footage, light::Notice, trace::Trace};",
    );
    allowed(
        "trace/sample.rs",
        "use crate::colour::NameBelief;\nuse super::Trace;\nuse crate::trace::Flash;",
    );
    allowed("cli/read.rs", "use crate::pipeline::read; use crate::report;");
    allowed(
        "render/camera.rs",
        "use crate::table::Pattern; use crate::footage::ColourCode;",
    );
    allowed(
        "light/mod.rs",
        "// use crate::report::X;\nconst A: &str = \"crate::report::X\";",
    );
}

#[test]
fn tests_of_a_stage_may_know_any_other() {
    allowed(
        "trace/a.rs",
        "#[cfg(test)]\nmod tests {\n    use crate::render::clip;\n}\n",
    );
    allowed("trace/tests.rs", "use crate::render::clip;");
    refused(
        "trace/a.rs",
        "#[cfg(test)]\nmod tests {}\nuse crate::render::clip;",
        "trace must not know render",
    );
}

#[test]
fn refuses_libraries_out_of_their_place() {
    refused("trace/a.rs", "use ffmpeg_next as ffmpeg;", "ffmpeg_next");
    refused("light/a.rs", "let x = image::open(p);", "image::");
    refused("report/a.rs", "use image::RgbImage;", "image::");
    refused("report/a.rs", "#[derive(clap::Args)] struct A;", "clap");
    allowed("render/encode.rs", "use ffmpeg_next as ffmpeg;");
    allowed("footage/photo.rs", "use image::ImageReader;");
    allowed("light/a.rs", "let subimage::X = self::image_of(frame);");
}

#[test]
fn refuses_printing_files_clocks_and_chance_in_a_stage() {
    refused("light/a.rs", "println!(\"{x}\");", "println!");
    refused("light/a.rs", "eprint!(\"{x}\");", "eprint!");
    refused("trace/a.rs", "use std::fs;", "std::fs");
    refused("trace/a.rs", "let f = File::open(path)?;", "File::open");
    refused("meaning/a.rs", "use std::time::{Duration, Instant};", "Instant");
    refused("meaning/a.rs", "let now = SystemTime::now();", "SystemTime");
    refused("render/a.rs", "let mut rng = rand::rng();", "rand::rng");
    refused("render/a.rs", "let rng = Pcg64::from_os_rng();", "from_os_rng");
    allowed("render/a.rs", "let rng = Pcg64::seed_from_u64(42); use std::fs;");
    allowed("cli/a.rs", "use std::fs; use std::time::Instant;");
    allowed("meaning/a.rs", "use std::time::Duration;");
}

#[test]
fn refuses_unsafe_but_in_one_file() {
    refused("light/a.rs", "let x = unsafe { *p };", "unsafe");
    refused("footage/decode.rs", "let x = unsafe { *p };", "unsafe");
    allowed("footage/raw.rs", "let x = unsafe { *p };");
    allowed("light/a.rs", "// this is unsafe\nlet unsafe_looking = 1;");
}

#[test]
fn refuses_long_files_and_long_functions() {
    refused("light/a.rs", &"const A: u8 = 1;\n".repeat(401), "401 lines");
    allowed("light/a.rs", &"const A: u8 = 1;\n".repeat(400));
    let body = |lines: usize| {
        format!(
            "impl A {{\n    pub fn long(&self) -> B {{\n{}    }}\n}}\n",
            "a();\n".repeat(lines)
        )
    };
    refused("light/a.rs", &body(59), "fn long is 61 lines");
    refused(
        "light/a.rs",
        &format!("fn array(a: [u8; 3]) -> [u8; 2] {{\n{}}}\n", "a();\n".repeat(59)),
        "fn array is 61 lines",
    );
    allowed("light/a.rs", &body(58));
    allowed(
        "light/a.rs",
        &format!(
            "trait A {{ fn declared(&self); }}\n{}",
            "const A: u8 = 1;\n".repeat(80)
        ),
    );
}

#[test]
fn is_not_misled_by_braces_in_text() {
    let braces = "fn a() {\n    let open = '{';\n    let text = \"}}}\\\"{{\";\n    let raw = r#\"{\"{\"#;\n    let l: &'static str = x;\n}\nuse crate::report::X;";
    refused("light/a.rs", braces, "light must not know report");
}
