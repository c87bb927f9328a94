//! The case file of `lampwise read --case`.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use jiff::Timestamp;

use super::digest::digest;
use super::output::write_whole;
use super::{CaseFault, Complaint, Misuse};
use crate::advice::{Advice, NextStep};
use crate::case::{Case, LONGEST_BYTES, Said, Told, Visit, before, seconds};
use crate::report::{Earlier, Findings, headline, outcome_word};
use crate::table::LightTable;

/// A case that was taken from its file and goes back there.
pub(super) struct OpenCase {
    path: PathBuf,
    case: Case,
    /// The file as it was read; `None` where there was none.
    as_read: Option<Vec<u8>>,
    clip: String,
    now: Timestamp,
}

impl OpenCase {
    /// Opens a case, or begins one where there is no file yet.
    pub(super) fn open(path: &Path, table: &LightTable, footage: &[PathBuf]) -> Result<Self, Complaint> {
        let as_read = current(path)?;
        let device = table.device.name.as_str();
        let case = match &as_read {
            None => Case::new(device),
            Some(bytes) => parse(path, bytes)?,
        };
        if case.device != device {
            return Err(Misuse::CaseOfAnother {
                path: path.to_owned(),
                device: case.device,
            }
            .into());
        }
        let clip = digest_of_all(footage)?;
        Ok(Self {
            path: path.to_owned(),
            case,
            as_read,
            clip,
            now: Timestamp::now(),
        })
    }

    /// Takes in what was told, and gives all that is known.
    pub(super) fn known(&mut self, told: Told) -> Told {
        self.case.known(told, &self.clip, self.now)
    }

    /// For how long the light has shown a row by earlier clips, seconds.
    pub(super) fn shown_for_s(&self, row: &str) -> Option<f64> {
        self.case.shown_for_s(row, self.now)
    }

    /// What earlier clips said, oldest first.
    pub(super) fn earlier(&self) -> Vec<Earlier> {
        let visits = self.case.visits.iter();
        visits
            .map(|visit| Earlier {
                ago_s: seconds(visit.at, self.now),
                sentence: visit.said.sentence.clone(),
                outcome: visit.said.outcome.clone(),
                meaning: visit.said.meaning.clone(),
                steps: visit.steps.clone(),
            })
            .collect()
    }

    /// Notes this reading and writes the file.
    pub(super) fn close(
        mut self,
        findings: &Findings,
        advice: &Advice,
        lasted_s: Option<f64>,
        name: String,
    ) -> anyhow::Result<()> {
        let judged = findings.judged.as_ref();
        self.case.note(Visit {
            at: self.now,
            since: lasted_s.and_then(|lasted_s| before(self.now, lasted_s)),
            clip: self.clip,
            name,
            said: Said {
                outcome: outcome_word(findings).unwrap_or("unseen").to_owned(),
                meaning: judged
                    .and_then(|judged| judged.decided())
                    .map(|row| row.id.clone()),
                confidence: judged.map_or(0.0, |judged| judged.reading.confidence),
                sentence: headline(findings),
            },
            steps: advice.next.iter().map(NextStep::sentence).collect(),
        });
        // Somebody else may have written to it since; what they noted must not be lost.
        if current(&self.path)? != self.as_read {
            return Err(refused(&self.path, CaseFault::ChangedMeanwhile).into());
        }
        write_whole(&self.path, self.case.to_text().as_bytes())
    }
}

/// What tells this footage from any other; the order of photos does not count.
fn digest_of_all(footage: &[PathBuf]) -> Result<String, Complaint> {
    let of = |path: &PathBuf| {
        digest(path).map_err(|why| Complaint::Path {
            path: path.clone(),
            why,
        })
    };
    let mut digests: Vec<String> = footage.iter().map(of).collect::<Result<_, _>>()?;
    digests.sort_unstable();
    Ok(digests.join("+"))
}

/// The bytes of the file; `None` where there is none.
fn current(path: &Path) -> Result<Option<Vec<u8>>, Complaint> {
    let refuse = |why| Complaint::Path {
        path: path.to_owned(),
        why,
    };
    match std::fs::metadata(path) {
        Err(why) if why.kind() == ErrorKind::NotFound => return Ok(None),
        Err(why) => return Err(refuse(why)),
        Ok(about) if about.len() > LONGEST_BYTES as u64 => {
            return Err(refused(path, CaseFault::TooLong));
        }
        Ok(_) => {}
    }
    std::fs::read(path).map(Some).map_err(refuse)
}

fn parse(path: &Path, bytes: &[u8]) -> Result<Case, Complaint> {
    let text = std::str::from_utf8(bytes).map_err(|_| refused(path, CaseFault::NoText))?;
    Case::parse(text).map_err(|error| refused(path, CaseFault::Content(error)))
}

fn refused(path: &Path, why: CaseFault) -> Complaint {
    Complaint::Case {
        path: path.to_owned(),
        why,
    }
}
