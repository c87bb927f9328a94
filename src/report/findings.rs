//! Everything a report may say, gathered.

use crate::footage::Summary;
use crate::light::Notice;
use crate::meaning::Reading;
use crate::table::LightTable;
use crate::trace::{Measured, Trace};

/// Everything a report may say, gathered by the pipeline.
#[derive(Debug, Clone)]
pub struct Findings<'t> {
    /// The footage in figures.
    pub footage: Summary,
    /// Candidate lamps, best first.
    pub lamps: Vec<Lamp>,
    /// The table, the reading under it, and which lamp was taken for which light; `None` when read without a table.
    pub judged: Option<Judged<'t>>,
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
