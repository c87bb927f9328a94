//! The stages in their order: the only place that calls them one after the other.

use std::path::Path;

use crate::footage::{self, Footage, FootageError, Limits};
use crate::light::{Followed, Sighting, Still, Watcher, crop, upright};
use crate::meaning::{self, Settings};
use crate::report::{Findings, Judged, Lamp, Moment, Shot};
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
    let mut footage = Footage::open(path, options.limits())?;
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
    let lamps: Vec<Lamp> = watcher.finish().into_iter().map(lamp).collect();
    let judged = table.map(|table| judge(table, &lamps, summary.kind == footage::Kind::Photo, options));
    Ok(Findings {
        footage: summary,
        lamps,
        judged,
        earlier: Vec::new(),
        language: options.language,
    })
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

/// Share of the lamp's lit light on clipped pixels.
fn clipped(followed: &Followed) -> f64 {
    let seen = || followed.glimpses.iter().filter(|g| g.sighting == Sighting::Seen);
    let top = seen().map(|g| g.excess).fold(0.0, f64::max);
    let (sum, count) = seen()
        .filter(|g| g.excess > 0.5 * top)
        .fold((0.0, 0.0), |(sum, count), g| (sum + g.clipped, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

fn judge<'t>(table: &'t LightTable, lamps: &[Lamp], photo: bool, options: &Options) -> Judged<'t> {
    let candidates: Vec<(&Trace, f64)> = lamps.iter().map(|lamp| (&lamp.trace, lamp.score)).collect();
    let found = meaning::assign(table, &candidates, options.at.is_some());
    let lights: Vec<Option<&Trace>> = found
        .lamp_of_light
        .iter()
        .map(|lamp| lamp.map(|index| candidates[index].0))
        .collect();
    let settings = Settings {
        decide_at: options.threshold,
    };
    let reading = meaning::read(table, &lights, found.probability, photo, &settings);
    Judged {
        table,
        reading,
        lamp_of_light: found.lamp_of_light,
    }
}
