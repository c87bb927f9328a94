//! Everything a report may say, gathered.

use crate::advice::Seen;
use crate::footage::{self, Summary};
use crate::light::Notice;
use crate::meaning::{Outcome, Reading};
use crate::table::{Light, LightTable, Meaning};
use crate::trace::{Caveat, Measured, Rhythm, Trace};
use crate::words::Language;

/// Everything a report may say, gathered by the pipeline.
#[derive(Debug, Clone)]
pub struct Findings<'t> {
    /// The footage in figures; of several photos, the plainest.
    pub footage: Summary,
    /// Candidate lamps, best first; of several photos, those of the plainest.
    pub lamps: Vec<Lamp>,
    /// What each of several photos showed, in the order given; empty for a clip and for one photo.
    pub photos: Vec<PhotoSeen>,
    /// The table, the reading under it, and which lamp was taken for which light; `None` when read without a
    /// table.
    pub judged: Option<Judged<'t>>,
    /// What earlier clips of the same case said, oldest first.
    pub earlier: Vec<Earlier>,
    /// The language of the report.
    pub language: Language,
}

/// What an earlier clip of the same case said.
#[derive(Debug, Clone, PartialEq)]
pub struct Earlier {
    /// So many seconds ago.
    pub ago_s: f64,
    /// The first line of its report.
    pub sentence: String,
    /// Its outcome, by its word in JSON.
    pub outcome: String,
    /// Id of the row; `None` unless decided.
    pub meaning: Option<String>,
    /// The steps that were given.
    pub steps: Vec<String>,
}

/// What one of several photos showed.
#[derive(Debug, Clone)]
pub struct PhotoSeen {
    /// The name of its file.
    pub name: String,
    /// The photo in figures.
    pub footage: Summary,
    /// The lamps that the reading rests on, each with the index of the light of the table that it was taken for; without
    /// a table every lamp that was found.
    pub lights: Vec<(Option<usize>, Lamp)>,
    /// The report tells of its lamps in full: they are the surest to be the lights.
    pub plainest: bool,
}

/// One candidate lamp.
#[derive(Debug, Clone)]
pub struct Lamp {
    /// Column of its centre in the upright picture of the first frame that shows its place, pixels.
    pub x: f64,
    /// Row of its centre, likewise.
    pub y: f64,
    /// Its radius, pixels.
    pub radius: f64,
    /// How much it looks like an indicator lamp, 0 to 1.
    pub score: f64,
    /// Its time series.
    pub trace: Trace,
    /// What was measured of it.
    pub measured: Measured,
    /// What made it hard to see.
    pub notices: Vec<Notice>,
    /// Column and row of its centre in the upright picture of every frame, pixels, one a sample of the trace; not a
    /// number where it is not known.
    pub places: Vec<(f64, f64)>,
}

/// A reading under a table.
#[derive(Debug, Clone)]
pub struct Judged<'t> {
    /// The table.
    pub table: &'t LightTable,
    /// The reading.
    pub reading: Reading,
    /// For each light of the table, in order, the index of the lamp taken for it.
    pub lamp_of_light: Vec<Option<usize>>,
}

impl Judged<'_> {
    /// A row of the table.
    #[must_use]
    pub fn meaning(&self, row: usize) -> &Meaning {
        &self.table.meanings[row]
    }

    /// The title of a row in a language, where the table has it.
    #[must_use]
    pub fn title(&self, row: usize, language: Language) -> String {
        self.told(&self.meaning(row).title, language)
    }

    /// A text of the table in a language, where the table has it.
    #[must_use]
    pub fn told(&self, text: &str, language: Language) -> String {
        self.table.told(text, language.code()).to_owned()
    }

    /// The row that was decided on.
    #[must_use]
    pub fn decided(&self) -> Option<&Meaning> {
        match self.reading.outcome {
            Outcome::Decided { row } => Some(self.meaning(row)),
            _ => None,
        }
    }
}

impl<'t> Findings<'t> {
    /// The footage was one picture, or several photos.
    #[must_use]
    pub fn is_photo(&self) -> bool {
        self.footage.kind == footage::Kind::Photo
    }

    /// The lamps that the reading rests on: with a table those taken for its lights, in the table's order;
    /// without one every lamp that was found.
    #[must_use]
    pub fn lights(&self) -> Vec<(Option<&'t Light>, &Lamp)> {
        let Some(judged) = &self.judged else {
            return self.lamps.iter().map(|lamp| (None, lamp)).collect();
        };
        let pairs = judged.table.lights.iter().zip(&judged.lamp_of_light);
        pairs
            .filter_map(|(light, lamp)| Some((Some(light), self.lamps.get((*lamp)?)?)))
            .collect()
    }

    /// The same as indices into [`Findings::lamps`], each with the light of the table.
    #[must_use]
    pub fn light_lamps(&self) -> Vec<(Option<usize>, usize)> {
        let Some(judged) = &self.judged else {
            return (0..self.lamps.len()).map(|lamp| (None, lamp)).collect();
        };
        let taken = judged.lamp_of_light.iter().enumerate();
        taken
            .filter_map(|(light, lamp)| Some((Some(light), (*lamp).filter(|lamp| *lamp < self.lamps.len())?)))
            .collect()
    }

    /// Lamps that were found but not taken for a light of the table.
    #[must_use]
    pub fn other_lamps(&self) -> Vec<&Lamp> {
        let Some(judged) = &self.judged else {
            return Vec::new();
        };
        let taken = |index: usize| judged.lamp_of_light.contains(&Some(index));
        self.lamps
            .iter()
            .enumerate()
            .filter(|(index, _)| !taken(*index))
            .map(|(_, lamp)| lamp)
            .collect()
    }

    /// Lights of the table for which no lamp was found.
    #[must_use]
    pub fn missing_lights(&self) -> Vec<&'t Light> {
        let Some(judged) = &self.judged else {
            return Vec::new();
        };
        let lamp = |index: usize| judged.lamp_of_light.get(index).copied().flatten();
        judged
            .table
            .lights
            .iter()
            .enumerate()
            .filter(|(index, _)| lamp(*index).is_none())
            .map(|(_, l)| l)
            .collect()
    }

    /// A lamp was found and its place was in view at least once.
    #[must_use]
    pub fn light_seen(&self) -> bool {
        self.lamps.iter().any(|lamp| lamp.measured.seen_share > 0.0)
    }

    /// Notices about the lamps that matter: those of the reading or, where there are none, the likeliest lamp.
    #[must_use]
    pub fn notices(&self) -> Vec<Notice> {
        let lamps = self.lamps_that_matter().into_iter();
        lamps.flat_map(|lamp| lamp.notices.iter().copied()).collect()
    }

    fn lamps_that_matter(&self) -> Vec<&Lamp> {
        let lights = self.lights();
        match (&self.judged, lights.is_empty()) {
            (Some(_), false) => lights.into_iter().map(|(_, lamp)| lamp).collect(),
            _ => self.lamps.first().into_iter().collect(),
        }
    }

    /// Caveats about the rhythms of the lamps that matter.
    pub fn caveats(&self) -> impl Iterator<Item = &Caveat> {
        self.lamps_that_matter()
            .into_iter()
            .flat_map(|lamp| &lamp.measured.caveats)
    }

    /// What the footage was like, as far as it bears on the next step.
    #[must_use]
    pub fn seen(&self) -> Seen {
        let lights = self.lights();
        let dark = lights.iter().any(|(_, lamp)| lamp.measured.rhythm == Rhythm::Off);
        Seen {
            photo: self.is_photo(),
            found: self.light_seen(),
            dark: dark || !self.light_seen() || !self.missing_lights().is_empty(),
            hardly: self.hardly(),
            notices: self.notices(),
        }
    }

    /// Where the first light would be, if what was found there is a lamp.
    fn hardly(&self) -> Option<(f64, f64)> {
        let judged = self.judged.as_ref()?;
        let hardly = judged.reading.outcome == Outcome::Unseen && !judged.reading.rivals.is_empty();
        let lamp = self.lamps.get((*judged.lamp_of_light.first()?)?)?;
        hardly.then_some((lamp.x, lamp.y))
    }
}
