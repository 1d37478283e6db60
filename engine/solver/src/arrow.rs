//! The criterion and its solution at given variances, in the arrow form.
//!
//! For one variety with n rows: V⁻¹ = R⁻¹ − R⁻¹Z·M·Z′R⁻¹, M (q × q) from `eliminate`. The border S = X′V⁻¹X is gathered entry by entry, since a
//! row of Z has only a few non-zeros; nothing n × n is stored. With P = V⁻¹ − V⁻¹XS⁻¹X′V⁻¹ the criterion is
//! (n − p)·log 2π + log|V| + log|S| + y′Py: all constants of −2 log restricted likelihood. Maximum likelihood
//! drops log|S| and p. It knows nothing of derivatives or optimisation.

use super::border::BorderFactor;
use super::design::{Block, Design};
use super::eliminate::{Eliminated, eliminate};
use super::gather;
use super::small;
use super::variances::Variances;

/// Whether the likelihood is restricted to error contrasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Likelihood {
    /// Restricted maximum likelihood.
    Restricted,
    /// Maximum likelihood.
    Full,
}

/// Why variances could not be evaluated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ArrowError {
    /// A row has neither residual nor known error variance, or something is not finite.
    NotPositive,
    /// This border column depends on those before it.
    Collinear(usize),
}

/// What one variety contributes.
#[derive(Debug, Clone)]
pub struct BlockSolution {
    /// M, the covariance of the effects given the border, q × q.
    pub conditional: Vec<f64>,
    /// Z′R⁻¹Z, q × q.
    pub cross: Vec<f64>,
    /// Z′Py, from which the predictions are G·Z′Py.
    pub score: Vec<f64>,
    /// How M came about.
    pub(super) eliminated: Eliminated,
}

/// The model solved at given variances.
#[derive(Debug, Clone)]
pub struct Solution {
    /// Where it was solved.
    pub variances: Variances,
    /// −2 log (restricted) likelihood with all constants.
    pub criterion: f64,
    /// Generalised least squares estimates of the border, trials then extras.
    pub border: Vec<f64>,
    /// Factor of S.
    pub factor: BorderFactor,
    /// One for each variety.
    pub blocks: Vec<BlockSolution>,
    /// Py, by sorted row.
    pub weighted_residuals: Vec<f64>,
    /// 1 / diagonal of R, by sorted row.
    pub inverse_residual: Vec<f64>,
}

/// V⁻¹x over one block.
pub(super) fn apply_inverse(
    design: &Design,
    block: &Block,
    m: &[f64],
    inverse_residual: &[f64],
    x: &[f64],
) -> Vec<f64> {
    let mut cross = vec![0.0; block.effects.len()];
    for (i, &value) in x.iter().enumerate() {
        let row = block.start + i;
        for (&c, &z) in design.row_columns(row).iter().zip(design.row_values(row)) {
            cross[c] += z * inverse_residual[row] * value;
        }
    }
    let shrunk = small::multiply_vector(m, &cross);
    x.iter()
        .enumerate()
        .map(|(i, &value)| {
            let row = block.start + i;
            inverse_residual[row] * (value - design.row_dot(row, &shrunk))
        })
        .collect()
}

/// X′v over one block, added to `border`.
pub(super) fn add_border(design: &Design, block: &Block, v: &[f64], border: &mut [f64]) {
    for (i, &value) in v.iter().enumerate() {
        let row = block.start + i;
        if design.trials > 0 {
            border[design.rows[row].trial] += value;
        }
        for (e, &x) in design.row_extras(row).iter().enumerate() {
            border[design.trials + e] += x * value;
        }
    }
}

/// Solves the model at the given variances.
///
/// # Errors
/// A row without any error variance, or a border column that depends on those before it.
pub fn solve(design: &Design, v: &Variances, likelihood: Likelihood) -> Result<Solution, ArrowError> {
    let (n, p) = (design.rows.len(), design.border());
    let inverse_residual: Vec<f64> =
        design.rows.iter().map(|r| 1.0 / (v.residual[r.system] / r.weight + r.known_variance)).collect();
    if inverse_residual.iter().any(|w| !w.is_finite() || *w <= 0.0) {
        return Err(ArrowError::NotPositive);
    }
    let mut s = vec![0.0; p * p];
    let mut right = vec![0.0; p];
    let mut criterion = 0.0;
    let mut blocks = Vec::with_capacity(design.blocks.len());
    for block in &design.blocks {
        let (cross, eliminated, log_determinant) =
            eliminate(design, block, v, &inverse_residual).ok_or(ArrowError::NotPositive)?;
        let m = eliminated.conditional();
        criterion += log_determinant;
        gather::border(design, block, &m, &inverse_residual, &mut s);
        let values: Vec<f64> = block_rows(design, block).map(|r| r.value).collect();
        add_border(design, block, &apply_inverse(design, block, &m, &inverse_residual, &values), &mut right);
        blocks.push(BlockSolution { conditional: m, cross, score: Vec::new(), eliminated });
    }
    // What is known of a coefficient beforehand is one more observation of it, in neither n nor p.
    for (e, prior) in design.extra_priors.iter().enumerate() {
        if let Some((mean, variance)) = prior {
            let column = design.trials + e;
            s[column * p + column] += 1.0 / variance;
            right[column] += mean / variance;
        }
    }
    let factor = BorderFactor::new(s, p).map_err(ArrowError::Collinear)?;
    factor.solve(&mut right);
    let mut weighted_residuals = Vec::with_capacity(n);
    let mut quadratic: f64 = design
        .extra_priors
        .iter()
        .zip(&right[design.trials..])
        .filter_map(|(prior, value)| prior.map(|(mean, variance)| (value - mean).powi(2) / variance))
        .sum();
    for (block, solved) in design.blocks.iter().zip(&mut blocks) {
        let residuals: Vec<f64> = (block.start..block.start + block.rows)
            .map(|row| design.rows[row].value - fixed_part(design, row, &right))
            .collect();
        let weighted = apply_inverse(design, block, &solved.conditional, &inverse_residual, &residuals);
        quadratic += small::dot(&residuals, &weighted);
        solved.score = design.transposed(block, &weighted);
        weighted_residuals.extend(weighted);
    }
    let freedom = match likelihood {
        Likelihood::Restricted => {
            criterion += factor.log_determinant();
            n - design.free_border()
        }
        Likelihood::Full => n,
    };
    criterion += quadratic + freedom as f64 * (2.0 * std::f64::consts::PI).ln();
    if !criterion.is_finite() {
        return Err(ArrowError::NotPositive);
    }
    Ok(Solution {
        variances: v.clone(),
        criterion,
        border: right,
        factor,
        blocks,
        weighted_residuals,
        inverse_residual,
    })
}

fn block_rows<'a>(design: &'a Design, block: &Block) -> impl Iterator<Item = &'a super::design::Row> {
    design.rows[block.start..block.start + block.rows].iter()
}

/// Xτ of a sorted row.
pub(super) fn fixed_part(design: &Design, row: usize, border: &[f64]) -> f64 {
    let trial = if design.trials > 0 { border[design.rows[row].trial] } else { 0.0 };
    trial + small::dot(design.row_extras(row), &border[design.trials..])
}
