//! Stage one: one trial's plots to the means of its varieties and the error of these means.
//!
//! [`analyse`] is the door. Replicates are fixed; blocks inside them are random, where there are any, with
//! recovery of inter-block information. Knows one trial at a time and nothing of networks, files or seasons.
//!
//! The files: [`layout`] numbers the plots; `equations` eliminates varieties and solves; [`complete_blocks`] and
//! `incomplete_blocks` are the two analyses, with `spectrum` and `ratio` for the blocks' variance; [`analysis`] is
//! what both answer; [`outlying`] names plots that stand out; [`error_variance`] reads a report;
//! [`trigamma`] tells how alike error mean squares are.

pub mod analysis;
pub mod complete_blocks;
mod equations;
pub mod error_variance;
mod incomplete_blocks;
pub mod layout;
pub mod outlying;
mod ratio;
mod spectrum;
pub mod trigamma;

pub use analysis::{BlockStratum, PlotResidual, Sed, SumsOfSquares, TrialAnalysis, VarietyMean};
pub use error_variance::{t_two_sided, variance_of_mean, variances_of_mean};
pub use layout::{BlocksError, PlotYield};
pub use outlying::{OutlyingPlot, outlying_plots};

/// Analyses one trial: by complete blocks where no replicate is divided, otherwise with its blocks random.
///
/// Blocks that cannot be told from varieties, or that leave nothing to tell plot error by, are left out and the
/// analysis says so; with them stays the one by replicates, whose error holds theirs.
///
/// # Errors
/// [`BlocksError`] without plots, with replicates that no variety joins, or beyond any real trial's size.
pub fn analyse(plots: &[PlotYield<'_>]) -> Result<TrialAnalysis, BlocksError> {
    let layout = layout::Layout::of(plots)?;
    let complete = complete_blocks::analyse_layout(&layout)?;
    if layout.has_incomplete_blocks() {
        incomplete_blocks::analyse_layout(&layout, complete)
    } else {
        Ok(complete)
    }
}
