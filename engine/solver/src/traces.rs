//! Entries of Z′PZ of one variety, from which the traces of the gradient are summed.
//!
//! Z′PZ = Z′V⁻¹Z − Z′V⁻¹·Q·V⁻¹Z with Q = XS⁻¹X′, and V⁻¹Z = R⁻¹Z·N′ with N = I − A·M, so that it is
//! N·A − N·W·N′ for W = Z′R⁻¹QR⁻¹Z. A row of N is a sparse part less a combination of the r columns of ΛY;
//! where the effect has a variance, it is a row of Λ⁻ᵀC⁻¹Λ′, which loses no digit however small an
//! error variance is. The diagonal of P comes from the same W. It knows no parameters.

use super::arrow::BlockSolution;
use super::design::{Block, Design};
use super::eliminate::Eliminated;
use super::small;

/// Where 1 − (C⁻¹)_cc is as good as A's own digits.
const NEARLY_ONE: f64 = 0.999;

/// A row of N: `sparse` − `combined`·(ΛY)′.
struct Row {
    sparse: Vec<f64>,
    combined: Vec<f64>,
}

/// W with what of it all entries share.
struct Share<'a> {
    /// W, q × q.
    squared: &'a [f64],
    /// (ΛY)′W, r × q.
    half: Vec<f64>,
    /// (ΛY)′W(ΛY), r × r.
    core: Vec<f64>,
}

/// What the entries of one block need.
pub(super) struct Traces<'a> {
    solved: &'a BlockSolution,
    share: Option<Share<'a>>,
    /// A·ΛY, q × r.
    crossed: Vec<f64>,
}

impl<'a> Traces<'a> {
    /// `squared` is W, absent where the likelihood is not restricted.
    pub fn new(solved: &'a BlockSolution, squared: Option<&'a [f64]>) -> Traces<'a> {
        let Eliminated { own, rank: r, scaled_half, .. } = &solved.eliminated;
        let (q, r) = (own.len(), *r);
        let mut crossed = vec![0.0; q * r];
        small::add_product(&solved.cross, scaled_half, q, r, &mut crossed);
        let share = squared.map(|squared| {
            let mut half = vec![0.0; r * q];
            small::add_product(&small::transpose(scaled_half, r), squared, q, q, &mut half);
            let mut core = vec![0.0; r * r];
            small::add_product(&half, scaled_half, q, r, &mut core);
            Share { squared, half, core }
        });
        Traces { solved, share, crossed }
    }

    /// M·W·M, q × q.
    fn twice_shrunk(&self) -> Vec<f64> {
        let m = &self.solved.conditional;
        let q = self.solved.score.len();
        self.share.as_ref().map_or_else(
            || vec![0.0; q * q],
            |share| small::multiply(&small::multiply(m, share.squared, q), m, q),
        )
    }

    /// Diagonal of P over the block's rows: w_i − w_i²·(z_i′(M + M·W·M)z_i + `by_row`_i), w = 1/R_ii and `by_row`
    /// as [`super::gather::BorderShare`] has it; absent where the likelihood is not restricted.
    pub fn projection_diagonal(
        &self,
        design: &Design,
        block: &Block,
        inverse_residual: &[f64],
        by_row: Option<&[f64]>,
    ) -> Vec<f64> {
        let q = block.effects.len();
        let conditional = &self.solved.conditional;
        let twice = by_row.map(|_| self.twice_shrunk());
        let of_row = |i: usize| {
            let row = block.start + i;
            let (columns, values) = (design.row_columns(row), design.row_values(row));
            let mut taken = 0.0;
            for (&c, &z) in columns.iter().zip(values) {
                for (&d, &w) in columns.iter().zip(values) {
                    let more = twice.as_ref().map_or(0.0, |twice| twice[c * q + d]);
                    taken += z * w * (conditional[c * q + d] + more);
                }
            }
            taken += by_row.map_or(0.0, |by_row| by_row[i]);
            let weight = inverse_residual[row];
            weight - weight * weight * taken
        };
        (0..block.rows).map(of_row).collect()
    }

    /// Entry (c, d) of Z′PZ; c = d, or both among the columns that are correlated.
    pub fn entry(&self, c: usize, d: usize) -> f64 {
        if c == d && self.solved.eliminated.apart.contains(&c) {
            return self.whole(c) - self.taken_apart(c);
        }
        let row = self.row(c);
        if c == d {
            return self.whole(c) - self.taken(&row, &row);
        }
        let other = self.row(d);
        self.whole_pair(&row, c, d) - self.taken(&row, &other)
    }

    /// Diagonal entry of Z′V⁻¹Z = A − AMA.
    fn whole(&self, c: usize) -> f64 {
        let e = &self.solved.eliminated;
        let (scale, inverse) = (e.lambda.diagonal[c], e.inverse_diagonal(c));
        if scale > 0.0 && inverse < NEARLY_ONE && (c > 1 || e.lambda.below == 0.0) {
            return (1.0 - inverse) / (scale * scale);
        }
        self.difference(c, c)
    }

    /// Entry of A − AMA, term by term.
    fn difference(&self, c: usize, d: usize) -> f64 {
        let (e, r, q) = (&self.solved.eliminated, self.solved.eliminated.rank, self.solved.score.len());
        let (row_c, row_d) = (&self.solved.cross[c * q..(c + 1) * q], &self.solved.cross[d * q..(d + 1) * q]);
        let apart: f64 = e.apart.clone().map(|k| row_c[k] * row_d[k] * e.apart_variance(k)).sum();
        let rest = small::dot(&self.crossed[c * r..(c + 1) * r], &self.crossed[d * r..(d + 1) * r]);
        row_c[d] - apart - rest
    }

    /// Entry of Z′V⁻¹Z between main effect and slope.
    fn whole_pair(&self, row: &Row, c: usize, d: usize) -> f64 {
        let (e, r, q) = (&self.solved.eliminated, self.solved.eliminated.rank, self.solved.score.len());
        let scale = e.lambda.diagonal[c] * e.lambda.diagonal[d];
        if e.lambda.below == 0.0 && scale > 0.0 {
            return -small::dot(e.half_row(c), e.half_row(d)) / scale;
        }
        small::dot(&row.sparse, &self.solved.cross[d * q..(d + 1) * q])
            - small::dot(&row.combined, &self.crossed[d * r..(d + 1) * r])
    }

    /// A row of N of a column that is not of the kind eliminated first.
    fn row(&self, c: usize) -> Row {
        let Eliminated { lambda, apart, rank: r, .. } = &self.solved.eliminated;
        let e = &self.solved.eliminated;
        let q = self.solved.score.len();
        let scaled = |row: &[f64], factor: f64| row.iter().map(|x| -x / factor).collect::<Vec<f64>>();
        let scale = lambda.diagonal[c];
        if scale > 0.0 && (c > 0 || lambda.below == 0.0) {
            return Row { sparse: vec![0.0; q], combined: scaled(e.half_row(c), scale) };
        }
        if c == 0 && scale > 0.0 && lambda.diagonal[1] > 0.0 {
            let mut combined = e.half_row(0).to_vec();
            small::axpy(-lambda.below / lambda.diagonal[1], e.half_row(1), &mut combined);
            return Row { sparse: vec![0.0; q], combined: scaled(&combined, scale) };
        }
        let mut sparse = vec![0.0; q];
        sparse[c] = 1.0;
        for k in apart.clone() {
            sparse[k] -= self.solved.cross[c * q + k] * e.apart_variance(k);
        }
        Row { sparse, combined: self.crossed[c * r..(c + 1) * r].to_vec() }
    }

    /// N_c·W·N_d′.
    fn taken(&self, row: &Row, other: &Row) -> f64 {
        let Some(share) = &self.share else { return 0.0 };
        let q = self.solved.score.len();
        let mut taken = small::dot(&small::multiply_vector(&share.core, &other.combined), &row.combined);
        for (a, b) in [(row, other), (other, row)] {
            if a.sparse.iter().any(|x| *x != 0.0) {
                taken -= small::dot(&small::multiply_vector(&share.half, &a.sparse), &b.combined);
            }
        }
        if row.sparse.iter().any(|x| *x != 0.0) && other.sparse.iter().any(|x| *x != 0.0) {
            let product: Vec<f64> =
                share.squared.chunks_exact(q).map(|line| small::dot(line, &other.sparse)).collect();
            taken += small::dot(&product, &row.sparse);
        }
        taken
    }

    /// N_c·W·N_c′ of a column of the kind eliminated first, whose row has one sparse entry.
    fn taken_apart(&self, c: usize) -> f64 {
        let Some(share) = &self.share else { return 0.0 };
        let e = &self.solved.eliminated;
        let (q, r, scale) = (self.solved.score.len(), e.rank, e.lambda.diagonal[c]);
        let (own, row, factor) = if scale > 0.0 {
            (e.own[c], e.half_row(c), -1.0 / scale)
        } else {
            (1.0, &self.crossed[c * r..(c + 1) * r], 1.0)
        };
        let shared: f64 = row.iter().enumerate().map(|(a, x)| x * share.half[a * q + c]).sum();
        let core = small::dot(&small::multiply_vector(&share.core, row), row);
        own * own * share.squared[c * q + c] - 2.0 * factor * own * shared + factor * factor * core
    }
}
