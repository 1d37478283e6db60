//! How much the scatter within trials differs from trial to trial: the degrees of freedom ν of its scale.
//!
//! With s_j² the mean squared standardised residual of trial j on f_j degrees of freedom, log s_j² has
//! variance ψ′(f_j/2) + ψ′(ν/2), ψ′ the trigamma function (moments of the logarithm, Smyth 2004, Stat. Appl.
//! Genet. Mol. Biol. 3:3, eq. 6). The excess is averaged over trials and over [`PRIOR_TRIALS`] trials of
//! ν = 10, then inverted. It knows residuals, not yields.

use crate::mixed::arrow::Solution;
use crate::mixed::design::Design;
use crate::mixed::residuals::standardised;
use crate::trial::trigamma::{excess_spread, inverse_trigamma, trigamma};

/// Degrees of freedom expected before the trials speak.
const PRIOR_FREEDOM: f64 = 10.0;
/// How many trials that expectation counts as.
const PRIOR_TRIALS: f64 = 20.0;
/// Fewest means of a trial that tell of its scatter.
const MIN_MEANS: usize = 4;
/// Fewest degrees of freedom: below, the variance of the scale is unbounded.
pub(super) const LEAST_FREEDOM: f64 = 4.5;
/// Degrees of freedom from which the scale is as good as the same in every trial.
pub const MOST_FREEDOM: f64 = 200.0;

/// Degrees of freedom of the scale of trials.
pub fn tail_freedom(design: &Design, solution: &Solution) -> f64 {
    let mut squares = vec![(0.0, 0usize); design.trials];
    for (row, residual) in design.rows.iter().zip(standardised(design, solution)) {
        squares[row.trial].0 += residual * residual;
        squares[row.trial].1 += 1;
    }
    freedom_of(&squares)
}

/// From sums of squared standardised residuals and numbers of means, by trial.
fn freedom_of(squares: &[(f64, usize)]) -> f64 {
    let logs: Vec<(f64, f64)> = squares
        .iter()
        .filter(|(sum, count)| *count >= MIN_MEANS && *sum > 0.0)
        .map(|&(sum, count)| ((sum / count as f64).ln(), trigamma((count as f64 - 1.0) / 2.0)))
        .collect();
    let prior = PRIOR_TRIALS * trigamma(PRIOR_FREEDOM / 2.0);
    let count = logs.len() as f64;
    let shared = match excess_spread(&logs) {
        Some(excess) => (count * excess + prior) / (count + PRIOR_TRIALS),
        None => prior / PRIOR_TRIALS,
    };
    if shared <= trigamma(MOST_FREEDOM / 2.0) {
        return MOST_FREEDOM;
    }
    (2.0 * inverse_trigamma(shared)).max(LEAST_FREEDOM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_known_leaves_the_expectation() {
        assert!((freedom_of(&[]) - PRIOR_FREEDOM).abs() < 1e-6);
    }

    /// Law: trials of one scatter have the most degrees of freedom, trials of very unlike scatter the fewest.
    #[test]
    fn unlike_trials_have_heavy_tails() {
        let alike: Vec<(f64, usize)> = (0..400).map(|_| (20.0, 20)).collect();
        let unlike: Vec<(f64, usize)> =
            (0..400).map(|k| (20.0 * if k % 2 == 0 { 0.2 } else { 5.0 }, 20)).collect();
        assert!(freedom_of(&alike) > 100.0);
        assert_eq!(freedom_of(&unlike), LEAST_FREEDOM);
    }
}
