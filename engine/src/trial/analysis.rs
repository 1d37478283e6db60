//! What the analysis of one trial says, whatever its blocks.
//!
//! Complete blocks are least squares; incomplete blocks are random and their variance is by REML. Knows how the
//! numbers relate (LSD, CV, F, studentised residuals) and not how they are found.

use super::equations::Solution;
use super::error_variance::t_two_sided;
use super::layout::Layout;
use statrs::distribution::{ContinuousCDF, FisherSnedecor};

/// The mean of one variety.
#[derive(Debug, Clone, PartialEq)]
pub struct VarietyMean {
    /// Variety code.
    pub variety: String,
    /// Yield in the average replicate and the average block, yield unit: least squares with complete blocks,
    /// generalised least squares at the REML variances with incomplete ones.
    pub mean: f64,
    /// Plots with a yield.
    pub plots: usize,
}

/// Sums of squares, yield unit squared, each adjusted for those before it; they add up to the total.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SumsOfSquares {
    /// About the grand mean.
    pub total: f64,
    /// Replicates.
    pub reps: f64,
    /// Blocks within replicates; 0 with complete blocks.
    pub blocks: f64,
    /// Varieties: with incomplete blocks, from comparisons within blocks alone.
    pub varieties: f64,
    /// Error, within blocks.
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

/// What incomplete blocks add to an analysis.
#[derive(Debug, Clone, PartialEq)]
pub struct BlockStratum {
    /// Blocks with a yield, over all replicates.
    pub blocks: usize,
    /// Degrees of freedom of blocks, adjusted for replicates and varieties.
    pub df: usize,
    /// REML variance of blocks within replicates, yield unit squared; 0 is an answer.
    pub variance: f64,
    /// Error mean square of comparisons within blocks alone, yield unit squared.
    pub intra_block_ms: f64,
    /// Average variance of a difference without blocks in the analysis over that with them: 1.2 says that
    /// complete blocks would have needed 1.2 times the plots.
    pub efficiency: Option<f64>,
    /// Two varieties whose difference rests on averages of blocks alone, because no chain of blocks with
    /// common varieties joins them.
    pub apart: Option<(String, String)>,
}

/// What one plot has left when everything is fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlotResidual {
    /// Yield less fitted, blocks as predicted; yield unit.
    pub residual: f64,
    /// The plot's deviation from what all other plots foretell, over its standard error with the error estimated
    /// without this plot; `None` where the others foretell nothing. With complete blocks the externally
    /// studentised residual (Cook & Weisberg 1982, *Residuals and Influence in Regression*, 2.2.2); with
    /// incomplete ones the same statistic of generalised least squares, at the variance ratio of the whole trial.
    pub studentised: Option<f64>,
}

/// The analysis of one trial. What needs an error mean square is `None` without degrees of freedom for it.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialAnalysis {
    /// Means in the order in which varieties first appear.
    pub means: Vec<VarietyMean>,
    /// Replicates with a yield.
    pub reps: usize,
    /// Analysis of variance within blocks.
    pub sums: SumsOfSquares,
    /// Degrees of freedom of varieties, t − 1.
    pub varieties_df: usize,
    /// Degrees of freedom of error: plots less the rank of varieties, replicates and blocks together.
    pub error_df: usize,
    /// Error mean square, yield unit squared: with incomplete blocks the REML variance of a plot within them.
    pub error_ms: Option<f64>,
    /// Variance ratio of varieties: with incomplete blocks Wald's at the REML variances, over t − 1. `None` also
    /// where the error is zero.
    pub f: Option<f64>,
    /// Mean of all plots, yield unit.
    pub mean: f64,
    /// Coefficient of variation, percent.
    pub cv: Option<f64>,
    /// Standard errors of a difference; `None` also with a single variety.
    pub sed: Option<Sed>,
    /// Incomplete blocks, where they are in the analysis.
    pub blocks: Option<BlockStratum>,
    /// The plots have blocks that cannot be told from varieties or from plot error, and were left out.
    pub blocks_left_out: bool,
    /// One for each plot, in the order of the plots.
    pub residuals: Vec<PlotResidual>,
}

impl TrialAnalysis {
    /// Least significant difference at a two-sided `level`, t times the average SED, yield unit.
    pub fn lsd(&self, level: f64) -> Option<f64> {
        Some(t_two_sided(level, self.error_df as f64)? * self.sed?.average)
    }

    /// Chance of an F as large as this among varieties that do not differ, on `varieties_df` and `error_df`
    /// degrees of freedom; `None` without an F.
    pub fn f_p_value(&self) -> Option<f64> {
        let law = FisherSnedecor::new(self.varieties_df as f64, self.error_df as f64).ok()?;
        Some(law.sf(self.f?))
    }

    /// The error variance of a mean is this over its plots, yield unit squared. With complete blocks the error
    /// mean square; with incomplete ones half the average squared SED, times the harmonic mean of the plots, so
    /// that over the trial's means both say the same.
    pub fn effective_error_ms(&self) -> Option<f64> {
        match (&self.blocks, self.sed) {
            (Some(_), Some(sed)) => {
                let inverse: f64 = self.means.iter().map(|mean| 1.0 / mean.plots as f64).sum();
                Some(sed.average.powi(2) / 2.0 * self.means.len() as f64 / inverse)
            }
            _ => self.error_ms,
        }
    }

    /// Plots of a variety: the replicates where there are several, else the average over varieties.
    pub fn replication(&self) -> f64 {
        match self.blocks {
            Some(_) if self.reps == 1 => self.residuals.len() as f64 / self.means.len() as f64,
            _ => self.reps as f64,
        }
    }
}

/// Means in the average replicate and block.
pub(super) fn means(layout: &Layout<'_>, solution: &Solution) -> Vec<VarietyMean> {
    let average_rep = solution.average_rep();
    let totals = layout.totals(layout.varieties.len(), |place| place.variety);
    let each = layout.varieties.iter().zip(&solution.tau).zip(totals);
    each.map(|((variety, tau), (plots, _))| VarietyMean {
        variety: (*variety).to_owned(),
        mean: tau + average_rep,
        plots: plots as usize,
    })
    .collect()
}

/// Residuals and their studentised form. `sum` is the (generalised) error sum of squares on `df` degrees of
/// freedom: without plot i it is less by r²/(1 − h) on one degree fewer.
pub(super) fn residuals(layout: &Layout<'_>, solution: &Solution, sum: f64, df: usize) -> Vec<PlotResidual> {
    let leverages = solution.leverages(layout);
    let each = layout.places.iter().zip(leverages);
    each.map(|(place, leverage)| {
        let residual = solution.residual(place);
        let free = 1.0 - leverage;
        // A plot alone in its variety or block is fitted exactly: rounding is all that it has left.
        let studentised = (free > 1e-9 && df > 1 && sum > 0.0).then(|| {
            let square = residual.powi(2) / free;
            // Where all others agree exactly the ratio has no end; it is kept finite.
            let without = (sum - square).max(1e-12 * sum) / (df - 1) as f64;
            residual.signum() * (square / without).sqrt()
        });
        PlotResidual { residual, studentised }
    })
    .collect()
}
