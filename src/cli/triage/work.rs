//! Reading the clips of a triage, several at a time.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use rayon::prelude::*;

use super::super::digest::digest;
use super::super::output::print;
use super::journal::Journal;
use crate::advice::{Facts, advise};
use crate::pipeline::{Options, read};
use crate::report::{TriageRecord, json, triage_line, unusable};
use crate::table::LightTable;
use crate::words::Words;

/// What the readers of clips share.
pub(super) struct Work<'a> {
    pub(super) table: &'a LightTable,
    pub(super) words: &'a Words,
    pub(super) threshold: f64,
    pub(super) jobs: Option<usize>,
    /// Show a bar.
    pub(super) bar: bool,
}

/// A clip that is still to be read.
struct Todo<'c> {
    name: &'c str,
    path: &'c Path,
    sha256: String,
}

/// What is still to be done.
struct Plan<'c> {
    /// Clips to be read.
    fresh: Vec<Todo<'c>>,
    /// Clips that hold the same bytes as another.
    copies: Vec<Todo<'c>>,
    /// By the digest, which clip is read for all that hold the same.
    first: BTreeMap<String, String>,
}

impl<'c> Plan<'c> {
    fn of(sums: Vec<Todo<'c>>, done: &BTreeMap<String, TriageRecord>) -> Self {
        let read = done.values().filter(|record| record.duplicate_of.is_none());
        let mut plan = Self {
            fresh: Vec::new(),
            copies: Vec::new(),
            first: read
                .map(|record| (record.sha256.clone(), record.clip.clone()))
                .collect(),
        };
        for todo in sums.into_iter().filter(|todo| !done.contains_key(todo.name)) {
            if todo.sha256.is_empty() || !plan.first.contains_key(&todo.sha256) {
                plan.first.insert(todo.sha256.clone(), todo.name.to_owned());
                plan.fresh.push(todo);
            } else {
                plan.copies.push(todo);
            }
        }
        plan
    }
}

impl Work<'_> {
    /// Reads what is not done yet, tells of each clip as it is finished, and gives the records of all of them.
    pub(super) fn read_all(
        &self,
        clips: &BTreeMap<String, PathBuf>,
        mut done: BTreeMap<String, TriageRecord>,
        journal: Journal,
    ) -> anyhow::Result<Vec<TriageRecord>> {
        let cores = || std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
        let jobs = self.jobs.unwrap_or_else(cores);
        let pool = rayon::ThreadPoolBuilder::new().num_threads(jobs).build()?;
        let sums: Vec<Todo> = pool.install(|| {
            clips
                .par_iter()
                .map(|(name, path)| Todo {
                    name,
                    path,
                    // A file that cannot be read is told of when its turn comes.
                    sha256: digest(path).unwrap_or_default(),
                })
                .collect()
        });
        // A clip that changed since is another clip.
        done.retain(|name, record| {
            sums.iter()
                .any(|todo| todo.name == name && todo.sha256 == record.sha256)
        });
        let plan = Plan::of(sums, &done);
        let bar = self.progress(clips.len(), done.len());
        let sink = Mutex::new((journal, Vec::new()));
        let finish = |record: TriageRecord| -> anyhow::Result<()> {
            let mut sink = sink.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
            sink.0.add(&record)?;
            bar.suspend(|| print(&format!("{}\n", triage_line(&record, self.words))))?;
            bar.inc(1);
            sink.1.push(record);
            Ok(())
        };
        self.read_fresh(&plan.fresh, jobs, &finish)?;
        let known: BTreeMap<String, TriageRecord> = {
            let sink = sink.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
            let all = sink.1.iter().chain(done.values());
            all.map(|record| (record.clip.clone(), record.clone())).collect()
        };
        for todo in plan.copies {
            let original = &known[&plan.first[&todo.sha256]];
            finish(TriageRecord {
                clip: todo.name.to_owned(),
                duplicate_of: Some(original.clip.clone()),
                ..original.clone()
            })?;
        }
        bar.finish_and_clear();
        let (_, read) = sink
            .into_inner()
            .unwrap_or_else(std::sync::PoisonError::into_inner);
        Ok(done.into_values().chain(read).collect())
    }

    /// Every worker takes the next clip from the front and reads it alone: one that waited for helpers would begin
    /// another clip meanwhile, and hold the pictures of both.
    fn read_fresh(
        &self,
        fresh: &[Todo<'_>],
        jobs: usize,
        finish: &(impl Fn(TriageRecord) -> anyhow::Result<()> + Sync),
    ) -> anyhow::Result<()> {
        let next = AtomicUsize::new(0);
        let worker = || -> anyhow::Result<()> {
            let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build()?;
            while let Some(todo) = fresh.get(next.fetch_add(1, Ordering::Relaxed)) {
                finish(alone.install(|| self.read_one(todo)))?;
            }
            Ok(())
        };
        std::thread::scope(|scope| {
            let workers: Vec<_> = (0..jobs).map(|_| scope.spawn(worker)).collect();
            workers.into_iter().try_for_each(|worker| {
                worker
                    .join()
                    .unwrap_or_else(|_| Err(anyhow::anyhow!("a reader of clips failed")))
            })
        })
    }

    fn progress(&self, all: usize, done: usize) -> ProgressBar {
        let bar = ProgressBar::new(all as u64).with_position(done as u64);
        if !self.bar {
            bar.set_draw_target(ProgressDrawTarget::hidden());
        }
        let style = ProgressStyle::with_template(&format!(
            "{{bar:30}} {{pos}}/{{len}}, {}",
            self.words.with("time-left", &[("time", "{eta}".into())])
        ));
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        // What an earlier run did took no time of this one.
        bar.reset_eta();
        bar
    }

    /// One clip; whatever is wrong with it is its own.
    fn read_one(&self, todo: &Todo<'_>) -> TriageRecord {
        let options = Options {
            at: None,
            threshold: self.threshold,
            slowed_by: 1.0,
            threads: Some(1),
            language: self.words.language(),
        };
        let read = catch_unwind(AssertUnwindSafe(|| {
            read(todo.path, Some(self.table), &options).map(|findings| {
                let facts = Facts {
                    seen: findings.seen(),
                    language: self.words.language(),
                    ..Facts::default()
                };
                let judged = findings.judged.as_ref();
                let advice = judged.map(|judged| advise(judged.table, &judged.reading, &facts));
                json(&findings, &advice.unwrap_or_default())
            })
        }));
        let (reading, error) = match read {
            Ok(Ok(reading)) => (Some(reading), None),
            // The path is told in the record.
            Ok(Err(error)) => {
                let told = unusable(&error, self.words);
                (None, Some(told.sentence(self.words)))
            }
            Err(_) => (None, Some(self.words.say("failed-on-clip"))),
        };
        TriageRecord {
            clip: todo.name.to_owned(),
            sha256: todo.sha256.clone(),
            duplicate_of: None,
            error,
            reading,
        }
    }
}
