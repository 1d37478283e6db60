//! The disease pressures that a season brings: those of the system's own trials in seasons with water like
//! it.
//!
//! Each trial counts by a normal kernel in standardised water, so that diseases that come with rain come
//! with rain here too, and together as they came. It knows trials, not varieties.

use super::losses::Threat;
use crate::mixed::network::Prepared;

/// Bandwidth of the kernel, standard deviations of water.
const BANDWIDTH: f64 = 0.5;

/// Pressures of the fitted trials of one system.
#[derive(Debug, Clone, PartialEq)]
pub struct PressurePool {
    water: Vec<f64>,
    /// Pressures of each trial, one for each threat, 0–1.
    pressures: Vec<Vec<f64>>,
}

impl PressurePool {
    /// The trials of a system.
    pub fn new(prepared: &Prepared, system: usize, threats: &[Threat]) -> PressurePool {
        let systems = prepared.column_systems();
        let columns: Vec<usize> = (0..systems.len()).filter(|&c| systems[c] == system).collect();
        PressurePool {
            water: columns.iter().map(|&c| prepared.trial_water[c]).collect(),
            pressures: columns.iter().map(|&c| threats.iter().map(|t| t.pressure[c]).collect()).collect(),
        }
    }

    /// Cumulative weight of each trial at an amount of standardised water, ending at 1.
    fn cumulative(&self, water: f64) -> Vec<f64> {
        // The nearest trial always counts, however far away it is.
        let nearest = self.water.iter().map(|w| (w - water).abs()).fold(f64::INFINITY, f64::min);
        let weight = |w: f64| (-0.5 * ((w - water).abs() - nearest).powi(2) / (BANDWIDTH * BANDWIDTH)).exp();
        let total: f64 = self.water.iter().map(|w| weight(*w)).sum();
        let mut sum = 0.0;
        self.water
            .iter()
            .map(|w| {
                sum += weight(*w) / total;
                sum
            })
            .collect()
    }

    /// The trials (indices for [`PressurePool::of`]) that uniform numbers choose at one amount of water.
    pub fn choose(&self, water: f64, uniform: &[f64]) -> Vec<usize> {
        let cumulative = self.cumulative(water);
        let last = cumulative.len().saturating_sub(1);
        uniform.iter().map(|u| cumulative.partition_point(|c| c < u).min(last)).collect()
    }

    /// Pressures of one trial.
    pub fn of(&self, trial: usize) -> &[f64] {
        &self.pressures[trial]
    }

    /// Expected pressures at one amount of water.
    pub fn mean(&self, water: f64) -> Vec<f64> {
        let cumulative = self.cumulative(water);
        let mut mean = vec![0.0; self.pressures.first().map_or(0, Vec::len)];
        let mut before = 0.0;
        for (sum, pressures) in cumulative.iter().zip(&self.pressures) {
            mean.iter_mut().zip(pressures).for_each(|(m, p)| *m += (sum - before) * p);
            before = *sum;
        }
        mean
    }
}
