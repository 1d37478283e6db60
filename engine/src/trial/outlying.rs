//! Plots that stand out from what the rest of their trial foretells.
//!
//! The largest of n studentised residuals is large by chance alone, so each is judged at level/n (Bonferroni; for
//! the single outlier in least squares: Cook & Weisberg 1982, *Residuals and Influence in Regression*, 2.2.2),
//! on one degree of freedom fewer than the trial's error. Named here, never removed: whether a plot was
//! drowned, grazed or mistyped is for whoever grew it to say.

use super::analysis::TrialAnalysis;
use super::layout::PlotYield;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// A plot that stands out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutlyingPlot<'a> {
    /// Its place among the plots of the trial, from 0.
    pub place: usize,
    /// Its variety, replicate, block and yield.
    pub plot: PlotYield<'a>,
    /// Yield less fitted, yield unit.
    pub residual: f64,
    /// Studentised residual.
    pub studentised: f64,
    /// Chance of one so large anywhere in the trial, plot error being normal; at most 1.
    pub p_value: f64,
}

/// The plots of a trial whose chance is at most `level`, in the order of the plots. `plots` are those that gave
/// `analysis`.
pub fn outlying_plots<'a>(
    plots: &[PlotYield<'a>],
    analysis: &TrialAnalysis,
    level: f64,
) -> Vec<OutlyingPlot<'a>> {
    let judged = analysis.residuals.iter().filter(|residual| residual.studentised.is_some()).count() as f64;
    let Ok(law) = StudentsT::new(0.0, 1.0, analysis.error_df as f64 - 1.0) else { return Vec::new() };
    let each = plots.iter().zip(&analysis.residuals).enumerate();
    each.filter_map(|(place, (plot, residual))| {
        let studentised = residual.studentised?;
        let p_value = (2.0 * judged * law.sf(studentised.abs())).min(1.0);
        let outlying = OutlyingPlot { place, plot: *plot, residual: residual.residual, studentised, p_value };
        (p_value <= level).then_some(outlying)
    })
    .collect()
}

#[cfg(test)]
#[path = "outlying_tests.rs"]
mod tests;
