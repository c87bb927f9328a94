//! Whether a place is brighter than white paper would be there, so that it gives light of its own: what tells a lamp that
//! does not clip in a picture that was made dark for it.

use ndarray::Array2;

use super::score::rising;

/// How many times the light of a scene's bright parts a place gives before it has more than paper could have there
/// (guessed: the bright parts of a dark scene give back a twelfth of the light at least).
pub(super) const TIMES: f64 = 12.0;

/// White paper in the light of a scene.
pub(super) struct Paper {
    /// Luma of the scene's bright parts, non-linear, 0 to 255.
    bright_parts: f64,
}

impl Paper {
    /// In a scene of such luma, 0 to 255: nine in ten cells stay below its bright parts.
    pub(super) fn in_scene(luma: &Array2<f32>) -> Self {
        /// Darker scenes are no more than noise above black.
        const LEAST: f32 = 16.0;
        let mut values: Vec<f32> = luma.iter().copied().collect();
        let place = values.len() * 9 / 10;
        let bright_parts = if values.is_empty() {
            LEAST
        } else {
            *values.select_nth_unstable_by(place, f32::total_cmp).1
        };
        Self {
            bright_parts: f64::from(bright_parts.max(LEAST)),
        }
    }

    /// How sure it is that a place of so high a coded value has more light than paper could have, 0 to 1.
    pub(super) fn is_outshone(&self, value: f64) -> f64 {
        /// What coded values are to be raised to for light, near enough for all curves of ordinary clips.
        const GAMMA: f64 = 2.2;
        /// In powers of two (guessed).
        const SOFTNESS: f64 = 0.3;
        let times = GAMMA * (value.max(1.0) / self.bright_parts).log2();
        rising(times, TIMES.log2(), SOFTNESS)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: light is the power of 2.2 of the code, so that 3.1 times the code is 12 times the light, and 235 is 5.3 times
    /// that of 110.
    #[test]
    fn a_lamp_outshines_paper_only_in_a_dark_scene() {
        let scene = |luma: f32| {
            let mut cells = Array2::from_elem((20, 20), luma);
            cells[(4, 4)] = 200.0;
            Paper::in_scene(&cells)
        };
        assert!((scene(50.0).is_outshone(155.0) - 0.5).abs() < 0.1);
        assert!(scene(30.0).is_outshone(200.0) > 0.99);
        assert!(scene(110.0).is_outshone(235.0) < 0.03);
    }
}
