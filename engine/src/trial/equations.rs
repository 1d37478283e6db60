//! The equations of a trial once its varieties are eliminated, and what follows from their solution.
//!
//! y = τ_i + W·β + e. W (n × c) has a column for every replicate but the first, and, where blocks are random,
//! one for every block; e ~ N(0, σ²), blocks ~ N(0, γσ²). With n_i the plots of variety i and m_i (length c)
//! the share of them in each column, Henderson's equations (1975, Biometrics 31:423–447) without τ are
//!
//!   S·β = q,  S = W′W − Σ_i n_i·m_i·m_i′ + diag(0 for replicates, 1/γ for blocks),  q = W′y − Σ_i n_i·m_i·ȳ_i,
//!   τ_i = ȳ_i − m_i′β,
//!   Var(τ_i − τ_j)/σ² = 1/n_i + 1/n_j + (m_i − m_j)′·S⁻¹·(m_i − m_j),
//!   leverage of plot (i, w) = 1/n_i + (m_i − w)′·S⁻¹·(m_i − w),  w its row of W.
//!
//! Without random blocks this is least squares: Searle 1971, *Linear Models*, ch. 7. Knows no analysis.

use super::analysis::Sed;
use super::layout::{BlocksError, Layout, Place};
use crate::mixed::small::{cholesky, dot, solve_factored};

/// A pivot below this share of its column's plots is a replicate that nothing joins to the others.
const LEAST_PIVOT: f64 = 1e-9;

/// S and q at no penalty, with the varieties' shares.
pub(super) struct Equations {
    /// Columns of W.
    pub columns: usize,
    /// Those of replicates, which come first.
    pub fixed: usize,
    /// S without penalty, c × c, symmetric, row-major.
    pub cross: Vec<f64>,
    /// q.
    pub right: Vec<f64>,
    /// m_i: columns and shares.
    shares: Vec<Vec<(usize, f64)>>,
    /// n_i and Σ y of each variety.
    totals: Vec<(f64, f64)>,
}

impl Equations {
    /// The equations with columns for replicates, and with `blocks` also for blocks.
    pub fn of(layout: &Layout<'_>, blocks: bool) -> Self {
        let fixed = layout.reps.len() - 1;
        let columns = fixed + if blocks { layout.rep_of_block.len() } else { 0 };
        let totals = layout.totals(layout.varieties.len(), |place| place.variety);
        let mut shares = vec![Vec::new(); totals.len()];
        let mut cross = vec![0.0; columns * columns];
        let mut right = vec![0.0; columns];
        for place in &layout.places {
            let row = columns_of(place, fixed, blocks);
            for a in row.into_iter().flatten() {
                add(&mut shares[place.variety], a);
                right[a] += place.yield_;
                row.into_iter().flatten().for_each(|b| cross[a * columns + b] += 1.0);
            }
        }
        for (shares, (count, sum)) in shares.iter_mut().zip(&totals) {
            for &(a, plots_a) in shares.iter() {
                right[a] -= plots_a * sum / count;
                for &(b, plots_b) in shares.iter() {
                    cross[a * columns + b] -= plots_a * plots_b / count;
                }
            }
            shares.iter_mut().for_each(|(_, plots)| *plots /= count);
        }
        Equations { columns, fixed, cross, right, shares, totals }
    }

    /// The solution with blocks of `ratio` = γ > 0; without random blocks `ratio` has no effect.
    ///
    /// # Errors
    /// [`BlocksError::NotConnected`] where no variety joins a replicate to those before it.
    pub fn solve(&self, layout: &Layout<'_>, ratio: f64) -> Result<Solution, BlocksError> {
        let columns = self.columns;
        let not_connected = |column: usize| {
            let other = layout.reps.get(column + 1).copied().unwrap_or_default().to_owned();
            BlocksError::NotConnected { first: layout.reps[0].to_owned(), other }
        };
        let mut factor = self.cross.clone();
        for column in self.fixed..columns {
            factor[column * columns + column] += 1.0 / ratio;
        }
        cholesky(&mut factor, columns).map_err(not_connected)?;
        let rep_totals = layout.totals(layout.reps.len(), |place| place.rep);
        let weak = |&column: &usize| {
            factor[column * columns + column].powi(2) <= LEAST_PIVOT * rep_totals[column + 1].0
        };
        if let Some(column) = (0..self.fixed).find(weak) {
            return Err(not_connected(column));
        }
        let nuisance = solve_factored(&factor, &self.right);
        let tau = self.shares.iter().zip(&self.totals).map(|(shares, (count, sum))| {
            sum / count - shares.iter().map(|(column, share)| share * nuisance[*column]).sum::<f64>()
        });
        let tau = tau.collect();
        let mut halves = vec![0.0; self.shares.len() * columns];
        for (variety, shares) in self.shares.iter().enumerate() {
            let half = &mut halves[variety * columns..(variety + 1) * columns];
            shares.iter().for_each(|(column, share)| half[*column] = *share);
            forward(&factor, half);
        }
        let counts = self.totals.iter().map(|(count, _)| *count).collect();
        Ok(Solution { columns, fixed: self.fixed, factor, nuisance, tau, halves, counts })
    }
}

/// β, τ and what their variances need.
pub(super) struct Solution {
    columns: usize,
    fixed: usize,
    /// Lower L of S = L·L′.
    factor: Vec<f64>,
    /// β.
    nuisance: Vec<f64>,
    /// τ.
    pub tau: Vec<f64>,
    /// L⁻¹·m_i, one row a variety, so that quadratic forms in S⁻¹ are squared lengths.
    halves: Vec<f64>,
    counts: Vec<f64>,
}

impl Solution {
    /// The mean of the replicates' effects, the first being zero.
    pub fn average_rep(&self) -> f64 {
        self.nuisance[..self.fixed].iter().sum::<f64>() / (self.fixed + 1) as f64
    }

    /// Yield less everything fitted, blocks as predicted.
    pub fn residual(&self, place: &Place) -> f64 {
        let row = columns_of(place, self.fixed, self.columns > self.fixed);
        let nuisance: f64 = row.into_iter().flatten().map(|column| self.nuisance[column]).sum();
        place.yield_ - self.tau[place.variety] - nuisance
    }

    /// The leverage of each plot.
    pub fn leverages(&self, layout: &Layout<'_>) -> Vec<f64> {
        let blocks = self.columns > self.fixed;
        // Plots of one block have one row of W; they share its half.
        let mut of_block: Vec<Option<Vec<f64>>> = vec![None; layout.rep_of_block.len()];
        let leverage = |place: &Place| {
            let half_of_row = of_block[place.block].get_or_insert_with(|| {
                let mut row = vec![0.0; self.columns];
                columns_of(place, self.fixed, blocks).into_iter().flatten().for_each(|c| row[c] = 1.0);
                forward(&self.factor, &mut row);
                row
            });
            1.0 / self.counts[place.variety] + squared_distance(self.half(place.variety), half_of_row)
        };
        layout.places.iter().map(leverage).collect()
    }

    /// Least, average and greatest SED at error variance `sigma2`; `None` with a single variety.
    pub fn sed(&self, sigma2: f64) -> Option<Sed> {
        let varieties = self.tau.len();
        let (mut least, mut greatest, mut sum) = (f64::INFINITY, 0.0_f64, 0.0);
        for i in 0..varieties {
            for j in 0..i {
                let apart = squared_distance(self.half(i), self.half(j));
                let variance = sigma2 * (1.0 / self.counts[i] + 1.0 / self.counts[j] + apart);
                least = least.min(variance);
                greatest = greatest.max(variance);
                sum += variance;
            }
        }
        let pairs = varieties * (varieties - 1) / 2;
        let sed =
            || Sed { least: least.sqrt(), average: (sum / pairs as f64).sqrt(), greatest: greatest.sqrt() };
        (pairs > 0).then(sed)
    }

    fn half(&self, variety: usize) -> &[f64] {
        &self.halves[variety * self.columns..(variety + 1) * self.columns]
    }
}

/// The columns of a plot: its replicate's, unless it is the first, and its block's.
fn columns_of(place: &Place, fixed: usize, blocks: bool) -> [Option<usize>; 2] {
    [place.rep.checked_sub(1), blocks.then_some(fixed + place.block)]
}

/// Counts one plot of a variety in a column.
fn add(shares: &mut Vec<(usize, f64)>, column: usize) {
    match shares.iter_mut().find(|(other, _)| *other == column) {
        Some((_, plots)) => *plots += 1.0,
        None => shares.push((column, 1.0)),
    }
}

/// Solves L·x = v in place for a lower triangle L, row-major.
pub(super) fn forward(factor: &[f64], v: &mut [f64]) {
    let size = v.len();
    for row in 0..size {
        let below = dot(&factor[row * size..row * size + row], &v[..row]);
        v[row] = (v[row] - below) / factor[row * size + row];
    }
}

fn squared_distance(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum()
}
