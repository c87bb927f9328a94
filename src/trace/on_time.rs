//! How long a flash is lit.

use super::edge::{Edge, Shutter};
use super::measured::Estimate;
use super::runs::Run;

/// Typical lit time of a flash whose both ends were seen; `None` where there is none.
///
/// `clipped` is the share of the lamp's lit light that fell on clipped pixels.
pub(super) fn on_time(runs: &[Run], shutter: &Shutter, clipped: f64, frame_s: f64) -> Option<Estimate> {
    let whole = |run: &&Run| run.state.is_some() && !run.open_start && !run.open_end;
    let flashes: Vec<&Run> = runs.iter().filter(whole).collect();
    let lasts = |run: &Run| run.to.time_s - run.from.time_s;
    let mut sorted: Vec<f64> = flashes.iter().map(|run| lasts(run)).collect();
    sorted.sort_by(f64::total_cmp);
    let middle = *sorted.get(sorted.len() / 2)?;
    // Flashes between whole frames read a frame too short or too long, so their mean is better than any one of
    // them; a flash that is off by more was another kind of flash.
    let near = |run: &&&Run| (lasts(run) - middle).abs() <= 1.2 * frame_s + 0.05 * middle;
    let alike: Vec<&Run> = flashes.iter().filter(near).copied().collect();
    let count = alike.len() as f64;
    let mean = alike.iter().map(|run| lasts(run)).sum::<f64>() / count;
    let scatter = alike.iter().map(|run| (lasts(run) - mean).powi(2)).sum::<f64>() / count;
    let of_each = |square: fn(&Edge) -> f64| {
        alike
            .iter()
            .map(|run| square(&run.from) + square(&run.to))
            .sum::<f64>()
            / count
    };
    let noise = of_each(|edge| edge.noise_s.powi(2)) / count;
    // Where every flash lies alike among the frames, what one does not tell the others do not tell either: only so
    // far as they scatter do they count for more than one.
    let gap = of_each(|edge| edge.gap_s.powi(2) / 12.0);
    let several = 1.0 + (count - 1.0) * (scatter / gap.max(1e-12)).min(1.0);
    let (bias, bias_sd) = shutter.lengthening(clipped);
    Some(Estimate {
        value: (mean - bias).max(0.2 * mean),
        sd: (noise + gap / several).sqrt().hypot(bias_sd),
    })
}
