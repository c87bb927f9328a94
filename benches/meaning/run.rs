//! Makes the clips, lets every stage read them, and judges the readings, on all cores.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use lampwise::footage::{Footage, Limits};
use lampwise::light::{Followed, Watcher};
use lampwise::meaning::{Settings, assign, read};
use lampwise::render;
use lampwise::trace::{self, Trace};
use rand_pcg::Pcg64;

use super::arguments::Arguments;
use super::judge::Judged;
use super::keep::{self, Candidate};
use super::plan::{self, Job};
use super::synthetic;
use super::tables::Listed;

/// The judgements in the order of the clips.
pub(crate) fn all(tables: &[Listed], arguments: &Arguments) -> Result<Vec<Judged>, String> {
    each(tables, arguments, |job| one(job, tables, arguments))
}

/// Keeps what is seen of every clip.
pub(crate) fn see(tables: &[Listed], arguments: &Arguments) -> Result<(), String> {
    if arguments.keep.is_none() {
        return Err("--see needs --keep: where to?".to_owned());
    }
    each(tables, arguments, |job| {
        seen(&job, &tables[job.table], arguments).map(|_| ())
    })
    .map(|_| ())
}

/// Works through the clips on all cores.
fn each<T: Send>(
    tables: &[Listed],
    arguments: &Arguments,
    work: impl Fn(Job) -> Result<T, String> + Sync,
) -> Result<Vec<T>, String> {
    let indices: Vec<usize> = arguments
        .only
        .map_or_else(|| indices(arguments.clips), |index| vec![index])
        .into_iter()
        .filter(|index| {
            let effect = || plan::job(*index, arguments.seed, tables).filmed.effect;
            arguments.effect.as_ref().is_none_or(|wanted| wanted == effect())
        })
        .collect();
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Result<T, String>)>> = Mutex::new(Vec::new());
    let started = Instant::now();
    let worker = || {
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(&index) = indices.get(place) else { return };
            let made = work(plan::job(index, arguments.seed, tables));
            let made = made.map_err(|error| format!("clip {index}: {error}"));
            let mut done = done.lock().expect("no worker panics while it holds the list");
            done.push((index, made));
            if done.len().is_multiple_of(100) {
                let seconds = started.elapsed().as_secs_f64();
                eprintln!("{} of {} clips, {seconds:.0} s", done.len(), indices.len());
            }
        }
    };
    if let Some(folder) = &arguments.keep {
        std::fs::create_dir_all(folder)
            .map_err(|error| format!("cannot make the folder {}: {error}", folder.display()))?;
    }
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(worker);
        }
    });
    let mut done = done.into_inner().expect("the workers have ended");
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, made)| made).collect()
}

/// One clip in sixteen, on top, shows no light.
fn indices(clips: usize) -> Vec<usize> {
    let nothing = (0..clips / 16).map(|index| plan::NOTHING_FROM + index);
    (0..clips).chain(nothing).collect()
}

fn one(job: Job, tables: &[Listed], arguments: &Arguments) -> Result<Judged, String> {
    let listed = &tables[job.table];
    let seen = seen(&job, listed, arguments)?;
    let scored: Vec<(&Trace, f64)> = seen.iter().map(|found| (&found.trace, found.score)).collect();
    let started = Instant::now();
    let found = assign(&listed.table, &scored, job.pointed);
    let lights: Vec<Option<&Trace>> = found
        .lamp_of_light
        .iter()
        .map(|lamp| lamp.map(|index| scored[index].0))
        .collect();
    let reading = read(
        &listed.table,
        &lights,
        &found.identity,
        false,
        &Settings::default(),
    );
    let seconds = started.elapsed().as_secs_f64();
    Ok(Judged {
        identity: found.identity.probability,
        lamp_of_light: found.lamp_of_light,
        seen,
        reading,
        seconds,
        job,
    })
}

/// What the earlier stages make of the clip, or made of it in an earlier run.
fn seen(job: &Job, listed: &Listed, arguments: &Arguments) -> Result<Vec<Candidate>, String> {
    if arguments.synthetic {
        let mut random = Pcg64::new(u128::from(arguments.seed) + 99_000, job.index as u128);
        let lamps = listed.table.lights.len();
        return Ok(synthetic::candidates(
            &job.recipe,
            lamps,
            job.pointed,
            &mut random,
        ));
    }
    let Some(folder) = &arguments.keep else {
        return watch(job);
    };
    let name = format!(
        "{}-{}-{}.json",
        arguments.seed,
        job.index,
        listed.name.replace(' ', "-")
    );
    let path = folder.join(name);
    if let Some(seen) = keep::load(&path) {
        return Ok(seen);
    }
    let seen = watch(job)?;
    keep::store(&path, &seen)?;
    Ok(seen)
}

fn watch(job: &Job) -> Result<Vec<Candidate>, String> {
    let first = &job.recipe.lamps[0];
    let mut watcher = Watcher::new(job.pointed.then_some((first.x_px, first.y_px)));
    if job.filmed.in_file {
        let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
        let path = folder.path().join("clip.mp4");
        render::clip(&job.recipe, &path).map_err(|error| error.to_string())?;
        let mut footage = Footage::open(&path, Limits::default()).map_err(|error| error.to_string())?;
        while let Some(frame) = footage.next_frame().map_err(|error| error.to_string())? {
            watcher.watch(&frame);
        }
    } else {
        let mut pictures = render::frames(&job.recipe).map_err(|error| error.to_string())?;
        while let Some(picture) = pictures.next_picture() {
            watcher.watch(&picture.as_frame());
        }
    }
    let candidate = |followed: Followed| Candidate {
        score: followed.score,
        at_px: (followed.x, followed.y),
        trace: trace::build(&followed),
    };
    Ok(watcher.finish().into_iter().map(candidate).collect())
}
