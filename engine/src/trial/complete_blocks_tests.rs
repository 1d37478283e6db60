//! Checks of the complete-block analysis against a published table, R, and laws.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::order::Map;
use crate::trial::{BlocksError, TrialAnalysis};
use proptest::prelude::*;

const VARIETIES: [&str; 5] = ["A", "B", "C", "D", "E"];
const REPS: [&str; 4] = ["1", "2", "3", "4"];
const YIELDS: [[f64; 4]; 5] = [
    [2.1, 2.8, 2.7, 2.9],
    [3.2, 3.4, 4.1, 4.2],
    [4.9, 4.6, 4.6, 5.0],
    [5.3, 5.2, 5.1, 6.1],
    [3.4, 4.6, 4.6, 3.8],
];

fn example() -> Vec<PlotYield<'static>> {
    let mut plots = Vec::new();
    for (i, variety) in VARIETIES.iter().enumerate() {
        for (b, rep) in REPS.iter().enumerate() {
            plots.push(PlotYield { variety, rep, block: None, yield_: YIELDS[i][b] });
        }
    }
    plots
}

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected} ± {tolerance}");
}

/// Source: handbook example after Gomez & Gomez 1984, pp. 301–303, five treatments in four blocks, t/ha.
/// Tolerances are half a unit of the last printed figure.
#[test]
fn complete_blocks_give_the_published_analysis() {
    let analysis = analyse(&example()).unwrap();
    near(analysis.sums.total, 21.062, 5e-4);
    near(analysis.sums.varieties, 18.092, 5e-4);
    near(analysis.sums.reps, 1.018, 5e-4);
    near(analysis.sums.error, 1.952, 5e-4);
    assert_eq!((analysis.varieties_df, analysis.error_df, analysis.reps), (4, 12, 4));
    near(analysis.error_ms.unwrap(), 0.16267, 5e-6);
    near(analysis.f.unwrap(), 27.805, 5e-4);
    // R 4.2, pf(27.8053278688525, 4, 12, lower.tail = FALSE), F from the sums of squares in full.
    near(analysis.f_p_value().unwrap() / 5.47287566134e-06, 1.0, 1e-4);
    near(analysis.mean, 4.13, 5e-4);
    near(analysis.cv.unwrap(), 9.766, 5e-4);
    // The handbook took t from a table of three decimals, 2.179 and 3.055: 5e-4 of t are 1.4e-4 of the LSD.
    near(analysis.lsd(0.05).unwrap(), 0.6214, 2e-4);
    near(analysis.lsd(0.01).unwrap(), 0.8713, 2e-4);
    // R 4.2, sqrt(2 * 1.952 / 12 / 4) * qt(0.995, 12), with the sum of squares in full.
    near(analysis.lsd(0.01).unwrap() / analysis.sed.unwrap().average, 3.0545396, 1e-6);
    let sed = analysis.sed.unwrap();
    near(sed.least, sed.greatest, 1e-12);
    near(analysis.means[1].mean, (3.2 + 3.4 + 4.1 + 4.2) / 4.0, 1e-12);
    assert_eq!(analysis.means[1].plots, 4);
}

/// With one plot lost, the missing-plot formula holds: the estimated plot is (rB + tT − G)/((r−1)(t−1)), with B,
/// T and G the totals of its block, its treatment and the trial without it, and the analysis of the completed
/// table has the same means and error sum of squares. Source: Yates 1933, Empire J. Exp. Agric. 1:129–142.
#[test]
fn a_lost_plot_is_estimated_by_yates_formula() {
    let mut plots = example();
    let lost = plots.remove(6);
    assert_eq!((lost.variety, lost.rep), ("B", "3"));
    let sum = |keep: &dyn Fn(&PlotYield<'_>) -> bool| -> f64 {
        plots.iter().filter(|plot| keep(plot)).map(|plot| plot.yield_).sum()
    };
    let (t, r) = (5.0, 4.0);
    let block = sum(&|plot| plot.rep == "3");
    let treatment = sum(&|plot| plot.variety == "B");
    let estimate = (t * treatment + r * block - sum(&|_| true)) / ((r - 1.0) * (t - 1.0));

    let analysis = analyse(&plots).unwrap();
    let mut completed = plots.clone();
    completed.push(PlotYield { yield_: estimate, ..lost });
    let complete = analyse(&completed).unwrap();
    assert_eq!(analysis.error_df, 11);
    near(analysis.sums.error, complete.sums.error, 1e-12);
    for mean in &analysis.means {
        let same = complete.means.iter().find(|other| other.variety == mean.variety).unwrap();
        near(mean.mean, same.mean, 1e-12);
    }
    // The same author: Var(difference with the lost treatment) = σ²·(2/r + t/(r(r−1)(t−1))).
    let ms = analysis.error_ms.unwrap();
    let sed = analysis.sed.unwrap();
    near(sed.greatest, (ms * (2.0 / r + t / (r * (r - 1.0) * (t - 1.0)))).sqrt(), 1e-12);
    near(sed.least, (ms * 2.0 / r).sqrt(), 1e-12);
}

#[test]
fn one_replicate_gives_means_without_an_error() {
    let plots: Vec<_> = example().into_iter().filter(|plot| plot.rep == "1").collect();
    let analysis = analyse(&plots).unwrap();
    assert_eq!(analysis.error_df, 0);
    assert_eq!((analysis.error_ms, analysis.f, analysis.cv, analysis.sed), (None, None, None, None));
    assert_eq!(analysis.lsd(0.05), None);
    assert_eq!(analysis.means[3].mean, 5.3);
}

#[test]
fn replicates_without_a_common_variety_are_named() {
    let plots: Vec<_> =
        example().into_iter().filter(|plot| (plot.variety < "C") == (plot.rep < "3")).collect();
    let error = analyse(&plots).unwrap_err();
    assert_eq!(error, BlocksError::NotConnected { first: "1".to_owned(), other: "4".to_owned() });
    assert_eq!(analyse(&[]).unwrap_err(), BlocksError::NoPlots);
}

proptest! {
    /// The fit is least squares: residuals add to zero over every variety and every replicate, the means do not
    /// depend on the order of the plots, and they move and stretch with the yields.
    #[test]
    fn residuals_are_orthogonal_and_means_equivariant(
        yields in prop::collection::vec(0.0..9.0_f64, 20),
        lost in prop::collection::btree_set(1_usize..20, 0..6),
        shift in -3.0..3.0_f64,
        scale in 0.1..10.0_f64,
    ) {
        let all = example();
        let with = |change: &dyn Fn(f64) -> f64| -> Vec<PlotYield<'static>> {
            all.iter().enumerate().filter(|(at, _)| !lost.contains(at))
                .map(|(at, plot)| PlotYield { yield_: change(yields[at]), ..*plot }).collect()
        };
        let plots = with(&|y| y);
        let Ok(analysis) = analyse(&plots) else { return Ok(()) };
        let mean_of = |analysis: &TrialAnalysis, variety: &str| {
            analysis.means.iter().find(|m| m.variety == variety).map(|m| m.mean).unwrap()
        };
        // Block effects follow from the means: within a replicate, the residuals add to zero.
        let mut residual_of_variety: Map<&str, f64> = Map::new();
        for rep in REPS {
            let here: Vec<_> = plots.iter().filter(|plot| plot.rep == rep).collect();
            let differences: Vec<f64> = here.iter().map(|p| p.yield_ - mean_of(&analysis, p.variety)).collect();
            let effect = differences.iter().sum::<f64>() / differences.len().max(1) as f64;
            for (plot, difference) in here.iter().zip(differences) {
                *residual_of_variety.entry(plot.variety).or_default() += difference - effect;
            }
        }
        for residual in residual_of_variety.values() {
            prop_assert!(residual.abs() < 1e-9);
        }
        let moved = analyse(&with(&|y| shift + scale * y)).unwrap();
        let mut reversed = plots.clone();
        reversed.reverse();
        let reversed = analyse(&reversed).unwrap();
        for mean in &analysis.means {
            prop_assert!((mean_of(&moved, &mean.variety) - shift - scale * mean.mean).abs() < 1e-9);
            prop_assert!((mean_of(&reversed, &mean.variety) - mean.mean).abs() < 1e-9);
        }
        let sums = analysis.sums;
        prop_assert!((sums.reps + sums.blocks + sums.varieties + sums.error - sums.total).abs() < 1e-9);
    }
}
