//! What a fit leaves over, trial by trial and variety by variety.
//!
//! Standardised residuals are N(0, 1) where the model holds, so their mean square is about 1: a trial far above
//! scatters more than its stated error allows, a variety far above behaves less evenly than the others.

use crate::forecast::model::ForecastModel;
use crate::mixed::residuals::standardised;
use crate::pack::Network;
use serde::{Deserialize, Serialize};

/// The residuals of one trial or one variety.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    /// Trial or variety code.
    pub code: String,
    /// Means behind it.
    pub n: usize,
    /// Mean square of the standardised residuals; about 1 where the model holds.
    pub mean_square: f64,
    /// The largest by size, with its sign.
    pub largest: f64,
}

/// Residuals of a fit by trial and by variety, the widest first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Residuals {
    /// By trial.
    pub trials: Vec<Spread>,
    /// By variety.
    pub varieties: Vec<Spread>,
}

/// Adds the standardised residuals up.
pub fn residuals(network: &Network, model: &ForecastModel) -> Residuals {
    let (prepared, design) = (&model.prepared, &model.prepared.design);
    let z = standardised(design, &model.solution);
    let mut trials = vec![Vec::new(); design.trials];
    let mut varieties = vec![Vec::new(); design.blocks.len()];
    for (row, z) in design.rows.iter().zip(&z) {
        trials[row.trial].push(*z);
        varieties[row.block].push(*z);
    }
    let trial_code = |place: usize| prepared.trial(network, place).trial.clone();
    Residuals {
        trials: spreads(trials, trial_code),
        varieties: spreads(varieties, |place| prepared.varieties[place].clone()),
    }
}

fn spreads(lists: Vec<Vec<f64>>, code: impl Fn(usize) -> String) -> Vec<Spread> {
    let mut spreads: Vec<Spread> = lists
        .into_iter()
        .enumerate()
        .filter(|(_, list)| !list.is_empty())
        .map(|(place, list)| Spread {
            code: code(place),
            n: list.len(),
            mean_square: list.iter().map(|z| z * z).sum::<f64>() / list.len() as f64,
            largest: list
                .iter()
                .copied()
                .fold(0.0, |most: f64, z| if z.abs() > most.abs() { z } else { most }),
        })
        .collect();
    crate::order::sort_by(&mut spreads, |a, b| b.mean_square.total_cmp(&a.mean_square));
    spreads
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::network;
    use super::*;

    #[test]
    fn a_wild_trial_and_a_wild_variety_come_first() {
        let mut network = network();
        for (place, mean) in network.means.iter_mut().filter(|m| m.trial == "A2021i").enumerate() {
            mean.yield_ += if place % 2 == 0 { 9.0 } else { -9.0 };
        }
        let model = ForecastModel::fit(&network).unwrap();
        let found = residuals(&network, &model);
        assert_eq!(found.trials[0].code, "A2021i");
        assert!(found.trials[0].mean_square > 2.0 * found.trials[1].mean_square);
        let n: usize = found.varieties.iter().map(|spread| spread.n).sum();
        assert_eq!(n, model.prepared.rows.len());
    }
}
