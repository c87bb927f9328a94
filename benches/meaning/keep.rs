//! What was seen of a clip, kept in a file, so that work on the inference need not render it again.

use std::path::Path;

use lampwise::colour::{ColourName, NameBelief, ReadFrom};
use lampwise::light::Sighting;
use lampwise::trace::{Chroma, Otherwise, Sample, Tint, Trace};
use serde::{Deserialize, Serialize};

/// A candidate as the inference gets it.
#[derive(Debug, Clone)]
pub(crate) struct Candidate {
    pub(crate) score: f64,
    /// Its place in the upright picture, pixels.
    pub(crate) at_px: (f64, f64),
    pub(crate) trace: Trace,
}

/// Time, span, sighting (0 seen, 1 hidden, 2 out of frame), level, its deviation, tint or -1.
type KeptSample = (f64, f64, u8, f64, f64, i32);

#[derive(Serialize, Deserialize)]
struct Kept {
    score: f64,
    at_px: (f64, f64),
    samples: Vec<KeptSample>,
    /// Beats of pulses and frames a second, and the same of the other story, with its samples.
    beat_hz: Option<f64>,
    otherwise: Option<(Option<f64>, Vec<KeptSample>)>,
    /// Chromaticity with deviation, beliefs by name, share.
    tints: Vec<([f64; 3], [f64; ColourName::ALL.len()], f64)>,
}

pub(crate) fn load(path: &Path) -> Option<Vec<Candidate>> {
    let text = std::fs::read_to_string(path).ok()?;
    let kept: Vec<Kept> = serde_json::from_str(&text).ok()?;
    Some(kept.into_iter().map(candidate).collect())
}

pub(crate) fn store(path: &Path, candidates: &[Candidate]) -> Result<(), String> {
    let kept: Vec<Kept> = candidates.iter().map(kept).collect();
    let text = serde_json::to_string(&kept).map_err(|error| error.to_string())?;
    std::fs::write(path, text).map_err(|error| format!("cannot write {}: {error}", path.display()))
}

fn candidate(kept: Kept) -> Candidate {
    let sample = |(time_s, span_s, sighting, level, level_sd, tint): KeptSample| Sample {
        time_s,
        span_s,
        sighting: [Sighting::Seen, Sighting::Hidden, Sighting::OutOfFrame][usize::from(sighting)],
        level,
        level_sd,
        chroma: None,
        tint: usize::try_from(tint).ok(),
        turned: None,
    };
    let tint = |([u, v, sd], names, share): ([f64; 3], [f64; ColourName::ALL.len()], f64)| Tint {
        chroma: Chroma { u, v, sd },
        read_from: ReadFrom::CLEAN,
        names: NameBelief::from_weights(names),
        dominant_nm: None,
        purity: 0.0,
        share,
    };
    Candidate {
        score: kept.score,
        at_px: kept.at_px,
        trace: Trace {
            samples: kept.samples.into_iter().map(sample).collect(),
            tints: kept.tints.into_iter().map(tint).collect(),
            beat_hz: kept.beat_hz,
            otherwise: kept.otherwise.map(|(beat_hz, samples)| Otherwise {
                samples: samples.into_iter().map(sample).collect(),
                beat_hz,
            }),
        },
    }
}

fn kept(candidate: &Candidate) -> Kept {
    let sample = |sample: &Sample| {
        let sighting = match sample.sighting {
            Sighting::Seen => 0,
            Sighting::Hidden => 1,
            Sighting::OutOfFrame => 2,
        };
        let tint = sample
            .tint
            .map_or(-1, |tint| i32::try_from(tint).expect("few tints"));
        (
            sample.time_s,
            sample.span_s,
            sighting,
            sample.level,
            sample.level_sd,
            tint,
        )
    };
    let tint = |tint: &Tint| {
        let Chroma { u, v, sd } = tint.chroma;
        (
            [u, v, sd],
            ColourName::ALL.map(|name| tint.names.of(name)),
            tint.share,
        )
    };
    Kept {
        score: candidate.score,
        at_px: candidate.at_px,
        samples: candidate.trace.samples.iter().map(sample).collect(),
        beat_hz: candidate.trace.beat_hz,
        otherwise: candidate
            .trace
            .otherwise
            .as_ref()
            .map(|other| (other.beat_hz, other.samples.iter().map(sample).collect())),
        tints: candidate.trace.tints.iter().map(tint).collect(),
    }
}
