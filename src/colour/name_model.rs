//! The fitted model of colour names and the file it is kept in.

use linfa_logistic::MultiFittedLogisticRegression;
use ndarray::{Array1, Array2};
use serde::{Deserialize, Serialize};

use super::hue_features::{feature_names, features};
use super::name::{ColourName, NameBelief};
use super::read_from::ReadFrom;

/// What linfa fits: a logit for every name, linear in the features; the classes are the names as a table
/// writes them.
pub type FittedNames = MultiFittedLogisticRegression<f64, String>;

/// The version of the file's form that this program reads.
const SCHEMA: u32 = 1;

/// The model with what it was made from, as the file has it.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NameModel {
    schema: u32,
    /// The command that fits it anew.
    refit: String,
    /// What it was fitted on.
    fitted_on: String,
    /// How it did on lamps that it was not fitted on.
    held_out: HeldOut,
    /// What the weights weigh, in their order.
    features: Vec<String>,
    /// What the logits are divided by (Guo et al. 2017, arXiv 1706.04599, 4.2). The lamps that were fitted
    /// had noise of their own, so averaging over the noise of a measurement counts it twice and flattens the
    /// belief; this takes it back.
    temperature: f64,
    model: FittedNames,
}

/// How a model did on lamps that it was not fitted on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeldOut {
    /// How many lamps.
    pub lamps: usize,
    /// Share of them whose likeliest name was theirs.
    pub right: f64,
    /// Mean negative log of the probability of their name.
    pub log_loss: f64,
    /// Expected calibration error of the likeliest name over 10 bins (Guo et al. 2017).
    pub ece_10: f64,
}

/// A file that is no model for this program.
#[derive(Debug, thiserror::Error)]
pub enum UnusableModel {
    /// No JSON, or not of the form.
    #[error("cannot read the model of colour names: {0}")]
    Form(#[from] serde_json::Error),
    /// Another version of the form.
    #[error("the model of colour names has schema {found}, not {SCHEMA}: fit it anew")]
    Schema {
        /// Of the file.
        found: u32,
    },
    /// Fitted on other features than this program computes.
    #[error("the model of colour names was fitted on other features: fit it anew")]
    Features,
    /// The weights do not fit the features, or are no numbers.
    #[error("the model of colour names has weights of another shape than its features, or broken ones")]
    Weights,
    /// The classes are not the colour names, each once.
    #[error("the model of colour names does not know each name once")]
    Names,
}

impl NameModel {
    /// A model as it comes from the fit.
    ///
    /// # Errors
    ///
    /// When the model was not fitted on [`features`], or not to all names.
    pub fn new(
        model: FittedNames,
        temperature: f64,
        refit: String,
        fitted_on: String,
        held_out: HeldOut,
    ) -> Result<Self, UnusableModel> {
        let made = Self {
            schema: SCHEMA,
            refit,
            fitted_on,
            held_out,
            features: feature_names(),
            temperature,
            model,
        };
        made.check()?;
        Ok(made)
    }

    /// Reads a model from its JSON.
    ///
    /// # Errors
    ///
    /// When it is not of the form that this program writes, or of other features or names than it knows.
    pub fn from_json(text: &str) -> Result<Self, UnusableModel> {
        let read: Self = serde_json::from_str(text)?;
        read.check()?;
        Ok(read)
    }

    fn check(&self) -> Result<(), UnusableModel> {
        if self.schema != SCHEMA {
            return Err(UnusableModel::Schema { found: self.schema });
        }
        if self.features != feature_names() {
            return Err(UnusableModel::Features);
        }
        let (weights, offsets) = (self.model.params(), self.model.intercept());
        let shape = (self.features.len(), ColourName::ALL.len());
        if weights.dim() != shape
            || offsets.len() != shape.1
            || !(self.temperature.is_finite() && self.temperature > 0.0)
            || !weights.iter().chain(offsets).all(|weight| weight.is_finite())
        {
            return Err(UnusableModel::Weights);
        }
        let classes = self.model.classes();
        let once = |name: &ColourName| classes.iter().filter(|class| *class == name.as_str()).count() == 1;
        if classes.len() != shape.1 || !ColourName::ALL.iter().all(once) {
            return Err(UnusableModel::Names);
        }
        Ok(())
    }

    /// How it did on lamps that it was not fitted on.
    #[must_use]
    pub const fn held_out(&self) -> HeldOut {
        self.held_out
    }

    /// Belief at several chromaticities u'v', averaged by weights.
    #[must_use]
    pub fn mean_belief<const N: usize>(
        &self,
        points: [(f64, f64); N],
        weights: [f64; N],
        read_from: ReadFrom,
    ) -> NameBelief {
        let rows = points.map(|(u, v)| features(u, v, read_from));
        let rows = Array2::from_shape_fn((N, feature_count()), |(row, column)| rows[row][column]);
        let mut beliefs = self.model.predict_probabilities(&rows);
        for mut belief in beliefs.rows_mut() {
            // The softmax of divided logits is a power of the softmax.
            belief.mapv_inplace(|probability| probability.powf(1.0 / self.temperature));
            let sum = belief.sum();
            belief.mapv_inplace(|share| share / sum);
        }
        let mean = Array1::from_iter(weights).dot(&beliefs);
        let mut by_name = [0.0; ColourName::ALL.len()];
        for (class, share) in self.model.classes().iter().zip(mean) {
            if let Ok(name) = class.parse::<ColourName>() {
                by_name[name.index()] = share;
            }
        }
        NameBelief::from_weights(by_name)
    }
}

fn feature_count() -> usize {
    features(0.0, 0.0, ReadFrom::CLEAN).len()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = include_str!("../../models/colour-names.json");

    fn with(key: &str, value: serde_json::Value) -> Result<NameModel, UnusableModel> {
        let mut file: serde_json::Value = serde_json::from_str(FILE).unwrap();
        file[key] = value;
        NameModel::from_json(&file.to_string())
    }

    #[test]
    fn refuses_what_this_program_cannot_use() {
        assert!(matches!(
            with("schema", 2.into()),
            Err(UnusableModel::Schema { found: 2 })
        ));
        assert!(matches!(
            with("features", vec!["hue"].into()),
            Err(UnusableModel::Features)
        ));
        assert!(matches!(
            with("temperature", 0.into()),
            Err(UnusableModel::Weights)
        ));
        assert!(matches!(with("unknown", 1.into()), Err(UnusableModel::Form(_))));
        let mut model = serde_json::from_str::<serde_json::Value>(FILE).unwrap()["model"].clone();
        model["classes"][0] = "mauve".into();
        assert!(matches!(with("model", model.clone()), Err(UnusableModel::Names)));
        model["intercept"]["dim"][0] = 8.into();
        model["intercept"]["data"].as_array_mut().unwrap().pop();
        assert!(matches!(with("model", model), Err(UnusableModel::Weights)));
    }

    /// Softmax of weights times features, by hand, against what linfa makes of the same file.
    #[test]
    fn loads_as_it_was_saved() {
        let file: serde_json::Value = serde_json::from_str(FILE).unwrap();
        let numbers =
            |key: &str| -> Vec<f64> { serde_json::from_value(file["model"][key]["data"].clone()).unwrap() };
        let (weights, offsets) = (numbers("params"), numbers("intercept"));
        let classes: Vec<String> = serde_json::from_value(file["model"]["classes"].clone()).unwrap();
        let temperature = file["temperature"].as_f64().unwrap();
        let (u, v, read_from) = (
            0.32,
            0.53,
            ReadFrom::Lamp {
                clipped: 0.3,
                alone: false,
            },
        );
        let exponentials: Vec<f64> = (0..classes.len())
            .map(|class| {
                let weighted = features(u, v, read_from).into_iter().enumerate();
                let logit: f64 = weighted
                    .map(|(i, f)| f * weights[i * classes.len() + class])
                    .sum();
                ((logit + offsets[class]) / temperature).exp()
            })
            .collect();
        let model = NameModel::from_json(FILE).unwrap();
        let belief = model.mean_belief([(u, v)], [1.0], read_from);
        for (class, exponential) in classes.iter().zip(&exponentials) {
            let by_hand = exponential / exponentials.iter().sum::<f64>();
            assert!(
                (belief.of(class.parse().unwrap()) - by_hand).abs() < 1e-9,
                "{class}"
            );
        }
    }
}
