//! Means that stand out from everything else the network says, and why they do.
//!
//! For each mean the model at its variances foretells it from all others: y_i − ŷ_(−i) = (Py)_i/P_ii, with standard
//! deviation 1/√P_ii (deletion at fixed variances: Haslett & Hayes 1998, J. R. Statist. Soc. B 60:201–215). The
//! largest of n such is large by chance alone, so each is judged at level/n (Bonferroni). Named, never removed.

use crate::forecast::model::ForecastModel;
use crate::forecast::score::phi;
use crate::mixed::residuals::standardised;
use crate::pack::Network;
use serde::{Deserialize, Serialize};

/// A mean is named where chance alone would name one in a network this often.
const LEVEL: f64 = 0.05;

/// A mean that stands out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutlyingMean {
    /// Trial code.
    pub trial: String,
    /// Variety code.
    pub variety: String,
    /// The mean, yield unit.
    #[serde(rename = "yield")]
    pub yield_: f64,
    /// What all other means lead to expect, yield unit.
    pub foretold: f64,
    /// The difference in its standard deviations.
    pub standardised: f64,
    /// Chance of one so large anywhere in the network, errors being normal.
    pub p_value: f64,
    /// Other trials of the variety.
    pub other_trials: usize,
    /// Other means of the trial.
    pub other_varieties: usize,
}

/// The outlying means of a fitted network, the farthest first.
pub fn outlying_means(network: &Network, model: &ForecastModel) -> Vec<OutlyingMean> {
    let prepared = &model.prepared;
    let design = &prepared.design;
    let z = standardised(design, &model.solution);
    let judged = z.iter().filter(|z| **z != 0.0).count() as f64;
    let mut found: Vec<OutlyingMean> = Vec::new();
    for (place, row) in design.rows.iter().enumerate() {
        let p_value = (2.0 * judged * phi(-z[place].abs())).min(1.0);
        if p_value > LEVEL || z[place] == 0.0 {
            continue;
        }
        let scale = prepared.scale[row.system];
        let yield_ = prepared.rows[design.order[place]].value * scale;
        let deletion = z[place] * z[place] / model.solution.weighted_residuals[place] * scale;
        found.push(OutlyingMean {
            trial: prepared.trial(network, row.trial).trial.clone(),
            variety: prepared.varieties[row.block].clone(),
            yield_,
            foretold: yield_ - deletion,
            standardised: z[place],
            p_value,
            other_trials: design.blocks[row.block].rows - 1,
            other_varieties: design.rows.iter().filter(|other| other.trial == row.trial).count() - 1,
        });
    }
    crate::order::sort_by(&mut found, |a, b| b.standardised.abs().total_cmp(&a.standardised.abs()));
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::network;
    use super::*;

    #[test]
    fn a_mistyped_mean_is_named_and_foretold_from_the_others() {
        let mut network = network();
        let quiet = ForecastModel::fit(&network).unwrap();
        assert!(outlying_means(&network, &quiet).iter().all(|mean| mean.trial != "B2022d"));
        let mean = network.means.iter_mut().find(|m| m.trial == "B2022d" && m.variety == "V3").unwrap();
        let honest = mean.yield_;
        mean.yield_ = honest + 25.0;
        let model = ForecastModel::fit(&network).unwrap();
        let found = outlying_means(&network, &model);
        assert_eq!((found[0].trial.as_str(), found[0].variety.as_str()), ("B2022d", "V3"));
        assert!((found[0].yield_ - honest - 25.0).abs() < 1e-6, "{:?}", found[0]);
        assert!((found[0].foretold - honest).abs() < 6.0, "{honest}: {:?}", found[0]);
        // Leaving it out altogether foretells the same, at the same variances.
        network.means.retain(|m| (m.trial.as_str(), m.variety.as_str()) != ("B2022d", "V3"));
        assert!(found[0].p_value < 0.05 && found[0].standardised > 0.0);
    }
}
