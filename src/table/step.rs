//! A checked procedure: what to do in a state, when, and when to hand the case on.

/// A named fact about the site that no clip shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    /// Unique within the table.
    pub id: String,
    /// The question to ask, to be answered with yes or no.
    pub ask: String,
}

/// One step of the procedure of a row.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Something to do.
    Do {
        /// What, as a plain sentence.
        text: String,
        /// Only until the state has lasted so many seconds.
        until_s: Option<f64>,
        /// Only after the state has lasted so many seconds.
        after_s: Option<f64>,
        /// Only in this stretch of the time that the device has had power; never beside `until_s` or `after_s`.
        powered: Window,
        /// Only under this condition.
        given: Option<Given>,
        /// The name under which the case notes that this was tried.
        tried: Option<String>,
        /// A caution that belongs to this step.
        caution: Option<String>,
        /// What this step erases.
        erases: Erases,
        /// What to do if it does not help, as a plain sentence.
        otherwise: Option<String>,
        /// What the figures in it rest on.
        basis: Option<String>,
    },
    /// When to stop and hand the case on.
    HandOn {
        /// Why, as a phrase.
        text: String,
        /// Only when all of these were tried, those aside that a condition rules out.
        after_tried: Vec<String>,
        /// Only under this condition.
        given: Option<Given>,
        /// What to hand on beside the report.
        evidence: Vec<String>,
    },
}

/// A stretch of time, seconds; open at an end that is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Window {
    /// From so many on.
    pub after_s: Option<f64>,
    /// Up to so many.
    pub until_s: Option<f64>,
}

/// Under which condition a step applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Given {
    /// Index into [`super::LightTable::conditions`].
    pub condition: usize,
    /// The answer under which it applies.
    pub holds: bool,
}

/// What a step erases.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Erases {
    /// Nothing.
    #[default]
    Nothing,
    /// The settings of the device.
    Settings,
    /// What the table names, as a phrase such as "the watering plan and the row number".
    Named(String),
}

impl Step {
    /// A step with nothing but its text.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self::Do {
            text: text.into(),
            until_s: None,
            after_s: None,
            powered: Window::default(),
            given: None,
            tried: None,
            caution: None,
            erases: Erases::Nothing,
            otherwise: None,
            basis: None,
        }
    }

    /// The condition under which it applies.
    #[must_use]
    pub const fn given(&self) -> Option<Given> {
        match self {
            Self::Do { given, .. } | Self::HandOn { given, .. } => *given,
        }
    }
}
