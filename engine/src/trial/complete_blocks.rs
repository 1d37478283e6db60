//! Least-squares analysis of a trial in complete blocks, with lost plots and unequal replication allowed.
//!
//! y = τ_i + β_b + e, varieties i = 1…t and replicates b = 1…r both fixed, e ~ N(0, σ²), n plots with a yield;
//! β₁ = 0. The mean of a variety is τ_i plus the mean of the β_b: its yield in the average replicate. Source:
//! two-way classification with unequal numbers, Searle 1971, *Linear Models*, ch. 7; with nothing lost it is the
//! usual complete-block analysis of variance. Knows plots of one trial only.

use super::analysis::{self, SumsOfSquares, TrialAnalysis};
use super::equations::Equations;
use super::layout::{BlocksError, Layout, PlotYield};

/// Analyses one trial by its varieties and replicates, whatever blocks its plots name.
///
/// # Errors
/// [`BlocksError`] without plots, with replicates that no variety joins, or beyond any real trial's size.
pub fn analyse(plots: &[PlotYield<'_>]) -> Result<TrialAnalysis, BlocksError> {
    analyse_layout(&Layout::of(plots)?)
}

pub(super) fn analyse_layout(layout: &Layout<'_>) -> Result<TrialAnalysis, BlocksError> {
    let solution = Equations::of(layout, false).solve(layout, 0.0)?;
    let (n, t, r) = (layout.places.len(), layout.varieties.len(), layout.reps.len());
    let (grand_mean, total) = about_the_mean(layout);
    let reps_sum: f64 = layout
        .totals(r, |place| place.rep)
        .iter()
        .map(|(count, sum)| count * (sum / count - grand_mean).powi(2))
        .sum();
    let error: f64 = layout.places.iter().map(|place| solution.residual(place).powi(2)).sum();
    let error = without_rounding(error, layout);

    let varieties_df = t - 1;
    let error_df = n + 1 - t - r;
    let error_ms = (error_df > 0).then(|| error / error_df as f64);
    let varieties = (total - reps_sum - error).max(0.0);
    let sums = SumsOfSquares { total, reps: reps_sum, blocks: 0.0, varieties, error };
    let f = error_ms
        .filter(|ms| *ms > 0.0 && varieties_df > 0)
        .map(|ms| sums.varieties / varieties_df as f64 / ms);
    Ok(TrialAnalysis {
        means: analysis::means(layout, &solution),
        reps: r,
        sums,
        varieties_df,
        error_df,
        error_ms,
        f,
        mean: grand_mean,
        cv: error_ms.filter(|_| grand_mean > 0.0).map(|ms| 100.0 * ms.sqrt() / grand_mean),
        sed: error_ms.and_then(|ms| solution.sed(ms)),
        blocks: None,
        blocks_left_out: false,
        residuals: analysis::residuals(layout, &solution, error, error_df),
    })
}

/// The grand mean, and the sum of squares about it.
pub(super) fn about_the_mean(layout: &Layout<'_>) -> (f64, f64) {
    let mean = layout.places.iter().map(|place| place.yield_).sum::<f64>() / layout.places.len() as f64;
    (mean, layout.places.iter().map(|place| (place.yield_ - mean).powi(2)).sum())
}

/// Rounding leaves a trace where the fit is exact; it must not pass for a very small error.
pub(super) fn without_rounding(error: f64, layout: &Layout<'_>) -> f64 {
    let square: f64 = layout.places.iter().map(|place| place.yield_.powi(2)).sum();
    if error <= 1e-20 * square { 0.0 } else { error }
}

#[cfg(test)]
#[path = "complete_blocks_tests.rs"]
mod tests;
