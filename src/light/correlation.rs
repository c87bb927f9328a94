//! How far two courses go together.

/// Pearson's correlation of pairs, -1 to 1; 0 where either does not change.
pub(super) fn correlation(pairs: &[(f64, f64)]) -> f64 {
    let n = pairs.len() as f64;
    let (ma, mb) = (
        pairs.iter().map(|p| p.0).sum::<f64>() / n,
        pairs.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let (mut ab, mut aa, mut bb) = (0.0, 1e-9, 1e-9);
    for (x, y) in pairs {
        ab += (x - ma) * (y - mb);
        aa += (x - ma).powi(2);
        bb += (y - mb).powi(2);
    }
    ab / (aa * bb).sqrt()
}
