//! Places all over the scene, by which the camera's own changes are told.

use super::window::{Kept, Window};

/// Places at even distances, in reduced pixels of the first frame.
pub(super) struct Places {
    at: Vec<(f64, f64)>,
    /// Rows and columns of the pictures.
    dim: (usize, usize),
}

impl Places {
    /// One in so many pixels each way.
    pub(super) fn every(stride: usize, window: &Window) -> Self {
        let (rows, columns) = window.dim();
        let row = |row: usize| {
            let columns = (stride / 2..columns).step_by(stride);
            columns.map(move |column| (column as f64, row as f64))
        };
        Self {
            at: (stride / 2..rows).step_by(stride).flat_map(row).collect(),
            dim: (rows, columns),
        }
    }

    pub(super) const fn len(&self) -> usize {
        self.at.len()
    }

    /// The samples of a frame at every place; `None` where that is out of the frame, or too dark or too bright to tell.
    pub(super) fn samples(&self, kept: &Kept) -> impl Iterator<Item = Option<[f32; 3]>> {
        /// Luma codes that count as mid-grey: out of the noise, away from clipping.
        const MID: std::ops::RangeInclusive<f32> = 45.0..=190.0;
        let (rows, columns) = self.dim;
        self.at.iter().map(move |&(x, y)| {
            let (x, y) = kept.placed.scene.apply(x, y);
            let inside = x >= 0.0 && y >= 0.0 && x < columns as f64 && y < rows as f64;
            let samples = inside.then(|| kept.picture.samples(y as usize, x as usize))?;
            MID.contains(&samples[0]).then_some(samples)
        })
    }
}
