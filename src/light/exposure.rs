//! How the camera's automatic exposure changed from frame to frame, from the scene itself.

use super::places::Places;
use super::score::median;
use super::window::{Kept, Window};
use crate::colour::Decoder;

/// Exposure of each frame of a window relative to the usual one, from the median change of the scene's mid-grey parts. 1
/// where there are too few of them. `usual` is the light of each place that earlier windows found usual; places that are
/// new are added.
pub(super) fn gains(window: &Window, decoder: &Decoder, usual: &mut Vec<Option<f64>>) -> Vec<f64> {
    /// Pixels looked at: one in this many each way.
    const STRIDE: usize = 16;
    /// Fewest places for a median to mean anything.
    const FEWEST: usize = 40;
    let light = |samples: [f32; 3]| f64::from(decoder.linear([samples[0], 128.0, 128.0])[1]);
    let places = Places::every(STRIDE, window);
    let look = |kept: &Kept| -> Vec<Option<f64>> {
        places.samples(kept).map(|samples| samples.map(light)).collect()
    };
    let looks: Vec<Option<Vec<Option<f64>>>> = window
        .frames
        .iter()
        .map(|kept| (kept.placed.found && !kept.picture.damaged).then(|| look(kept)))
        .collect();
    // The usual light of each place is its median over the frames of the first window that shows it.
    usual.resize(places.len(), None);
    for (i, usual) in usual.iter_mut().enumerate().filter(|(_, usual)| usual.is_none()) {
        let mut values: Vec<f64> = looks.iter().flatten().filter_map(|look| look[i]).collect();
        if values.len() * 2 > looks.len() {
            *usual = median(&mut values);
        }
    }
    looks
        .iter()
        .map(|look| {
            let mut ratios: Vec<f64> = look
                .iter()
                .flatten()
                .zip(usual.iter())
                .filter_map(|(now, usual)| Some((*now)? / (*usual)?))
                .collect();
            if ratios.len() < FEWEST {
                1.0
            } else {
                median(&mut ratios).unwrap_or(1.0).clamp(0.25, 4.0)
            }
        })
        .collect()
}
