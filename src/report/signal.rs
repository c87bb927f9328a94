//! The measured signal of every lamp, for a technician's own plots.

use std::fmt::Write;

use serde_json::{Value, json};

use crate::trace::{Caveat, Flash, Measured, Sample, Sighting, Trace};

use super::findings::{Findings, Lamp};
use super::json::light;
use super::wire::{SCHEMA, rounded};

/// One row a lamp and frame. Lamps count from 1, best first; `flash` counts from 1 and is empty between
/// flashes; `u` and `v` are CIE 1976 u'v' of the emitted light, empty where there is too little of it; `tint`
/// tells the lamp's own colours apart.
#[must_use]
pub fn signal_csv(findings: &Findings) -> String {
    let mut out = String::from("lamp,time_s,sighting,level,level_sd,u,v,tint,colour,flash\n");
    for (index, lamp) in findings.lamps.iter().enumerate() {
        for sample in &lamp.trace.samples {
            let chroma = sample.chroma;
            let flash = flash_of(sample, &lamp.measured).map(|flash| (flash + 1).to_string());
            let cells = [
                (index + 1).to_string(),
                format!("{:.6}", sample.time_s),
                sighting(sample.sighting).to_owned(),
                seen(sample)
                    .map(|s| format!("{:.4}", s.level))
                    .unwrap_or_default(),
                seen(sample)
                    .map(|s| format!("{:.4}", s.level_sd))
                    .unwrap_or_default(),
                chroma.map(|c| format!("{:.4}", c.u)).unwrap_or_default(),
                chroma.map(|c| format!("{:.4}", c.v)).unwrap_or_default(),
                sample.tint.map(|tint| tint.to_string()).unwrap_or_default(),
                colour(&lamp.trace, sample).unwrap_or_default().to_owned(),
                flash.unwrap_or_default(),
            ];
            writeln!(out, "{}", cells.join(",")).expect("writing to a string does not fail");
        }
    }
    out
}

/// The same as one object, with each lamp's flashes and their edges.
#[must_use]
pub fn signal_json(findings: &Findings) -> Value {
    let lamps: Vec<Value> = findings.lamps.iter().map(lamp_json).collect();
    json!({ "schema": SCHEMA, "lamps": lamps })
}

fn lamp_json(lamp: &Lamp) -> Value {
    let samples: Vec<Value> = lamp
        .trace
        .samples
        .iter()
        .map(|sample| {
            json!({
                "time_s": rounded(sample.time_s, 6),
                "span_s": rounded(sample.span_s, 6),
                "sighting": sighting(sample.sighting),
                "level": seen(sample).map(|s| rounded(s.level, 4)),
                "level_sd": seen(sample).map(|s| rounded(s.level_sd, 4)),
                "u": sample.chroma.map(|c| rounded(c.u, 4)),
                "v": sample.chroma.map(|c| rounded(c.v, 4)),
                "tint": sample.tint,
                "colour": colour(&lamp.trace, sample),
                "flash": flash_of(sample, &lamp.measured).map(|flash| flash + 1),
            })
        })
        .collect();
    let flashes: Vec<Value> = lamp.measured.flashes.iter().map(flash_json).collect();
    let caveats: Vec<Value> = lamp.measured.caveats.iter().map(caveat_json).collect();
    json!({ "light": light(None, lamp), "flashes": flashes, "caveats": caveats, "samples": samples })
}

fn flash_json(flash: &Flash) -> Value {
    json!({
        "from_s": rounded(flash.from_s.value, 4),
        "from_sd_s": rounded(flash.from_s.sd, 4),
        "to_s": rounded(flash.to_s.value, 4),
        "to_sd_s": rounded(flash.to_s.sd, 4),
        "open_start": flash.open_start,
        "open_end": flash.open_end,
        "tint": flash.tint,
    })
}

fn caveat_json(caveat: &Caveat) -> Value {
    match caveat {
        Caveat::Aliases { rates_hz, .. } => {
            let periods_s: Vec<f64> = rates_hz.iter().map(|rate_hz| rounded(1.0 / rate_hz, 4)).collect();
            json!({ "code": "alias", "other_periods_s": periods_s })
        }
        Caveat::Beat { rate_hz, depth, .. } => {
            json!({ "code": "pulse-width-beat", "rate_hz": rounded(*rate_hz, 3), "depth": rounded(*depth, 3) })
        }
    }
}

const fn sighting(sighting: Sighting) -> &'static str {
    match sighting {
        Sighting::Seen => "seen",
        Sighting::Hidden => "hidden",
        Sighting::OutOfFrame => "out-of-frame",
    }
}

/// Only a lamp in view has a level.
fn seen(sample: &Sample) -> Option<&Sample> {
    (sample.sighting == Sighting::Seen).then_some(sample)
}

fn colour(trace: &Trace, sample: &Sample) -> Option<&'static str> {
    let tint = trace.tints.get(sample.tint?)?;
    tint.names.ranked().first().map(|(name, _)| name.as_str())
}

/// The flash that the middle of the frame falls into.
fn flash_of(sample: &Sample, measured: &Measured) -> Option<usize> {
    let middle_s = sample.time_s + 0.5 * sample.span_s;
    seen(sample)?;
    measured
        .flashes
        .iter()
        .position(|flash| flash.from_s.value <= middle_s && middle_s < flash.to_s.value)
}
