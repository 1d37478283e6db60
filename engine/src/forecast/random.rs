//! Fixed numbers for the draws: the same on every machine, with no state and no seed to choose.
//!
//! A Latin hypercube (McKay, Beckman & Conover 1979, Technometrics 21:239–245): every dimension is a
//! permutation of the same N evenly spaced points, so each margin is met almost exactly and only the
//! pairing is left to chance. The permutation of a dimension comes from a counter hashed with the
//! dimension's number.

use leanyear_vectors::shuffled;
use statrs::distribution::{ContinuousCDF, Normal};

/// Draws behind every number of the page.
pub const DRAWS: usize = 2048;

/// The evenly spaced points of one size of sample, as shares and as standard normal scores.
#[derive(Debug, Clone, PartialEq)]
pub struct Points {
    shares: Vec<f64>,
    scores: Vec<f64>,
}

impl Points {
    /// Points for a sample of `count`: scores Φ⁻¹((k + ½)/count), rescaled to variance 1.
    pub fn new(count: usize) -> Points {
        let normal = Normal::standard();
        let shares: Vec<f64> = (0..count).map(|k| (k as f64 + 0.5) / count as f64).collect();
        let mut scores: Vec<f64> = shares.iter().map(|share| normal.inverse_cdf(*share)).collect();
        let variance = scores.iter().map(|z| z * z).sum::<f64>() / count as f64;
        let root = variance.sqrt();
        if root > 0.0 {
            scores.iter_mut().for_each(|z| *z /= root);
        }
        Points { shares, scores }
    }

    /// Size of the sample.
    pub fn count(&self) -> usize {
        self.scores.len()
    }

    /// Standard normal numbers of one dimension.
    pub fn normal(&self, dimension: u64) -> Vec<f64> {
        shuffled(&self.scores, dimension)
    }

    /// Numbers of one dimension uniform on 0–1.
    pub fn uniform(&self, dimension: u64) -> Vec<f64> {
        shuffled(&self.shares, dimension)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_holds_every_point_once() {
        let points = Points::new(512);
        let mut uniform = points.uniform(7);
        uniform.sort_by(f64::total_cmp);
        for (k, u) in uniform.iter().enumerate() {
            assert!((u - (k as f64 + 0.5) / 512.0).abs() < 1e-12);
        }
    }

    #[test]
    fn dimensions_are_nearly_uncorrelated() {
        let points = Points::new(DRAWS);
        let dimensions: Vec<Vec<f64>> = (0..40).map(|d| points.normal(d)).collect();
        let mut worst: f64 = 0.0;
        for i in 0..40 {
            for j in 0..i {
                let r: f64 =
                    dimensions[i].iter().zip(&dimensions[j]).map(|(x, y)| x * y).sum::<f64>() / DRAWS as f64;
                worst = worst.max(r.abs());
            }
        }
        // 780 pairs of independent columns: the greatest of them stays below 4.5 standard errors.
        assert!(worst < 4.5 / (DRAWS as f64).sqrt(), "{worst}");
    }
}
