//! One variety's effects eliminated: M, and C⁻¹ as a diagonal and a few columns.
//!
//! With G = ΛΛ′ and A = Z′R⁻¹Z, C = Λ′AΛ + I stands at a zero variance too, M = ΛC⁻¹Λ′ is the covariance of
//! the effects given the border, and log|V| = log|R| + log|C|. A row is of one level of each kind (one
//! site, one season), so C is diagonal over the levels of a kind. The kind with the most levels, e, is
//! eliminated as such, and what is left, T = C_kk − C_ke·C_ee⁻¹·C_ek, is r × r with r the columns of the
//! rest. Then C⁻¹ = diag(0, C_ee⁻¹) + Y·Y′ with Y = [I; −C_ee⁻¹C_ek]·L⁻ᵀ (q × r) for T = L·L′, and what
//! would be q³ is q²·r. It knows neither border nor optimisation.

use super::design::{Block, Design, Effect};
use super::small;
use super::variances::Variances;
use std::ops::Range;

/// G of a block as its lower factor Λ: only the first two columns are ever correlated.
#[derive(Debug, Clone)]
pub(super) struct Lambda {
    /// Diagonal of Λ, q values.
    pub diagonal: Vec<f64>,
    /// Entry of the slope's row in the main effect's column.
    pub below: f64,
}

impl Lambda {
    fn new(effects: &[Effect], v: &Variances) -> Lambda {
        let mut diagonal: Vec<f64> = effects.iter().map(|&e| v.of_effect(e).max(0.0).sqrt()).collect();
        let mut below = 0.0;
        if effects.get(1) == Some(&Effect::Slope) {
            below = if v.variety > 0.0 { v.covariance / v.variety.sqrt() } else { 0.0 };
            diagonal[1] = (v.slope - below * below).max(0.0).sqrt();
        }
        Lambda { diagonal, below }
    }

    /// Λ′AΛ for symmetric A.
    fn congruence(&self, a: &[f64]) -> Vec<f64> {
        let q = self.diagonal.len();
        let mut b = a.to_vec();
        for (row, scale) in b.chunks_exact_mut(q).zip(&self.diagonal) {
            let first = if self.below == 0.0 { 0.0 } else { self.below * row[1] * scale };
            row.iter_mut().zip(&self.diagonal).for_each(|(x, d)| *x *= d * scale);
            row[0] += first;
        }
        if self.below != 0.0 {
            // What the slope's row of AΛ adds to the main effect's.
            let second: Vec<f64> = (0..q).map(|j| self.times_column(a, 1, j)).collect();
            b[..q].iter_mut().zip(second).for_each(|(x, y)| *x += self.below * y);
        }
        b
    }

    /// Entry (i, j) of AΛ.
    fn times_column(&self, a: &[f64], i: usize, j: usize) -> f64 {
        let row = &a[i * self.diagonal.len()..];
        row[j] * self.diagonal[j] + if j == 0 { row[1] * self.below } else { 0.0 }
    }

    /// Λ·B for B with rows of `width`.
    fn left(&self, b: &[f64], width: usize) -> Vec<f64> {
        let mut product = b.to_vec();
        for (row, d) in product.chunks_exact_mut(width.max(1)).zip(&self.diagonal) {
            row.iter_mut().for_each(|x| *x *= d);
        }
        if self.below != 0.0 {
            let rows = product[width..2 * width].iter_mut().zip(&b[..width]);
            rows.for_each(|(x, y)| *x += self.below * y);
        }
        product
    }
}

/// What is left of one variety once its effects are eliminated.
#[derive(Debug, Clone)]
pub(super) struct Eliminated {
    /// Factor of G.
    pub lambda: Lambda,
    /// Columns of the kind eliminated first.
    pub apart: Range<usize>,
    /// C_ee⁻¹, q values; 0 for the other columns.
    pub own: Vec<f64>,
    /// Y, a row for each column of Z, r values each.
    pub half: Vec<f64>,
    /// ΛY, in the same layout.
    pub scaled_half: Vec<f64>,
    /// r.
    pub rank: usize,
}

impl Eliminated {
    /// A row of Y.
    pub fn half_row(&self, column: usize) -> &[f64] {
        &self.half[column * self.rank..(column + 1) * self.rank]
    }

    /// Diagonal entry of C⁻¹.
    pub fn inverse_diagonal(&self, column: usize) -> f64 {
        let row = self.half_row(column);
        self.own[column] + small::dot(row, row)
    }

    /// What M has on its diagonal beside ΛY·(ΛY)′.
    pub fn apart_variance(&self, column: usize) -> f64 {
        self.lambda.diagonal[column] * self.lambda.diagonal[column] * self.own[column]
    }

    /// M, q × q.
    pub fn conditional(&self) -> Vec<f64> {
        let (q, r) = (self.own.len(), self.rank);
        let transposed = small::transpose(&self.scaled_half, r);
        let mut m = vec![0.0; q * q];
        small::add_product(&self.scaled_half, &transposed, r, q, &mut m);
        for c in self.apart.clone() {
            m[c * q + c] += self.apart_variance(c);
        }
        m
    }
}

/// Columns of the kind of level that has the most.
fn most_numerous(effects: &[Effect], lead: usize) -> Range<usize> {
    let mut longest = lead..lead;
    let mut start = lead;
    for end in lead..effects.len() {
        if std::mem::discriminant(&effects[start]) != std::mem::discriminant(&effects[end]) {
            start = end;
        }
        if end + 1 - start > longest.len() {
            longest = start..end + 1;
        }
    }
    longest
}

/// Z′R⁻¹Z of a block and log|R| of its rows.
fn cross_products(design: &Design, block: &Block, inverse_residual: &[f64]) -> (Vec<f64>, f64) {
    let q = block.effects.len();
    let mut cross = vec![0.0; q * q];
    let (mut log_determinant, mut last) = (0.0, (1.0, 0.0));
    for row in block.start..block.start + block.rows {
        let weight = inverse_residual[row];
        if weight != last.0 {
            last = (weight, weight.ln());
        }
        log_determinant -= last.1;
        let (columns, values) = (design.row_columns(row), design.row_values(row));
        for (&c, &z) in columns.iter().zip(values) {
            let (line, factor) = (&mut cross[c * q..(c + 1) * q], weight * z);
            for (&d, &w) in columns.iter().zip(values) {
                line[d] += factor * w;
            }
        }
    }
    (cross, log_determinant)
}

/// Z′R⁻¹Z of a block, its effects eliminated, and log|V| of its rows; `None` where C is not positive.
pub(super) fn eliminate(
    design: &Design,
    block: &Block,
    v: &Variances,
    inverse_residual: &[f64],
) -> Option<(Vec<f64>, Eliminated, f64)> {
    let q = block.effects.len();
    let (cross, mut log_determinant) = cross_products(design, block, inverse_residual);
    let lambda = Lambda::new(&block.effects, v);
    let c = lambda.congruence(&cross);
    let apart = most_numerous(&block.effects, design.lead());
    let kept: Vec<usize> = (0..apart.start).chain(apart.end..q).collect();
    let r = kept.len();
    let mut own = vec![0.0; q];
    let mut t = vec![0.0; r * r];
    for (a, &i) in kept.iter().enumerate() {
        for (b, &j) in kept.iter().enumerate() {
            t[a * r + b] = c[i * q + j];
        }
        t[a * r + a] += 1.0;
    }
    for e in apart.clone() {
        let pivot = 1.0 + c[e * q + e];
        log_determinant += pivot.ln();
        own[e] = 1.0 / pivot;
        for (a, &i) in kept.iter().enumerate() {
            let factor = c[e * q + i] * own[e];
            if factor != 0.0 {
                for (x, &j) in t[a * r..(a + 1) * r].iter_mut().zip(&kept) {
                    *x -= factor * c[e * q + j];
                }
            }
        }
    }
    log_determinant += small::cholesky(&mut t, r).ok()?;
    // Rows of L⁻¹ are columns of L⁻ᵀ.
    let inverse = small::transpose(&small::invert_lower(&t, r), r);
    let mut half = vec![0.0; q * r];
    for (a, &i) in kept.iter().enumerate() {
        half[i * r..(i + 1) * r].copy_from_slice(&inverse[a * r..(a + 1) * r]);
    }
    for e in apart.clone() {
        let row = &mut half[e * r..(e + 1) * r];
        for (a, &i) in kept.iter().enumerate() {
            small::axpy(-own[e] * c[e * q + i], &inverse[a * r..(a + 1) * r], row);
        }
    }
    let scaled_half = lambda.left(&half, r);
    Some((cross, Eliminated { lambda, apart, own, half, scaled_half, rank: r }, log_determinant))
}
