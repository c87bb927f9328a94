//! What the caller may choose.

use std::path::PathBuf;
use std::str::FromStr;

pub(crate) const USAGE: &str = "usage: cargo bench --bench accuracy -- [--seed N] [--clips N] [--out FILE]
       cargo bench --bench accuracy -- --only INDEX [--seed N] [--save CLIP]";

/// Seven rounds of all effects and strengths.
const CLIPS: usize = 600;

#[derive(Debug)]
pub(crate) struct Arguments {
    pub(crate) seed: u64,
    pub(crate) clips: usize,
    /// Where the table goes besides the standard output.
    pub(crate) out: Option<PathBuf>,
    /// One clip by its index.
    pub(crate) only: Option<usize>,
    /// Where that clip is written to.
    pub(crate) save: Option<PathBuf>,
}

impl Arguments {
    pub(crate) fn read(mut words: impl Iterator<Item = String>) -> Result<Self, String> {
        let mut arguments = Self {
            seed: 1,
            clips: CLIPS,
            out: None,
            only: None,
            save: None,
        };
        while let Some(word) = words.next() {
            // Cargo adds it to every bench.
            if word == "--bench" {
                continue;
            }
            let mut value = || words.next().ok_or_else(|| format!("{word} needs a value"));
            match word.as_str() {
                "--seed" => arguments.seed = number(&value()?)?,
                "--clips" => arguments.clips = number(&value()?)?,
                "--out" => arguments.out = Some(value()?.into()),
                "--only" => arguments.only = Some(number(&value()?)?),
                "--save" => arguments.save = Some(value()?.into()),
                other => return Err(format!("unknown argument: {other}")),
            }
        }
        if arguments.save.is_some() && arguments.only.is_none() {
            return Err("--save needs --only: which clip?".to_owned());
        }
        Ok(arguments)
    }
}

fn number<N: FromStr>(word: &str) -> Result<N, String> {
    word.parse().map_err(|_| format!("not a whole number: {word}"))
}
