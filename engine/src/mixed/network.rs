//! From a network's tables to the rows of a fit: indices, scales, error variances, and which terms the
//! data can estimate.
//!
//! Yields are divided by the mean of their system's fitted rows where there are several systems, so that
//! one variance of a variety speaks for all of them; with one system they stay in yield units. It knows
//! tables and numbers, not what is done with the fit.

use super::design::{Design, Row};
use super::terms::Terms;
use crate::pack::{Network, Trial};
use crate::trial::error_variance::{degrees_of_freedom, variance_of_mean};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use thiserror::Error;

/// Trials with known water below which a system carries no slope.
const MIN_TRIALS_FOR_SLOPE: usize = 5;
/// Spread of water (sd / mean) below which a system carries no slope.
const MIN_WATER_SPREAD: f64 = 0.10;

/// What the rows are laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// `fit`: error variances as each trial states them, and yield units where there is one system.
    Report,
    /// The forecast: each trial's error mean square replaced by its system's pooled one, since raw
    /// inverse weights made real forecasts worse, and yields always in shares of the system's mean.
    Forecast,
}

/// Why a network cannot be fitted at all.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum FitError {
    /// Nothing to fit.
    #[error("no trial with means is left to fit; look for trials that are all excluded")]
    NoRows,
    /// One trial only.
    #[error("there is only one fitted trial; at least two are needed before a variety can be told from luck")]
    OneTrial,
    /// One variety only.
    #[error("there is only one variety in the fitted trials; at least two are needed for a comparison")]
    OneVariety,
    /// A name that is not there.
    #[error("`{0}` is not a variety of the fitted trials")]
    UnknownVariety(String),
    /// The optimiser's reason.
    #[error("{0}")]
    Optimise(#[from] super::optimise::OptimiseError),
}

/// Why a term was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Error)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// Only one level.
    #[error("there is only one level of it")]
    OneLevel,
    /// No variety has two rows in one level.
    #[error("no variety has two trials in one level, so it cannot be told from the residual")]
    NeverRepeated,
    /// The same grouping of trials as another term.
    #[error("it groups the trials just as another term does")]
    SameGrouping,
    /// No system has enough trials with spread-out water.
    #[error("no system has five trials with known water that spreads by a tenth of its mean")]
    TooLittleWater,
    /// Left for a model that is not fitted by this command.
    #[error("losses to diseases and the trend with entry year are not in this fit")]
    NotFitted,
}

/// A term left out, with the reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dropped {
    /// The term as written.
    pub term: String,
    /// The reason.
    pub why: Why,
}

/// Centre and scale of a system's water, water unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct WaterScale {
    /// Mean over the fitted trials.
    pub center: f64,
    /// Standard deviation (n − 1) over the fitted trials.
    pub scale: f64,
}

/// A network made ready to fit.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Rows and terms.
    pub design: Design,
    /// Codes of the varieties, by block.
    pub varieties: Vec<String>,
    /// Index in [`Network::trials`] of each border column.
    pub trials: Vec<usize>,
    /// Codes of the sites.
    pub sites: Vec<String>,
    /// Seasons, ascending.
    pub seasons: Vec<i32>,
    /// Codes of the systems.
    pub systems: Vec<String>,
    /// What yields were divided by, by system.
    pub scale: Vec<f64>,
    /// Water of each system that carries a slope.
    pub water: Vec<Option<WaterScale>>,
    /// Standardised water of each fitted trial; 0 where the system carries no slope or water is unknown.
    pub trial_water: Vec<f64>,
    /// Whether error variances are known, by system.
    pub errors_known: Vec<bool>,
    /// Pooled error variance of a plot where it is known, by system, in the rows' squared unit.
    pub plot_variance: Vec<Option<f64>>,
    /// Terms left out.
    pub dropped: Vec<Dropped>,
}

impl Prepared {
    /// Lays out the fitted means of a network. `wanted` are the terms asked for, or every term that the
    /// data can estimate.
    ///
    /// # Errors
    /// No trial, one trial or one variety.
    pub fn new(network: &Network, wanted: Option<Terms>, purpose: Purpose) -> Result<Prepared, FitError> {
        let fitted: BTreeMap<&str, usize> = network
            .trials
            .iter()
            .enumerate()
            .filter(|(_, t)| t.excluded.is_none())
            .map(|(i, t)| (t.trial.as_str(), i))
            .collect();
        let means: Vec<_> = network.means.iter().filter(|m| fitted.contains_key(m.trial.as_str())).collect();
        let present: BTreeSet<&str> = means.iter().map(|m| m.trial.as_str()).collect();
        let mut trials: Vec<usize> = present.iter().map(|t| fitted[t]).collect();
        // Trials of one season side by side, so that a variety's rows gather from neighbouring columns.
        trials.sort_by_key(|&i| (network.trials[i].season, i));
        let varieties = in_table_order(network, means.iter().map(|m| m.variety.as_str()));
        if means.is_empty() {
            return Err(FitError::NoRows);
        }
        if trials.len() < 2 {
            return Err(FitError::OneTrial);
        }
        if varieties.len() < 2 {
            return Err(FitError::OneVariety);
        }
        let of = |i: &usize| &network.trials[*i];
        let sites = distinct(trials.iter().map(|i| of(i).site.clone()));
        let seasons = distinct(trials.iter().map(|i| of(i).season));
        let systems: Vec<String> = network
            .systems()
            .into_iter()
            .filter(|s| trials.iter().any(|i| of(i).system == *s))
            .map(str::to_owned)
            .collect();
        let place = |list: &[String], code: &str| list.iter().position(|x| x == code).unwrap_or_default();
        let system_of: Vec<usize> = trials.iter().map(|i| place(&systems, &of(i).system)).collect();
        let column: BTreeMap<&str, usize> =
            trials.iter().enumerate().map(|(c, i)| (of(i).trial.as_str(), c)).collect();
        let block: BTreeMap<&str, usize> =
            varieties.iter().enumerate().map(|(b, code)| (code.as_str(), b)).collect();
        let water: Vec<Option<WaterScale>> =
            (0..systems.len()).map(|s| water_scale(network, &trials, &system_of, s)).collect();
        let trial_water: Vec<f64> = trials
            .iter()
            .zip(&system_of)
            .map(|(i, &s)| match (of(i).water, water[s]) {
                (Some(amount), Some(w)) => (amount - w.center) / w.scale,
                _ => 0.0,
            })
            .collect();
        let mut rows: Vec<Row> = means
            .iter()
            .map(|m| {
                let trial = column[m.trial.as_str()];
                let t = of(&trials[trial]);
                Row {
                    block: block[m.variety.as_str()],
                    trial,
                    site: place(&sites, &t.site),
                    season: seasons.binary_search(&t.season).unwrap_or_default(),
                    system: system_of[trial],
                    water: trial_water[trial],
                    value: m.yield_,
                    known_variance: 0.0,
                    weight: 1.0,
                }
            })
            .collect();
        let plots: Vec<Option<f64>> = means.iter().map(|m| m.plots).collect();
        let pooled = known_variances(network, &trials, &system_of, &plots, &mut rows, purpose);
        if purpose == Purpose::Report {
            weigh_by_plots(&mut rows, &plots, &pooled);
        }
        let scale = scale_rows(&mut rows, systems.len(), purpose);
        let errors_known: Vec<bool> = pooled.iter().map(Option::is_some).collect();
        let plot_variance = pooled.iter().zip(&scale).map(|(v, c)| v.map(|v| v / (c * c))).collect();
        let mut dropped = Vec::new();
        let wanted = wanted.unwrap_or(Terms {
            water: water.iter().any(Option::is_some),
            site: true,
            season: true,
            system: systems.len() > 1,
            ..Terms::default()
        });
        let terms = estimable(wanted, &rows, &water, &errors_known, &mut dropped);
        if !terms.water {
            rows.iter_mut().for_each(|r| r.water = 0.0);
        }
        let design = Design::new(&rows, &[], varieties.len(), trials.len(), systems.len(), terms);
        Ok(Prepared {
            design,
            varieties,
            trials,
            sites,
            seasons,
            systems,
            scale,
            water,
            trial_water,
            errors_known,
            plot_variance,
            dropped,
        })
    }

    /// Block of a variety.
    ///
    /// # Errors
    /// The variety has no fitted mean.
    pub fn block(&self, variety: &str) -> Result<usize, FitError> {
        self.varieties
            .iter()
            .position(|v| v == variety)
            .ok_or_else(|| FitError::UnknownVariety(variety.to_owned()))
    }

    /// The trial behind a border column.
    pub fn trial<'n>(&self, network: &'n Network, column: usize) -> &'n Trial {
        &network.trials[self.trials[column]]
    }

    /// System of a border column.
    pub fn system_of(&self, network: &Network, column: usize) -> usize {
        let system = &self.trial(network, column).system;
        self.systems.iter().position(|s| s == system).unwrap_or_default()
    }
}

fn distinct<T: Ord>(values: impl Iterator<Item = T>) -> Vec<T> {
    values.collect::<BTreeSet<T>>().into_iter().collect()
}

/// Varieties with means, in the order of the variety table, so that row order of means changes nothing.
fn in_table_order<'a>(network: &Network, with_means: impl Iterator<Item = &'a str>) -> Vec<String> {
    let present: BTreeSet<&str> = with_means.collect();
    let mut codes: Vec<String> = network
        .varieties
        .iter()
        .map(|v| &v.variety)
        .filter(|v| present.contains(v.as_str()))
        .cloned()
        .collect();
    let listed: BTreeSet<String> = codes.iter().cloned().collect();
    codes.extend(present.into_iter().filter(|v| !listed.contains(*v)).map(str::to_owned));
    codes
}

fn water_scale(
    network: &Network,
    trials: &[usize],
    system_of: &[usize],
    system: usize,
) -> Option<WaterScale> {
    let amounts: Vec<f64> = trials
        .iter()
        .zip(system_of)
        .filter(|(_, s)| **s == system)
        .filter_map(|(i, _)| network.trials[*i].water)
        .collect();
    let n = amounts.len() as f64;
    let center = amounts.iter().sum::<f64>() / n;
    let scale = (amounts.iter().map(|x| (x - center).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    (amounts.len() >= MIN_TRIALS_FOR_SLOPE && scale >= MIN_WATER_SPREAD * center && scale > 0.0)
        .then_some(WaterScale { center, scale })
}

/// Fills the known error variance of each row; returns each system's pooled variance of a plot.
fn known_variances(
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
fn weigh_by_plots(rows: &mut [Row], plots: &[Option<f64>], pooled: &[Option<f64>]) {
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

/// Divides by the mean of each system's rows, except to report on a single system; returns the divisors.
fn scale_rows(rows: &mut [Row], systems: usize, purpose: Purpose) -> Vec<f64> {
    if systems < 2 && purpose == Purpose::Report {
        return vec![1.0; systems];
    }
    let scale: Vec<f64> = (0..systems)
        .map(|s| {
            let here: Vec<f64> = rows.iter().filter(|r| r.system == s).map(|r| r.value).collect();
            let mean = here.iter().sum::<f64>() / here.len() as f64;
            if mean > 0.0 { mean } else { 1.0 }
        })
        .collect();
    for r in rows {
        r.value /= scale[r.system];
        r.known_variance /= scale[r.system] * scale[r.system];
    }
    scale
}

/// Keeps the terms that the rows can tell from each other and from the residual.
fn estimable(
    wanted: Terms,
    rows: &[Row],
    water: &[Option<WaterScale>],
    errors_known: &[bool],
    dropped: &mut Vec<Dropped>,
) -> Terms {
    let mut terms = wanted;
    let mut drop = |term: &str, why: Why| dropped.push(Dropped { term: term.to_owned(), why });
    if wanted.water && water.iter().all(Option::is_none) {
        terms.water = false;
        drop("variety*water", Why::TooLittleWater);
    }
    let all_known = errors_known.iter().all(|&k| k);
    let check = |of: fn(&Row) -> usize| -> Option<Why> {
        let levels: BTreeSet<usize> = rows.iter().map(of).collect();
        if levels.len() < 2 {
            return Some(Why::OneLevel);
        }
        let pairs: BTreeSet<(usize, usize)> = rows.iter().map(|r| (r.block, of(r))).collect();
        (pairs.len() == rows.len() && !all_known).then_some(Why::NeverRepeated)
    };
    for (term, on, of) in [
        ("variety:site", &mut terms.site, (|r: &Row| r.site) as fn(&Row) -> usize),
        ("variety:season", &mut terms.season, |r: &Row| r.season),
        ("variety:system", &mut terms.system, |r: &Row| r.system),
    ] {
        if *on && let Some(why) = check(of) {
            *on = false;
            drop(term, why);
        }
    }
    if terms.site && terms.season && same_grouping(rows, |r| r.site, |r| r.season) {
        terms.season = false;
        drop("variety:season", Why::SameGrouping);
    }
    if terms.site && terms.system && same_grouping(rows, |r| r.site, |r| r.system) {
        terms.system = false;
        drop("variety:system", Why::SameGrouping);
    }
    for (term, on) in [("disease", &mut terms.disease), ("entry", &mut terms.entry)] {
        if *on {
            *on = false;
            drop(term, Why::NotFitted);
        }
    }
    terms
}

/// Whether two groupings of the rows are the same up to names.
fn same_grouping(rows: &[Row], first: fn(&Row) -> usize, second: fn(&Row) -> usize) -> bool {
    let pairs: BTreeSet<(usize, usize)> = rows.iter().map(|r| (first(r), second(r))).collect();
    let firsts: BTreeSet<usize> = pairs.iter().map(|p| p.0).collect();
    let seconds: BTreeSet<usize> = pairs.iter().map(|p| p.1).collect();
    pairs.len() == firsts.len() && pairs.len() == seconds.len()
}
