//! What the border's dense columns (covariates of varieties, losses) add to the border of a variety and to its share
//! of it.
//!
//! With F their values by row, B the entries of S⁻¹ between trials and them and K those between themselves, they add
//! B_t·F′ + F·B_t′ + F·K·F′ to Q, B_t being B's row of each row's trial: of low rank, so that nothing is gathered by
//! pairs of rows. It knows no variances.

use super::design::{Block, Design};
use super::small;

/// Adds the dense columns' part of X′V⁻¹X of a block to `s` (p × p, upper entries row by row).
pub(super) fn border(design: &Design, block: &Block, m: &[f64], inverse_residual: &[f64], s: &mut [f64]) {
    let (extras, trials, p) = (design.extras, design.trials, design.border());
    let values = |row: usize| design.row_extras(row);
    let shrunk = shrunk(m, &met(design, block, inverse_residual, values), block);
    let mut applied = vec![0.0; extras];
    for row in block.start..block.start + block.rows {
        at_row(design, row, &shrunk, &mut applied);
        for (slot, value) in applied.iter_mut().zip(values(row)) {
            *slot = inverse_residual[row] * (value - *slot);
        }
        if trials > 0 {
            let start = design.rows[row].trial * p + trials;
            small::axpy(1.0, &applied, &mut s[start..start + extras]);
        }
        for (f, value) in values(row).iter().enumerate() {
            let start = (trials + f) * p + trials;
            small::axpy(*value, &applied[f..], &mut s[start + f..start + extras]);
        }
    }
}

/// Z′R⁻¹F for values by row, a line for each column of Z.
fn met<'a>(
    design: &'a Design,
    block: &Block,
    inverse_residual: &[f64],
    values: impl Fn(usize) -> &'a [f64],
) -> Vec<f64> {
    let extras = design.extras;
    let mut sums = vec![0.0; block.effects.len() * extras];
    for row in block.start..block.start + block.rows {
        for (&c, &z) in design.row_columns(row).iter().zip(design.row_values(row)) {
            small::axpy(inverse_residual[row] * z, values(row), &mut sums[c * extras..(c + 1) * extras]);
        }
    }
    sums
}

/// M times such lines.
fn shrunk(m: &[f64], lines: &[f64], block: &Block) -> Vec<f64> {
    let q = block.effects.len();
    let mut product = vec![0.0; lines.len()];
    small::add_product(m, lines, q, lines.len() / q, &mut product);
    product
}

/// z′ of a row times such lines.
fn at_row(design: &Design, row: usize, lines: &[f64], out: &mut [f64]) {
    let extras = out.len();
    out.fill(0.0);
    for (&c, &z) in design.row_columns(row).iter().zip(design.row_values(row)) {
        small::axpy(z, &lines[c * extras..(c + 1) * extras], out);
    }
}

/// The dense part of Q = X S⁻¹ X′ of one block, met by R⁻¹Z.
pub(super) struct DenseShare<'a> {
    inverse: &'a [f64],
    /// Z′R⁻¹F, a line for each column of Z.
    crossed: Vec<f64>,
    /// Z′R⁻¹B_t, likewise.
    bordered: Vec<f64>,
    /// K.
    own: Vec<f64>,
}

impl<'a> DenseShare<'a> {
    /// Reads upper entries of S⁻¹ (p × p) alone.
    pub fn new(
        design: &'a Design,
        block: &Block,
        inverse_residual: &[f64],
        inverse: &'a [f64],
    ) -> DenseShare<'a> {
        let (extras, first, p) = (design.extras, design.trials, design.border());
        let between = |e: usize, f: usize| inverse[(first + e.min(f)) * p + first + e.max(f)];
        DenseShare {
            inverse,
            crossed: met(design, block, inverse_residual, |row| design.row_extras(row)),
            bordered: met(design, block, inverse_residual, |row| trial_border(design, row, inverse)),
            own: (0..extras * extras).map(|at| between(at / extras, at % extras)).collect(),
        }
    }

    /// Adds Z′R⁻¹QR⁻¹Z, q × q.
    pub fn add_squared(&self, squared: &mut [f64]) {
        let extras = self.own.len().isqrt();
        let q = self.crossed.len() / extras;
        // What stands left of F′: B_t + F·K.
        let mut left = self.bordered.clone();
        small::add_product(&self.crossed, &self.own, extras, extras, &mut left);
        small::add_product(&self.crossed, &small::transpose(&self.bordered, extras), extras, q, squared);
        small::add_product(&left, &small::transpose(&self.crossed, extras), extras, q, squared);
    }

    /// Adds Q_ii − 2·(QR⁻¹Z)_i·M·z_i for each row i; `m` is M, q × q.
    pub fn add_by_row(&self, design: &Design, block: &Block, m: &[f64], by_row: &mut [f64]) {
        let (crossed, bordered) = (shrunk(m, &self.crossed, block), shrunk(m, &self.bordered, block));
        let (mut at_crossed, mut at_bordered) = (vec![0.0; design.extras], vec![0.0; design.extras]);
        let mut left = vec![0.0; design.extras];
        for (i, slot) in by_row.iter_mut().enumerate() {
            let row = block.start + i;
            let (values, border) = (design.row_extras(row), trial_border(design, row, self.inverse));
            at_row(design, row, &crossed, &mut at_crossed);
            at_row(design, row, &bordered, &mut at_bordered);
            left.fill(0.0);
            small::axpy(1.0, border, &mut left);
            small::add_product(values, &self.own, values.len(), values.len(), &mut left);
            for e in 0..values.len() {
                let of_trial = border.get(e).copied().unwrap_or(0.0);
                *slot +=
                    values[e] * (left[e] + of_trial - 2.0 * at_bordered[e]) - 2.0 * left[e] * at_crossed[e];
            }
        }
    }
}

/// S⁻¹ between a row's trial and the dense columns; empty where trials have no columns.
fn trial_border<'a>(design: &Design, row: usize, inverse: &'a [f64]) -> &'a [f64] {
    if design.trials == 0 {
        return &[];
    }
    let (trial, p) = (design.rows[row].trial, design.border());
    &inverse[trial * p + design.trials..(trial + 1) * p]
}
