//! Whether a place is brighter than paper or paint would be there, so that it gives light of its own: what tells a lamp that
//! does not clip in a picture that was made dark for it.

use ndarray::Array2;

use super::score::rising;
use crate::colour::to_linear;
use crate::footage::Transfer;

/// How many times the light of a scene's bright parts white paper may give back (guessed: on black plastic twenty times as
/// much, and a half more for shade).
pub(super) const WHITE: f64 = 28.0;
/// And paint of a strong colour, in its strongest channel (guessed: a little more than half of it).
pub(super) const COLOURED: f64 = 16.0;

/// What the light of a scene is, for paper in it.
pub(super) struct Paper {
    /// Of the scene's bright parts, linear, 1 being the top of the scale.
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
            bright_parts: linear(f64::from(bright_parts.max(LEAST))),
        }
    }

    /// How sure it is that a place of so high a value, 0 to 255, has more light than what gives back so many times the light
    /// of the scene's bright parts, 0 to 1.
    pub(super) fn is_outshone(&self, value: f64, times: f64) -> f64 {
        /// In powers of two (guessed).
        const SOFTNESS: f64 = 0.3;
        let ratio = linear(value.max(1.0)) / self.bright_parts;
        rising(ratio.log2(), times.log2(), SOFTNESS)
    }
}

fn linear(value: f64) -> f64 {
    to_linear(Transfer::Bt709, value / 255.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, by the curve of Rec. ITU-R BT.709-6, item 1.2: 34 of 255 is 0.0316 of the light and 197 is 0.597, which is 18.9
    /// times as much; 16 is 0.0139, 235 is 0.848.
    #[test]
    fn a_lamp_outshines_paper_only_in_a_dark_scene() {
        let scene = |luma: f32| {
            let mut cells = Array2::from_elem((20, 20), luma);
            cells[(4, 4)] = 200.0;
            Paper::in_scene(&cells)
        };
        assert!((scene(34.0).is_outshone(197.0, 18.9) - 0.5).abs() < 0.05);
        assert!(scene(16.0).is_outshone(235.0, WHITE) > 0.95);
        assert!(scene(34.0).is_outshone(197.0, WHITE) < 0.2);
        assert!(scene(110.0).is_outshone(235.0, COLOURED) < 0.01);
    }
}
