//! What the caller may choose.

use std::path::PathBuf;
use std::str::FromStr;

pub(crate) const USAGE: &str = "usage: cargo bench --bench meaning -- [--seed N] [--clips N] [--table NAME] \
    [--effect NAME] [--only INDEX [--save FILE]] [--keep FOLDER] [--see] [--synthetic] [--fit] [--readings FILE] [--out FILE] [--speed]
  --effect NAME  only the clips whose effect is called so, as in the list of clips that were missed
  --save FILE    the recipe of that clip, to be filmed with `lampwise render`
  --keep FOLDER  what was seen of each clip is kept there and not rendered again: for work on the inference alone
  --see          only that
  --synthetic    traces made up without rendering: fast, rough, and nothing to quote
  --fit          fits models/confidence.json on these clips: quote no figure of the same seed afterwards
  --readings FILE  every reading as a line of CSV, to be compared with what another version of the inference wrote
  --speed        only how long the inference takes";

/// Of which 600 are of listed rows; see [`super::plan::kind`].
const CLIPS: usize = 960;

#[derive(Debug)]
pub(crate) struct Arguments {
    pub(crate) seed: u64,
    pub(crate) clips: usize,
    /// Only tables whose name contains this.
    pub(crate) table: Option<String>,
    /// Only clips made harder by this effect.
    pub(crate) effect: Option<String>,
    /// One clip by its index.
    pub(crate) only: Option<usize>,
    /// Where its recipe goes.
    pub(crate) save: Option<PathBuf>,
    /// Where traces are kept.
    pub(crate) keep: Option<PathBuf>,
    /// Keep traces, read nothing.
    pub(crate) see: bool,
    /// Traces without clips.
    pub(crate) synthetic: bool,
    /// Fit the confidence on these clips and write its parameters.
    pub(crate) fit: bool,
    /// Where every reading goes.
    pub(crate) readings: Option<PathBuf>,
    /// Time the inference, nothing else.
    pub(crate) speed: bool,
    /// Where the text goes besides the standard output.
    pub(crate) out: Option<PathBuf>,
}

impl Arguments {
    pub(crate) fn read(mut words: impl Iterator<Item = String>) -> Result<Self, String> {
        let mut arguments = Self {
            seed: 1,
            clips: CLIPS,
            table: None,
            effect: None,
            only: None,
            save: None,
            keep: None,
            see: false,
            synthetic: false,
            fit: false,
            readings: None,
            speed: false,
            out: None,
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
                "--table" => arguments.table = Some(value()?),
                "--effect" => arguments.effect = Some(value()?),
                "--only" => arguments.only = Some(number(&value()?)?),
                "--save" => arguments.save = Some(value()?.into()),
                "--keep" => arguments.keep = Some(value()?.into()),
                "--see" => arguments.see = true,
                "--synthetic" => arguments.synthetic = true,
                "--fit" => arguments.fit = true,
                "--readings" => arguments.readings = Some(value()?.into()),
                "--speed" => arguments.speed = true,
                "--out" => arguments.out = Some(value()?.into()),
                other => return Err(format!("unknown argument: {other}")),
            }
        }
        Ok(arguments)
    }
}

fn number<N: FromStr>(word: &str) -> Result<N, String> {
    word.parse().map_err(|_| format!("not a whole number: {word}"))
}
