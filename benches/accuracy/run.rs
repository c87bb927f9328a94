//! Makes the clips, lets the stages read them, and judges what they made of it, on all cores.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use lampwise::footage::{Footage, Limits};
use lampwise::light::{Followed, Watcher};
use lampwise::render::{self, Truth};

use super::judge::{Judged, judge};
use super::plan::{Job, job};

/// The judgements of all clips, in the order of their indices.
///
/// `so_far` is given what is done every fifty clips, so that a run that is stopped leaves something.
pub(crate) fn all(clips: usize, seed: u64, so_far: impl Fn(&[Judged]) + Sync) -> Result<Vec<Judged>, String> {
    let next = AtomicUsize::new(0);
    let done: Mutex<(Vec<Judged>, Vec<String>)> = Mutex::default();
    let started = Instant::now();
    let work = || {
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            if index >= clips {
                return;
            }
            let judged = one(job(index, seed));
            let mut both = done.lock().expect("no worker panics while it holds the lists");
            let (done, failed) = &mut *both;
            match judged {
                Ok(judged) => done.push(judged),
                Err(error) => failed.push(format!("clip {index}: {error}")),
            }
            if done.len().is_multiple_of(50) {
                done.sort_by_key(|judged| judged.job.index);
                so_far(done);
                eprintln!(
                    "{} of {clips} clips, {:.0} s",
                    done.len(),
                    started.elapsed().as_secs_f64()
                );
            }
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(work);
        }
    });
    let (mut judged, failed) = done.into_inner().expect("the workers have ended");
    if let Some(error) = failed.into_iter().next() {
        return Err(error);
    }
    judged.sort_by_key(|judged| judged.job.index);
    Ok(judged)
}

pub(crate) fn one(job: Job) -> Result<Judged, String> {
    let (truth, lamps) = if job.in_file {
        through_file(&job)?
    } else {
        from_memory(&job)?
    };
    Ok(judge(job, &truth, &lamps))
}

fn from_memory(job: &Job) -> Result<(Truth, Vec<Followed>), String> {
    let mut pictures = render::frames(&job.recipe).map_err(|error| error.to_string())?;
    let mut watcher = Watcher::new(None);
    while let Some(picture) = pictures.next_picture() {
        watcher.watch(&picture.as_frame());
    }
    Ok((pictures.truth().clone(), watcher.finish()))
}

fn through_file(job: &Job) -> Result<(Truth, Vec<Followed>), String> {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    let path = folder.path().join("clip.mp4");
    let truth = render::clip(&job.recipe, &path).map_err(|error| error.to_string())?;
    let mut footage = Footage::open(&path, Limits::default()).map_err(|error| error.to_string())?;
    let mut watcher = Watcher::new(None);
    while let Some(frame) = footage.next_frame().map_err(|error| error.to_string())? {
        watcher.watch(&frame);
    }
    Ok((truth, watcher.finish()))
}
