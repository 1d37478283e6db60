//! The law of the varieties of one held-out trial at any water and any disease pressures.
//!
//! A deviation is growth·(difference + reach·slope) − Σ hit·loss, linear in what the field's law knows, so its
//! covariance at any season follows from the joint covariance of those, worked out once a trial. It knows no season
//! and no score.

use super::super::field::FieldLaw;
use crate::mixed::small;

/// Joint law of differences, slopes and losses for the scored varieties of a trial, shares of the system's mean.
pub struct HeldLaw {
    count: usize,
    threats: usize,
    /// Means of differences and of slopes, by variety, and of losses, by threat.
    difference: Vec<f64>,
    slope: Vec<f64>,
    /// Of each threat.
    pub loss: Vec<f64>,
    /// Covariances of differences; of differences with slopes, rows differences; of slopes. All count × count.
    differences: Vec<f64>,
    between: Vec<f64>,
    slopes: Vec<f64>,
    /// Covariances of differences and of slopes with losses, count × threats, and of losses, threats × threats.
    difference_losses: Vec<f64>,
    slope_losses: Vec<f64>,
    losses: Vec<f64>,
}

/// A season as varieties meet it.
pub struct Met<'a> {
    /// What differences are multiplied by.
    pub growth: f64,
    /// Standardised water at which slopes act.
    pub reach: f64,
    /// Level lost for a whole loss, varieties × threats, shares of the system's mean.
    pub hits: &'a [f64],
}

impl HeldLaw {
    /// The joint law of these varieties (blocks of the model).
    pub fn new(law: &FieldLaw, blocks: &[usize]) -> HeldLaw {
        let (order, first_loss) = (law.order(), law.loss_row());
        let threats = order - first_loss;
        let row = |k: usize| &law.factor[k * order..(k + 1) * order];
        let slope_rows: Vec<usize> = blocks.iter().map(|block| law.varieties + block).collect();
        let loss_rows: Vec<usize> = (first_loss..order).collect();
        let covariances = |a: &[usize], b: &[usize]| -> Vec<f64> {
            a.iter().flat_map(|&i| b.iter().map(move |&j| small::dot(row(i), row(j)))).collect()
        };
        let means = |rows: &[usize]| -> Vec<f64> { rows.iter().map(|&k| law.mean[k]).collect() };
        HeldLaw {
            count: blocks.len(),
            threats,
            difference: means(blocks),
            slope: means(&slope_rows),
            loss: means(&loss_rows),
            differences: covariances(blocks, blocks),
            between: covariances(blocks, &slope_rows),
            slopes: covariances(&slope_rows, &slope_rows),
            difference_losses: covariances(blocks, &loss_rows),
            slope_losses: covariances(&slope_rows, &loss_rows),
            losses: covariances(&loss_rows, &loss_rows),
        }
    }

    /// Means of the deviations, shares of the system's mean.
    pub fn means(&self, met: &Met<'_>) -> Vec<f64> {
        let lost = |i: usize| small::dot(self.hits_of(met, i), &self.loss);
        (0..self.count)
            .map(|i| met.growth * (self.difference[i] + met.reach * self.slope[i]) - lost(i))
            .collect()
    }

    /// Their covariance, count × count, squared shares.
    pub fn covariance(&self, met: &Met<'_>) -> Vec<f64> {
        let (count, threats) = (self.count, self.threats);
        let (growth, reach) = (met.growth, met.reach);
        // What stands beside the hits of another variety: half of the law's own part of losses, less what they
        // share with differences and slopes.
        let beside: Vec<f64> = (0..count)
            .flat_map(|i| {
                (0..threats).map(move |d| {
                    let shared =
                        self.difference_losses[i * threats + d] + reach * self.slope_losses[i * threats + d];
                    let own = small::dot(self.hits_of(met, i), &self.losses[d * threats..(d + 1) * threats]);
                    0.5 * own - growth * shared
                })
            })
            .collect();
        let beside_of = |i: usize| &beside[i * threats..(i + 1) * threats];
        let mut covariance = vec![0.0; count * count];
        for i in 0..count {
            for j in 0..=i {
                let (ij, ji) = (i * count + j, j * count + i);
                let crossed = self.between[ij] + self.between[ji];
                let healthy = self.differences[ij] + reach * (crossed + reach * self.slopes[ij]);
                let lost = small::dot(self.hits_of(met, i), beside_of(j))
                    + small::dot(self.hits_of(met, j), beside_of(i));
                let value = growth * growth * healthy + lost;
                covariance[ij] = value;
                covariance[ji] = value;
            }
        }
        covariance
    }

    fn hits_of<'a>(&self, met: &Met<'a>, i: usize) -> &'a [f64] {
        &met.hits[i * self.threats..(i + 1) * self.threats]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Law: the covariance of linear combinations is that of their rows of the factor, combined first.
    #[test]
    fn it_is_the_law_of_the_combined_rows() {
        let (varieties, threats) = (3, 2);
        let order = 2 * varieties + 3 + threats;
        let factor: Vec<f64> = (0..order * order)
            .map(|k| if k % order <= k / order { ((k * 37 % 19) as f64) / 19.0 - 0.4 } else { 0.0 })
            .collect();
        let mean: Vec<f64> = (0..order).map(|k| 0.1 * k as f64 - 0.3).collect();
        let law = FieldLaw { varieties, mean: mean.clone(), factor: factor.clone() };
        let blocks = [2, 0];
        let met = Met { growth: 1.3, reach: -0.7, hits: &[0.2, 0.9, 0.5, 0.0] };
        let held = HeldLaw::new(&law, &blocks);
        let combine = |of: &dyn Fn(usize) -> f64, i: usize| {
            let first = law.loss_row();
            let lost: f64 = (0..threats).map(|d| met.hits[i * threats + d] * of(first + d)).sum();
            met.growth * (of(blocks[i]) + met.reach * of(varieties + blocks[i])) - lost
        };
        let rows: Vec<Vec<f64>> = (0..2)
            .map(|i| (0..order).map(|k| combine(&|row| factor[row * order + k], i)).collect())
            .collect();
        let (means, covariance) = (held.means(&met), held.covariance(&met));
        for i in 0..2 {
            assert!((means[i] - combine(&|row| mean[row], i)).abs() < 1e-12);
            for j in 0..2 {
                assert!((covariance[i * 2 + j] - small::dot(&rows[i], &rows[j])).abs() < 1e-12);
            }
        }
    }
}
