//! Checks of the analysis with random blocks: closed forms of balanced designs, and laws. The comparison with
//! R is in the reference tests.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use crate::trial::complete_blocks;
use crate::trial::{PlotYield, TrialAnalysis, analyse};
use proptest::prelude::*;

const NAMES: [&str; 9] = ["A", "B", "C", "D", "E", "F", "G", "H", "I"];

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected} ± {tolerance}");
}

fn plot(variety: usize, rep: usize, block: usize, yield_: f64) -> PlotYield<'static> {
    PlotYield { variety: NAMES[variety], rep: NAMES[rep], block: Some(NAMES[block]), yield_ }
}

/// Four catalysts in four batches of three, a balanced incomplete block design without replicates.
const CATALYSTS: [(usize, [(usize, f64); 3]); 4] = [
    (0, [(0, 73.0), (2, 73.0), (3, 75.0)]),
    (1, [(0, 74.0), (1, 75.0), (2, 75.0)]),
    (2, [(1, 67.0), (2, 68.0), (3, 72.0)]),
    (3, [(0, 71.0), (1, 72.0), (3, 75.0)]),
];

fn catalysts() -> Vec<PlotYield<'static>> {
    let block = |(block, plots): (usize, [(usize, f64); 3])| {
        plots.map(|(variety, yield_)| PlotYield { rep: "", ..plot(variety, 0, block, yield_) })
    };
    CATALYSTS.into_iter().flat_map(block).collect()
}

/// Source: textbook example, Montgomery, *Design and Analysis of Experiments*, balanced incomplete blocks (from
/// memory): sums of squares total 81.00, blocks 55.00, treatments adjusted 22.75, error 3.25 on 5 degrees of
/// freedom, mean square 0.65.
#[test]
fn a_balanced_incomplete_block_design_gives_the_published_intra_block_analysis() {
    let analysis = analyse(&catalysts()).unwrap();
    let blocks = analysis.blocks.clone().unwrap();
    near(analysis.sums.total, 81.0, 1e-9);
    near(analysis.sums.blocks, 55.0, 1e-9);
    near(analysis.sums.varieties, 22.75, 1e-9);
    near(analysis.sums.error, 3.25, 1e-9);
    near(blocks.intra_block_ms, 0.65, 1e-9);
    assert_eq!((analysis.varieties_df, analysis.error_df, blocks.df, blocks.blocks), (3, 5, 3, 4));
    let sed = analysis.sed.unwrap();
    near(sed.least, sed.greatest, 1e-12);
    near(analysis.effective_error_ms().unwrap(), 3.0 * sed.average.powi(2) / 2.0, 1e-12);
    near(analysis.replication(), 3.0, 1e-12);
    // Between the error within blocks and twice it over r·E, E = λt/(rk) = 8/9 the efficiency factor.
    assert!(sed.average.powi(2) < 2.0 * analysis.error_ms.unwrap() / (3.0 * 8.0 / 9.0));
    assert!(sed.average.powi(2) > 2.0 * analysis.error_ms.unwrap() / 3.0);
}

/// Whole plots as blocks: varieties A to C in whole plots of replicates, each split for two treatments. Balanced, so
/// that REML is the analysis of variance: σ² = split-plot mean square, σ²_b = (whole-plot mean square − σ²)/2.
#[test]
fn a_split_plot_gives_its_two_mean_squares() {
    let lift = |variety: usize, rep: usize| [3.0, -1.0, 2.0, -4.0, 5.0, 1.0][(variety * 2 + rep * 5) % 6];
    let noise = |at: usize| [0.3, -0.2, 0.5, 0.1, -0.4, 0.2, -0.1][at % 7];
    let yield_ = |variety: usize, rep: usize, half: usize| {
        20.0 + variety as f64
            + lift(variety, rep)
            + half as f64 * 1.5
            + noise(5 * variety + 3 * rep + 2 * half * (rep + 1))
    };
    let mut plots = Vec::new();
    for rep in 0..4 {
        for variety in 0..3 {
            for half in 0..2 {
                plots.push(plot(2 * variety + half, rep, variety, yield_(variety, rep, half)));
            }
        }
    }
    let analysis = analyse(&plots).unwrap();
    // Residuals of the additive table of whole-plot means (4 × 3), and of the halves' differences within varieties.
    let mean = |variety, rep| (yield_(variety, rep, 0) + yield_(variety, rep, 1)) / 2.0;
    let over = |n: usize, f: &dyn Fn(usize) -> f64| (0..n).map(f).sum::<f64>() / n as f64;
    let (mut whole, mut split) = (0.0, 0.0);
    for variety in 0..3 {
        let apart = |rep| yield_(variety, rep, 1) - yield_(variety, rep, 0);
        for rep in 0..4 {
            let additive = over(4, &|r| mean(variety, r)) + over(3, &|v| mean(v, rep))
                - over(3, &|v| over(4, &|r| mean(v, r)));
            whole += 2.0 * (mean(variety, rep) - additive).powi(2);
            split += (apart(rep) - over(4, &apart)).powi(2) / 2.0;
        }
    }
    let (whole, split) = (whole / 6.0, split / 9.0);
    assert!(whole > 2.0 * split);
    near(analysis.error_ms.unwrap(), split, 1e-10);
    let blocks = analysis.blocks.clone().unwrap();
    near(blocks.variance, (whole - split) / 2.0, 1e-9);
    near(blocks.intra_block_ms, split, 1e-10);
    assert_eq!((analysis.error_df, blocks.df), (9, 6));
    assert_eq!(blocks.apart, Some(("A".to_owned(), "C".to_owned())));
    let sed = analysis.sed.unwrap();
    near(sed.least, (2.0 * split / 4.0).sqrt(), 1e-10);
    near(sed.greatest, (2.0 * ((whole - split) / 2.0 + split) / 4.0).sqrt(), 1e-9);
}

/// Blocks that are the replicates, or that hold a plot each, or a variety each, add nothing to replicates.
#[test]
fn blocks_that_say_nothing_leave_the_analysis_of_complete_blocks() {
    let yield_ = |variety: usize, rep: usize| (7 * variety + 5 * rep) as f64 % 4.0 + variety as f64;
    let trial = |block: &dyn Fn(usize, usize) -> usize| -> Vec<PlotYield<'static>> {
        let plots = (0..12).map(|at| (at % 4, at / 4));
        plots.map(|(variety, rep)| plot(variety, rep, block(variety, rep), yield_(variety, rep))).collect()
    };
    let complete = complete_blocks::analyse(&trial(&|_, _| 0)).unwrap();
    assert_eq!(analyse(&trial(&|_, rep| rep)).unwrap(), complete);
    let single = analyse(&trial(&|variety, _| variety)).unwrap();
    assert_eq!(single, TrialAnalysis { blocks_left_out: true, ..complete });
}

/// Where plots within blocks agree exactly, plot error is zero and nothing is divided by it.
#[test]
fn plots_without_error_are_analysed() {
    let mut plots = catalysts();
    let code = |name: &str| NAMES.iter().position(|other| *other == name).unwrap() as f64;
    for at in &mut plots {
        at.yield_ = 50.0 + code(at.variety) + 3.0 * code(at.block.unwrap()).powi(2);
    }
    let analysis = analyse(&plots).unwrap();
    assert_eq!((analysis.error_ms, analysis.f, analysis.effective_error_ms()), (Some(0.0), None, Some(0.0)));
    assert!(analysis.blocks.unwrap().variance > 1.0);
    for mean in &analysis.means {
        let lead = mean.mean - analysis.means[0].mean;
        near(lead, code(&mean.variety) - code(&analysis.means[0].variety), 1e-5);
    }
    assert!(analysis.residuals.iter().all(|plot| plot.studentised.is_none()));
}

proptest! {
    /// Means and errors move and stretch with the yields and do not depend on the order of the plots; sums of
    /// squares add up; residuals add to zero over each variety; studentised residuals do not stretch.
    #[test]
    fn analyses_follow_their_yields(
        yields in prop::collection::vec(0.0..9.0_f64, 36),
        lost in prop::collection::btree_set(0_usize..36, 0..8),
        shift in -3.0..3.0_f64,
        scale in 0.1..10.0_f64,
    ) {
        // A balanced lattice: nine varieties, rows, columns and both diagonals of a square as blocks of three.
        let with = |change: &dyn Fn(f64) -> f64| -> Vec<PlotYield<'static>> {
            (0..36).filter(|at| !lost.contains(at)).map(|at| {
                let (rep, variety) = (at / 9, at % 9);
                let (row, column) = (variety / 3, variety % 3);
                let block = [row, column, (row + column) % 3, (row + 2 * column) % 3][rep];
                plot(variety, rep, block, change(yields[at]))
            }).collect()
        };
        let plots = with(&|y| y);
        let Ok(analysis) = analyse(&plots) else { return Ok(()) };
        let moved = analyse(&with(&|y| shift + scale * y)).unwrap();
        let mut reversed = plots.clone();
        reversed.reverse();
        let reversed = analyse(&reversed).unwrap();
        let mean_of = |analysis: &TrialAnalysis, variety: &str| {
            analysis.means.iter().find(|m| m.variety == variety).map(|m| m.mean).unwrap()
        };
        for mean in &analysis.means {
            prop_assert!((mean_of(&moved, &mean.variety) - shift - scale * mean.mean).abs() < 1e-6);
            prop_assert!((mean_of(&reversed, &mean.variety) - mean.mean).abs() < 1e-6);
            let of = plots.iter().zip(&analysis.residuals).filter(|(plot, _)| plot.variety == mean.variety);
            prop_assert!(of.map(|(_, residual)| residual.residual).sum::<f64>().abs() < 1e-8);
        }
        let sums = analysis.sums;
        prop_assert!((sums.reps + sums.blocks + sums.varieties + sums.error - sums.total).abs() < 1e-9);
        prop_assert!(sums.error >= 0.0);
        let (Some(sed), Some(wider)) = (analysis.sed, moved.sed) else { return Ok(()) };
        prop_assert!(sed.least <= sed.average * (1.0 + 1e-12) && sed.average <= sed.greatest * (1.0 + 1e-12));
        prop_assert!((wider.average - scale * sed.average).abs() < 1e-6 * (1.0 + wider.average));
        for (plot, other) in analysis.residuals.iter().zip(&moved.residuals) {
            if let (Some(t), Some(u)) = (plot.studentised, other.studentised) {
                prop_assert!((t - u).abs() < 1e-5 * (1.0 + t.abs()), "{t} {u}");
            }
        }
        // Over the means, the error variance that stage two is told is half the average variance of a difference.
        let told = analysis.effective_error_ms().unwrap();
        let plots_of = |mean: &crate::trial::VarietyMean| mean.plots as f64;
        let average = analysis.means.iter().map(|m| told / plots_of(m)).sum::<f64>() / analysis.means.len() as f64;
        if analysis.blocks.is_some() {
            prop_assert!((average - sed.average.powi(2) / 2.0).abs() < 1e-9 * (1.0 + average));
        }
        if let (Some(blocks), Some(ms)) = (&analysis.blocks, analysis.error_ms) {
            prop_assert!(blocks.variance >= 0.0 && ms >= 0.0 && blocks.df + analysis.error_df == plots.len() + 1 - analysis.means.len() - analysis.reps);
        }
    }
}
