//! A log evidence for every stretch of the clip between two cuts.

/// `at(a, b)`: log evidence of the frames from cut `a` to cut `b`.
#[derive(Debug, Clone)]
pub(super) struct Spans {
    cuts: usize,
    values: Vec<f64>,
}

impl Spans {
    /// From a function of the two cuts, called for `a < b` only.
    pub(super) fn from_fn(cuts: usize, mut value: impl FnMut(usize, usize) -> f64) -> Self {
        let mut spans = Self {
            cuts,
            values: vec![f64::NEG_INFINITY; cuts * cuts],
        };
        for a in 0..cuts {
            for b in a + 1..cuts {
                spans.values[a * cuts + b] = value(a, b);
            }
        }
        spans
    }

    pub(super) fn cuts(&self) -> usize {
        self.cuts
    }

    pub(super) fn at(&self, a: usize, b: usize) -> f64 {
        self.values[a * self.cuts + b]
    }

    /// Evidence of the whole clip.
    pub(super) fn whole(&self) -> f64 {
        self.at(0, self.cuts - 1)
    }

    /// Adds the same log weight to every stretch.
    pub(super) fn weigh(&mut self, ln_weight: f64) {
        for value in &mut self.values {
            *value += ln_weight;
        }
    }

    /// Two independent traces: evidences multiply.
    pub(super) fn add(&mut self, other: &Self) {
        for (value, more) in self.values.iter_mut().zip(&other.values) {
            *value += more;
        }
    }
}
