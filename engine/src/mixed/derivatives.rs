//! Gradient and average information of the criterion, variety by variety.
//!
//! With P = V⁻¹ − V⁻¹XS⁻¹X′V⁻¹ and K_k = ∂V/∂φ_k: gradient_k = tr(PK_k) − y′PK_kPy, and average
//! information_kl = y′PK_kPK_lPy (Gilmour, Thompson & Cullis 1995, Biometrics 51:1440–1450). Traces come from
//! q × q matrices alone. It knows no optimisation.

use super::arrow::{BlockSolution, Likelihood, Solution, add_border, apply_inverse};
use super::design::{Block, Design, Effect};
use super::gather::BorderShare;
use super::small;
use super::variances::{Parameter, parameters};

/// First and second order at given variances, in natural parameters.
#[derive(Debug, Clone)]
pub struct Derivatives {
    /// Gradient of the criterion.
    pub gradient: Vec<f64>,
    /// Average information (of the criterion, that is twice that of the log-likelihood), row-major.
    pub information: Vec<f64>,
}

/// Gradient and average information at the variances that `solution` was solved at.
pub fn derivatives(design: &Design, solution: &Solution, likelihood: Likelihood) -> Derivatives {
    let list = parameters(design.terms, design.systems);
    let k = list.len();
    let p = design.border();
    let inverse = match likelihood {
        Likelihood::Restricted => Some(solution.factor.full_inverse()),
        Likelihood::Full => None,
    };
    let mut gradient = vec![0.0; k];
    let mut information = vec![0.0; k * k];
    let mut border_vectors = vec![0.0; p * k];
    for (block, solved) in design.blocks.iter().zip(&solution.blocks) {
        add_traces(design, block, solved, solution, inverse.as_deref(), &list, &mut gradient);
        let working: Vec<Vec<f64>> = list
            .iter()
            .map(|&parameter| working_vector(design, block, solved, solution, parameter))
            .collect();
        for (i, vector) in working.iter().enumerate() {
            let applied =
                apply_inverse(design, block, &solved.conditional, &solution.inverse_residual, vector);
            for (j, other) in working.iter().enumerate().take(i + 1) {
                information[i * k + j] += small::dot(&applied, other);
            }
            add_border(design, block, &applied, &mut border_vectors[i * p..(i + 1) * p]);
        }
    }
    solution.factor.half_solve(&mut border_vectors);
    for i in 0..k {
        for j in 0..=i {
            let shared = small::dot(&border_vectors[i * p..(i + 1) * p], &border_vectors[j * p..(j + 1) * p]);
            information[i * k + j] -= shared;
            information[j * k + i] = information[i * k + j];
        }
    }
    Derivatives { gradient, information }
}

/// K_k·Py over one block.
pub(super) fn working_vector(
    design: &Design,
    block: &Block,
    solved: &BlockSolution,
    solution: &Solution,
    parameter: Parameter,
) -> Vec<f64> {
    (block.start..block.start + block.rows)
        .map(|row| {
            if let Parameter::Residual(system) = parameter {
                let r = &design.rows[row];
                return if r.system == system { solution.weighted_residuals[row] / r.weight } else { 0.0 };
            }
            design
                .row_columns(row)
                .iter()
                .zip(design.row_values(row))
                .map(|(&c, &z)| match (parameter, block.effects[c]) {
                    (Parameter::Covariance, Effect::Intercept) => z * solved.score[1],
                    (Parameter::Covariance, Effect::Slope) => z * solved.score[0],
                    (_, effect) if parameter.belongs(effect) => z * solved.score[c],
                    _ => 0.0,
                })
                .sum()
        })
        .collect()
}

/// Adds tr(PK_k) − y′PK_kPy of one block to the gradient.
fn add_traces(
    design: &Design,
    block: &Block,
    solved: &BlockSolution,
    solution: &Solution,
    inverse: Option<&[f64]>,
    list: &[Parameter],
    gradient: &mut [f64],
) {
    let q = block.effects.len();
    let m = &solved.conditional;
    let shared = inverse.map(|inverse| BorderShare::new(design, block, &solution.inverse_residual, inverse));
    // U′ = I − Z′R⁻¹Z·M, so that V⁻¹Z = R⁻¹Z·U; Z′R⁻¹Z stands on the left, where its zeros cost nothing.
    let mut u = small::multiply(&solved.cross, m, q);
    for (i, x) in u.iter_mut().enumerate() {
        *x = f64::from(u8::from(i % (q + 1) == 0)) - *x;
    }
    let half_shared = shared.as_ref().map(|share| small::multiply_transposed(m, &share.squared, q));
    let shared_product = half_shared.as_ref().zip(shared.as_ref()).map(|(half, share)| {
        let taken = small::multiply(&solved.cross, half, q);
        share.squared.iter().zip(taken).map(|(w, x)| w - x).collect::<Vec<f64>>()
    });
    let trace = |i: usize, j: usize| {
        let whole = small::dot(&solved.cross[i * q..(i + 1) * q], &u[j * q..(j + 1) * q]);
        let taken = shared_product
            .as_ref()
            .map_or(0.0, |w| small::dot(&w[i * q..(i + 1) * q], &u[j * q..(j + 1) * q]));
        whole - taken - solved.score[i] * solved.score[j]
    };
    for (slot, &parameter) in gradient.iter_mut().zip(list) {
        match parameter {
            Parameter::Covariance => *slot += 2.0 * trace(0, 1),
            Parameter::Residual(_) => {}
            _ => {
                *slot +=
                    (0..q).filter(|&c| parameter.belongs(block.effects[c])).map(|c| trace(c, c)).sum::<f64>();
            }
        }
    }
    let first_residual = list.len() - design.systems;
    for i in 0..block.rows {
        let row = block.start + i;
        let weight = solution.inverse_residual[row];
        let (columns, values) = (design.row_columns(row), design.row_values(row));
        let form = |entry: &dyn Fn(usize, usize) -> f64| -> f64 {
            columns
                .iter()
                .zip(values)
                .map(|(&c, &z)| z * columns.iter().zip(values).map(|(&d, &w)| w * entry(c, d)).sum::<f64>())
                .sum()
        };
        let mut diagonal = weight - weight * weight * form(&|c, d| m[c * q + d]);
        if let (Some(share), Some(half)) = (&shared, &half_shared) {
            // M·W·M is needed only where two columns of one row meet.
            let twice = form(&|c, d| small::dot(&half[c * q..(c + 1) * q], &m[d * q..(d + 1) * q]));
            let row_of_f = &share.half[i * q..(i + 1) * q];
            let crossed: f64 = columns
                .iter()
                .zip(values)
                .map(|(&c, &z)| z * small::dot(row_of_f, &m[c * q..(c + 1) * q]))
                .sum();
            diagonal -= weight * weight * (share.diagonal[i] - 2.0 * crossed + twice);
        }
        let weighted = solution.weighted_residuals[row];
        let r = &design.rows[row];
        gradient[first_residual + r.system] += (diagonal - weighted * weighted) / r.weight;
    }
}
