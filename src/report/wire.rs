//! The public form of a reading. Its keys are stable: none is renamed or dropped within one `schema`.

use schemars::JsonSchema;
use serde::Serialize;

/// Version of the public form.
pub(super) const SCHEMA: u32 = 1;

/// A reading, as `lampwise read --json` prints it.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "Reading")]
pub(super) struct Report<'a> {
    /// Version of this form. Keys are added within one version, never renamed or dropped.
    pub(super) schema: u32,
    /// What can be said; null where a light was seen and no table was given.
    #[schemars(extend("enum" = ["decided", "undecided", "unlisted", "unseen", null]))]
    pub(super) outcome: Option<&'static str>,
    /// Probability that the outcome is right: of a decided reading that the row is meant, of an unlisted one that no row is.
    /// Of an undecided one it is that of all rows together, and says nothing of any single one: see `rivals`.
    pub(super) confidence: Option<f64>,
    /// The row of the table; null unless decided.
    pub(super) meaning: Option<Meaning<'a>>,
    /// Rows that may be meant, most probable first, the decided one left out. Of an unseen reading what it would be if the
    /// place that was found is the lamp.
    pub(super) rivals: Vec<Rival<'a>>,
    /// What would settle it, as phrases.
    pub(super) settle: Vec<String>,
    /// The lamps that the reading rests on, in the order of the table; without one all that were found.
    pub(super) lights: Vec<Light<'a>>,
    /// What was shown when.
    pub(super) timeline: Vec<Episode<'a>>,
    /// What made the reading weaker.
    pub(super) warnings: Vec<Warning>,
    /// What to do, in order.
    pub(super) next: Vec<Next>,
    /// Cautions that hold whatever is done; those of the steps stand with them.
    pub(super) cautions: Vec<Caution>,
    /// The most that the table allows the state, seconds, where it has lasted longer.
    pub(super) overdue_s: Option<f64>,
    /// Probability that the light does something that is in no row.
    pub(super) unlisted: Option<f64>,
    /// Lamps that were found and not taken for a light of the table.
    pub(super) other_lamps: Vec<Light<'a>>,
    /// The device that the table describes.
    pub(super) table: Option<&'a str>,
    /// The clip or photo in figures.
    pub(super) footage: Footage,
    /// How long the state lasts; null unless decided and told by the table.
    pub(super) lasts: Option<Lasts>,
    /// What earlier clips of the same case said, oldest first.
    pub(super) earlier: Vec<Earlier<'a>>,
    /// What each of several photos showed, in the order given; empty for a clip and for one photo. `footage` and
    /// `lights` are then those of the plainest.
    pub(super) photos: Vec<Photo<'a>>,
    /// Where the likeliest answer is a sequence: how long each of its parts stayed, in time order.
    pub(super) stays: Vec<Stay<'a>>,
    /// Where no row fits: what was seen, as a row in table syntax for the author to name; null otherwise, and where the
    /// lights did nothing that a table can say.
    pub(super) proposed_row: Option<String>,
}

/// What one of several photos showed.
#[derive(Serialize, JsonSchema)]
pub(super) struct Photo<'a> {
    /// The name of its file.
    pub(super) name: &'a str,
    pub(super) width: usize,
    pub(super) height: usize,
    /// `footage` and `lights` of the reading are this photo's.
    pub(super) plainest: bool,
    pub(super) lights: Vec<PhotoLight<'a>>,
}

/// A lamp in one of several photos.
#[derive(Serialize, JsonSchema)]
pub(super) struct PhotoLight<'a> {
    /// Id of the light in the table.
    pub(super) id: Option<&'a str>,
    /// Column of its centre in the upright picture, pixels.
    pub(super) x: f64,
    /// Row of its centre, pixels.
    pub(super) y: f64,
    pub(super) lit: bool,
    pub(super) colours: Vec<Colour>,
}

/// How long a part of a sequence stayed.
#[derive(Serialize, JsonSchema)]
pub(super) struct Stay<'a> {
    /// Id of the row whose sequence it is: the decided one, or else the likeliest.
    pub(super) meaning: &'a str,
    /// Id of the light that shows it.
    pub(super) light: &'a str,
    /// Which part of the sequence, from 0.
    pub(super) part: usize,
    /// Seconds since the first frame.
    pub(super) from_s: f64,
    /// Seconds since the first frame.
    pub(super) to_s: f64,
    /// It may have begun before the clip, so it stayed at least for so long.
    pub(super) open_start: bool,
    /// It may have gone on after the clip.
    pub(super) open_end: bool,
}

/// What an earlier clip of the same case said.
#[derive(Serialize, JsonSchema)]
pub(super) struct Earlier<'a> {
    /// So many seconds ago.
    pub(super) ago_s: f64,
    pub(super) outcome: &'a str,
    /// Id of the row; null unless decided.
    pub(super) meaning: Option<&'a str>,
    pub(super) sentence: &'a str,
    /// The steps that were given.
    pub(super) steps: &'a [String],
}

/// How long a decided state lasts, as far as the table and whoever is there say.
#[derive(Serialize, JsonSchema)]
pub(super) struct Lasts {
    pub(super) usual_s: f64,
    pub(super) at_most_s: Option<f64>,
    pub(super) so_far_s: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Meaning<'a> {
    pub(super) id: &'a str,
    pub(super) kind: &'static str,
    pub(super) title: &'a str,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Rival<'a> {
    pub(super) id: &'a str,
    pub(super) probability: f64,
    pub(super) title: &'a str,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Light<'a> {
    /// Id of the light in the table.
    pub(super) id: Option<&'a str>,
    /// Column of its centre in the upright picture of the first frame, pixels.
    pub(super) x: f64,
    /// Row of its centre, pixels.
    pub(super) y: f64,
    /// Its radius, pixels.
    pub(super) radius: f64,
    /// How much it looks like an indicator lamp, 0 to 1.
    pub(super) score: f64,
    pub(super) colours: Vec<Colour>,
    /// off, fixed, flashing, group-flashing, alternating, breathing, irregular or unknown.
    pub(super) rhythm: &'static str,
    /// One cycle, seconds.
    pub(super) period_s: Option<f64>,
    /// Its standard deviation.
    pub(super) period_sd_s: Option<f64>,
    /// Lit part of a flash, seconds.
    pub(super) on_s: Option<f64>,
    /// Times that it was lit.
    pub(super) flashes: usize,
    /// Share of the frames in which its place was in view.
    pub(super) seen_share: f64,
    /// Standard deviation of the lit part.
    pub(super) on_sd_s: Option<f64>,
    /// Flashes in a group.
    pub(super) group: Option<usize>,
}

/// One colour that the light took: its likeliest name, and the other names that fit it.
#[derive(Serialize, JsonSchema)]
pub(super) struct Colour {
    pub(super) name: &'static str,
    pub(super) probability: f64,
    pub(super) or: Vec<Name>,
    pub(super) share: f64,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Name {
    pub(super) name: &'static str,
    pub(super) probability: f64,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Episode<'a> {
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    pub(super) meaning: Option<&'a str>,
    pub(super) confidence: f64,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Warning {
    pub(super) code: &'static str,
    pub(super) text: String,
    pub(super) retake: Option<String>,
}

/// A step. `do` can be read alone: it has its condition in it, and the caution of the first step has those
/// that hold whatever is done.
#[derive(Serialize, JsonSchema)]
pub(super) struct Next {
    /// The step with its condition, to be read alone.
    pub(super) r#do: String,
    /// To be read before doing it.
    pub(super) caution: Option<String>,
    /// do, hand-on, film or ask.
    pub(super) sort: &'static str,
    /// The name under which to say that it was done.
    pub(super) tried: Option<String>,
    /// The condition that the step asks for, to be given with `--site`.
    pub(super) asks: Option<String>,
}

#[derive(Serialize, JsonSchema)]
pub(super) struct Caution {
    pub(super) code: &'static str,
    pub(super) text: String,
}

#[derive(Serialize, JsonSchema)]
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
