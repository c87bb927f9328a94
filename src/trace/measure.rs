//! What can be said of a trace without a table.

use super::caveat::caveats;
use super::cycle;
use super::edge::{Edge, Shutter};
use super::measured::{Estimate, Flash, Measured, Rhythm};
use super::on_time::on_time;
use super::runs::{Run, runs};
use super::sample::{Sighting, Trace};
use super::spread::median;

/// Frames below which no rhythm can be told.
const FEWEST_FRAMES: usize = 4;

/// Measures flashes, rhythm, period and on-time. `clipped` is the share of the lamp's lit light that fell on
/// clipped pixels: it says how much a frame that was lit for a part of its exposure looks fully lit.
#[must_use]
pub fn measure(trace: &Trace, clipped: f64) -> Measured {
    let seen = trace
        .samples
        .iter()
        .filter(|s| s.sighting == Sighting::Seen)
        .count();
    let seen_share = seen as f64 / trace.samples.len().max(1) as f64;
    let frame_s = median(trace.samples.iter().map(|s| s.span_s).collect()).unwrap_or(0.0);
    let shutter = Shutter::of(trace, frame_s, clipped);
    let runs = runs(trace, &shutter);
    let flashes = flashes(&runs);
    let unrepeated = |rhythm| Measured {
        rhythm,
        period_s: None,
        on_s: None,
        flashes: flashes.clone(),
        seen_share,
        caveats: caveats(trace, rhythm, None, frame_s),
    };
    if seen < FEWEST_FRAMES || frame_s <= 0.0 {
        return unrepeated(Rhythm::Unknown);
    }
    if runs.iter().all(|run| run.state.is_none()) {
        return unrepeated(Rhythm::Off);
    }
    if runs.iter().all(|run| run.state == runs[0].state) {
        return unrepeated(Rhythm::Fixed);
    }
    let gradual = is_gradual(trace, frame_s);
    let Some(cycle) = cycle::find(&runs, frame_s) else {
        return unrepeated(Rhythm::Irregular);
    };
    let has_dark = runs.iter().any(|run| run.state.is_none());
    let rhythm = match (has_dark, gradual, lit_groups(&runs, cycle.runs)) {
        (true, true, _) => Rhythm::Breathing,
        (false, _, _) => Rhythm::Alternating,
        (true, false, 1) => Rhythm::Flashing,
        (true, false, count) => Rhythm::GroupFlashing { count },
    };
    let on_s = matches!(rhythm, Rhythm::Flashing | Rhythm::GroupFlashing { .. })
        .then(|| on_time(&runs, &shutter, clipped, frame_s))
        .flatten();
    Measured {
        rhythm,
        period_s: Some(cycle.period_s),
        on_s,
        flashes,
        seen_share,
        caveats: caveats(trace, rhythm, Some(&cycle), frame_s),
    }
}

fn flashes(runs: &[Run]) -> Vec<Flash> {
    runs.iter()
        .filter(|run| run.state.is_some())
        .map(|run| Flash {
            from_s: estimate(&run.from),
            to_s: estimate(&run.to),
            open_start: run.open_start,
            open_end: run.open_end,
            tint: run.state,
        })
        .collect()
}

fn estimate(edge: &Edge) -> Estimate {
    Estimate {
        value: edge.time_s,
        sd: edge.sd_s(),
    }
}

/// Lit intervals, each between darks, in one cycle.
fn lit_groups(runs: &[Run], cycle_runs: usize) -> usize {
    let Some(first_dark) = runs.iter().position(|run| run.state.is_none()) else {
        return 0;
    };
    let one = runs.iter().skip(first_dark).take(cycle_runs);
    one.filter(|run| run.state.is_none()).count()
}

/// Whether the light swells and fades: its changes take several frames and a tenth of a second. A lamp that
/// switches changes within two frames, though the camera may need some more to settle, and compression leaves a glow.
fn is_gradual(trace: &Trace, frame_s: f64) -> bool {
    /// Between these levels the lamp is on its way.
    const ON_ITS_WAY: std::ops::Range<f64> = 0.15..0.85;
    const FRAMES: f64 = 3.0;
    /// Shorter than a swell that the eye sees as one (common practice, no source).
    const SECONDS: f64 = 0.1;
    /// What a lamp that swells does not do from one frame to the next (guessed).
    const LEAP: f64 = 0.5;
    let mut ways = Vec::new();
    let (mut frames, mut leaps) = (0.0, false);
    let mut side: Option<bool> = None;
    let mut before = None;
    for sample in trace.samples.iter().filter(|s| s.sighting == Sighting::Seen) {
        leaps |= before.is_some_and(|before: f64| (sample.level - before).abs() > LEAP);
        before = Some(sample.level);
        if ON_ITS_WAY.contains(&sample.level) {
            frames += 1.0;
            continue;
        }
        let now = sample.level >= ON_ITS_WAY.end;
        if side.is_some_and(|before| before != now) {
            ways.push(if leaps { 0.0 } else { frames });
        }
        side = Some(now);
        (frames, leaps) = (0.0, false);
    }
    median(ways).is_some_and(|frames| frames >= FRAMES && frames * frame_s >= SECONDS)
}
