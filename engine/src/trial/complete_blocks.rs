//! Least-squares analysis of a trial in complete blocks, with lost plots and unequal replication allowed.
//!
//! y = τ_i + β_b + e, varieties i = 1…t and replicates b = 1…r both fixed, e ~ N(0, σ²), n plots with a yield.
//! With N the t × r table of plot counts, n_i and n_b its margins, varieties are eliminated first:
//!
//!   B·β = q,  B = diag(n_b) − N′·diag(1/n_i)·N  (r × r),  q_b = Σ_b y − Σ_i n_ib·ȳ_i,  β₁ = 0,
//!   τ_i = ȳ_i − Σ_b (n_ib/n_i)·β_b,
//!   Var(τ_i − τ_j)/σ² = 1/n_i + 1/n_j + (m_i − m_j)′·B⁻¹·(m_i − m_j),  m_ib = n_ib/n_i.
//!
//! The mean of a variety is τ_i plus the mean of the β_b: its yield in the average replicate. Source: two-way
//! classification with unequal numbers, Searle 1971, *Linear Models*, ch. 7; with nothing lost it is the usual
//! complete-block analysis of variance. Knows plots of one trial only.

use super::error_variance::t_two_sided;
use std::collections::BTreeMap;
use thiserror::Error;

/// Most varieties that one trial is analysed with; codes of another column would exceed it.
pub const MOST_VARIETIES: usize = 5_000;
/// Most replicates that one trial is analysed with.
pub const MOST_REPS: usize = 200;

/// A plot with a yield.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlotYield<'a> {
    /// Variety code.
    pub variety: &'a str,
    /// Replicate.
    pub rep: &'a str,
    /// Yield, any unit.
    pub yield_: f64,
}

/// Why a trial could not be analysed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BlocksError {
    /// No plot has a yield.
    #[error("no plot has a yield; give at least one")]
    NoPlots,
    /// Two replicates cannot be compared.
    #[error("replicates `{first}` and `{other}` have no variety in common, directly or through others")]
    NotConnected {
        /// The first replicate of the trial.
        first: String,
        /// One that no chain of common varieties joins to it.
        other: String,
    },
    /// More than any trial has.
    #[error(
        "{varieties} varieties in {reps} replicates are more than the {MOST_VARIETIES} in {MOST_REPS} analysed"
    )]
    TooLarge {
        /// Varieties with a yield.
        varieties: usize,
        /// Replicates with a yield.
        reps: usize,
    },
}

/// The mean of one variety.
#[derive(Debug, Clone, PartialEq)]
pub struct VarietyMean {
    /// Variety code.
    pub variety: String,
    /// Least-squares mean over the trial's replicates, yield unit.
    pub mean: f64,
    /// Plots with a yield.
    pub plots: usize,
}

/// Sums of squares, yield unit squared; they add up to the total.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SumsOfSquares {
    /// About the grand mean.
    pub total: f64,
    /// Replicates, varieties ignored.
    pub reps: f64,
    /// Varieties, adjusted for replicates.
    pub varieties: f64,
    /// Error.
    pub error: f64,
}

/// Standard errors of the difference of two means, yield unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sed {
    /// Of the best compared pair.
    pub least: f64,
    /// Root of the mean variance over all pairs.
    pub average: f64,
    /// Of the worst compared pair.
    pub greatest: f64,
}

/// The analysis of one trial. What needs an error mean square is `None` without degrees of freedom for it.
#[derive(Debug, Clone, PartialEq)]
pub struct CompleteBlocks {
    /// Means in the order in which varieties first appear.
    pub means: Vec<VarietyMean>,
    /// Replicates with a yield.
    pub reps: usize,
    /// Sums of squares.
    pub sums: SumsOfSquares,
    /// Degrees of freedom of varieties, t − 1.
    pub varieties_df: usize,
    /// Degrees of freedom of error, n − t − r + 1.
    pub error_df: usize,
    /// Error mean square, yield unit squared.
    pub error_ms: Option<f64>,
    /// Variance ratio of varieties; `None` also where the error is zero.
    pub f: Option<f64>,
    /// Mean of all plots, yield unit.
    pub mean: f64,
    /// Coefficient of variation, percent.
    pub cv: Option<f64>,
    /// Standard errors of a difference; `None` also with a single variety.
    pub sed: Option<Sed>,
}

impl CompleteBlocks {
    /// Least significant difference at a two-sided `level`, t times the average SED, yield unit.
    pub fn lsd(&self, level: f64) -> Option<f64> {
        Some(t_two_sided(level, self.error_df as f64)? * self.sed?.average)
    }
}

/// Analyses one trial.
///
/// # Errors
/// [`BlocksError`] without plots, with replicates that no variety joins, or beyond any real trial's size.
pub fn analyse(plots: &[PlotYield<'_>]) -> Result<CompleteBlocks, BlocksError> {
    let layout = Layout::of(plots)?;
    let factor = layout.eliminate_varieties()?;
    let rep_effects = layout.rep_effects(&factor);
    let tau = layout.variety_effects(&rep_effects);
    let average_rep = mean(rep_effects.iter().copied());
    let n = plots.len();
    let (t, r) = (layout.varieties.len(), layout.reps.len());

    let grand_mean = mean(plots.iter().map(|plot| plot.yield_));
    let total: f64 = plots.iter().map(|plot| (plot.yield_ - grand_mean).powi(2)).sum();
    let reps_sum: f64 = (0..r)
        .map(|b| layout.rep_count[b] * (layout.rep_sum[b] / layout.rep_count[b] - grand_mean).powi(2))
        .sum();
    let residual = |&(i, b, y): &(usize, usize, f64)| (y - tau[i] - rep_effects[b]).powi(2);
    let error: f64 = layout.places.iter().map(residual).sum();
    // Rounding leaves a trace where the fit is exact; it must not pass for a very small error.
    let square: f64 = plots.iter().map(|plot| plot.yield_.powi(2)).sum();
    let error = if error <= 1e-20 * square { 0.0 } else { error };

    let varieties_df = t - 1;
    let error_df = n + 1 - t - r;
    let error_ms = (error_df > 0).then(|| error / error_df as f64);
    let sums = SumsOfSquares { total, reps: reps_sum, varieties: (total - reps_sum - error).max(0.0), error };
    let f = error_ms
        .filter(|ms| *ms > 0.0 && varieties_df > 0)
        .map(|ms| sums.varieties / varieties_df as f64 / ms);
    let means = layout.varieties.iter().enumerate().map(|(i, variety)| VarietyMean {
        variety: (*variety).to_owned(),
        mean: tau[i] + average_rep,
        plots: layout.variety_count[i] as usize,
    });
    Ok(CompleteBlocks {
        means: means.collect(),
        reps: r,
        sums,
        varieties_df,
        error_df,
        error_ms,
        f,
        mean: grand_mean,
        cv: error_ms.filter(|_| grand_mean > 0.0).map(|ms| 100.0 * ms.sqrt() / grand_mean),
        sed: error_ms.and_then(|ms| layout.sed(&factor, ms)),
    })
}

fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len() as f64;
    values.sum::<f64>() / count
}

/// Plots as a two-way table.
struct Layout<'a> {
    varieties: Vec<&'a str>,
    reps: Vec<&'a str>,
    /// Variety, replicate and yield of each plot.
    places: Vec<(usize, usize, f64)>,
    /// t rows of r plot counts.
    counts: Vec<Vec<f64>>,
    variety_count: Vec<f64>,
    variety_sum: Vec<f64>,
    rep_count: Vec<f64>,
    rep_sum: Vec<f64>,
}

impl<'a> Layout<'a> {
    fn of(plots: &[PlotYield<'a>]) -> Result<Self, BlocksError> {
        if plots.is_empty() {
            return Err(BlocksError::NoPlots);
        }
        let (varieties, variety_at) = in_order(plots.iter().map(|plot| plot.variety));
        let (reps, rep_at) = in_order(plots.iter().map(|plot| plot.rep));
        let (t, r) = (varieties.len(), reps.len());
        if t > MOST_VARIETIES || r > MOST_REPS {
            return Err(BlocksError::TooLarge { varieties: t, reps: r });
        }
        let mut layout = Layout {
            varieties,
            reps,
            places: Vec::with_capacity(plots.len()),
            counts: vec![vec![0.0; r]; t],
            variety_count: vec![0.0; t],
            variety_sum: vec![0.0; t],
            rep_count: vec![0.0; r],
            rep_sum: vec![0.0; r],
        };
        for plot in plots {
            let (i, b) = (variety_at[plot.variety], rep_at[plot.rep]);
            layout.places.push((i, b, plot.yield_));
            layout.counts[i][b] += 1.0;
            layout.variety_count[i] += 1.0;
            layout.variety_sum[i] += plot.yield_;
            layout.rep_count[b] += 1.0;
            layout.rep_sum[b] += plot.yield_;
        }
        Ok(layout)
    }

    /// Lower Cholesky factor of B without its first row and column.
    fn eliminate_varieties(&self) -> Result<Vec<Vec<f64>>, BlocksError> {
        let r = self.reps.len();
        let mut factor = vec![vec![0.0; r - 1]; r - 1];
        for b in 1..r {
            factor[b - 1][b - 1] += self.rep_count[b];
            for c in 1..=b {
                let shared: f64 = self
                    .counts
                    .iter()
                    .zip(&self.variety_count)
                    .map(|(row, count)| row[b] * row[c] / count)
                    .sum();
                factor[b - 1][c - 1] -= shared;
            }
        }
        for b in 0..r - 1 {
            for c in 0..=b {
                let product: f64 = (0..c).map(|k| factor[b][k] * factor[c][k]).sum();
                let value = factor[b][c] - product;
                if c < b {
                    factor[b][c] = value / factor[c][c];
                } else if value > 1e-9 * self.rep_count[b + 1] {
                    factor[b][b] = value.sqrt();
                } else {
                    let (first, other) = (self.reps[0].to_owned(), self.reps[b + 1].to_owned());
                    return Err(BlocksError::NotConnected { first, other });
                }
            }
        }
        Ok(factor)
    }

    /// β, the first being zero.
    fn rep_effects(&self, factor: &[Vec<f64>]) -> Vec<f64> {
        let r = self.reps.len();
        let right_hand = |b: usize| {
            let by_variety = self.counts.iter().zip(&self.variety_sum).zip(&self.variety_count);
            self.rep_sum[b] - by_variety.map(|((row, sum), count)| row[b] * sum / count).sum::<f64>()
        };
        let mut beta = forward(factor, (1..r).map(right_hand).collect());
        for b in (0..r - 1).rev() {
            let above: f64 = (b + 1..r - 1).map(|k| factor[k][b] * beta[k]).sum();
            beta[b] = (beta[b] - above) / factor[b][b];
        }
        beta.insert(0, 0.0);
        beta
    }

    /// τ.
    fn variety_effects(&self, beta: &[f64]) -> Vec<f64> {
        let effect = |i: usize| {
            let reps: f64 = self.counts[i].iter().zip(beta).map(|(count, effect)| count * effect).sum();
            (self.variety_sum[i] - reps) / self.variety_count[i]
        };
        (0..self.varieties.len()).map(effect).collect()
    }

    fn sed(&self, factor: &[Vec<f64>], error_ms: f64) -> Option<Sed> {
        let t = self.varieties.len();
        // With B = LL′ the last term of the variance is the squared length of L⁻¹(m_i − m_j).
        let half: Vec<Vec<f64>> = (0..t)
            .map(|i| forward(factor, self.counts[i][1..].iter().map(|n| n / self.variety_count[i]).collect()))
            .collect();
        let (mut least, mut greatest, mut sum) = (f64::INFINITY, 0.0_f64, 0.0);
        for i in 0..t {
            for j in 0..i {
                let apart: f64 = half[i].iter().zip(&half[j]).map(|(a, b)| (a - b).powi(2)).sum();
                let variance = error_ms * (1.0 / self.variety_count[i] + 1.0 / self.variety_count[j] + apart);
                least = least.min(variance);
                greatest = greatest.max(variance);
                sum += variance;
            }
        }
        let pairs = t * (t - 1) / 2;
        let sed =
            || Sed { least: least.sqrt(), average: (sum / pairs as f64).sqrt(), greatest: greatest.sqrt() };
        (pairs > 0).then(sed)
    }
}

/// Solves L·x = v for a lower triangle L.
fn forward(factor: &[Vec<f64>], mut v: Vec<f64>) -> Vec<f64> {
    for b in 0..v.len() {
        let below: f64 = (0..b).map(|k| factor[b][k] * v[k]).sum();
        v[b] = (v[b] - below) / factor[b][b];
    }
    v
}

/// Distinct names in order of first appearance, and the place of each.
fn in_order<'a>(names: impl Iterator<Item = &'a str>) -> (Vec<&'a str>, BTreeMap<&'a str, usize>) {
    let mut order = Vec::new();
    let mut places = BTreeMap::new();
    for name in names {
        places.entry(name).or_insert_with(|| {
            order.push(name);
            order.len() - 1
        });
    }
    (order, places)
}

#[cfg(test)]
#[path = "complete_blocks_tests.rs"]
mod tests;
