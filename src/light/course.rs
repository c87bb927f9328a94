//! What the cells of the scene did over a window.

/// What one sample of every cell did over a window, in row order. Of the extremes the second is kept too and used, so
/// that one misplaced frame does not make the whole scene look as if it had changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Course {
    lowest: Vec<u8>,
    pub(super) low: Vec<u8>,
    highest: Vec<u8>,
    pub(super) high: Vec<u8>,
    pub(super) sum: Vec<u32>,
}

impl Course {
    pub(super) fn none(cells: usize) -> Self {
        Self {
            lowest: vec![u8::MAX; cells],
            low: vec![u8::MAX; cells],
            highest: vec![0; cells],
            high: vec![0; cells],
            sum: vec![0; cells],
        }
    }

    /// Adds a sample to each of the cells from `first` on. Plane by plane, so that the compiler takes many at a time.
    pub(super) fn add(&mut self, first: usize, values: &[u8]) {
        let cells = first..first + values.len();
        let extremes = self.lowest[cells.clone()]
            .iter_mut()
            .zip(&mut self.low[cells.clone()]);
        for ((lowest, low), &value) in extremes.zip(values) {
            *low = (*low).min(value.max(*lowest));
            *lowest = (*lowest).min(value);
        }
        let extremes = self.highest[cells.clone()]
            .iter_mut()
            .zip(&mut self.high[cells.clone()]);
        for ((highest, high), &value) in extremes.zip(values) {
            *high = (*high).max(value.min(*highest));
            *highest = (*highest).max(value);
        }
        for (sum, &value) in self.sum[cells].iter_mut().zip(values) {
            *sum += u32::from(value);
        }
    }

    /// Over the samples of both. A second extreme is one of the four.
    pub(super) fn with(mut self, other: &Self) -> Self {
        for at in 0..self.sum.len() {
            let (lowest, highest) = (self.lowest[at], self.highest[at]);
            self.low[at] = self.low[at].min(other.low[at]).min(lowest.max(other.lowest[at]));
            self.lowest[at] = lowest.min(other.lowest[at]);
            self.high[at] = self.high[at]
                .max(other.high[at])
                .max(highest.min(other.highest[at]));
            self.highest[at] = highest.max(other.highest[at]);
            self.sum[at] += other.sum[at];
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn parts_make_the_whole(values in proptest::collection::vec(any::<u8>(), 0..12), cut in 0usize..12) {
            let over = |values: &[u8]| {
                let mut course = Course::none(1);
                values.iter().for_each(|value| course.add(0, &[*value]));
                course
            };
            let cut = cut.min(values.len());
            prop_assert_eq!(over(&values[..cut]).with(&over(&values[cut..])), over(&values));
        }
    }
}
