//! Whether the confidence is what it says: of the readings given at 0.9, nine in ten should be right.

use std::fmt::Write;

use super::judge::Judged;
use super::plan::Kind;

/// Confidences are looked at in bins with these lower ends; most readings are in the last ones.
const BINS: [f64; 8] = [0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98];

/// Target of the project.
const ERROR: f64 = 0.03;

/// Thresholds of which the cost is shown.
const THRESHOLDS: [f64; 9] = [0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99];

/// Confidence in the likeliest answer and whether it is the truth.
fn answers(all: &[Judged]) -> Vec<(f64, bool)> {
    all.iter()
        .filter(|judged| judged.job.kind != Kind::Alike)
        .filter_map(|judged| {
            let right = judged.likeliest()? == judged.job.truth();
            judged.answer().map(|(_, confidence)| (confidence, right))
        })
        .collect()
}

pub(crate) fn text(all: &[Judged]) -> String {
    let answers = answers(all);
    let mut text = format!(
        "\nconfidence of the likeliest answer against how often it is right, {} readings, brutal ones too\n{:>12}{:>9}{:>9}{:>9}\n",
        answers.len(),
        "from",
        "clips",
        "said",
        "right"
    );
    let mut error = 0.0;
    for (index, from) in BINS.iter().enumerate() {
        let to = BINS.get(index + 1).copied().unwrap_or(f64::INFINITY);
        let bin: Vec<&(f64, bool)> = answers
            .iter()
            .filter(|answer| answer.0 >= *from && answer.0 < to)
            .collect();
        if bin.is_empty() {
            continue;
        }
        let count = bin.len() as f64;
        let said = bin.iter().map(|answer| answer.0).sum::<f64>() / count;
        let right = bin.iter().filter(|answer| answer.1).count() as f64 / count;
        error += count / answers.len() as f64 * (said - right).abs();
        writeln!(text, "{from:12.2}{count:9}{said:9.3}{right:9.3}").expect("memory");
    }
    let mark = if error <= ERROR { "ok  " } else { "MISS" };
    writeln!(
        text,
        "{mark} expected calibration error {error:.4}   target <= {ERROR}"
    )
    .expect("memory");
    text.push_str(&cost(&answers));
    text
}

/// What a threshold costs: wrong answers let through, right ones withheld.
fn cost(answers: &[(f64, bool)]) -> String {
    let mut text = format!("\n{:>12}{:>12}{:>14}\n", "threshold", "wrong %", "undecided %");
    for threshold in THRESHOLDS {
        let wrong = answers
            .iter()
            .filter(|answer| answer.0 >= threshold && !answer.1)
            .count();
        let withheld = answers.iter().filter(|answer| answer.0 < threshold).count();
        let share = |count: usize| 100.0 * count as f64 / answers.len().max(1) as f64;
        writeln!(
            text,
            "{threshold:12.2}{:12.2}{:14.2}",
            share(wrong),
            share(withheld)
        )
        .expect("memory");
    }
    text
}
