//! What the trials' reports say of the error of their means, put to the rows of a fit.
//!
//! A report may state an error mean square, an LSD or a CV; a trial without any takes its system's pooled
//! variance of a plot; a system without any has none, and its residual stands for error too.

use super::design::Row;
use super::network::Purpose;
use crate::pack::Network;
use crate::trial::error_variance::{degrees_of_freedom, variance_of_mean};

/// Fills the known error variance of each row; returns each system's pooled variance of a plot.
pub fn known_variances(
    network: &Network,
    trials: &[usize],
    system_of: &[usize],
    plots: &[Option<f64>],
    rows: &mut [Row],
    purpose: Purpose,
) -> Vec<Option<f64>> {
    let columns = trials.len();
    let mut entries = vec![0usize; columns];
    let mut sum = vec![0.0; columns];
    for r in rows.iter() {
        entries[r.trial] += 1;
        sum[r.trial] += r.value;
    }
    let mean = |c: usize| sum[c] / entries[c] as f64;
    // A plot's error mean square, as far as a trial's report tells it.
    let plot_variance: Vec<Option<(f64, f64)>> = (0..columns)
        .map(|c| {
            let report = &network.trials[trials[c]].error;
            let variance = variance_of_mean(report, entries[c], mean(c), None)?;
            let freedom = degrees_of_freedom(report, entries[c]).unwrap_or(1.0);
            Some((variance * report.reps.unwrap_or(1.0), freedom))
        })
        .collect();
    let systems = system_of.iter().copied().max().map_or(0, |s| s + 1);
    let pooled: Vec<Option<f64>> = (0..systems)
        .map(|s| {
            let here = (0..columns).filter(|&c| system_of[c] == s).filter_map(|c| plot_variance[c]);
            let (total, weight) =
                here.fold((0.0, 0.0), |(total, weight), (variance, df)| (total + df * variance, weight + df));
            (weight > 0.0).then(|| total / weight)
        })
        .collect();
    for (r, plots) in rows.iter_mut().zip(plots) {
        let Some(pooled) = pooled[r.system] else { continue };
        let report = &network.trials[trials[r.trial]].error;
        let count = plots.or(report.reps).unwrap_or(1.0).max(1.0);
        let stated = variance_of_mean(report, entries[r.trial], mean(r.trial), *plots);
        r.known_variance = match (purpose, stated) {
            (Purpose::Report, Some(variance)) => variance,
            _ => pooled / count,
        };
    }
    pooled
}

/// Where a system states no error variance but every mean its plots, the residual is that of a mean of the
/// fewest plots, and the others weigh more. The forecast does not: what a variety does in a trial does not
/// shrink with its plots.
pub fn weigh_by_plots(rows: &mut [Row], plots: &[Option<f64>], pooled: &[Option<f64>]) {
    for system in (0..pooled.len()).filter(|&s| pooled[s].is_none()) {
        let here = || rows.iter().zip(plots).filter(|(r, _)| r.system == system).map(|(_, p)| *p);
        let Some(fewest) =
            here().try_fold(f64::INFINITY, |least, p| Some(least.min(p.filter(|p| *p > 0.0)?)))
        else {
            continue;
        };
        for (r, p) in rows.iter_mut().zip(plots).filter(|(r, _)| r.system == system) {
            r.weight = p.unwrap_or(fewest) / fewest;
        }
    }
}
