//! Gradient and average information of the criterion, variety by variety.
//!
//! With P = V⁻¹ − V⁻¹XS⁻¹X′V⁻¹ and K_k = ∂V/∂φ_k: gradient_k = tr(PK_k) − y′PK_kPy, and average
//! information_kl = y′PK_kPK_lPy (Gilmour, Thompson & Cullis 1995, Biometrics 51:1440–1450). Traces come from
//! q × q matrices alone. With one residual variance and no known ones Σφ_k·tr(PK_k) = n − p, which spares
//! the residual's. It knows no optimisation.

use super::arrow::{Likelihood, Solution, add_border, apply_inverse};
use super::design::{Block, Design, Effect};
use super::gather::BorderShare;
use super::small;
use super::traces::Traces;
use super::variances::{Parameter, parameters};

/// First and second order at given variances, in natural parameters.
#[derive(Debug, Clone)]
pub struct Derivatives {
    /// Gradient of the criterion.
    pub gradient: Vec<f64>,
    /// tr(PK_k), the part of the gradient that does not depend on the data.
    pub traces: Vec<f64>,
    /// Average information (of the criterion, that is twice that of the log-likelihood), row-major.
    pub information: Vec<f64>,
}

/// Gradient and average information at the variances that `solution` was solved at.
pub fn derivatives(design: &Design, solution: &Solution, likelihood: Likelihood) -> Derivatives {
    let list = parameters(design.terms, design.systems);
    let k = list.len();
    let p = design.border();
    let traces = traces(design, solution, likelihood, &list);
    let mut gradient = traces.clone();
    let mut information = vec![0.0; k * k];
    let mut border_vectors = vec![0.0; p * k];
    for (index, block) in design.blocks.iter().enumerate() {
        add_information(design, solution, index, &list, &mut information, &mut border_vectors);
        subtract_squares(design, block, solution, &solution.blocks[index].score, &list, &mut gradient);
    }
    solution.factor.half_solve(&mut border_vectors);
    for i in 0..k {
        for j in 0..=i {
            let shared = small::dot(&border_vectors[i * p..(i + 1) * p], &border_vectors[j * p..(j + 1) * p]);
            information[i * k + j] -= shared;
            information[j * k + i] = information[i * k + j];
        }
    }
    Derivatives { gradient, traces, information }
}

/// The value of `of` for each column of Z summed over the columns of a parameter, twice (0, 1) for the
/// covariance; 0 for a residual.
fn over_columns(parameter: Parameter, effects: &[Effect], mut of: impl FnMut(usize, usize) -> f64) -> f64 {
    match parameter {
        Parameter::Covariance => 2.0 * of(0, 1),
        Parameter::Residual(_) => 0.0,
        _ => (0..effects.len()).filter(|&c| parameter.belongs(effects[c])).map(|c| of(c, c)).sum(),
    }
}

/// tr(PK_k) for each parameter.
fn traces(design: &Design, solution: &Solution, likelihood: Likelihood, list: &[Parameter]) -> Vec<f64> {
    let residual_from_sum = design.systems == 1
        && solution.variances.residual[0] > 0.0
        && design.rows.iter().all(|r| r.known_variance == 0.0);
    let inverse = (likelihood == Likelihood::Restricted)
        .then(|| if residual_from_sum { solution.factor.inverse() } else { solution.factor.full_inverse() });
    let first_residual = list.len() - design.systems;
    let mut sums = vec![0.0; list.len()];
    for (block, solved) in design.blocks.iter().zip(&solution.blocks) {
        let by_row = (!residual_from_sum).then_some(&solved.conditional[..]);
        let share = inverse
            .as_ref()
            .map(|inverse| BorderShare::new(design, block, &solution.inverse_residual, inverse, by_row));
        let traces = Traces::new(solved, share.as_ref().map(|share| &share.squared[..]));
        for (sum, &parameter) in sums.iter_mut().zip(list) {
            *sum += over_columns(parameter, &block.effects, |c, d| traces.entry(c, d));
        }
        if !residual_from_sum {
            let share = share.as_ref().map(|share| &share.by_row[..]);
            add_residuals(design, block, solution, &traces, share, &mut sums[first_residual..]);
        }
    }
    if residual_from_sum {
        sums[first_residual] = residual_trace(design, solution, inverse.as_deref(), list, &sums);
    }
    sums
}

/// What is left for the residual of tr(PV) = n − p, and as much more as is known of border columns.
fn residual_trace(
    design: &Design,
    solution: &Solution,
    inverse: Option<&[f64]>,
    list: &[Parameter],
    sums: &[f64],
) -> f64 {
    let p = design.border();
    let border = inverse.map_or(0.0, |inverse| {
        let known = design.extra_priors.iter().enumerate().filter_map(|(e, prior)| {
            let column = design.trials + e;
            prior.map(|(_, variance)| inverse[column * p + column] / variance)
        });
        p as f64 - known.sum::<f64>()
    });
    let taken: f64 = list.iter().zip(sums).map(|(&k, sum)| solution.variances.natural(k) * sum).sum();
    (design.rows.len() as f64 - border - taken) / solution.variances.residual[0]
}

/// Adds the diagonal of P, summed by residual variance, for one block.
fn add_residuals(
    design: &Design,
    block: &Block,
    solution: &Solution,
    traces: &Traces<'_>,
    by_row: Option<&[f64]>,
    sums: &mut [f64],
) {
    let diagonal = traces.projection_diagonal(design, block, &solution.inverse_residual, by_row);
    for (r, value) in design.rows[block.start..block.start + block.rows].iter().zip(diagonal) {
        sums[r.system] += value / r.weight;
    }
}

/// Takes y′PK_kPy of one block off the gradient.
fn subtract_squares(
    design: &Design,
    block: &Block,
    solution: &Solution,
    score: &[f64],
    list: &[Parameter],
    gradient: &mut [f64],
) {
    for (slot, &parameter) in gradient.iter_mut().zip(list) {
        *slot -= over_columns(parameter, &block.effects, |c, d| score[c] * score[d]);
    }
    let first_residual = list.len() - design.systems;
    for row in block.start..block.start + block.rows {
        let (r, weighted) = (&design.rows[row], solution.weighted_residuals[row]);
        gradient[first_residual + r.system] -= weighted * weighted / r.weight;
    }
}

/// What K_k·Py is for one block: Z·g with g sparse, or by rows for a residual.
enum Working {
    Effects { weights: Vec<f64>, crossed: Vec<f64> },
    Rows(Vec<f64>),
}

/// Adds y′PK_kV⁻¹K_lPy of one block to `information`, and X′V⁻¹K_kPy to `border_vectors`.
fn add_information(
    design: &Design,
    solution: &Solution,
    index: usize,
    list: &[Parameter],
    information: &mut [f64],
    border_vectors: &mut [f64],
) {
    let (block, solved) = (&design.blocks[index], &solution.blocks[index]);
    let (p, k) = (design.border(), list.len());
    let weights = &solution.inverse_residual;
    let mut before: Vec<Working> = Vec::with_capacity(k);
    for (i, &parameter) in list.iter().enumerate() {
        let (now, applied) = if let Parameter::Residual(system) = parameter {
            let rows: Vec<f64> = (block.start..block.start + block.rows)
                .map(|row| {
                    let r = &design.rows[row];
                    if r.system == system { solution.weighted_residuals[row] / r.weight } else { 0.0 }
                })
                .collect();
            let applied = apply_inverse(design, block, &solved.conditional, weights, &rows);
            (Working::Rows(rows), applied)
        } else {
            let g = parameter.derivative_of_g(&block.effects, &solved.score);
            // V⁻¹Zg = R⁻¹Z·(g − M·A·g).
            let crossed = small::multiply_vector(&solved.cross, &g);
            let shrunk = small::multiply_vector(&solved.conditional, &crossed);
            let left: Vec<f64> = g.iter().zip(&shrunk).map(|(x, y)| x - y).collect();
            let applied = (block.start..block.start + block.rows)
                .map(|row| weights[row] * design.row_dot(row, &left))
                .collect();
            (Working::Effects { weights: left, crossed }, applied)
        };
        for (j, other) in before.iter().chain([&now]).enumerate() {
            information[i * k + j] += match (&now, other) {
                (Working::Effects { weights, .. }, Working::Effects { crossed, .. }) => {
                    small::dot(weights, crossed)
                }
                (_, Working::Rows(rows)) => small::dot(&applied, rows),
                (Working::Rows(rows), Working::Effects { weights: left, .. }) => {
                    let here = (block.start..block.start + block.rows).zip(rows);
                    here.map(|(row, x)| x * weights[row] * design.row_dot(row, left)).sum()
                }
            };
        }
        add_border(design, block, &applied, &mut border_vectors[i * p..(i + 1) * p]);
        before.push(now);
    }
}
