//! What would settle an undecided reading.

use super::divergence::{between_rows, fastest_hz, length_s};
use super::reading::Settle;
use crate::table::{LightTable, Pattern};

/// Evidence asked for beyond the threshold, nats, so that the second clip does not end just short of it again.
const MARGIN_NATS: f64 = 1.0;

/// Below so many nats a second two patterns do not part in any clip that people film.
const HOPELESS_NATS_PER_S: f64 = 0.05;

/// Longest clip that anybody is asked for, seconds.
const LONGEST_S: f64 = 60.0;

/// Seconds of a light that does not change before "it does not change" is worth much.
const STEADY_S: f64 = 5.0;

/// Frame rates that phones offer, frames a second (common practice, no source).
const PHONE_FPS: [f64; 4] = [30.0, 60.0, 120.0, 240.0];

/// Frames a cycle that show both the lit and the dark part wherever the cycle falls among the frames: twice the two of the
/// sampling theorem, because a frame that is lit for a part of its exposure tells neither. Guessed margin.
pub const FRAMES_A_CYCLE: f64 = 4.0;

/// The least frame rate that a phone offers of at least `fps`, or that itself if none does.
#[must_use]
pub fn phone_rate(fps: f64) -> f64 {
    let offered = PHONE_FPS.into_iter().find(|offer| *offer >= fps);
    offered.unwrap_or_else(|| fps.ceil())
}

/// What was filmed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Filmed {
    /// Frames per second.
    pub(super) fps: f64,
    /// Seconds.
    pub(super) length_s: f64,
}

/// What parts two rows: `need_nats` is by how much the log odds of the first must still grow.
pub(super) fn between(
    table: &LightTable,
    first: usize,
    second: usize,
    need_nats: f64,
    filmed: Filmed,
) -> Vec<Settle> {
    let rows = [first, second];
    if let Some(fps) = faster(table, &rows, filmed.fps) {
        return vec![Settle::FasterFrames { fps }];
    }
    let there = between_rows(table, first, second, filmed.fps);
    let back = between_rows(table, second, first, filmed.fps);
    let rate = there.timing_nats_per_s.min(back.timing_nats_per_s);
    if rate >= HOPELESS_NATS_PER_S {
        let whole = rows
            .iter()
            .map(|row| row_length_s(table, *row))
            .fold(0.0, f64::max);
        let seconds = ((need_nats + MARGIN_NATS) / rate)
            .max(whole - filmed.length_s)
            .max(1.0)
            .ceil();
        if seconds <= LONGEST_S {
            return vec![Settle::FilmLonger { seconds }];
        }
    }
    if there.colours_differ {
        return vec![Settle::WhiteSheet, Settle::Closer];
    }
    if rate >= HOPELESS_NATS_PER_S {
        return vec![Settle::Closer];
    }
    vec![Settle::Ask { rows: rows.to_vec() }]
}

/// What parts a row from "something that is not in the table".
pub(super) fn from_unlisted(table: &LightTable, row: usize, filmed: Filmed) -> Vec<Settle> {
    if let Some(fps) = faster(table, &[row], filmed.fps) {
        return vec![Settle::FasterFrames { fps }];
    }
    let whole = row_length_s(table, row).max(STEADY_S);
    if filmed.length_s < whole {
        return vec![Settle::FilmLonger {
            seconds: (whole - filmed.length_s).max(1.0).ceil(),
        }];
    }
    vec![
        Settle::FilmLonger {
            seconds: filmed.length_s.min(LONGEST_S).ceil(),
        },
        Settle::Closer,
    ]
}

/// Seconds that it takes to see a sequence in its order.
pub(super) fn rest_of(table: &LightTable, row: usize, filmed: Filmed) -> Vec<Settle> {
    vec![Settle::FilmLonger {
        seconds: (row_length_s(table, row) - filmed.length_s).max(3.0).ceil(),
    }]
}

/// Seconds of clip that would do in place of a photo.
pub(super) fn instead_of_photo(table: &LightTable, rows: &[usize]) -> Settle {
    let longest = rows
        .iter()
        .map(|row| row_length_s(table, *row))
        .fold(STEADY_S, f64::max);
    Settle::FilmInstead {
        seconds: longest.min(LONGEST_S).ceil(),
    }
}

/// A frame rate that would show the rows' rhythms, if the clip's cannot.
pub(super) fn faster(table: &LightTable, rows: &[usize], fps: f64) -> Option<f64> {
    let fastest = rows.iter().map(|row| row_hz(table, *row)).fold(0.0, f64::max);
    if 2.0 * fastest <= fps {
        return None;
    }
    Some(phone_rate(FRAMES_A_CYCLE * fastest).min(PHONE_FPS[3])).filter(|offer| *offer > fps)
}

/// The fastest rate in a row, in cycles per second.
pub(super) fn row_hz(table: &LightTable, row: usize) -> f64 {
    patterns(table, row).map(fastest_hz).fold(0.0, f64::max)
}

fn row_length_s(table: &LightTable, row: usize) -> f64 {
    patterns(table, row).map(length_s).fold(0.0, f64::max)
}

fn patterns(table: &LightTable, row: usize) -> impl Iterator<Item = &Pattern> {
    table.meanings[row].shows.iter().map(|show| &show.pattern)
}
