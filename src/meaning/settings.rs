//! What the caller may choose.

/// What the caller may choose about a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// A row is decided when its probability is at least this, 0 to 1. The default of 0.9 means that one decided
    /// reading in ten may be wrong if the probabilities are as good as they claim; below, the reading is undecided.
    pub decide_at: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self { decide_at: 0.9 }
    }
}
