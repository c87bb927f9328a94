//! Readings of filmed lamps, and what became of many.

use std::fmt::Write;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use lampwise::light::Sighting;
use lampwise::meaning::{Outcome, Reading, Settings, assign, read};
use lampwise::render::Shown;
use lampwise::table::LightTable;
use lampwise::trace::Trace;

use crate::film::{Candidate, Filming, watch};

/// A number from the environment.
pub(crate) fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).map_or(otherwise, |text| text.parse().expect("a whole number"))
}

/// Reads candidates as the pipeline does.
pub(crate) fn judge(
    table: &LightTable,
    candidates: &[Candidate],
    pointed: bool,
) -> (Vec<Option<usize>>, f64, Reading) {
    let scored: Vec<(&Trace, f64)> = candidates
        .iter()
        .map(|found| (&found.trace, found.score))
        .collect();
    let found = assign(table, &scored, pointed);
    let lights: Vec<Option<&Trace>> = found
        .lamp_of_light
        .iter()
        .map(|lamp| lamp.map(|index| scored[index].0))
        .collect();
    let reading = read(table, &lights, &found.identity, false, &Settings::default());
    (found.lamp_of_light, found.identity.probability, reading)
}

/// One clip to read.
pub(crate) struct Clip {
    pub(crate) name: String,
    pub(crate) lamps: Vec<(Shown, f64)>,
    pub(crate) seconds: f64,
    pub(crate) filming: Filming,
    /// Somebody points to the first lamp: for lamps that are dark throughout.
    pub(crate) pointed: bool,
}

/// What a clip was read as.
pub(crate) struct Read {
    pub(crate) name: String,
    pub(crate) reading: Reading,
    /// How the clip was taken and what was seen, for people.
    pub(crate) story: String,
}

impl Clip {
    pub(crate) fn read(&self, table: &LightTable) -> Read {
        let recipe = self.filming.of(&self.lamps, self.seconds);
        let at = self.pointed.then_some((self.filming.x_px, self.filming.y_px));
        let candidates = watch(&recipe, at);
        let (chosen, identity, reading) = judge(table, &candidates, self.pointed);
        let mut story = format!("{:.1} s, {:?}\n", self.seconds, self.filming);
        for (index, found) in candidates.iter().enumerate() {
            let light = chosen.iter().position(|lamp| *lamp == Some(index));
            writeln!(story, "      {}", describe(found, light)).expect("memory");
        }
        write!(
            story,
            "      identity {identity:.3}, unlisted {:.3}",
            reading.unlisted
        )
        .expect("memory");
        Read {
            name: self.name.clone(),
            reading,
            story,
        }
    }
}

fn describe(found: &Candidate, light: Option<usize>) -> String {
    let samples = &found.trace.samples;
    let mut course = String::new();
    for sample in samples.iter().step_by(samples.len().div_ceil(100).max(1)) {
        course.push(match (sample.sighting, sample.level) {
            (Sighting::Seen, level) if level > 0.75 => {
                char::from(b'A' + sample.tint.map_or(25, |tint| tint as u8))
            }
            (Sighting::Seen, level) if level > 0.25 => {
                char::from(b'a' + sample.tint.map_or(25, |tint| tint as u8))
            }
            (Sighting::Seen, _) => '_',
            _ => '?',
        });
    }
    let names: Vec<String> = found
        .trace
        .tints
        .iter()
        .map(|tint| {
            let ranked = tint.names.ranked();
            format!(
                "{} {:.2}/{} {:.2}",
                ranked[0].0, ranked[0].1, ranked[1].0, ranked[1].1
            )
        })
        .collect();
    let light = light.map_or(String::from("-"), |light| light.to_string());
    format!(
        "light {light}: {:.0},{:.0} r {:.1} score {:.2} {course} {names:?}",
        found.x, found.y, found.radius, found.score
    )
}

/// Reads clips on all cores; the answers stand in the order of the clips.
pub(crate) fn read_all(table: &LightTable, clips: &[Clip]) -> Vec<Read> {
    let next = AtomicUsize::new(0);
    let found: Mutex<Vec<(usize, Read)>> = Mutex::new(Vec::new());
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(clip) = clips.get(index) else { return };
                    let read = clip.read(table);
                    found.lock().expect("no panic yet").push((index, read));
                }
            });
        }
    });
    let mut found = found.into_inner().expect("no panic");
    found.sort_by_key(|(index, _)| *index);
    found.into_iter().map(|(_, read)| read).collect()
}

/// What a reading says, in short.
pub(crate) fn in_short(table: &LightTable, reading: &Reading) -> String {
    let id = |row: usize| table.meanings[row].id.as_str();
    let what = match reading.outcome {
        Outcome::Decided { row } => format!("decided {}", id(row)),
        other => format!("{other:?}").to_lowercase(),
    };
    let rivals: Vec<String> = reading
        .rivals
        .iter()
        .take(3)
        .map(|rival| format!("{} {:.2}", id(rival.row), rival.probability))
        .collect();
    format!("{what} {:.3} {rivals:?} {:?}", reading.confidence, reading.settle)
}
