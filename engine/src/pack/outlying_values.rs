//! The values of the problem that a plot stands out from its trial, and their wording for the command line.
//!
//! Knows nothing of how such a plot is found.

use serde::{Deserialize, Serialize};
use std::fmt;

/// A plot that stands out, and by how much.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OutlyingValues {
    /// Trial code.
    pub trial: String,
    /// Variety code.
    pub variety: String,
    /// Replicate; empty in a trial that has blocks alone.
    pub rep: String,
    /// Incomplete block.
    pub block: Option<String>,
    /// The plot's yield, yield unit.
    #[serde(rename = "yield")]
    pub yield_: f64,
    /// Yield less fitted, yield unit.
    pub residual: f64,
    /// Studentised residual.
    pub studentised: f64,
    /// Chance of one so large anywhere in the trial.
    pub p_value: f64,
}

impl fmt::Display for OutlyingValues {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut place = Vec::new();
        if !self.rep.is_empty() {
            place.push(format!("replicate `{}`", self.rep));
        }
        if let Some(block) = &self.block {
            place.push(format!("block `{block}`"));
        }
        let side = if self.residual < 0.0 { "below" } else { "above" };
        let chance =
            if self.p_value < 0.001 { "below 0.001".to_owned() } else { format!("{:.3}", self.p_value) };
        write!(
            f,
            "{} of `{}` in {} of trial `{}` is {} {side} what is fitted to it (studentised residual {:.2}; \
             anywhere in the trial by chance {chance}); check it, nothing was removed",
            self.yield_,
            self.variety,
            place.join(", "),
            self.trial,
            three_figures(self.residual.abs()),
            self.studentised,
        )
    }
}

/// A number above zero to three figures, whole from a hundred on.
fn three_figures(value: f64) -> String {
    let decimals = (2.0 - value.max(1e-9).log10().floor()).clamp(0.0, 12.0);
    format!("{value:.*}", decimals as usize)
}
