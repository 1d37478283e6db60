//! What the trials' reports say of the error of their means, put to the rows of a fit.
//!
//! A report may state an error mean square, an LSD or a CV; a trial without any takes its system's pooled
//! variance of a plot; a system without any has none, and its residual stands for error too. For a forecast
//! each trial's own is drawn towards the pooled one: (d₀·s₀² + d·s²)/(d₀ + d), d its degrees of freedom and d₀
//! what the trials' mean squares say of how alike they are (Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3:3).

use super::design::Row;
use super::network::Purpose;
use crate::pack::Network;
use crate::trial::error_variance::{degrees_of_freedom, variance_of_mean};
use crate::trial::trigamma::{excess_spread, inverse_trigamma, trigamma};

/// Fewest trials with an error of their own that say how alike they are.
const MIN_REPORTS: usize = 3;

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
    let alike = prior_freedom(&plot_variance, system_of, &pooled);
    for (r, plots) in rows.iter_mut().zip(plots) {
        let Some(pooled) = pooled[r.system] else { continue };
        let report = &network.trials[trials[r.trial]].error;
        let count = plots.or(report.reps).unwrap_or(1.0).max(1.0);
        let stated = || variance_of_mean(report, entries[r.trial], mean(r.trial), *plots);
        let known = match purpose {
            Purpose::Report => stated(),
            Purpose::Forecast => plot_variance[r.trial].map(|own| drawn_towards(pooled, alike, own) / count),
        };
        r.known_variance = known.unwrap_or(pooled / count);
    }
    pooled
}

/// A trial's variance of a plot with its degrees of freedom, drawn towards the pooled one.
fn drawn_towards(pooled: f64, alike: f64, (own, freedom): (f64, f64)) -> f64 {
    let weight = if alike.is_finite() { freedom / (alike + freedom) } else { 0.0 };
    pooled + weight * (own - pooled)
}

/// d₀: degrees of freedom of the spread of true variances of a plot over trials; infinite where they are
/// as alike as chance makes them.
fn prior_freedom(plot_variance: &[Option<(f64, f64)>], system_of: &[usize], pooled: &[Option<f64>]) -> f64 {
    let logs: Vec<(f64, f64)> = plot_variance
        .iter()
        .zip(system_of)
        .filter_map(|(own, &system)| own.zip(pooled[system]))
        .filter(|((variance, _), pooled)| *variance > 0.0 && *pooled > 0.0)
        .map(|((variance, freedom), pooled)| ((variance / pooled).ln(), trigamma(freedom / 2.0)))
        .collect();
    match excess_spread(&logs).filter(|excess| logs.len() >= MIN_REPORTS && *excess > 0.0) {
        Some(excess) => 2.0 * inverse_trigamma(excess),
        None => f64::INFINITY,
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn alike_mean_squares_become_the_pooled_one_and_unlike_ones_stand() {
        let systems = vec![0; 12];
        let alike: Vec<Option<(f64, f64)>> = (0..12).map(|_| Some((3.0, 60.0))).collect();
        assert_eq!(drawn_towards(3.0, prior_freedom(&alike, &systems, &[Some(3.0)]), (5.0, 60.0)), 3.0);
        let unlike: Vec<Option<(f64, f64)>> =
            (0..12).map(|k| Some((if k % 2 == 0 { 0.5 } else { 8.0 }, 60.0))).collect();
        let d0 = prior_freedom(&unlike, &systems, &[Some(4.25)]);
        assert!(d0 < 3.0, "{d0}");
        assert!((drawn_towards(4.25, d0, (8.0, 60.0)) - 8.0).abs() < 0.2);
    }
}
