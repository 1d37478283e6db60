//! Which systems carry a slope on water, and in what measure. It knows trials and amounts.

use super::estimable::{Dropped, Why};
use crate::pack::Network;
use serde::{Deserialize, Serialize};

/// Trials with known water below which a system carries no slope.
const MIN_TRIALS_FOR_SLOPE: usize = 5;
/// Spread of water (sd / mean) below which a system carries no slope.
const MIN_WATER_SPREAD: f64 = 0.10;
/// The same in the unit of water, millimetres or inches: below it all trials are as dry as each other.
const LEAST_WATER_SPREAD: f64 = 1e-3;

/// Centre and scale of a system's water, water unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WaterScale {
    /// Mean over the fitted trials.
    pub center: f64,
    /// Standard deviation (n − 1) over the fitted trials.
    pub scale: f64,
}

impl WaterScale {
    /// An amount of water in standard deviations from the mean.
    pub fn standard(&self, amount: f64) -> f64 {
        (amount - self.center) / self.scale
    }
}

/// Centre and scale of a system's water over its fitted trials (indices in [`Network::trials`]); `None` where they are
/// too few or too much alike for a slope.
pub(super) fn water_scale(
    network: &Network,
    trials: &[usize],
    system_of: &[usize],
    system: usize,
) -> Option<WaterScale> {
    let amounts: Vec<f64> = trials
        .iter()
        .zip(system_of)
        .filter(|(_, s)| **s == system)
        .filter_map(|(i, _)| network.trials[*i].water)
        .collect();
    let n = amounts.len() as f64;
    let center = amounts.iter().sum::<f64>() / n;
    let scale = (amounts.iter().map(|x| (x - center).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    (amounts.len() >= MIN_TRIALS_FOR_SLOPE
        && scale >= MIN_WATER_SPREAD * center
        && scale >= LEAST_WATER_SPREAD)
        .then_some(WaterScale { center, scale })
}

/// The term of a system's slope as it is named where the system carries none beside others that do.
pub const SLOPE_OF: &str = "variety*water of ";

/// What is left out where systems carry no slope: the term as a whole, or that of each system alone.
pub(super) fn without_slope(systems: &[String], water: &[Option<WaterScale>]) -> Vec<Dropped> {
    let why = Why::TooLittleWater;
    if water.iter().all(Option::is_none) {
        return vec![Dropped { term: "variety*water".to_owned(), why }];
    }
    let without = systems.iter().zip(water).filter(|(_, water)| water.is_none());
    without.map(|(system, _)| Dropped { term: format!("{SLOPE_OF}{system}"), why }).collect()
}
