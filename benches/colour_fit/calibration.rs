//! How well stated probabilities agree with how often they came true.

/// A stated probability, and whether it came true.
pub(crate) type Stated = (f64, bool);

/// Expected calibration error (Guo et al. 2017, arXiv 1706.04599, equation 3): over `bins` equal bins of the
/// stated probability, each closed on the right, the mean distance between what was stated and how often it
/// came true, weighted by how much was stated there.
pub(crate) fn ece(stated: &[Stated], bins: usize) -> f64 {
    let mut sums = vec![0.0; bins];
    for &(probability, true_) in stated {
        sums[bin(probability, bins)] += probability - f64::from(u8::from(true_));
    }
    sums.into_iter().map(f64::abs).sum::<f64>() / stated.len() as f64
}

/// Largest distance of a bin between what was stated and how often it came true.
pub(crate) fn worst_bin(stated: &[Stated], bins: usize) -> f64 {
    let mut sums = vec![(0.0, 0usize); bins];
    for &(probability, true_) in stated {
        let own = &mut sums[bin(probability, bins)];
        *own = (own.0 + probability - f64::from(u8::from(true_)), own.1 + 1);
    }
    let distance = |(sum, count): (f64, usize)| sum.abs() / count.max(1) as f64;
    sums.into_iter().map(distance).fold(0.0, f64::max)
}

/// Mean negative log of the probability of what came true.
pub(crate) fn log_loss(stated: &[Stated]) -> f64 {
    let of = |&(p, true_): &Stated| -(if true_ { p } else { 1.0 - p }).max(f64::MIN_POSITIVE).ln();
    stated.iter().map(of).sum::<f64>() / stated.len() as f64
}

/// Mean square of what was stated less what came true (Brier 1950).
pub(crate) fn brier(stated: &[Stated]) -> f64 {
    let of = |&(p, true_): &Stated| (p - f64::from(u8::from(true_))).powi(2);
    stated.iter().map(of).sum::<f64>() / stated.len() as f64
}

/// Bin `i` holds probabilities above `i / bins` up to and with `(i + 1) / bins`; 0 is in the first.
fn bin(probability: f64, bins: usize) -> usize {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the bins"
    )]
    let above = (probability * bins as f64).ceil().clamp(1.0, bins as f64) as usize;
    above - 1
}
