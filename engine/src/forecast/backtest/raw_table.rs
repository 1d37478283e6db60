//! The table growers have today, to be beaten: each variety's mean deviation from its trials' means.
//!
//! A forecast by it is that mean, with standard deviation s·√(1 + 1/n), s the table's pooled residual and n the
//! variety's trials. It knows no model.

use super::super::score::phi;
use crate::order::{Map, Set};
use crate::pack::Network;

/// The table growers have today: each variety's mean deviation from its trials' means.
pub struct RawTable {
    means: Map<String, (f64, f64)>,
    residual: f64,
}

impl RawTable {
    /// From the training folds.
    pub fn new(training: &Network) -> RawTable {
        let fitted: Set<&str> =
            training.trials.iter().filter(|t| t.excluded.is_none()).map(|t| t.trial.as_str()).collect();
        let rows: Vec<_> = training.means.iter().filter(|m| fitted.contains(m.trial.as_str())).collect();
        let mut trials: Map<&str, (f64, f64)> = Map::new();
        for m in &rows {
            let slot = trials.entry(&m.trial).or_default();
            slot.0 += m.yield_;
            slot.1 += 1.0;
        }
        let deviation = |m: &crate::pack::Mean| {
            let (sum, count) = trials[m.trial.as_str()];
            m.yield_ - sum / count
        };
        let mut sums: Map<String, (f64, f64)> = Map::new();
        for m in &rows {
            let slot = sums.entry(m.variety.clone()).or_default();
            slot.0 += deviation(m);
            slot.1 += 1.0;
        }
        let means: Map<String, (f64, f64)> =
            sums.into_iter().map(|(v, (sum, count))| (v, (sum / count, count))).collect();
        let squares: f64 = rows.iter().map(|m| (deviation(m) - means[&m.variety].0).powi(2)).sum();
        let freedom = rows.len() as f64 - means.len() as f64;
        RawTable { means, residual: (squares / freedom.max(1.0)).sqrt() }
    }

    /// Mean deviation of a variety, yield unit; 0 for one that was not seen.
    pub fn mean(&self, variety: &str) -> f64 {
        self.means.get(variety).map_or(0.0, |m| m.0)
    }

    /// Standard deviation of a new deviation of a variety, yield unit.
    pub fn sd(&self, variety: &str) -> f64 {
        self.residual * (1.0 + 1.0 / self.means.get(variety).map_or(1.0, |m| m.1)).sqrt()
    }

    /// Chance that one variety makes more than another.
    pub fn chance(&self, first: &str, second: &str) -> f64 {
        let spread = (self.sd(first).powi(2) + self.sd(second).powi(2)).sqrt();
        phi((self.mean(first) - self.mean(second)) / spread.max(f64::MIN_POSITIVE))
    }
}
