//! Telling what goes between a few levels from what drifts, swells or flickers.

use super::score::rising;

/// Whether a place goes between few levels and stays at each, as a lamp of one or more colours does: 0 to 1. `between_two` is
/// the share of the variance that lies between its two means.
pub(super) fn few_levels(spot: &[[f64; 3]], between_two: f64) -> f64 {
    // Variance between the levels as a share of all variance. Of two (Otsu's criterion) it is 0.64 for Gaussian noise,
    // 0.81 for a sine (a breathing lamp), near 1 for a lamp that switches; of three and four it is 0.81 and 0.88 for
    // Gaussian noise (Max 1960, IRE Trans. Inf. Theory 6, from memory), 0.89 and 0.94 for an even drift.
    let two = rising(between_two, 0.74, 0.035);
    let three = rising(share_between(spot, 3), 0.95, 0.01);
    let four = rising(share_between(spot, 4), 0.97, 0.006);
    two.max(three).max(four)
}

/// Variance between `count` groups of samples as a share of all variance; groups by means, begun at the samples that lie
/// furthest apart.
fn share_between(samples: &[[f64; 3]], count: usize) -> f64 {
    let distance = |a: &[f64; 3], b: &[f64; 3]| (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>();
    let n = samples.len() as f64;
    let overall: [f64; 3] = std::array::from_fn(|k| samples.iter().map(|s| s[k]).sum::<f64>() / n);
    let total: f64 = samples.iter().map(|s| distance(s, &overall)).sum();
    let nearest = |centres: &[[f64; 3]], sample: &[f64; 3]| -> (usize, f64) {
        centres
            .iter()
            .map(|centre| distance(centre, sample))
            .enumerate()
            .fold(
                (0, f64::INFINITY),
                |best, next| if next.1 < best.1 { next } else { best },
            )
    };
    let furthest = |centres: &[[f64; 3]]| {
        samples
            .iter()
            .copied()
            .max_by(|a, b| nearest(centres, a).1.total_cmp(&nearest(centres, b).1))
    };
    // From the overall mean the first, from those that there are the others: the level at which the lamp is most of the
    // time lies near the overall mean.
    let mut centres: Vec<[f64; 3]> = furthest(&[overall]).into_iter().collect();
    while !samples.is_empty() && centres.len() < count {
        centres.extend(furthest(&centres));
    }
    for _ in 0..8 {
        let mut sums = vec![([0.0; 3], 0.0); count];
        for sample in samples {
            let (sum, members) = &mut sums[nearest(&centres, sample).0];
            (0..3).for_each(|k| sum[k] += sample[k]);
            *members += 1.0;
        }
        for (centre, (sum, members)) in centres.iter_mut().zip(sums) {
            if members > 0.0 {
                *centre = sum.map(|value| value / members);
            }
        }
    }
    let within: f64 = samples.iter().map(|sample| nearest(&centres, sample).1).sum();
    1.0 - within / total.max(1e-9)
}

#[cfg(test)]
mod tests {
    use rand::{Rng, SeedableRng};
    use rand_distr::Normal;
    use rand_pcg::Pcg64;
    use rstest::rstest;

    use super::*;

    fn likeness(samples: &[[f64; 3]]) -> f64 {
        few_levels(samples, share_between(samples, 2))
    }

    /// Dark, red, white and blue as coded samples, each for a while.
    #[rstest]
    fn lamps_of_one_to_three_colours_stay_at_levels(
        #[values(2, 3, 4)] count: usize,
        #[values(1, 2, 3)] seed: u64,
    ) {
        let levels = [
            [60.0, 128.0, 128.0],
            [90.0, 110.0, 200.0],
            [220.0, 128.0, 128.0],
            [80.0, 190.0, 110.0],
        ];
        let mut random = Pcg64::seed_from_u64(seed);
        let noise = Normal::new(0.0, 2.0).unwrap();
        let samples: Vec<[f64; 3]> = (0..160)
            .map(|frame| levels[frame / 7 % count].map(|level| level + random.sample(noise)))
            .collect();
        assert!(likeness(&samples) > 0.9, "{}", likeness(&samples));
    }

    /// A few flashes of three colours in a clip that is dark for most of the time; an exposure lies across a switch now and
    /// then.
    #[test]
    fn seldom_lit_is_as_good() {
        let [dark, red, white, blue] = [
            [95.0, 128.0, 128.0],
            [104.0, 120.0, 204.0],
            [220.0, 128.0, 128.0],
            [107.0, 188.0, 96.0],
        ];
        let between = [185.0, 149.0, 116.0];
        let turn = [blue, blue, blue, between, white, white, white];
        let mut samples = [turn, turn, turn].concat();
        samples.extend([red; 27]);
        samples.extend([dark; 70]);
        assert!(likeness(&samples) > 0.9, "{}", likeness(&samples));
    }

    #[rstest]
    fn noise_and_drifts_do_not(#[values(1, 2, 3)] seed: u64) {
        let mut random = Pcg64::seed_from_u64(seed);
        let noise = Normal::new(0.0, 20.0).unwrap();
        let noisy: Vec<[f64; 3]> = (0..160).map(|_| [0; 3].map(|_| random.sample(noise))).collect();
        let drifting: Vec<[f64; 3]> = (0..160).map(|frame| [f64::from(frame), 128.0, 128.0]).collect();
        assert!(likeness(&noisy) < 0.1, "{}", likeness(&noisy));
        assert!(likeness(&drifting) < 0.6, "{}", likeness(&drifting));
    }
}
