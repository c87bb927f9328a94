//! Real clips of lamps whose colour was noted and whose timing is known from the board's program or was read
//! frame by frame. They lie beside the checkout and are not part of it.

use std::fmt::Write;
use std::path::Path;

use lampwise::colour::ColourName;
use lampwise::light::Followed;
use lampwise::trace;
use serde_json::Value;

use super::judge::{Colour, clipped, named, said};
use super::turned::{Seen, Turned, watch};

/// Error of a right period, as a share: the target.
const PROGRAM_OFF: f64 = 0.02;
/// The same against what was read frame by frame, since edges are known to a frame there.
const READ_OFF: f64 = 0.02;

/// How one clip was read.
#[derive(Default)]
struct Row {
    id: String,
    found: bool,
    colour: Option<Colour>,
    period: Option<bool>,
    /// Or by the noted runs themselves.
    period_of_runs: Option<bool>,
    said: String,
}

/// A table of the clips with timing that repeats, as they were filmed and turned about; or a line that says that there are
/// none.
pub(crate) fn text() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/clips");
    let Ok(list) = std::fs::read_to_string(folder.join("manifest.jsonl")) else {
        return "\nReal clips: skipped, there are none beside the checkout\n".to_owned();
    };
    Turned::ALL
        .map(|turned| table(turned, &rows(&folder, &list, turned)))
        .concat()
}

fn rows(folder: &Path, list: &str, turned: Turned) -> Vec<Row> {
    let mut rows = Vec::new();
    for line in list.lines() {
        match serde_json::from_str::<Value>(line) {
            Ok(entry)
                if entry["kind"]
                    .as_str()
                    .is_some_and(|kind| kind.starts_with("periodic")) =>
            {
                rows.push(row(folder, &entry, turned));
            }
            Ok(_) => {}
            Err(error) => rows.push(Row {
                id: "a line of the list".to_owned(),
                said: error.to_string(),
                ..Row::default()
            }),
        }
    }
    rows
}

fn table(turned: Turned, rows: &[Row]) -> String {
    let count = |what: fn(&Row) -> Option<bool>| {
        let judged: Vec<bool> = rows.iter().filter_map(what).collect();
        format!(
            "{}/{}",
            judged.iter().filter(|right| **right).count(),
            judged.len()
        )
    };
    let mut text = format!(
        "\nReal clips, {}: found (first lamp at a noted place) {}, colour {} (+both {}), period {} (by the runs' own edges, too, {})\n",
        turned.name(),
        count(|row| Some(row.found)),
        count(|row| row.colour.map(|colour| colour == Colour::Right)),
        count(|row| row.colour.map(|colour| colour <= Colour::Both)),
        count(|row| row.period),
        count(|row| row.period_of_runs),
    );
    let word = |right: Option<bool>| match right {
        Some(true) => "yes",
        Some(false) => "MISS",
        None => "-",
    };
    for row in rows {
        let colour = match row.colour {
            Some(Colour::Both) => "both",
            colour => word(colour.map(|colour| colour == Colour::Right)),
        };
        let period = match (row.period, row.period_of_runs) {
            (Some(false), Some(true)) => "runs",
            (period, _) => word(period),
        };
        let found = word(Some(row.found));
        writeln!(
            text,
            "{:<14} found {found:<5} colour {colour:<5} period {period:<5} {}",
            row.id, row.said
        )
        .expect("text can grow");
    }
    text
}

fn row(folder: &Path, entry: &Value, turned: Turned) -> Row {
    let mut row = Row {
        id: entry["id"].as_str().unwrap_or("?").to_owned(),
        ..Row::default()
    };
    let file = entry["file"].as_str().unwrap_or_default();
    let seen = match watch(&folder.join(file), turned) {
        Ok(seen) => seen,
        Err(error) => {
            row.said = error;
            return row;
        }
    };
    let lights = entry["lights"].as_array().map_or(&[][..], Vec::as_slice);
    let time_s = entry["position_frame_t_s"].as_f64().unwrap_or(0.0);
    let place = seen.lamps.iter().enumerate().find_map(|(rank, lamp)| {
        let light = lights.iter().find(|light| is_at(&seen, lamp, light, time_s))?;
        Some((rank, lamp, light))
    });
    let Some((rank, lamp, light)) = place else {
        row.said = format!("none of {} lamps is at a noted place", seen.lamps.len());
        return row;
    };
    // Where only some of its lamps were noted, the first may be another one of them.
    let all_noted = entry["n_lights"]
        .as_u64()
        .is_none_or(|lamps| lamps <= lights.len() as u64);
    row.found = rank == 0 || !all_noted;
    let trace = trace::build(lamp);
    let measured = trace::measure(&trace, clipped(lamp));
    let names = trace.tints.first().map(|tint| &tint.names);
    let noted = light["colour"].as_str().unwrap_or_default();
    let as_noted = colours(noted).map(|colour| names.map_or(Colour::Wrong, |names| named(names, colour)));
    row.colour = as_noted.min();
    let period_s = measured.period_s.map(|period| period.value);
    let known = known_periods(light, has_clock(file));
    // Right by the program, or by the frames where the board's clock or the file's is off.
    let is_right = |&(known_s, off): &(f64, f64)| period_s.is_some_and(|s| (s / known_s - 1.0).abs() <= off);
    row.period = (!known.is_empty()).then(|| known.iter().any(is_right));
    let of_runs = of_runs(light, frame_s(entry));
    row.period_of_runs = row
        .period
        .map(|right| right || of_runs.is_some_and(|s| is_right(&(s, READ_OFF))));
    row.said = format!(
        "lamp {}: {} for {noted}; {:?}, period {} for {}",
        rank + 1,
        trace.tints.first().map_or("no colour".to_owned(), said),
        measured.rhythm,
        period_s.map_or("none".to_owned(), |s| format!("{s:.3} s")),
        known
            .first()
            .map_or("unknown".to_owned(), |(s, _)| format!("{s:.3} s")),
    );
    row
}

/// Whether the lamp is at the noted place at the noted time.
fn is_at(seen: &Seen, lamp: &Followed, light: &Value, time_s: f64) -> bool {
    // The lamp reaches into the noted region, which with the few pixels that a hand-drawn note may be off is wider.
    let reach = light["roi_r"].as_f64().unwrap_or(20.0) + 12.0 + lamp.radius;
    let glimpses = lamp.glimpses.iter().map(|glimpse| seen.as_filmed(glimpse));
    let nearest = glimpses.min_by(|a, b| (a.0 - time_s).abs().total_cmp(&(b.0 - time_s).abs()));
    let noted = (light["x"].as_f64(), light["y"].as_f64());
    match (nearest, noted) {
        (Some((_, place)), (Some(x), Some(y))) => (place.0 - x).hypot(place.1 - y) <= reach,
        _ => false,
    }
}

/// Animated pictures are often retimed: their programs do not tell how fast they play.
fn has_clock(file: &str) -> bool {
    !file.ends_with(".gif")
}

/// Periods by the program and by the frames, seconds, each with how far off a right one may be.
fn known_periods(light: &Value, by_program: bool) -> Vec<(f64, f64)> {
    let program: Option<f64> = light["true_pattern"]
        .as_array()
        .filter(|_| by_program)
        .map(|parts| parts.iter().filter_map(|part| part["ms"].as_f64()).sum());
    let read = light["measured"]["period_ms"].as_f64();
    let program = program.map(|ms| (ms / 1e3, PROGRAM_OFF));
    program
        .into_iter()
        .chain(read.map(|ms| (ms / 1e3, READ_OFF)))
        .collect()
}

/// The period by the runs that were noted frame by frame, seconds: a whole number of flashes after which all edges come again
/// alike. The note's own is the sum of the median lit and the median dark time; where a frame lasts a tenth of a second, or a
/// lamp comes twice in a cycle at unlike times, that is not the time from one cycle to the next. The first and the last run were
/// begun before the clip and go on after it.
fn of_runs(light: &Value, frame_s: f64) -> Option<f64> {
    /// Frames by which distances may differ: of either edge it is known in which frame it fell.
    const FRAMES: f64 = 2.0;
    let runs = light["measured"]["runs_ms"].as_array()?;
    let lasted = runs.iter().map(|run| run[1].as_f64().unwrap_or(f64::NAN) / 1e3);
    let ends: Vec<f64> = lasted
        .scan(0.0, |at_s, s| {
            *at_s += s;
            Some(*at_s)
        })
        .collect();
    let edges = &ends[..ends.len().saturating_sub(1)];
    (2..edges.len()).step_by(2).find_map(|apart| {
        let distances = || edges.iter().zip(&edges[apart..]).map(|(from, to)| to - from);
        let (least, most) = distances().fold((f64::MAX, f64::MIN), |(least, most), s| {
            (least.min(s), most.max(s))
        });
        let mean = distances().sum::<f64>() / (edges.len() - apart) as f64;
        // Rounding of the note, to a millisecond.
        (most - least <= FRAMES * frame_s + 0.002).then_some(mean)
    })
}

/// How long a frame of a clip lasts, seconds, from a note such as "30000/1001".
fn frame_s(entry: &Value) -> f64 {
    let rate = entry["avg_fps"].as_str().and_then(|text| {
        let (count, of) = text.split_once('/')?;
        Some(count.parse::<f64>().ok()? / of.parse::<f64>().ok()?)
    });
    rate.map_or(0.0, f64::recip)
}

/// The colours of a note: two where they alternate or it lies between, none where the note uses other words.
fn colours(noted: &str) -> impl Iterator<Item = ColourName> {
    let whole = noted.split('(').next().unwrap_or(noted).to_owned();
    ColourName::ALL
        .into_iter()
        .filter(move |name| whole.contains(name.as_str()))
}
