//! Fits the confidence: a logistic curve over what an answer rests on, one for rows and one for "in no row".

use std::path::Path;

use lampwise::meaning::{FEATURES, Grounds};
use linfa::Dataset;
use linfa::traits::Fit;
use linfa_logistic::LogisticRegression;
use ndarray::{Array1, Array2};
use serde_json::{Map, Value, json};

use super::judge::Judged;
use super::plan::Kind;

/// Ridge on the weights: wrong answers are few, and a weight that three of them set is no weight. Chosen before any fit.
const ALPHA: f64 = 1.0;

/// Writes the parameters.
pub(crate) fn write(all: &[Judged], command: &str) -> Result<(), String> {
    let of = |unlisted: bool| -> Vec<(Grounds, bool)> {
        let judged = all.iter().filter(|judged| judged.job.kind != Kind::Alike);
        judged
            .filter_map(|judged| Some((judged.reading.grounds?, judged.likeliest()? == judged.job.truth())))
            .filter(|(grounds, _)| grounds.unlisted == unlisted)
            .collect()
    };
    let parameters = json!({
        "what": "logistic curve of the confidence; features are meaning::Grounds::features",
        "refit": command,
        "row": curve(&of(false))?,
        "unlisted": curve(&of(true))?,
    });
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("models/confidence.json");
    let text = serde_json::to_string_pretty(&parameters).map_err(|error| error.to_string())?;
    std::fs::write(&path, text + "\n").map_err(|error| format!("cannot write {}: {error}", path.display()))
}

fn curve(answers: &[(Grounds, bool)]) -> Result<Value, String> {
    let wrong = answers.iter().filter(|answer| !answer.1).count();
    if wrong == 0 || wrong == answers.len() {
        return Err(format!(
            "{wrong} of {} answers are wrong: nothing to fit",
            answers.len()
        ));
    }
    let records = Array2::from_shape_fn((answers.len(), FEATURES.len()), |(row, column)| {
        answers[row].0.features()[column]
    });
    let targets: Array1<bool> = answers.iter().map(|answer| answer.1).collect();
    let data = Dataset::new(records, targets);
    let model = LogisticRegression::default().alpha(ALPHA).max_iterations(500);
    let fitted = model.fit(&data).map_err(|error| error.to_string())?;
    // The library calls either class the positive one.
    let sign = if fitted.labels().pos.class { 1.0 } else { -1.0 };
    let rounded = |value: f64| (sign * value * 1e4).round() / 1e4;
    let weights: Map<String, Value> = FEATURES
        .iter()
        .zip(fitted.params())
        .map(|(name, weight)| ((*name).to_owned(), json!(rounded(*weight))))
        .collect();
    Ok(json!({
        "answers": answers.len(),
        "wrong": wrong,
        "offset": rounded(fitted.intercept()),
        "weights": weights,
    }))
}
