//! What the frames of a clip leave open of a lamp's period, whoever looks at them.

use lampwise::render::{Change, FrameTruth, Truth};

/// Half the width of the interval of periods that would give the very same frames, as a share of the period: whatever is
/// made of the frames may be off by that much. 0 where the frames tell the period exactly; `None` where the light has no
/// abrupt changes to tell it by, or no two of one kind were seen.
///
/// A change while the shutter is open is taken as seen exactly, whatever the noise, unless it is so near either end that the frame
/// looks like one without; any other lies between the end of one exposure and the beginning of the next. A cycle may have begun
/// at any time that fits.
pub(crate) fn of_period(truth: &Truth, exposure_s: f64) -> Option<f64> {
    let lamp = &truth.lamps[0];
    let (period_s, first) = (lamp.period_s?, lamp.changes.first()?);
    let in_cycle = |change: &&Change| change.time_s < first.time_s + (1.0 - SLACK) * period_s;
    let kinds = lamp.changes.iter().filter(in_cycle).count();
    let (mut least_s, mut most_s) = (f64::NEG_INFINITY, f64::INFINITY);
    for kind in 0..kinds {
        let seen: Vec<(f64, (f64, f64))> = lamp.changes[kind..]
            .iter()
            .step_by(kinds)
            .zip(0u32..)
            .filter_map(|(change, cycle)| {
                Some((f64::from(cycle), gap(&truth.frames, change.time_s, exposure_s)?))
            })
            .collect();
        for (later, &(to, (from_s, till_s))) in seen.iter().enumerate() {
            for &(cycle, (earlier_from_s, earlier_till_s)) in &seen[..later] {
                let cycles = to - cycle;
                least_s = least_s.max((from_s - earlier_till_s) / cycles);
                most_s = most_s.min((till_s - earlier_from_s) / cycles);
            }
        }
    }
    let open = 0.5 * (most_s - least_s) / period_s;
    open.is_finite().then_some(open.max(0.0))
}

/// Share of a period by which changes a whole period apart may miss it: rounding.
const SLACK: f64 = 1e-6;

/// Share of an exposure that must have each of the two states for the frame to show both (guessed; noise, compression and clipping
/// leave a level or a colour off by half of that).
const SHOWS: f64 = 0.1;

/// The times between which a change lies by the frames in which the lamp was in view; `None` if those do not lie about it.
fn gap(frames: &[FrameTruth], change_s: f64, exposure_s: f64) -> Option<(f64, f64)> {
    let (mut from_s, mut till_s) = (f64::NEG_INFINITY, f64::INFINITY);
    let in_view = frames.iter().map(|frame| &frame.lamps[0]);
    for lamp in in_view.filter(|lamp| lamp.in_frame && !lamp.hidden) {
        // Before the first of these times a change leaves no trace in the frame, and after the last none of what was before.
        let shows_from_s = lamp.exposed_s + SHOWS * exposure_s;
        let shows_till_s = lamp.exposed_s + (1.0 - SHOWS) * exposure_s;
        if shows_till_s <= change_s {
            from_s = from_s.max(shows_till_s);
        } else if shows_from_s >= change_s {
            till_s = till_s.min(shows_from_s);
        } else {
            return Some((change_s, change_s));
        }
    }
    (from_s.is_finite() && till_s.is_finite()).then_some((from_s, till_s))
}
