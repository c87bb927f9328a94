//! Middle and spread of values of which a few may be far off.

/// Median, the upper of two; `None` of nothing.
pub(super) fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// Standard deviation of values about `middle` by their median distance from it, as for a normal distribution; `None` of
/// nothing.
pub(super) fn deviation(values: &[f64], middle: f64) -> Option<f64> {
    /// From the median distance to the standard deviation of a normal distribution: 1 over its upper quartile.
    const NORMAL: f64 = 1.4826;
    let off = values.iter().map(|value| (value - middle).abs()).collect();
    Some(NORMAL * median(off)?)
}
