//! Fixed numbers for the draws: the same on every machine, with no state and no seed to choose.
//!
//! A Latin hypercube (McKay, Beckman & Conover 1979, Technometrics 21:239–245): every dimension is a
//! permutation of the same N evenly spaced points, so each margin is met almost exactly and only the
//! pairing is left to chance. The permutation of a dimension comes from a counter hashed with the
//! dimension's number (the finaliser of SplitMix64, Steele, Lea & Flood 2014).

use statrs::distribution::{ContinuousCDF, Normal};

/// Draws behind every number of the page.
pub const DRAWS: usize = 2048;

/// The evenly spaced points of one size of sample, as shares and as standard normal scores.
#[derive(Debug, Clone, PartialEq)]
pub struct Points {
    scores: Vec<f64>,
}

impl Points {
    /// Points for a sample of `count`: scores Φ⁻¹((k + ½)/count), rescaled to variance 1.
    pub fn new(count: usize) -> Points {
        let normal = Normal::standard();
        let mut scores: Vec<f64> =
            (0..count).map(|k| normal.inverse_cdf((k as f64 + 0.5) / count as f64)).collect();
        let variance = scores.iter().map(|z| z * z).sum::<f64>() / count as f64;
        let root = variance.sqrt();
        if root > 0.0 {
            scores.iter_mut().for_each(|z| *z /= root);
        }
        Points { scores }
    }

    /// Size of the sample.
    pub fn count(&self) -> usize {
        self.scores.len()
    }

    /// Standard normal numbers of one dimension.
    pub fn normal(&self, dimension: u64) -> Vec<f64> {
        permutation(self.count(), dimension).into_iter().map(|k| self.scores[k as usize]).collect()
    }

    /// Numbers of one dimension uniform on 0–1.
    pub fn uniform(&self, dimension: u64) -> Vec<f64> {
        let count = self.count() as f64;
        permutation(self.count(), dimension).into_iter().map(|k| (f64::from(k) + 0.5) / count).collect()
    }
}

/// Fisher–Yates shuffle of 0..count, driven by the hashed counter.
fn permutation(count: usize, dimension: u64) -> Vec<u32> {
    let mut order: Vec<u32> = (0..count as u32).collect();
    let key = hash(dimension.wrapping_add(1));
    for i in (1..count).rev() {
        let draw = hash(key.wrapping_add(i as u64));
        // The high half times the range: unbiased to within 2⁻³² of a share.
        let j = ((draw >> 32) * (i as u64 + 1)) >> 32;
        order.swap(i, j as usize);
    }
    order
}

fn hash(counter: u64) -> u64 {
    let mut z = counter.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
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
