//! The rules of the house, each with its reason.

use crate::source::{code_of, functions, modules_used, without_tests};

/// Which modules a stage may know, beside itself: those whose output it is given.
const MAY_KNOW: [(&str, &[&str]); 16] = [
    ("footage", &[]),
    ("colour", &["footage"]),
    ("light", &["footage", "colour"]),
    ("trace", &["light", "colour"]),
    ("table", &["colour"]),
    ("meaning", &["trace", "table", "colour"]),
    ("words", &[]),
    ("case", &[]),
    ("advice", &["meaning", "table", "light", "words"]),
    // Beside the flow: a table looked at with the model that reads it.
    ("check", &["meaning", "table", "colour", "words"]),
    // And a table's row made from what was measured, without the model that reads it.
    ("learn", &["trace", "table", "colour", "words"]),
    (
        "report",
        &[
            "footage", "colour", "light", "trace", "table", "meaning", "advice", "check", "learn", "words",
        ],
    ),
    ("render", &["table", "colour", "footage"]),
    (
        "pipeline",
        &[
            "footage", "colour", "light", "trace", "table", "meaning", "advice", "report", "render", "words",
        ],
    ),
    (
        "cli",
        &[
            "footage", "colour", "light", "trace", "table", "meaning", "advice", "check", "learn", "report",
            "render", "pipeline", "words", "case",
        ],
    ),
    ("main", &["cli"]),
];

/// What only some places may do: the words for it, where they are allowed (prefixes of paths), and why.
const ONLY_IN: [(&[&str], &[&str], &str); 8] = [
    (
        &["ffmpeg_next"],
        &["footage/", "render/"],
        "the other stages must build where no FFmpeg is",
    ),
    (
        &["image::", "use image"],
        &["footage/"],
        "pictures of unknown origin are opened in one place",
    ),
    (&["clap"], &["cli/"], "arguments are the command line's"),
    (
        &["println!", "print!", "eprintln!", "eprint!"],
        &["cli/", "main.rs"],
        "a stage returns values",
    ),
    (
        &["std::fs", "File::open", "File::create", "fs::read", "fs::write"],
        &["footage/", "table/", "render/", "cli/"],
        "a stage gets its input as a value",
    ),
    (
        &["Instant", "SystemTime"],
        &["cli/"],
        "the same input must give the same output",
    ),
    (
        &[
            "thread_rng",
            "rand::rng",
            "rand::random",
            "from_os_rng",
            "from_entropy",
            "OsRng",
        ],
        &[],
        "chance has a seed, or nothing can be repeated",
    ),
    (&["unsafe"], &["footage/raw.rs"], "one small file to look at"),
];

/// Lines of a file: what can be read in one go.
const FILE_LINES: usize = 400;

/// Lines of a function: about a screen.
const FUNCTION_LINES: usize = 60;

/// Everything that is wrong with a file.
pub(crate) fn complaints(file: &str, text: &str) -> Vec<String> {
    let mut all = Vec::new();
    let lines = text.lines().count();
    if lines > FILE_LINES {
        all.push(format!(
            "src/{file}: {lines} lines, at most {FILE_LINES}: divide it by ideas"
        ));
    }
    if is_test_file(file) {
        return all;
    }
    let code = without_tests(&code_of(text));
    all.extend(edges(file, &code));
    all.extend(out_of_place(file, &code));
    for (name, lines) in functions(&code)
        .into_iter()
        .filter(|(_, lines)| *lines > FUNCTION_LINES)
    {
        all.push(format!(
            "src/{file}: fn {name} is {lines} lines, at most {FUNCTION_LINES}"
        ));
    }
    all
}

/// Tests may use whatever proves the point.
fn is_test_file(file: &str) -> bool {
    file.ends_with("tests.rs") || file.ends_with("samples.rs") || file.contains("/tests/")
}

fn edges(file: &str, code: &str) -> Vec<String> {
    let stage = file.split('/').next().unwrap_or(file).trim_end_matches(".rs");
    let Some((_, may_know)) = MAY_KNOW.iter().find(|(name, _)| *name == stage) else {
        return Vec::new();
    };
    let known = |name: &str| MAY_KNOW.iter().any(|(stage, _)| *stage == name);
    let mut wrong: Vec<String> = modules_used(file, code);
    wrong.retain(|name| name != stage && known(name) && !may_know.contains(&name.as_str()));
    wrong.sort();
    wrong.dedup();
    wrong
        .iter()
        .map(|name| format!("src/{file}: {stage} must not know {name}"))
        .collect()
}

fn out_of_place(file: &str, code: &str) -> Vec<String> {
    let broken = ONLY_IN
        .iter()
        .filter(|(_, places, _)| !places.iter().any(|place| file.starts_with(place)));
    broken
        .filter_map(|(words, places, why)| {
            let word = words.iter().find(|word| has_word(code, word))?;
            Some(format!(
                "src/{file}: {word} belongs into [{}] only: {why}",
                places.join(", ")
            ))
        })
        .collect()
}

/// The word stands alone, not as a part of a longer name or path.
fn has_word(code: &str, word: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    code.match_indices(word).any(|(at, _)| {
        let before = code[..at].chars().next_back();
        let after = code[at + word.len()..].chars().next();
        let open_end = word.ends_with(|c: char| !part(c));
        !before.is_some_and(part) && (open_end || !after.is_some_and(part))
    })
}
