//! Analysis of a trial in incomplete blocks: lattices, alpha designs, balanced incomplete blocks, repeated checks
//! among entries grown once; with lost plots and unequal replication.
//!
//! y = τ_i + β_r + u_b + e, varieties and replicates fixed, blocks within replicates random, u ~ N(0, γσ²),
//! e ~ N(0, σ²). Variances by REML, means by generalised least squares, so that comparisons within and between
//! blocks are weighed by what each is worth: recovery of inter-block information (Yates 1940, Ann. Eugenics
//! 10:317–325; by REML, Patterson & Thompson 1971, Biometrika 58:545–554).
//!
//! Choices that others make differently: SED and F take the variances as known; both are judged on the degrees
//! of freedom within blocks, n − rank(varieties, replicates, blocks), which is cautious where blocks
//! matter little. F is Wald's, from the fall of the generalised sum of squares when varieties come in:
//! F = (S₀(γ) − S(γ))/((t − 1)·σ²). Knows plots of one trial only.

use super::analysis::{self, BlockStratum, SumsOfSquares, TrialAnalysis};
use super::complete_blocks::without_rounding;
use super::equations::{Equations, forward};
use super::layout::{BlocksError, Layout};
use super::ratio::Profile;
use super::spectrum::spectrum;
use crate::mixed::small::{cholesky, dot};

/// An eigenvalue below this share of the largest block is zero but for rounding.
const LEAST_EIGENVALUE: f64 = 1e-9;

/// The analysis with random blocks, given that `complete` is the one without them.
pub(super) fn analyse_layout(
    layout: &Layout<'_>,
    complete: TrialAnalysis,
) -> Result<TrialAnalysis, BlocksError> {
    let equations = Equations::of(layout, true);
    let Some(profile) = profile(layout, &equations, &complete) else {
        return Ok(TrialAnalysis { blocks_left_out: true, ..complete });
    };
    let error_df = profile.df - profile.terms.len();
    let ratio = profile.best();
    let solution = if ratio > 0.0 {
        equations.solve(layout, ratio)?
    } else {
        Equations::of(layout, false).solve(layout, ratio)?
    };
    let sum = profile.sum(ratio);
    let reml_variance = sum / profile.df as f64;
    // Where plots within blocks agree exactly the criterion has no end; the plot variance is then 0.
    let error_ms = if profile.error > 0.0 { reml_variance } else { 0.0 };
    let sed = solution.sed(error_ms);
    let efficiency = sed.zip(complete.sed).filter(|(sed, _)| sed.average > 0.0);
    let blocks = BlockStratum {
        blocks: layout.rep_of_block.len(),
        df: profile.terms.len(),
        variance: ratio * reml_variance,
        intra_block_ms: profile.error / error_df as f64,
        efficiency: efficiency.map(|(with, without)| (without.average / with.average).powi(2)),
        apart: layout.apart_within_blocks(),
    };
    let wald = (sum_without_varieties(layout, ratio) - sum) / reml_variance;
    let f = (error_ms > 0.0 && complete.varieties_df > 0).then(|| wald / complete.varieties_df as f64);
    Ok(TrialAnalysis {
        means: analysis::means(layout, &solution),
        sums: sums(layout, complete.sums, profile.error),
        error_df,
        error_ms: Some(error_ms),
        f,
        cv: (complete.mean > 0.0).then(|| 100.0 * error_ms.sqrt() / complete.mean),
        sed,
        blocks: Some(blocks),
        residuals: analysis::residuals(layout, &solution, if error_ms > 0.0 { sum } else { 0.0 }, profile.df),
        ..complete
    })
}

/// The criterion of the blocks' variance; `None` where blocks cannot be told from varieties, or plot error not
/// from blocks.
fn profile(layout: &Layout<'_>, equations: &Equations, complete: &TrialAnalysis) -> Option<Profile> {
    let (matrix, right) = without_reps(equations)?;
    let plots = layout.totals(layout.rep_of_block.len(), |place| place.block);
    let largest = plots.iter().map(|(count, _)| *count).fold(0.0, f64::max);
    let terms: Vec<(f64, f64)> = spectrum(matrix, right)
        .into_iter()
        .filter(|(value, _)| *value > LEAST_EIGENVALUE * largest)
        .map(|(value, part)| (value, part * part))
        .collect();
    let error = complete.sums.error - terms.iter().map(|(value, square)| square / value).sum::<f64>();
    // The difference of two sums keeps only so many figures of a small error.
    let error = if error <= 1e-12 * complete.sums.error { 0.0 } else { without_rounding(error, layout) };
    let df = complete.error_df;
    (!terms.is_empty() && terms.len() < df).then_some(Profile { terms, error, df })
}

/// Z′MZ and Z′My: the blocks' part of the equations with replicates eliminated too.
fn without_reps(equations: &Equations) -> Option<(Vec<f64>, Vec<f64>)> {
    let (columns, fixed) = (equations.columns, equations.fixed);
    let blocks = columns - fixed;
    let mut factor: Vec<f64> =
        (0..fixed).flat_map(|row| &equations.cross[row * columns..row * columns + fixed]).copied().collect();
    cholesky(&mut factor, fixed).ok()?;
    let mut right = equations.right[..fixed].to_vec();
    forward(&factor, &mut right);
    let halves: Vec<Vec<f64>> = (fixed..columns)
        .map(|block| {
            let mut half = equations.cross[block * columns..block * columns + fixed].to_vec();
            forward(&factor, &mut half);
            half
        })
        .collect();
    let mut matrix = vec![0.0; blocks * blocks];
    for a in 0..blocks {
        for b in 0..=a {
            let value = equations.cross[(fixed + a) * columns + fixed + b] - dot(&halves[a], &halves[b]);
            matrix[a * blocks + b] = value;
            matrix[b * blocks + a] = value;
        }
    }
    let right = (0..blocks).map(|b| equations.right[fixed + b] - dot(&halves[b], &right)).collect();
    Some((matrix, right))
}

/// S₀(γ): the generalised sum of squares about the replicates alone. A block of k plots has in its mean the weight
/// k/(1 + γk).
fn sum_without_varieties(layout: &Layout<'_>, ratio: f64) -> f64 {
    let blocks = layout.totals(layout.rep_of_block.len(), |place| place.block);
    let within: f64 = layout
        .places
        .iter()
        .map(|place| {
            let (count, sum) = blocks[place.block];
            (place.yield_ - sum / count).powi(2)
        })
        .sum();
    within + between(layout, &blocks, |count| count / (1.0 + ratio * count))
}

/// Σ of `weight`ed squares of block means about their replicate's weighted mean.
fn between(layout: &Layout<'_>, blocks: &[(f64, f64)], weight: impl Fn(f64) -> f64) -> f64 {
    let mut reps = vec![(0.0, 0.0); layout.reps.len()];
    for (&rep, (count, sum)) in layout.rep_of_block.iter().zip(blocks) {
        reps[rep].0 += weight(*count);
        reps[rep].1 += weight(*count) * sum / count;
    }
    let each = layout.rep_of_block.iter().zip(blocks);
    each.map(|(&rep, (count, sum))| weight(*count) * (sum / count - reps[rep].1 / reps[rep].0).powi(2)).sum()
}

fn sums(layout: &Layout<'_>, complete: SumsOfSquares, error: f64) -> SumsOfSquares {
    let totals = layout.totals(layout.rep_of_block.len(), |place| place.block);
    let blocks = between(layout, &totals, |count| count);
    let varieties = (complete.total - complete.reps - blocks - error).max(0.0);
    SumsOfSquares { blocks, varieties, error, ..complete }
}

#[cfg(test)]
#[path = "incomplete_blocks_tests.rs"]
mod tests;
