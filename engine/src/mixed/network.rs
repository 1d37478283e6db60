//! From a network's tables to the rows of a fit: indices, scales, error variances, and which terms the
//! data can estimate.
//!
//! Yields are divided by the mean of their system's fitted rows where there are several systems, so that
//! one variance of a variety speaks for all of them; with one system they stay in yield units. It knows
//! tables and numbers, not what is done with the fit.

use super::design::{Design, Extra, Row};
use super::estimable::estimable;
pub use super::estimable::{Dropped, Why};
pub use super::fit_error::FitError;
use super::fit_error::require_size;
use super::known_errors::{known_variances, weigh_by_plots};
use super::terms::Terms;
pub use super::water_scale::{SLOPE_OF, WaterScale};
use super::water_scale::{water_scale, without_slope};
use crate::order::{Map, Set};
use crate::pack::{Network, Trial};

/// Level of a trial, as a share of its system's mean, below which effects shrink no further.
const LEAST_MULTIPLIED: f64 = 0.1;
/// What the rows are laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// `fit`: error variances as each trial states them, and yield units where there is one system.
    Report,
    /// The forecast: each trial's error mean square replaced by its system's pooled one, since raw
    /// inverse weights made real forecasts worse, and yields always in shares of the system's mean.
    Forecast,
}

/// Something known of every variety (its entry year, its susceptibility) whose coefficient is N(0, variance).
#[derive(Debug, Clone, PartialEq)]
pub struct Covariate {
    /// Value of each variety, by block, centred.
    pub values: Vec<f64>,
    /// Prior variance of its coefficient, squared shares.
    pub variance: f64,
}

/// A form of the forecast's model.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Form {
    /// Power of the trial's level that effects grow with.
    pub kappa: f64,
    /// Whether a variety's departure in a season is each system's own.
    pub season_by_system: bool,
    /// What is known of varieties.
    pub covariates: Vec<Covariate>,
    /// Border columns of the losses that are learnt.
    pub losses: Vec<Extra>,
    /// What is added to each row for losses that are taken as published; empty for none.
    pub offsets: Vec<f64>,
    /// What is added to each row's known error variance, since its variety's loss is not known; empty for
    /// none.
    pub doubts: Vec<f64>,
}

/// A network made ready to fit.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Rows and terms, laid out.
    pub design: Design,
    /// Rows as the means come, before they are laid out.
    pub rows: Vec<Row>,
    /// What effects are multiplied by in each trial, once rows are laid out for a forecast.
    pub multipliers: Vec<f64>,
    /// Entry year of each variety (release, or else first season), less their mean.
    pub entry: Vec<f64>,
    /// What is known of varieties in the form laid out.
    pub covariates: Vec<Covariate>,
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
        let fitted: Map<&str, usize> = network
            .trials
            .iter()
            .enumerate()
            .filter(|(_, t)| t.excluded.is_none())
            .map(|(i, t)| (t.trial.as_str(), i))
            .collect();
        let means: Vec<_> = network.means.iter().filter(|m| fitted.contains_key(m.trial.as_str())).collect();
        let present: Set<&str> = means.iter().map(|m| m.trial.as_str()).collect();
        let mut trials: Vec<usize> = present.iter().map(|t| fitted[t]).collect();
        // Trials of one season side by side, so that a variety's rows gather from neighbouring columns.
        crate::order::sort_by_key(&mut trials, |&i| (network.trials[i].season, i));
        let varieties = in_table_order(network, means.iter().map(|m| m.variety.as_str()));
        require_size(network, trials.len(), varieties.len())?;
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
        let column: Map<&str, usize> =
            trials.iter().enumerate().map(|(c, i)| (of(i).trial.as_str(), c)).collect();
        let block: Map<&str, usize> =
            varieties.iter().enumerate().map(|(b, code)| (code.as_str(), b)).collect();
        let water: Vec<Option<WaterScale>> =
            (0..systems.len()).map(|s| water_scale(network, &trials, &system_of, s)).collect();
        let trial_water: Vec<f64> = trials
            .iter()
            .zip(&system_of)
            .map(|(i, &s)| match (of(i).water, water[s]) {
                (Some(amount), Some(w)) => w.standard(amount),
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
                    multiplier: 1.0,
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
        let water_stated = || purpose == Purpose::Forecast || trials.iter().any(|i| of(i).water.is_some());
        if wanted.map_or_else(water_stated, |terms| terms.water) {
            // A report says system by system which carries a slope.
            let all = water.iter().all(Option::is_none);
            dropped.extend(
                without_slope(&systems, &water).into_iter().filter(|_| all || purpose == Purpose::Forecast),
            );
        }
        let wanted = wanted.unwrap_or(Terms {
            water: water.iter().any(Option::is_some),
            site: true,
            season: true,
            system: systems.len() > 1,
            ..Terms::default()
        });
        let terms = match purpose {
            Purpose::Report => estimable(wanted, &rows, &water, &mut dropped),
            Purpose::Forecast => {
                // What the data cannot tell is not left out of a forecast: its prior stands in.
                estimable(wanted, &rows, &water, &mut dropped);
                Terms { water: wanted.water && water.iter().any(Option::is_some), ..wanted }
            }
        };
        if !terms.water {
            rows.iter_mut().for_each(|r| r.water = 0.0);
        }
        let design = Design::new(&rows, &[], varieties.len(), trials.len(), systems.len(), terms);
        let entry = entry_years(network, &varieties, &seasons, &rows);
        Ok(Prepared {
            design,
            rows,
            entry,
            multipliers: Vec::new(),
            covariates: Vec::new(),
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

    /// Lays the rows out anew in a form of the forecast's model.
    pub fn lay(&mut self, form: Form) {
        self.multipliers =
            self.trial_means().into_iter().map(|level| effect_multiplier(level, form.kappa)).collect();
        let mut rows = self.rows.clone();
        for (r, offset) in rows.iter_mut().zip(&form.offsets) {
            r.value += offset;
        }
        for (r, doubt) in rows.iter_mut().zip(&form.doubts) {
            r.known_variance += doubt;
        }
        for r in &mut rows {
            r.multiplier = self.multipliers[r.trial];
            if form.season_by_system {
                r.season = r.season * self.systems.len() + r.system;
            }
        }
        let covariates = form.covariates.iter().map(|c| Extra {
            values: rows.iter().map(|r| c.values[r.block] * r.multiplier).collect(),
            prior: Some((0.0, c.variance)),
        });
        let extras: Vec<Extra> = covariates.chain(form.losses).collect();
        let (blocks, trials, systems) = (self.varieties.len(), self.trials.len(), self.systems.len());
        self.design = Design::new(&rows, &extras, blocks, trials, systems, self.design.terms);
        self.covariates = form.covariates;
    }

    /// Lays the rows out anew with free fixed columns behind the trials.
    pub fn add_fixed(&mut self, extras: Vec<Extra>) {
        let (blocks, trials, systems) = (self.varieties.len(), self.trials.len(), self.systems.len());
        self.design = Design::new(&self.rows, &extras, blocks, trials, systems, self.design.terms);
    }

    /// What is known of a variety besides its name, as weights on border columns.
    pub fn covariate_weights(&self, block: usize) -> impl Iterator<Item = (usize, f64)> {
        self.covariates.iter().enumerate().map(move |(k, c)| (self.trials.len() + k, c.values[block]))
    }

    /// Border column of the k-th loss that is learnt.
    pub fn loss_column(&self, k: usize) -> usize {
        self.trials.len() + self.covariates.len() + k
    }

    /// What effects are multiplied by in a trial (border column).
    pub fn multiplier(&self, column: usize) -> f64 {
        self.multipliers.get(column).copied().unwrap_or(1.0)
    }

    /// Mean of each trial's rows.
    pub fn trial_means(&self) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); self.trials.len()];
        for r in &self.rows {
            sums[r.trial].0 += r.value;
            sums[r.trial].1 += 1.0;
        }
        sums.into_iter().map(|(sum, count)| sum / count).collect()
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

    /// Standardised water of an amount in a system; 0 where it is unknown or the system carries no slope.
    pub fn standard_water(&self, system: usize, amount: Option<f64>) -> f64 {
        amount.zip(self.water[system]).map_or(0.0, |(amount, w)| w.standard(amount))
    }

    /// System of each border column.
    pub fn column_systems(&self) -> Vec<usize> {
        let mut systems = vec![0; self.trials.len()];
        for row in &self.rows {
            systems[row.trial] = row.system;
        }
        systems
    }
}

/// What the effects of varieties are multiplied by at a level (a share of its system's mean).
pub fn effect_multiplier(level: f64, kappa: f64) -> f64 {
    if kappa == 0.0 { 1.0 } else { level.max(LEAST_MULTIPLIED).powf(kappa) }
}

/// Entry years less their mean: the year of release, or the first season with a fitted mean.
fn entry_years(network: &Network, varieties: &[String], seasons: &[i32], rows: &[Row]) -> Vec<f64> {
    let mut first = vec![usize::MAX; varieties.len()];
    for r in rows {
        first[r.block] = first[r.block].min(r.season);
    }
    let released: Map<&str, i32> =
        network.varieties.iter().filter_map(|v| Some((v.variety.as_str(), v.released?))).collect();
    let years: Vec<f64> = varieties
        .iter()
        .zip(&first)
        .map(|(code, &season)| f64::from(released.get(code.as_str()).copied().unwrap_or(seasons[season])))
        .collect();
    let mean = years.iter().sum::<f64>() / years.len() as f64;
    years.iter().map(|year| year - mean).collect()
}

fn distinct<T: Ord>(values: impl Iterator<Item = T>) -> Vec<T> {
    values.collect::<Set<T>>().into_iter().collect()
}

/// Varieties with means, in the order of the variety table, so that row order of means changes nothing.
fn in_table_order<'a>(network: &Network, with_means: impl Iterator<Item = &'a str>) -> Vec<String> {
    let present: Set<&str> = with_means.collect();
    let mut codes: Vec<String> = network
        .varieties
        .iter()
        .map(|v| &v.variety)
        .filter(|v| present.contains(v.as_str()))
        .cloned()
        .collect();
    let listed: Set<String> = codes.iter().cloned().collect();
    codes.extend(present.into_iter().filter(|v| !listed.contains(*v)).map(str::to_owned));
    codes
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
