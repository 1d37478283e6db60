//! Residuals of a fit in units of their own standard deviation: (Py)_i/√P_ii, N(0, 1) where the model holds.
//!
//! P_ii comes from the gathers of the gradient. It knows no network and judges nothing.

use super::arrow::Solution;
use super::design::Design;
use super::gather::BorderShare;
use super::traces::Traces;

/// Standardised residuals, by sorted row.
pub fn standardised(design: &Design, solution: &Solution) -> Vec<f64> {
    let inverse = solution.factor.full_inverse();
    let mut residuals = Vec::with_capacity(design.rows.len());
    for (block, solved) in design.blocks.iter().zip(&solution.blocks) {
        let weights = &solution.inverse_residual;
        let share = BorderShare::new(design, block, weights, &inverse, Some(&solved.conditional));
        let traces = Traces::new(solved, Some(&share.squared));
        let diagonal = traces.projection_diagonal(design, block, weights, Some(&share.by_row));
        for (row, value) in (block.start..).zip(diagonal) {
            // A mean that its trial tells exactly has no residual to speak of.
            let known = value > 1e-9 * weights[row];
            residuals.push(if known { solution.weighted_residuals[row] / value.sqrt() } else { 0.0 });
        }
    }
    residuals
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::arrow::{Likelihood, solve};
    use crate::design::Row;
    use crate::terms::Terms;
    use crate::variances::Variances;

    /// Law: without random effects they are the studentised residuals of least squares; for two varieties in
    /// J trials with one row each, every leverage is known: 1 − 1/2 of the trial's.
    #[test]
    fn without_random_effects_they_are_those_of_least_squares() {
        let rows: Vec<Row> = (0..12)
            .map(|k| Row {
                block: k % 3,
                trial: k / 3,
                site: 0,
                season: 0,
                system: 0,
                water: 0.0,
                multiplier: 1.0,
                value: ((k * 7) % 5) as f64,
                known_variance: 0.0,
                weight: 1.0,
            })
            .collect();
        let design = Design::new(&rows, &[], 3, 4, 1, Terms::default());
        let variances = Variances { residual: vec![2.0], ..Variances::default() };
        let solution = solve(&design, &variances, Likelihood::Restricted).unwrap();
        let found = standardised(&design, &solution);
        for (place, r) in design.rows.iter().enumerate() {
            let here: Vec<f64> = rows.iter().filter(|o| o.trial == r.trial).map(|o| o.value).collect();
            let mean = here.iter().sum::<f64>() / 3.0;
            let want = (r.value - mean) / (2.0f64 * (1.0 - 1.0 / 3.0)).sqrt();
            assert!((found[place] - want).abs() < 1e-9);
        }
    }
}
