//! The public form of a reading. Its keys are stable: none is renamed or dropped within one `schema`.

use serde::Serialize;

/// Version of the public form.
pub(super) const SCHEMA: u32 = 1;

#[derive(Serialize)]
pub(super) struct Report<'a> {
    pub(super) schema: u32,
    pub(super) outcome: Option<&'static str>,
    pub(super) confidence: Option<f64>,
    pub(super) meaning: Option<Meaning<'a>>,
    pub(super) rivals: Vec<Rival<'a>>,
    pub(super) settle: Vec<String>,
    pub(super) lights: Vec<Light<'a>>,
    pub(super) timeline: Vec<Episode<'a>>,
    pub(super) warnings: Vec<Warning>,
    pub(super) next: Vec<Next>,
    pub(super) cautions: Vec<Caution>,
    pub(super) overdue_s: Option<f64>,
    pub(super) unlisted: Option<f64>,
    pub(super) other_lamps: Vec<Light<'a>>,
    pub(super) table: Option<&'a str>,
    pub(super) footage: Footage,
    pub(super) lasts: Option<Lasts>,
}

/// How long a decided state lasts, as far as the table and whoever is there say.
#[derive(Serialize)]
pub(super) struct Lasts {
    pub(super) usual_s: f64,
    pub(super) at_most_s: Option<f64>,
    pub(super) so_far_s: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct Meaning<'a> {
    pub(super) id: &'a str,
    pub(super) kind: &'static str,
    pub(super) title: &'a str,
}

#[derive(Serialize)]
pub(super) struct Rival<'a> {
    pub(super) id: &'a str,
    pub(super) probability: f64,
    pub(super) title: &'a str,
}

#[derive(Serialize)]
pub(super) struct Light<'a> {
    pub(super) id: Option<&'a str>,
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) radius: f64,
    pub(super) score: f64,
    pub(super) colours: Vec<Colour>,
    pub(super) rhythm: &'static str,
    pub(super) period_s: Option<f64>,
    pub(super) period_sd_s: Option<f64>,
    pub(super) on_s: Option<f64>,
    pub(super) flashes: usize,
    pub(super) seen_share: f64,
    pub(super) on_sd_s: Option<f64>,
    pub(super) group: Option<usize>,
}

/// One colour that the light took: its likeliest name, and the other names that fit it.
#[derive(Serialize)]
pub(super) struct Colour {
    pub(super) name: &'static str,
    pub(super) probability: f64,
    pub(super) or: Vec<Name>,
    pub(super) share: f64,
}

#[derive(Serialize)]
pub(super) struct Name {
    pub(super) name: &'static str,
    pub(super) probability: f64,
}

#[derive(Serialize)]
pub(super) struct Episode<'a> {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    pub(super) meaning: Option<&'a str>,
    pub(super) confidence: f64,
}

#[derive(Serialize)]
pub(super) struct Warning {
    pub(super) code: &'static str,
    pub(super) text: String,
    pub(super) retake: Option<String>,
}

/// A step. `do` can be read alone: it has its condition in it, and the caution of the first step has those
/// that hold whatever is done.
#[derive(Serialize)]
pub(super) struct Next {
    pub(super) r#do: String,
    pub(super) caution: Option<String>,
    pub(super) sort: &'static str,
    pub(super) tried: Option<String>,
    /// The condition that the step asks for, to be given with `--site`.
    pub(super) asks: Option<String>,
}

#[derive(Serialize)]
pub(super) struct Caution {
    pub(super) code: &'static str,
    pub(super) text: String,
}

#[derive(Serialize)]
pub(super) struct Footage {
    pub(super) kind: &'static str,
    pub(super) length_s: f64,
    pub(super) frames: usize,
    pub(super) fps: f64,
    pub(super) width: usize,
    pub(super) height: usize,
}

/// Rounds to so many decimals.
pub(super) fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (value * scale).round() / scale
}

/// A probability to three decimals, never rounded up to certainty nor down to impossibility.
pub(super) fn probability(value: f64) -> f64 {
    if value > 0.0 && value < 1.0 {
        rounded(value, 3).clamp(0.001, 0.999)
    } else {
        value
    }
}
