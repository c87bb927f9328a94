//! The journal of a triage: what was done, one line each, so that a run that was stopped goes on where it was.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::super::{Complaint, Misuse};
use crate::report::TriageRecord;

/// What a journal belongs to: records made in another way are not mixed in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Head {
    /// Version of the journal's form.
    pub(super) schema: u32,
    /// Version of the program.
    pub(super) program: String,
    /// SHA-256 of the light table.
    pub(super) table: String,
    /// Probability from which a meaning is decided on.
    pub(super) threshold: f64,
    /// The language of the texts in the records.
    pub(super) language: String,
}

/// A journal that records can be added to.
pub(super) struct Journal {
    path: PathBuf,
    file: File,
}

impl Journal {
    /// Opens a journal or begins one, and gives what is done by it, by path. A last line that was cut off by the end of
    /// the earlier run is taken away.
    pub(super) fn open(
        path: &Path,
        head: &Head,
    ) -> Result<(Self, BTreeMap<String, TriageRecord>), Complaint> {
        let fail = |why| Complaint::Unwritable {
            path: path.to_owned(),
            why,
        };
        let mut file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)
            .map_err(fail)?;
        lock(path, &file)?;
        let mut text = String::new();
        file.read_to_string(&mut text).map_err(|why| match why.kind() {
            io::ErrorKind::InvalidData => Misuse::NoJournal {
                path: path.to_owned(),
            }
            .into(),
            _ => fail(why),
        })?;
        let whole = text.rfind('\n').map_or(0, |end| end + 1);
        // What is to be taken away must be a part of what this would write.
        if whole == 0 && !serde_json::to_string(head).is_ok_and(|line| line.starts_with(&text)) {
            return Err(Misuse::NoJournal {
                path: path.to_owned(),
            }
            .into());
        }
        let mut lines = text[..whole].lines();
        let done = match lines.next() {
            None => BTreeMap::new(),
            Some(first) => {
                is_of(path, first, head)?;
                records(path, lines)?
            }
        };
        file.set_len(whole as u64).map_err(fail)?;
        file.seek(SeekFrom::End(0)).map_err(fail)?;
        let mut journal = Self {
            path: path.to_owned(),
            file,
        };
        if whole == 0 {
            journal.line(head).map_err(fail)?;
        }
        Ok((journal, done))
    }

    /// Notes a clip as done. The line reaches the disk before this returns.
    pub(super) fn add(&mut self, record: &TriageRecord) -> Result<(), Complaint> {
        self.line(record).map_err(|why| Complaint::Unwritable {
            path: self.path.clone(),
            why,
        })
    }

    fn line(&mut self, value: &impl Serialize) -> io::Result<()> {
        let mut text = serde_json::to_string(value).map_err(io::Error::other)?;
        text.push('\n');
        self.file.write_all(text.as_bytes())?;
        self.file.sync_data()
    }
}

/// Refuses a journal that was begun in another way, and what is no journal.
fn is_of(path: &Path, first: &str, head: &Head) -> Result<(), Misuse> {
    let path = path.to_owned();
    // An earlier version's first line may have other fields; it names the program all the same.
    let begun = serde_json::from_str::<serde_json::Value>(first).ok();
    match begun.filter(|begun| begun.get("program").is_some()) {
        None => Err(Misuse::NoJournal { path }),
        Some(begun) if Head::deserialize(&begun).is_ok_and(|found| found == *head) => Ok(()),
        Some(_) => Err(Misuse::OtherJournal { path }),
    }
}

fn records<'t>(
    path: &Path,
    lines: impl Iterator<Item = &'t str>,
) -> Result<BTreeMap<String, TriageRecord>, Misuse> {
    lines
        .enumerate()
        .map(|(index, line)| {
            let record: TriageRecord = serde_json::from_str(line).map_err(|_| Misuse::BrokenJournal {
                path: path.to_owned(),
                line: index + 2,
            })?;
            Ok((record.clip.clone(), record))
        })
        .collect()
}

/// Two runs on one journal would each do what the other does.
fn lock(path: &Path, file: &File) -> Result<(), Complaint> {
    let path = path.to_owned();
    file.try_lock().map_err(|error| match error {
        std::fs::TryLockError::WouldBlock => Misuse::BusyJournal { path }.into(),
        std::fs::TryLockError::Error(why) => Complaint::Unwritable { path, why },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head() -> Head {
        Head {
            schema: 1,
            program: "0".to_owned(),
            table: "ab".to_owned(),
            threshold: 0.9,
            language: "en".to_owned(),
        }
    }

    fn record(clip: &str) -> TriageRecord {
        TriageRecord {
            clip: clip.to_owned(),
            sha256: String::new(),
            duplicate_of: None,
            error: Some("why, with a\nline".to_owned()),
            reading: None,
        }
    }

    /// Whatever part of the last line reached the disk, what was whole stays and what was not is done again.
    #[test]
    fn a_run_cut_off_anywhere_loses_and_repeats_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        let (mut journal, _) = Journal::open(&path, &head()).unwrap();
        journal.add(&record("a")).unwrap();
        let two = std::fs::metadata(&path).unwrap().len();
        journal.add(&record("b")).unwrap();
        drop(journal);
        let bytes = std::fs::read(&path).unwrap();
        for end in 0..=bytes.len() {
            std::fs::write(&path, &bytes[..end]).unwrap();
            let (mut journal, done) = Journal::open(&path, &head()).unwrap();
            let lines = bytes[..end].iter().filter(|byte| **byte == b'\n').count();
            assert_eq!(done.len(), lines.saturating_sub(1), "cut after {end}");
            if (end as u64) >= two {
                assert!(done.contains_key("a"));
            }
            journal.add(&record("c")).unwrap();
            drop(journal);
            assert!(Journal::open(&path, &head()).unwrap().1.contains_key("c"));
        }
    }

    /// One line of JSON without an end, as other programs write it, is somebody's file.
    #[test]
    fn a_file_that_is_no_journal_stays_as_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("notes.json");
        for text in ["{\"clips\": 3}", "{\"schema\":1,\"program\":\"other\"}", "x"] {
            std::fs::write(&path, text).unwrap();
            let refused = Journal::open(&path, &head());
            assert!(matches!(refused, Err(Complaint::Usage(Misuse::NoJournal { .. }))));
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        }
    }

    #[test]
    fn a_journal_of_another_table_and_one_in_use_are_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        let (journal, _) = Journal::open(&path, &head()).unwrap();
        assert!(matches!(
            Journal::open(&path, &head()),
            Err(Complaint::Usage(Misuse::BusyJournal { .. }))
        ));
        drop(journal);
        let other = Head {
            threshold: 0.8,
            ..head()
        };
        assert!(matches!(
            Journal::open(&path, &other),
            Err(Complaint::Usage(Misuse::OtherJournal { .. }))
        ));
    }
}
