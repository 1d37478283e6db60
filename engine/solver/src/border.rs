//! The one dense matrix of a fit: S = X′V⁻¹X over the border, its Cholesky factor and its inverse.
//!
//! Kept as a p × p slice in which entry (i, j), i ≤ j, stands at `i * p + j`: for a variety whose trials
//! are in ascending order, both scattering into S and gathering from S⁻¹ then walk forwards. Nothing here
//! knows what the columns mean.

use super::dense;
use super::small;

/// A symmetric positive definite p × p matrix, factored as U′·U.
#[derive(Debug, Clone)]
pub struct BorderFactor {
    p: usize,
    factor: Vec<f64>,
}

impl BorderFactor {
    /// Factors `s` (p × p, entry (i, j) with i ≤ j at `i * p + j`, the rest ignored).
    ///
    /// # Errors
    /// The index of the first pivot that is not positive: that column depends on those before it.
    pub fn new(mut s: Vec<f64>, p: usize) -> Result<BorderFactor, usize> {
        dense::factor(&mut s, p)?;
        Ok(BorderFactor { p, factor: s })
    }

    /// log|S|.
    pub fn log_determinant(&self) -> f64 {
        2.0 * (0..self.p).map(|i| self.factor[i * self.p + i].ln()).sum::<f64>()
    }

    /// S⁻¹, entry (i, j) with i ≤ j at `i * p + j`; the rest is of no use.
    pub fn inverse(&self) -> Vec<f64> {
        dense::inverse(&self.factor, self.p)
    }

    /// S⁻¹ with both triangles.
    pub fn full_inverse(&self) -> Vec<f64> {
        let p = self.p;
        let mut full = self.inverse();
        for i in 0..p {
            for j in i + 1..p {
                full[j * p + i] = full[i * p + j];
            }
        }
        full
    }

    /// U′⁻¹B in place, for right-hand sides stored one after another, p values each.
    pub fn half_solve(&self, columns: &mut [f64]) {
        for column in columns.chunks_exact_mut(self.p.max(1)) {
            for (k, row) in self.factor.chunks_exact(self.p).enumerate() {
                let (done, rest) = column.split_at_mut(k + 1);
                done[k] /= row[k];
                small::axpy(-done[k], &row[k + 1..], rest);
            }
        }
    }

    /// S⁻¹B in place, for right-hand sides stored one after another.
    pub fn solve(&self, columns: &mut [f64]) {
        self.half_solve(columns);
        for column in columns.chunks_exact_mut(self.p.max(1)) {
            for (k, row) in self.factor.chunks_exact(self.p).enumerate().rev() {
                let (now, done) = column.split_at_mut(k + 1);
                now[k] = (now[k] - small::dot(&row[k + 1..], done)) / row[k];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn solving_undoes_multiplying_and_the_inverse_agrees() {
        // More than one panel, and no whole number of squares.
        let p = 77;
        let at = |i: usize, j: usize| {
            let distance = i.abs_diff(j) as f64;
            (-distance / 3.0).exp() + f64::from(u8::from(i == j)) * 0.5
        };
        let s: Vec<f64> = (0..p * p).map(|k| at(k / p, k % p)).collect();
        let factor = BorderFactor::new(s.clone(), p).unwrap();
        let x: Vec<f64> = (0..p).map(|i| (i as f64 * 0.7).sin()).collect();
        let mut b: Vec<f64> = (0..p).map(|i| (0..p).map(|j| s[i * p + j] * x[j]).sum()).collect();
        factor.solve(&mut b);
        let inverse = factor.inverse();
        for i in 0..p {
            assert!((b[i] - x[i]).abs() < 1e-10);
            let product: f64 = (0..p).map(|j| inverse[i.min(j) * p + i.max(j)] * s[j * p]).sum();
            assert!((product - f64::from(u8::from(i == 0))).abs() < 1e-10);
        }
    }

    #[test]
    fn a_column_that_repeats_another_is_named() {
        let s = vec![1.0, 1.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, 1.0];
        assert_eq!(BorderFactor::new(s, 3).unwrap_err(), 1);
    }
}
