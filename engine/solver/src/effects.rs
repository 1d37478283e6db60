//! Predictions of effects, and the error covariance of any linear functional of border and effects.
//!
//! The joint error of (τ̂, û) comes from one factor of S: for functionals f = f_τ′τ + Σ_i f_i′u_i and g,
//! cov(f̂ − f, ĝ − g) = Σ_i f_i′M_i g_i + s_f′S⁻¹s_g, with s_f = f_τ − Σ_i B_i f_i and B_i = X_i′V_i⁻¹Z_iG. For a
//! single effect this is Henderson's prediction error variance with the fixed effects estimated
//! (Henderson 1975, Biometrics 31:423–447).

use super::arrow::{Solution, add_border, apply_inverse, fixed_part};
use super::design::{Design, Effect};
use super::small;
use super::variances::Variances;
use std::collections::BTreeMap;

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
        self.variances.times(&self.design.blocks[block].effects, &self.solution.blocks[block].score)
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
        let mut by_block: BTreeMap<usize, Vec<(usize, Vec<f64>)>> = BTreeMap::new();
        for (i, functional) in functionals.iter().enumerate() {
            for &(column, x) in &functional.border {
                border[i * p + column] += x;
            }
            for (block, weights) in self.by_block(functional) {
                by_block.entry(block).or_default().push((i, weights));
            }
        }
        let mut covariance = vec![0.0; k * k];
        for (&block, list) in &by_block {
            for (place, (i, weights)) in list.iter().enumerate() {
                let shrunk = self.shrunk(block, weights);
                for (j, other) in &list[..=place] {
                    covariance[i * k + j] += small::dot(&shrunk, other);
                }
                self.subtract_border(block, &shrunk, &mut border[i * p..(i + 1) * p]);
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

    /// Error variances of functionals, each alone: one inverse of S serves them all.
    pub fn variances(&self, functionals: &[Functional]) -> Vec<f64> {
        let p = self.design.border();
        let inverse = self.solution.factor.full_inverse();
        let mut border = vec![0.0; p];
        functionals
            .iter()
            .map(|functional| {
                border.fill(0.0);
                for &(column, x) in &functional.border {
                    border[column] += x;
                }
                let mut own = 0.0;
                for (block, weights) in self.by_block(functional) {
                    let shrunk = self.shrunk(block, &weights);
                    own += small::dot(&shrunk, &weights);
                    self.subtract_border(block, &shrunk, &mut border);
                }
                let filled: Vec<usize> = (0..p).filter(|&c| border[c] != 0.0).collect();
                let shared: f64 = filled
                    .iter()
                    .map(|&c| {
                        let row = &inverse[c * p..(c + 1) * p];
                        border[c] * filled.iter().map(|&d| border[d] * row[d]).sum::<f64>()
                    })
                    .sum();
                (own + shared).max(0.0)
            })
            .collect()
    }

    /// Weights of a functional on the effects of each block it touches.
    fn by_block(&self, functional: &Functional) -> BTreeMap<usize, Vec<f64>> {
        let mut blocks: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        for &(block, column, x) in &functional.effects {
            let count = self.design.blocks[block].effects.len();
            blocks.entry(block).or_insert_with(|| vec![0.0; count])[column] += x;
        }
        blocks
    }

    /// Derivative of a functional's prediction by each observed value, in the caller's row order:
    /// V⁻¹(ZG·f_u + X·S⁻¹s_f), since every prediction is linear in the observations.
    pub fn weights(&self, functional: &Functional) -> Vec<f64> {
        let design = self.design;
        let mut border = vec![0.0; design.border()];
        for &(column, x) in &functional.border {
            border[column] += x;
        }
        let shrunk: BTreeMap<usize, Vec<f64>> = self
            .by_block(functional)
            .into_iter()
            .map(|(block, weights)| (block, self.shrunk(block, &weights)))
            .collect();
        for (&block, shrunk) in &shrunk {
            self.subtract_border(block, shrunk, &mut border);
        }
        self.solution.factor.solve(&mut border);
        let mut derivative = vec![0.0; design.rows.len()];
        for (block, b) in design.blocks.iter().enumerate() {
            let fixed: Vec<f64> =
                (b.start..b.start + b.rows).map(|row| fixed_part(design, row, &border)).collect();
            let conditional = &self.solution.blocks[block].conditional;
            let inverse_residual = &self.solution.inverse_residual;
            let mut applied = apply_inverse(design, b, conditional, inverse_residual, &fixed);
            if let Some(shrunk) = shrunk.get(&block) {
                applied.iter_mut().zip(self.applied(block, shrunk)).for_each(|(sum, random)| *sum += random);
            }
            for (i, value) in applied.into_iter().enumerate() {
                derivative[design.order[b.start + i]] = value;
            }
        }
        derivative
    }

    /// M·w of a block.
    fn shrunk(&self, block: usize, weights: &[f64]) -> Vec<f64> {
        small::multiply_vector(&self.solution.blocks[block].conditional, weights)
    }

    /// V⁻¹ZG·w over a block's rows from M·w: R⁻¹Z·M·w, since (I − M·Z′R⁻¹Z)·G is M.
    fn applied(&self, block: usize, shrunk: &[f64]) -> impl Iterator<Item = f64> {
        let design = self.design;
        let b = &design.blocks[block];
        (b.start..b.start + b.rows)
            .map(move |row| self.solution.inverse_residual[row] * design.row_dot(row, shrunk))
    }

    /// Takes B·w off a border vector, B = X′V⁻¹ZG of a block, from M·w.
    fn subtract_border(&self, block: usize, shrunk: &[f64], border: &mut [f64]) {
        let taken: Vec<f64> = self.applied(block, shrunk).map(|value| -value).collect();
        add_border(self.design, &self.design.blocks[block], &taken, border);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::arrow::{Likelihood, solve};
    use crate::design::Row;
    use crate::terms::Terms;

    fn small_network() -> (Design, Variances) {
        let value = |k: usize| ((k * 37) % 11) as f64 + 20.0;
        let rows: Vec<Row> = (0..24)
            .map(|k| Row {
                block: k % 4,
                trial: k / 4,
                site: (k / 4) % 3,
                season: k / 12,
                system: 0,
                water: (k / 4) as f64 - 2.5,
                multiplier: 1.0,
                value: value(k),
                known_variance: 0.0,
                weight: 1.0,
            })
            .filter(|r| (r.block, r.trial) != (3, 1))
            .collect();
        let terms = Terms { water: true, site: true, season: true, ..Terms::default() };
        let variances = Variances {
            variety: 3.0,
            slope: 1.0,
            covariance: 0.8,
            site: 1.2,
            season: 0.7,
            residual: vec![2.0],
            ..Variances::default()
        };
        (Design::new(&rows, &[], 4, 6, 1, terms), variances)
    }

    /// Law: a prediction is linear in the observations, with the weights as its coefficients.
    #[test]
    fn weights_reproduce_the_prediction() {
        let (design, variances) = small_network();
        let solution = solve(&design, &variances, Likelihood::Restricted).unwrap();
        let effects = Effects::new(&design, &solution, &variances);
        let functional = Functional { border: vec![(2, 1.0)], effects: vec![(0, 0, 1.0), (3, 1, -0.5)] };
        let weights = effects.weights(&functional);
        let by_weights: f64 =
            design.rows.iter().zip(&design.order).map(|(r, &place)| r.value * weights[place]).sum();
        assert!((by_weights - effects.value(&functional)).abs() < 1e-9);
    }

    /// Law: a variety against itself has no error; a difference's variance is that of its parts.
    #[test]
    fn covariances_are_those_of_linear_functionals() {
        let (design, variances) = small_network();
        let solution = solve(&design, &variances, Likelihood::Restricted).unwrap();
        let effects = Effects::new(&design, &solution, &variances);
        let one = |block| Functional { effects: vec![(block, 0, 1.0)], ..Functional::default() };
        let difference = Functional { effects: vec![(0, 0, 1.0), (1, 0, -1.0)], ..Functional::default() };
        let nothing = Functional { effects: vec![(0, 0, 1.0), (0, 0, -1.0)], ..Functional::default() };
        let c = effects.covariance(&[one(0), one(1), difference, nothing]);
        let alone = effects.variances(&[one(0), Functional { border: vec![(2, 1.0)], ..one(1) }]);
        assert!((alone[0] - c[0]).abs() < 1e-10);
        assert!((c[10] - (c[0] + c[5] - 2.0 * c[1])).abs() < 1e-10);
        assert!(c[15].abs() < 1e-12 && c[0] > 0.0);
    }
}
