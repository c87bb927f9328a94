//! The program, run as people run it.

use assert_cmd::Command;

pub(crate) fn lampwise(arguments: &[&str]) -> assert_cmd::assert::Assert {
    let mut command = Command::cargo_bin("lampwise").expect("cargo built it");
    command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(arguments)
        .assert()
}

pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("the program prints text")
}
