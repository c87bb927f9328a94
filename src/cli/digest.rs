//! What tells a file from every other: its SHA-256.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use sha2::{Digest, Sha256};

/// Bytes that are read at a time.
const CHUNK_BYTES: usize = 1 << 16;

/// SHA-256 (FIPS 180-4) of a file's bytes, in small hexadecimal letters.
pub(super) fn digest(path: &Path) -> io::Result<String> {
    let mut file = File::open(path)?;
    let mut sum = Sha256::new();
    let mut chunk = vec![0; CHUNK_BYTES];
    loop {
        let count = file.read(&mut chunk)?;
        if count == 0 {
            break;
        }
        sum.update(&chunk[..count]);
    }
    Ok(sum.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
}

#[cfg(test)]
mod tests {
    /// The examples of FIPS 180-2, appendix B.1, and of the empty message.
    #[rstest::rstest]
    #[case("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")]
    #[case("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855")]
    fn is_the_published_digest(#[case] text: &str, #[case] expected: &str) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("file");
        std::fs::write(&path, text).unwrap();
        assert_eq!(super::digest(&path).unwrap(), expected);
    }
}
