//! The README shows what the program prints, to the letter.
//!
//! A line `<!-- output: lampwise … -->` names a command; the fenced block after it is compared with what the
//! command prints. `LAMPWISE_BLESS=1 cargo test --test readme` writes the blocks anew.

use std::fs;
use std::path::Path;
use std::process::Command;

const MARK: &str = "<!-- output: lampwise ";
const FENCE: &str = "```";

/// What a command of the README prints to standard output.
fn run(arguments: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_lampwise"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(arguments.split_whitespace())
        .output()
        .expect("cargo built the program");
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(error.is_empty(), "lampwise {arguments}: {error}");
    String::from_utf8(output.stdout).expect("the program prints text")
}

/// The page with every block filled by `print`, and how many blocks there were.
fn filled(page: &str, print: impl Fn(&str) -> String) -> (String, usize) {
    let mut out = String::new();
    let mut blocks = 0;
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        out.push_str(line);
        out.push('\n');
        let Some(arguments) = line.strip_prefix(MARK).and_then(|rest| rest.strip_suffix(" -->")) else {
            continue;
        };
        let fence = lines.next().filter(|line| line.starts_with(FENCE));
        let fence = fence.unwrap_or_else(|| panic!("a fenced block follows the mark for `{arguments}`"));
        assert!(
            lines.by_ref().any(|line| line == FENCE),
            "the block for `{arguments}` is closed"
        );
        out.push_str(&format!("{fence}\n{}\n{FENCE}\n", print(arguments).trim_end()));
        blocks += 1;
    }
    (out, blocks)
}

#[test]
fn shows_what_the_program_prints() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let page = fs::read_to_string(&path).unwrap();
    let (expected, blocks) = filled(&page, run);
    assert!(blocks > 0, "the README shows real output");
    if std::env::var_os("LAMPWISE_BLESS").is_some() {
        fs::write(&path, expected).unwrap();
    } else {
        assert!(
            page == expected,
            "README.md shows something else than the program prints; look at the difference and run \
             `LAMPWISE_BLESS=1 cargo test --test readme`. The program prints:\n{expected}"
        );
    }
}

#[test]
fn a_stale_block_is_noticed_and_filled() {
    let page = "Text.\n<!-- output: lampwise read a -->\n```text\nold\n```\nMore.\n";
    let (new, blocks) = filled(page, |arguments| format!("ran {arguments}\n"));
    assert_eq!(blocks, 1);
    assert_eq!(
        new,
        "Text.\n<!-- output: lampwise read a -->\n```text\nran read a\n```\nMore.\n"
    );
    assert_eq!(
        filled(&new, |_| "ran read a".to_owned()).0,
        new,
        "filling twice changes nothing"
    );
}

/// The first thing that an author copies.
#[test]
fn the_table_shown_is_one() {
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let after = page.split_once("\n```toml\n").expect("a table is shown").1;
    let (text, _) = after.split_once("\n```").expect("the block is closed");
    let table =
        lampwise::table::parse("README.md", text).unwrap_or_else(|error| panic!("{}", error.render(false)));
    assert_eq!(table.meanings.len(), 1, "{text}");
}
