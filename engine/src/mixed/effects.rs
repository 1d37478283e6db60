//! Predictions of effects, and the error covariance of any linear functional of border and effects.
//!
//! The joint error of (τ̂, û) comes from one factor of S: for functionals f = f_τ′τ + Σ_i f_i′u_i and g,
//! cov(f̂ − f, ĝ − g) = Σ_i f_i′M_i g_i + s_f′S⁻¹s_g, with s_f = f_τ − Σ_i B_i f_i and B_i = X_i′V_i⁻¹Z_iG. For a
//! single effect this is Henderson's prediction error variance with the fixed effects estimated
//! (Henderson 1975, Biometrics 31:423–447).

use super::arrow::{Solution, apply_inverse};
use super::design::{Design, Effect};
use super::small;
use super::variances::Variances;

/// A linear functional of border coefficients and of varieties' effects.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Functional {
    /// Border column and coefficient.
    pub border: Vec<(usize, f64)>,
    /// Block, column of its Z, coefficient.
    pub effects: Vec<(usize, usize, f64)>,
}

/// A solved model, ready to be asked for predictions.
#[derive(Debug, Clone, Copy)]
pub struct Effects<'a> {
    design: &'a Design,
    solution: &'a Solution,
    variances: &'a Variances,
}

impl<'a> Effects<'a> {
    /// Of a design solved at the given variances.
    pub fn new(design: &'a Design, solution: &'a Solution, variances: &'a Variances) -> Effects<'a> {
        Effects { design, solution, variances }
    }

    /// Column of an effect in a block, if the block's rows show it.
    pub fn column(&self, block: usize, effect: Effect) -> Option<usize> {
        self.design.blocks[block].effects.iter().position(|&e| e == effect)
    }

    /// Best linear unbiased predictions of a block's effects, one for each column of its Z: G·Z′Py.
    pub fn predictions(&self, block: usize) -> Vec<f64> {
        self.times_g(block, &self.solution.blocks[block].score)
    }

    /// Best linear unbiased prediction of a functional.
    pub fn value(&self, functional: &Functional) -> f64 {
        let border: f64 = functional.border.iter().map(|&(c, x)| x * self.solution.border[c]).sum();
        let mut known: Option<(usize, Vec<f64>)> = None;
        let mut effects = 0.0;
        for &(block, column, x) in &functional.effects {
            if known.as_ref().is_none_or(|(b, _)| *b != block) {
                known = Some((block, self.predictions(block)));
            }
            effects += known.as_ref().map_or(0.0, |(_, values)| x * values[column]);
        }
        border + effects
    }

    /// Error covariance of functionals (k × k, row-major), with the border estimated.
    pub fn covariance(&self, functionals: &[Functional]) -> Vec<f64> {
        let (k, p) = (functionals.len(), self.design.border());
        let mut border = vec![0.0; k * p];
        let mut by_block: Vec<Vec<(usize, Vec<f64>)>> = vec![Vec::new(); self.design.blocks.len()];
        for (i, functional) in functionals.iter().enumerate() {
            for &(column, x) in &functional.border {
                border[i * p + column] += x;
            }
            for &(block, column, x) in &functional.effects {
                let list = &mut by_block[block];
                if list.last().is_none_or(|(owner, _)| *owner != i) {
                    list.push((i, vec![0.0; self.design.blocks[block].effects.len()]));
                }
                if let Some((_, weights)) = list.last_mut() {
                    weights[column] += x;
                }
            }
        }
        let mut covariance = vec![0.0; k * k];
        for (block, list) in by_block.iter().enumerate().filter(|(_, list)| !list.is_empty()) {
            let conditional = &self.solution.blocks[block].conditional;
            for (place, (i, weights)) in list.iter().enumerate() {
                let spread = small::multiply_vector(conditional, weights);
                for (j, other) in &list[..=place] {
                    covariance[i * k + j] += small::dot(&spread, other);
                }
                self.subtract_border(block, weights, &mut border[i * p..(i + 1) * p]);
            }
        }
        self.solution.factor.half_solve(&mut border);
        for i in 0..k {
            for j in 0..=i {
                let shared = small::dot(&border[i * p..(i + 1) * p], &border[j * p..(j + 1) * p]);
                let value = covariance[i * k + j] + shared;
                covariance[i * k + j] = value;
                covariance[j * k + i] = value;
            }
        }
        covariance
    }

    /// Takes B·w off a border vector, B = X′V⁻¹ZG of a block.
    fn subtract_border(&self, block: usize, weights: &[f64], border: &mut [f64]) {
        let design = self.design;
        let b = &design.blocks[block];
        let scaled = self.times_g(block, weights);
        let random: Vec<f64> = (b.start..b.start + b.rows)
            .map(|row| {
                design.row_columns(row).iter().zip(design.row_values(row)).map(|(&c, &z)| z * scaled[c]).sum()
            })
            .collect();
        let conditional = &self.solution.blocks[block].conditional;
        let applied = apply_inverse(design, b, conditional, &self.solution.inverse_residual, &random);
        for (i, value) in applied.iter().enumerate() {
            let row = b.start + i;
            if design.trials > 0 {
                border[design.rows[row].trial] -= value;
            }
            for (e, x) in design.row_extras(row).iter().enumerate() {
                border[design.trials + e] -= x * value;
            }
        }
    }

    /// G·x for a block.
    fn times_g(&self, block: usize, x: &[f64]) -> Vec<f64> {
        let effects = &self.design.blocks[block].effects;
        let mut product: Vec<f64> =
            effects.iter().zip(x).map(|(&e, value)| self.variances.of_effect(e) * value).collect();
        if effects.get(1) == Some(&Effect::Slope) {
            product[0] += self.variances.covariance * x[1];
            product[1] += self.variances.covariance * x[0];
        }
        product
    }
}
