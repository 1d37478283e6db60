//! Which plots are named.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
use super::*;
use crate::trial::analyse;

const NAMES: [&str; 8] = ["A", "B", "C", "D", "E", "F", "G", "H"];

/// Eight varieties in three replicates, halves of a replicate as blocks where asked; deviations of a fixed pattern.
fn trial(blocks: bool) -> Vec<PlotYield<'static>> {
    let deviation = [0.31, -0.22, 0.05, -0.41, 0.18, 0.27, -0.33, 0.12, -0.07, 0.44, -0.19];
    (0..24)
        .map(|at| {
            let (variety, rep) = (at % 8, at / 8);
            let block = blocks.then(|| NAMES[[variety / 4, variety % 2, variety / 2 % 2][rep]]);
            let yield_ = 5.0 + 0.2 * variety as f64 + 0.5 * rep as f64 + deviation[at % 11];
            PlotYield { variety: NAMES[variety], rep: NAMES[rep], block, yield_ }
        })
        .collect()
}

#[test]
fn a_mistyped_yield_is_named_and_no_other() {
    for blocks in [false, true] {
        let mut plots = trial(blocks);
        let analysis = analyse(&plots).unwrap();
        assert_eq!(outlying_plots(&plots, &analysis, 0.05), []);
        let clean = analysis.means;
        plots[13].yield_ *= 10.0;
        let analysis = analyse(&plots).unwrap();
        let named = outlying_plots(&plots, &analysis, 0.05);
        assert_eq!(named.len(), 1);
        assert_eq!((named[0].place, named[0].plot), (13, plots[13]));
        assert!(named[0].studentised > 10.0 && named[0].residual > 20.0 && named[0].p_value < 1e-6);
        // Never removed: the mean of its variety holds it.
        assert_eq!(analysis.means[5].plots, 3);
        assert!(analysis.means[5].mean > clean[5].mean + 10.0);
        // Everything is an outlier to a level of 1.
        assert_eq!(outlying_plots(&plots, &analysis, 1.0).len(), 24);
    }
}

#[test]
fn a_trial_without_error_names_no_plot() {
    let mut plots = trial(false);
    plots.truncate(8);
    assert_eq!(outlying_plots(&plots, &analyse(&plots).unwrap(), 1.0), []);
    let mut exact = trial(false);
    exact.iter_mut().enumerate().for_each(|(at, plot)| plot.yield_ = (at % 8) as f64 + 2.0 * (at / 8) as f64);
    assert_eq!(outlying_plots(&exact, &analyse(&exact).unwrap(), 1.0), []);
    // All but one agree exactly: the ratio is large and finite.
    exact[3].yield_ += 1.0;
    let analysis = analyse(&exact).unwrap();
    let named = outlying_plots(&exact, &analysis, 0.05);
    assert_eq!(named.iter().map(|plot| plot.place).collect::<Vec<_>>(), [3]);
    assert!(named[0].studentised > 1e3 && named[0].studentised.is_finite());
}
