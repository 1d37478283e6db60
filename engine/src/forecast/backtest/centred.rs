//! The joint law of the varieties of one trial as deviations from their mean, at one amount of water.
//!
//! What the model knows of varieties is a normal law; on top of it each variety departs in its own way in
//! this season and field, by a variance that is itself not known ([`super::super::departures`]): a mixture
//! over a few nodes, each as likely. It knows no trial.

use super::super::score::{Component, phi};

/// The law of k varieties, yield unit.
pub struct Centred {
    /// Means less their mean.
    mean: Vec<f64>,
    /// Error covariance of the forecasts, before centring, k × k.
    covariance: Vec<f64>,
    /// Sum of each row of the covariance, and of all of it.
    row_sums: Vec<f64>,
    sum: f64,
    /// Variance of each variety's own departure, by node, and their sum.
    own: Vec<(Vec<f64>, f64)>,
}

impl Centred {
    /// From means, error covariance (k × k) and own variances by node.
    pub fn new(means: &[f64], covariance: Vec<f64>, own: Vec<Vec<f64>>) -> Centred {
        let row_sums: Vec<f64> = covariance.chunks(means.len()).map(|row| row.iter().sum()).collect();
        let sum = row_sums.iter().sum();
        let own = own
            .into_iter()
            .map(|own| {
                let sum = own.iter().sum();
                (own, sum)
            })
            .collect();
        Centred { mean: centred(means), covariance, row_sums, sum, own }
    }

    /// Law of one deviation from the mean: a component for each node.
    pub fn mixture(&self, i: usize) -> Vec<Component> {
        let count = self.mean.len();
        let k = count as f64;
        let known = self.covariance[i * count + i] - 2.0 * self.row_sums[i] / k + self.sum / (k * k);
        let weight = 1.0 / self.own.len() as f64;
        let at = |(own, sum): &(Vec<f64>, f64)| {
            let centred = own[i] * (1.0 - 2.0 / k) + sum / (k * k);
            (weight, self.mean[i], (known + centred).max(0.0).sqrt())
        };
        self.own.iter().map(at).collect()
    }

    /// Chance that one variety makes more than another, its own variance averaged over the nodes.
    pub fn chance(&self, i: usize, j: usize) -> f64 {
        let count = self.mean.len();
        let at = |a: usize, b: usize| self.covariance[a * count + b];
        let own = self.own.iter().map(|(own, _)| own[i] + own[j]).sum::<f64>() / self.own.len() as f64;
        let variance = at(i, i) + at(j, j) - 2.0 * at(i, j) + own;
        phi((self.mean[i] - self.mean[j]) / variance.max(f64::MIN_POSITIVE).sqrt())
    }
}

/// Values less their mean.
pub fn centred(values: &[f64]) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter().map(|x| x - mean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Law: H·(Σ + D)·H with H = I − 11′/k, by hand for two varieties: ¼·(σ² of the difference).
    #[test]
    fn two_varieties_share_their_difference() {
        let law = Centred::new(&[3.0, 1.0], vec![0.5, 0.1, 0.1, 0.3], vec![vec![0.2, 0.4], vec![0.6, 0.0]]);
        for (node, own) in [(0, 0.6), (1, 0.6)] {
            let (weight, mean, sd) = law.mixture(0)[node];
            assert!((weight - 0.5).abs() < 1e-12 && (mean - 1.0).abs() < 1e-12);
            assert!((sd * sd - 0.25 * (0.5 + 0.3 - 0.2 + own)).abs() < 1e-12);
        }
        assert!((law.chance(0, 1) - phi(2.0 / 1.2f64.sqrt())).abs() < 1e-12);
    }
}
