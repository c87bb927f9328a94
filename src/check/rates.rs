//! Rhythms that are too fast for the frame rates that phones film at.

use super::finding::{Finding, FindingKind, Severity};
use super::forecast::FPS;
use crate::meaning::{fastest_hz, too_fast};
use crate::table::{LightTable, Pattern, Places};

pub(super) fn findings(table: &LightTable, places: &Places) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (row, meaning) in table.meanings.iter().enumerate() {
        for (index, show) in meaning.shows.iter().enumerate() {
            let kind = too_fast_for(&show.pattern).or_else(|| brief(&show.pattern));
            findings.extend(kind.map(|kind| Finding {
                severity: severity(&kind),
                kind,
                rows: vec![row],
                at: places.show(row, index),
                other: None,
            }));
        }
    }
    findings
}

/// What 60 frames a second can show is only a matter of asking for them.
fn severity(kind: &FindingKind) -> Severity {
    match kind {
        FindingKind::TooFast { fps, .. } if fps.contains(&FPS[1]) => Severity::Warning,
        _ => Severity::Note,
    }
}

fn too_fast_for(pattern: &Pattern) -> Option<FindingKind> {
    let fps: Vec<f64> = FPS.into_iter().filter(|fps| too_fast(pattern, *fps)).collect();
    (!fps.is_empty()).then(|| FindingKind::TooFast {
        rate_hz: fastest_hz(pattern),
        fps,
    })
}

/// A state shorter than the time from frame to frame falls between two frames now and then. A long exposure catches
/// more of them, but then the lamp is bright or the room dark; a short one is the worst case.
fn brief(pattern: &Pattern) -> Option<FindingKind> {
    let lasts_s = briefest_s(pattern);
    let caught = caught(lasts_s, FPS[0], 0.0);
    (caught < 1.0).then_some(FindingKind::Brief {
        lasts_s,
        fps: FPS[0],
        caught,
    })
}

/// Chance that a state of `lasts_s` seconds is in any frame, when each is exposed for `exposure_s`.
fn caught(lasts_s: f64, fps: f64, exposure_s: f64) -> f64 {
    ((lasts_s + exposure_s) * fps).min(1.0)
}

/// The shortest state at the short end of its tolerance, seconds; infinite where nothing changes.
fn briefest_s(pattern: &Pattern) -> f64 {
    match pattern {
        Pattern::Constant(_) => f64::INFINITY,
        Pattern::Cycle(cycle) => cycle
            .phases
            .iter()
            .map(|phase| phase.range_s.0.max(0.0) * (1.0 - cycle.within))
            .fold(f64::INFINITY, f64::min),
        Pattern::Sequence(parts) => parts
            .iter()
            .map(|part| briefest_s(&part.pattern))
            .fold(f64::INFINITY, f64::min),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Chance that a pulse of so many milliseconds leaves a mark at so many frames a second, instant exposure: the
    /// share of moments of the frame grid at which a frame falls into it, pulse times rate.
    #[test]
    fn a_pulse_is_caught_in_proportion_to_its_length() {
        for (pulse_ms, fps, chance) in [
            (10.0, 24.0, 0.24),
            (10.0, 30.0, 0.30),
            (20.0, 24.0, 0.48),
            (20.0, 30.0, 0.60),
            (33.333, 24.0, 0.80),
            (50.0, 24.0, 1.0),
        ] {
            let found = caught(pulse_ms / 1000.0, fps, 0.0);
            assert!((found - chance).abs() < 1e-4, "{pulse_ms} ms at {fps}: {found}");
        }
        assert!(
            (caught(0.02, 30.0, 0.01) - 0.9).abs() < 1e-12,
            "exposure adds to the pulse"
        );
    }
}
