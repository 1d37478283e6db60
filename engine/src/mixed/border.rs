//! The one dense matrix of a fit: S = X′V⁻¹X over the border, its Cholesky factor and its inverse.
//!
//! Kept as a p × p slice in which entry (i, j), i ≤ j, stands at `i * p + j`: for a variety whose trials
//! are in ascending order, both scattering into S and gathering from S⁻¹ then walk forwards. The
//! factorisation itself is `faer`'s; nothing here knows what the columns mean.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::{factor, inverse};
use faer::linalg::triangular_solve::{solve_lower_triangular_in_place, solve_upper_triangular_in_place};
use faer::{MatMut, MatRef, Par};

/// A symmetric positive definite p × p matrix, factored as L·L′.
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
        let params = Default::default();
        let mut memory = MemBuffer::new(factor::cholesky_in_place_scratch::<f64>(p, Par::Seq, params));
        factor::cholesky_in_place(
            MatMut::from_column_major_slice_mut(&mut s, p, p),
            factor::LltRegularization::default(),
            Par::Seq,
            MemStack::new(&mut memory),
            params,
        )
        .map_err(|factor::LltError::NonPositivePivot { index }| index)?;
        Ok(BorderFactor { p, factor: s })
    }

    /// log|S|.
    pub fn log_determinant(&self) -> f64 {
        2.0 * (0..self.p).map(|i| self.factor[i * self.p + i].ln()).sum::<f64>()
    }

    /// S⁻¹, entry (i, j) with i ≤ j at `i * p + j`; the rest is zero.
    pub fn inverse(&self) -> Vec<f64> {
        let p = self.p;
        let mut out = vec![0.0; p * p];
        let mut memory = MemBuffer::new(inverse::inverse_scratch::<f64>(p, Par::Seq));
        inverse::inverse(
            MatMut::from_column_major_slice_mut(&mut out, p, p),
            self.view(),
            Par::Seq,
            MemStack::new(&mut memory),
        );
        out
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

    /// L⁻¹B in place, for `columns` right-hand sides stored one after another, p values each.
    pub fn half_solve(&self, columns: &mut [f64]) {
        let k = columns.len() / self.p.max(1);
        solve_lower_triangular_in_place(
            self.view(),
            MatMut::from_column_major_slice_mut(columns, self.p, k),
            Par::Seq,
        );
    }

    /// S⁻¹B in place, for right-hand sides stored one after another.
    pub fn solve(&self, columns: &mut [f64]) {
        self.half_solve(columns);
        let k = columns.len() / self.p.max(1);
        solve_upper_triangular_in_place(
            self.view().transpose(),
            MatMut::from_column_major_slice_mut(columns, self.p, k),
            Par::Seq,
        );
    }

    fn view(&self) -> MatRef<'_, f64> {
        MatRef::from_column_major_slice(&self.factor, self.p, self.p)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn solving_undoes_multiplying_and_the_inverse_agrees() {
        let p = 37;
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
