//! How predictions move with the variances: what not knowing the variances adds to an error covariance.
//!
//! With P as in [`super::derivatives`] and K_k = ∂V/∂φ_k, a prediction f̂ = f_τ′τ̂ + f_u′û moves by
//! ∂f̂/∂φ_k = f_u′(∂G/∂φ_k)Z′Py − f̂(K_kPy), f̂(v) being the same prediction with v in place of y. The error
//! covariance grows by Σ_kl cov(φ_k, φ_l)·∂f̂/∂φ_k·∂ĝ/∂φ_l (Kackar & Harville 1984, J. Am. Stat. Assoc.
//! 79:853–862, with their A as the outer product of derivatives), and by as much again since the covariance at
//! estimated variances is too small on average (Prasad & Rao 1990, J. Am. Stat. Assoc. 85:163–171). It knows
//! no network.

use super::arrow::{BlockSolution, Solution, add_border, apply_inverse, fixed_part};
use super::design::{Block, Design};
use super::effects::Functional;
use super::small;
use super::variances::{Parameter, Variances, parameters};

/// Derivatives of every border coefficient and every effect by each natural parameter.
#[derive(Debug, Clone)]
pub struct Sensitivity {
    /// By parameter, then border column.
    border: Vec<Vec<f64>>,
    /// By parameter, block, column of its Z.
    effects: Vec<Vec<Vec<f64>>>,
}

impl Sensitivity {
    /// Of a design solved at given variances: k more right-hand sides, no new factor.
    pub fn new(design: &Design, solution: &Solution, variances: &Variances) -> Sensitivity {
        let list = parameters(design.terms, design.systems);
        let by_parameter = list.iter().map(|&p| one(design, solution, variances, p));
        let (border, effects) = by_parameter.unzip();
        Sensitivity { border, effects }
    }

    /// Derivative of a functional's prediction by each natural parameter.
    pub fn of(&self, functional: &Functional) -> Vec<f64> {
        self.border
            .iter()
            .zip(&self.effects)
            .map(|(border, effects)| {
                let fixed: f64 = functional.border.iter().map(|&(c, x)| x * border[c]).sum();
                let random: f64 = functional.effects.iter().map(|&(b, c, x)| x * effects[b][c]).sum();
                fixed + random
            })
            .collect()
    }

    /// Adds to an error covariance of functionals (k × k, row-major) what not knowing the variances adds.
    /// `natural` is the covariance of the natural parameters.
    pub fn add(&self, functionals: &[Functional], natural: &[f64], covariance: &mut [f64]) {
        let count = functionals.len();
        let moves: Vec<Vec<f64>> = functionals.iter().map(|f| self.of(f)).collect();
        for i in 0..count {
            let spread = small::multiply_vector(natural, &moves[i]);
            for j in 0..=i {
                let more = 2.0 * small::dot(&spread, &moves[j]);
                covariance[i * count + j] += more;
                if i != j {
                    covariance[j * count + i] += more;
                }
            }
        }
    }
}

/// Derivatives of the border and of all effects by one parameter.
fn one(
    design: &Design,
    solution: &Solution,
    variances: &Variances,
    parameter: Parameter,
) -> (Vec<f64>, Vec<Vec<f64>>) {
    let inverse_residual = &solution.inverse_residual;
    let blocks = || design.blocks.iter().zip(&solution.blocks);
    let working: Vec<Vec<f64>> =
        blocks().map(|(block, solved)| working_vector(design, block, solved, solution, parameter)).collect();
    let mut border = vec![0.0; design.border()];
    for ((block, solved), vector) in blocks().zip(&working) {
        let applied = apply_inverse(design, block, &solved.conditional, inverse_residual, vector);
        add_border(design, block, &applied, &mut border);
    }
    solution.factor.solve(&mut border);
    let effects = blocks()
        .zip(&working)
        .map(|((block, solved), vector)| {
            let residuals: Vec<f64> = vector
                .iter()
                .enumerate()
                .map(|(i, value)| value - fixed_part(design, block.start + i, &border))
                .collect();
            let applied = apply_inverse(design, block, &solved.conditional, inverse_residual, &residuals);
            let moved = variances.times(&block.effects, &design.transposed(block, &applied));
            let direct = parameter.derivative_of_g(&block.effects, &solved.score);
            direct.iter().zip(moved).map(|(d, m)| d - m).collect()
        })
        .collect();
    border.iter_mut().for_each(|x| *x = -*x);
    (border, effects)
}

/// K_k·Py over one block.
fn working_vector(
    design: &Design,
    block: &Block,
    solved: &BlockSolution,
    solution: &Solution,
    parameter: Parameter,
) -> Vec<f64> {
    let effects = parameter.derivative_of_g(&block.effects, &solved.score);
    (block.start..block.start + block.rows)
        .map(|row| {
            if let Parameter::Residual(system) = parameter {
                let r = &design.rows[row];
                return if r.system == system { solution.weighted_residuals[row] / r.weight } else { 0.0 };
            }
            design.row_columns(row).iter().zip(design.row_values(row)).map(|(&c, &z)| z * effects[c]).sum()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::arrow::{Likelihood, solve};
    use crate::design::{Extra, Row};
    use crate::effects::Effects;
    use crate::terms::Terms;

    /// Law: the derivatives are those of the predictions, by central differences.
    #[test]
    fn derivatives_agree_with_differences() {
        let rows: Vec<Row> = (0..30)
            .map(|k| Row {
                block: k % 5,
                trial: k / 5,
                site: (k / 5) % 3,
                season: k / 15,
                system: (k / 5) % 2,
                water: (k / 5) as f64 - 2.5,
                multiplier: 1.0 + 0.1 * (k / 5) as f64,
                value: ((k * 37) % 11) as f64 + 20.0,
                known_variance: 0.1,
                weight: 1.0,
            })
            .collect();
        let extra = Extra {
            values: rows.iter().map(|r| (r.block as f64 - 2.0) * r.multiplier).collect(),
            prior: Some((0.3, 0.5)),
        };
        let terms = Terms { water: true, site: true, season: true, ..Terms::default() };
        let design = Design::new(&rows, &[extra], 5, 6, 2, terms);
        let variances = Variances {
            variety: 3.0,
            slope: 1.0,
            covariance: 0.8,
            site: 1.2,
            season: 0.7,
            residual: vec![2.0, 1.5],
            ..Variances::default()
        };
        let functional =
            Functional { border: vec![(2, 1.0), (6, 0.5)], effects: vec![(0, 0, 1.0), (3, 1, -0.5)] };
        let value = |v: &Variances| {
            let solution = solve(&design, v, Likelihood::Restricted).unwrap();
            Effects::new(&design, &solution, v).value(&functional)
        };
        let solution = solve(&design, &variances, Likelihood::Restricted).unwrap();
        let found = Sensitivity::new(&design, &solution, &variances).of(&functional);
        for (k, &p) in parameters(terms, 2).iter().enumerate() {
            let moved = |h: f64| {
                let mut v = variances.clone();
                match p {
                    Parameter::Variety => v.variety += h,
                    Parameter::Slope => v.slope += h,
                    Parameter::Covariance => v.covariance += h,
                    Parameter::Site => v.site += h,
                    Parameter::Season => v.season += h,
                    Parameter::System => v.system += h,
                    Parameter::Residual(s) => v.residual[s] += h,
                }
                value(&v)
            };
            let want = (moved(1e-5) - moved(-1e-5)) / 2e-5;
            assert!((found[k] - want).abs() < 1e-6 * (1.0 + want.abs()), "{p:?}: {} for {want}", found[k]);
        }
    }
}
