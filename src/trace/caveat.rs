//! What keeps a measured rhythm from being the lamp's own.

use super::alias;
use super::cycle::Cycle;
use super::measured::Rhythm;
use super::ripple;
use super::sample::Trace;

/// A way in which the camera may have made the rhythm, or a part of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Caveat {
    /// The lamp may blink faster than the clip shows: at these frame times, blinking of other periods looks the
    /// same.
    Aliases {
        /// Cycles a second as the clip shows them.
        shown_hz: f64,
        /// Other rates that it may truly have, slowest first; never empty.
        rates_hz: Vec<f64>,
        /// Frames a second.
        fps: f64,
    },
    /// While it is lit, the lamp's level beats: pulse-width dimming or the mains against the frame rate, and no rhythm
    /// of the device.
    Beat {
        /// Beats a second, as the clip shows them.
        rate_hz: f64,
        /// From the lowest to the highest level, as a share of the usual lit level.
        depth: f64,
        /// Frames a second.
        fps: f64,
    },
}

/// Every caveat of a trace with a rhythm.
pub(super) fn caveats(trace: &Trace, rhythm: Rhythm, cycle: Option<&Cycle>, frame_s: f64) -> Vec<Caveat> {
    let mut found = Vec::new();
    let switches = matches!(rhythm, Rhythm::Flashing | Rhythm::Alternating);
    if let Some(cycle) = cycle.filter(|_| switches) {
        let rates_hz = alias::rates_hz(trace, cycle.period_s.value, frame_s);
        if !rates_hz.is_empty() {
            found.push(Caveat::Aliases {
                shown_hz: 1.0 / cycle.period_s.value,
                rates_hz,
                fps: 1.0 / frame_s,
            });
        }
    }
    if let Some(rate_hz) = trace.beat_hz {
        found.push(Caveat::Beat {
            rate_hz,
            depth: 1.0,
            fps: 1.0 / frame_s,
        });
    } else if !matches!(rhythm, Rhythm::Breathing | Rhythm::Off) {
        let own_hz = cycle.map(|cycle| 1.0 / cycle.period_s.value);
        found.extend(ripple::beat(trace, own_hz, frame_s));
    }
    found
}
