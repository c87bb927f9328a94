//! Sums of probabilities in log space.

/// `ln(Σ exp(v))`; minus infinity for nothing.
pub(super) fn log_sum(values: impl Iterator<Item = f64>) -> f64 {
    let (mut top, mut sum) = (f64::NEG_INFINITY, 0.0);
    for value in values {
        if value <= top - FORGOTTEN {
            continue;
        }
        if value > top {
            sum = sum * (top - value).exp() + 1.0;
            top = value;
        } else {
            sum += (value - top).exp();
        }
    }
    if top == f64::NEG_INFINITY {
        top
    } else {
        top + sum.ln()
    }
}

/// Summands so many nats below the greatest are lost in its rounding.
const FORGOTTEN: f64 = 40.0;

/// `ln(exp(a) + exp(b))`.
pub(super) fn log_add(a: f64, b: f64) -> f64 {
    log_sum([a, b].into_iter())
}

/// For each value the `log_sum` of all the others.
pub(super) fn log_sums_of_others(values: &[f64]) -> Vec<f64> {
    let mut after = vec![f64::NEG_INFINITY; values.len() + 1];
    for index in (0..values.len()).rev() {
        after[index] = log_add(values[index], after[index + 1]);
    }
    let mut before = f64::NEG_INFINITY;
    values
        .iter()
        .enumerate()
        .map(|(index, value)| {
            let others = log_add(before, after[index + 1]);
            before = log_add(before, *value);
            others
        })
        .collect()
}

/// `ln(exp(whole) - exp(part))`, kept above a billionth of the whole where rounding would take all of it.
pub(super) fn log_less(whole: f64, part: f64) -> f64 {
    if part == f64::NEG_INFINITY {
        return whole;
    }
    whole + (1.0 - (part - whole).exp()).max(1e-9).ln()
}

/// Scales log weights to probabilities that sum to 1.
pub(super) fn normalise(log_weights: &[f64]) -> Vec<f64> {
    let sum = log_sum(log_weights.iter().copied());
    log_weights.iter().map(|weight| (weight - sum).exp()).collect()
}

/// The part of a number beyond the whole number below it, 0 to 1.
pub(super) fn fraction(value: f64) -> f64 {
    // `floor` is a call on processors of the oldest kind that the program is built for.
    let beyond = value - value as i64 as f64;
    if beyond < 0.0 { beyond + 1.0 } else { beyond }
}

/// Median; 0 for nothing.
pub(super) fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_and_differences_of_probabilities() {
        let third = (1.0_f64 / 3.0).ln();
        assert!((log_add(third, third) - (2.0_f64 / 3.0).ln()).abs() < 1e-12);
        assert!((log_less(0.0, third) - (2.0_f64 / 3.0).ln()).abs() < 1e-12);
        assert_eq!(log_sum([f64::NEG_INFINITY].into_iter()), f64::NEG_INFINITY);
        let others = log_sums_of_others(&[third, f64::NEG_INFINITY, 0.0]);
        let expected = [0.0, (4.0_f64 / 3.0).ln(), third];
        assert!(
            others
                .iter()
                .zip(expected)
                .all(|(found, wanted)| (found - wanted).abs() < 1e-12),
            "{others:?}"
        );
        assert!(
            normalise(&[-1000.0, -1000.0])
                .iter()
                .all(|p| (p - 0.5).abs() < 1e-9)
        );
    }
}
