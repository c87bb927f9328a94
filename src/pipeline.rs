//! The stages in their order: the only place that calls them one after the other.

use std::path::{Path, PathBuf};

use crate::footage::{self, Footage, FootageError, Kind, Limits, Summary};
use crate::light::{Followed, Notice, Sighting, Still, Watcher, crop, upright};
use crate::meaning::{self, Assignment, Glimpsed, Settings};
use crate::report::{Findings, Judged, Lamp, Moment, PhotoSeen, Shot};
use crate::table::LightTable;
use crate::trace::{self, Trace};
use crate::words::Language;

/// What the caller may choose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Where the lamp is in the upright picture of the first frame, pixels; found by its looks if `None`.
    pub at: Option<(f64, f64)>,
    /// Probability below which a reading stays undecided.
    pub threshold: f64,
    /// How many times slower than life the clip plays; all times are divided by it.
    pub slowed_by: f64,
    /// Threads that decode; as many as the machine has use for if `None`.
    pub threads: Option<usize>,
    /// The language of reports.
    pub language: Language,
}

impl Options {
    const fn settings(&self) -> Settings {
        Settings {
            decide_at: self.threshold,
        }
    }

    fn limits(&self) -> Limits {
        Limits {
            threads: self.threads,
            ..Limits::default()
        }
    }
}

/// Reads footage; with a table, says what the light means under it.
///
/// # Errors
///
/// Whatever keeps the footage from being opened or read; a clip that ends early is no error once it has given
/// frames.
pub fn read<'t>(
    path: &Path,
    table: Option<&'t LightTable>,
    options: &Options,
) -> Result<Findings<'t>, FootageError> {
    let (summary, mut lamps) = watch(Footage::open(path, options.limits())?, path, options)?;
    if let (Some(_), Some((pointed, others))) = (options.at, lamps.split_first_mut()) {
        pointed.notices.extend(only_pointed_to(pointed, others));
    }
    let judged = table.map(|table| judge(table, &lamps, summary.kind == Kind::Photo, options));
    Ok(Findings {
        footage: summary,
        lamps,
        photos: Vec::new(),
        judged,
        earlier: Vec::new(),
        language: options.language,
    })
}

/// Reads photos of one device together, as moments of one state.
///
/// # Errors
///
/// As for [`read`], and [`FootageError::NotAPhoto`] for a clip among them.
///
/// # Panics
///
/// Where there is no photo at all.
pub fn read_photos<'t>(
    paths: &[PathBuf],
    table: Option<&'t LightTable>,
    options: &Options,
) -> Result<Findings<'t>, FootageError> {
    let mut seen = Vec::new();
    for path in paths {
        let footage = Footage::open(path, options.limits())?;
        if footage.kind() != Kind::Photo {
            return Err(FootageError::NotAPhoto { path: path.clone() });
        }
        seen.push(watch(footage, path, options)?);
    }
    let found: Option<Vec<Assignment>> = table.map(|table| {
        let lamps = seen.iter().map(|(_, lamps)| lamps);
        lamps
            .map(|lamps| meaning::assign(table, &candidates(lamps), false))
            .collect()
    });
    let glimpsed: Vec<Glimpsed> = (0..seen.len())
        .map(|index| glimpsed(&seen[index].1, found.as_ref().map(|found| &found[index])))
        .collect();
    let plainest = meaning::plainest(&glimpsed).expect("there is a photo");
    let reading = table.map(|table| meaning::read_photos(table, &glimpsed, &options.settings()));
    let photos = (0..paths.len())
        .map(|index| PhotoSeen {
            name: name(&paths[index]),
            footage: seen[index].0,
            lights: match &found {
                Some(found) => taken(&seen[index].1, &found[index]),
                None => seen[index].1.iter().map(|lamp| (None, lamp.clone())).collect(),
            },
            plainest: index == plainest,
        })
        .collect();
    let judged = table
        .zip(reading)
        .zip(found)
        .map(|((table, reading), mut found)| Judged {
            table,
            reading,
            lamp_of_light: found.swap_remove(plainest).lamp_of_light,
        });
    drop(glimpsed);
    let (footage, lamps) = seen.swap_remove(plainest);
    Ok(Findings {
        footage,
        lamps,
        photos,
        judged,
        earlier: Vec::new(),
        language: options.language,
    })
}

/// The name of a file, without the folders.
fn name(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

/// The lamps that were taken for lights, each with the index of its light.
fn taken(lamps: &[Lamp], found: &Assignment) -> Vec<(Option<usize>, Lamp)> {
    let lights = found.lamp_of_light.iter().enumerate();
    lights
        .filter_map(|(light, lamp)| Some((Some(light), lamps[(*lamp)?].clone())))
        .collect()
}

/// What one photo gives to go by; without a table the likeliest lamp stands for it.
fn glimpsed<'a>(lamps: &'a [Lamp], found: Option<&Assignment>) -> Glimpsed<'a> {
    let Some(found) = found else {
        return Glimpsed {
            lights: Vec::new(),
            identity: lamps.first().map_or(0.0, |lamp| lamp.score),
        };
    };
    let of = |lamp: &Option<usize>| lamp.map(|index| &lamps[index].trace);
    Glimpsed {
        lights: found.lamp_of_light.iter().map(of).collect(),
        identity: found.identity.probability,
    }
}

/// What is seen in footage: its figures, and its lamps, best first.
fn watch(mut footage: Footage, path: &Path, options: &Options) -> Result<(Summary, Vec<Lamp>), FootageError> {
    let mut watcher = Watcher::new(options.at);
    while let Some(mut frame) = footage.next_frame()? {
        frame.time_s /= options.slowed_by;
        watcher.watch(&frame);
    }
    let mut summary = footage.summary().ok_or_else(|| FootageError::NoFrames {
        path: path.to_owned(),
        lost_packets: 0,
    })?;
    summary.length_s /= options.slowed_by;
    summary.fps *= options.slowed_by;
    Ok((summary, watcher.finish().into_iter().map(lamp).collect()))
}

/// Reads the same footage again for pictures of the lamps at given moments. Only the crops are kept; a moment that is
/// no longer found is left out.
///
/// # Errors
///
/// As for [`read`].
pub fn shots(
    path: &Path,
    findings: &Findings<'_>,
    moments: &[Moment],
    options: &Options,
) -> Result<Vec<Shot>, FootageError> {
    let mut footage = Footage::open(path, options.limits())?;
    let mut shots = Vec::new();
    while let Some(frame) = footage.next_frame()? {
        let time_s = frame.time_s / options.slowed_by;
        for moment in moments {
            let lamp = &findings.lamps[moment.lamp];
            // The same sum of the same number: it is the frame or it is not.
            if lamp.trace.samples[moment.frame].time_s == time_s {
                let crop = crop(&frame, moment.place(lamp), moment.half_px(lamp));
                let side = u32::try_from(crop.side).expect("a crop is small");
                shots.push(Shot {
                    moment: moment.clone(),
                    png: footage::png(side, side, &crop.rgb),
                });
            }
        }
    }
    shots.sort_by_key(|shot| (shot.moment.lamp, shot.moment.frame));
    Ok(shots)
}

/// Reads the same footage again for one whole picture, at most `widest` pixels wide: that of a frame by its number in the
/// traces. `None` if it is no longer found.
///
/// # Errors
///
/// As for [`read`].
pub fn still(
    path: &Path,
    frame: usize,
    widest: usize,
    options: &Options,
) -> Result<Option<Still>, FootageError> {
    let mut footage = Footage::open(path, options.limits())?;
    let mut number = 0;
    while let Some(picture) = footage.next_frame()? {
        if number == frame {
            return Ok(Some(upright(&picture, widest)));
        }
        number += 1;
    }
    Ok(None)
}

/// A followed lamp with its trace and what was measured of it.
#[must_use]
pub fn lamp(followed: Followed) -> Lamp {
    let trace = trace::build(&followed);
    let measured = trace::measure(&trace, clipped(&followed));
    Lamp {
        x: followed.x,
        y: followed.y,
        radius: followed.radius,
        score: followed.score,
        trace,
        measured,
        notices: followed.notices,
        places: followed.glimpses.iter().map(|glimpse| glimpse.place).collect(),
    }
}

/// A doubt about a place that was pointed to and never lights up: where a lamp does, or that none does.
fn only_pointed_to(pointed: &Lamp, others: &[Lamp]) -> Option<Notice> {
    /// Score from which a lamp is worth a doubt (guessed).
    const LIKELY: f64 = 0.5;
    let lights_up = |lamp: &&Lamp| !lamp.trace.tints.is_empty();
    if lights_up(&pointed) {
        return None;
    }
    let beside = others.iter().filter(lights_up).find(|lamp| lamp.score > LIKELY);
    Some(beside.map_or(Notice::NothingLit, |beside| Notice::LampBeside {
        x: beside.x,
        y: beside.y,
    }))
}

/// Share of the lamp's lit light on clipped pixels.
fn clipped(followed: &Followed) -> f64 {
    let seen = || followed.glimpses.iter().filter(|g| g.sighting == Sighting::Seen);
    let top = seen().map(|g| g.excess).fold(0.0, f64::max);
    let (sum, count) = seen()
        .filter(|g| g.excess > 0.5 * top)
        .fold((0.0, 0.0), |(sum, count), g| (sum + g.clipped, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

fn candidates(lamps: &[Lamp]) -> Vec<(&Trace, f64)> {
    lamps.iter().map(|lamp| (&lamp.trace, lamp.score)).collect()
}

/// Probability that the place that was pointed to is the lamp, where it stays dark and another place lights up: a finger
/// slips, and a dark lamp may have a lit neighbour (guessed; a wrong "no light" would have somebody pull the plug).
const BESIDE: f64 = 0.5;

fn judge<'t>(table: &'t LightTable, lamps: &[Lamp], photo: bool, options: &Options) -> Judged<'t> {
    let found = meaning::assign(table, &candidates(lamps), options.at.is_some());
    let Glimpsed { lights, .. } = glimpsed(lamps, Some(&found));
    let is_beside = |notice: &Notice| matches!(notice, Notice::LampBeside { .. });
    let pointed = lamps.first().filter(|_| options.at.is_some());
    let beside = pointed.is_some_and(|lamp| lamp.notices.iter().any(is_beside));
    let mut identity = found.identity.clone();
    if beside {
        identity.probability = identity.probability.min(BESIDE);
    }
    let reading = meaning::read(table, &lights, &identity, photo, &options.settings());
    Judged {
        table,
        reading,
        lamp_of_light: found.lamp_of_light,
    }
}
