//! The mixed model of a network: its tables laid out for the solver, and the answer of `leanyear fit`.
//!
//! [`network`] turns a network's tables into rows, with `fit_error`, `known_errors`, `water_scale`, `estimable` and
//! `fixed_columns`; [`report`] is the answer. The mathematics is `leanyear-solver`, whose modules stand here under
//! their names.

mod estimable;
mod fit_error;
mod fixed_columns;
mod known_errors;
pub mod network;
pub mod report;
mod water_scale;

pub(crate) use leanyear_solver::small;
pub use leanyear_solver::{
    arrow, derivatives, design, effects, optimise, residuals, sensitivity, several, terms, variance_law,
    variances,
};
