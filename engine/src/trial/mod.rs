//! Stage one: one trial's plots to the means of its varieties and the error of these means.
//!
//! Complete blocks for now: replicates are fixed, and blocks inside replicates wait for their recovery of
//! inter-block information. Knows one trial at a time and nothing of networks, files or seasons.

pub mod complete_blocks;
pub mod error_variance;
pub mod trigamma;

pub use complete_blocks::{BlocksError, CompleteBlocks, PlotYield, Sed, SumsOfSquares, VarietyMean};
pub use error_variance::{t_two_sided, variance_of_mean, variances_of_mean};
