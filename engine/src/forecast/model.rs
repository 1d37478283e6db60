//! Everything fitted from a network, ready to forecast: the mixed model, the level model, no harvest.
//!
//! [`ForecastModel::fit`] searches for variances; [`ForecastModel::rebuild`] takes them from a pack and
//! solves once. Both end in the same value, so the page and the command line answer alike. It knows no
//! field, price or outlook.

use super::belongs::{belongs, losses_belong};
use super::form::{FittedForm, Ingredients, choose, lay, variance_priors};
use super::losses::Threat;
use super::pressure::PressurePool;
use super::tail::{MOST_FREEDOM, tail_freedom};
use crate::mixed::arrow::{self, ArrowError, Likelihood, Solution};
use crate::mixed::design::Effect;
use crate::mixed::effects::{Effects, Functional};
use crate::mixed::network::{Dropped, FitError, Prepared, Purpose, effect_multiplier};
use crate::mixed::optimise::OptimiseError;
use crate::mixed::sensitivity::Sensitivity;
use crate::mixed::terms::Terms;
use crate::mixed::variance_law::VarianceLaw;
use crate::mixed::variances::{Parameter, Variances, parameters};
use crate::order::Set;
use crate::pack::{Exclusion, Network};
use crate::season::level::{LevelModel, LevelParameters, TrialLevel};
use crate::season::no_harvest::{NoHarvest, Outcome};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// How far beyond the water of harvested trials a variety's slope still acts, standard deviations.
pub const SLOPE_REACH: f64 = 0.25;

/// What a pack keeps of a fit: terms, variances and their information, never effects.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fitted {
    /// Terms of the mixed model.
    pub terms: Terms,
    /// Variances, in squared shares of each system's mean yield.
    pub variances: Variances,
    /// The form of the model.
    pub form: FittedForm,
    /// Degrees of freedom of the scale of trials: how heavy the tail of their scatter is.
    pub tail: f64,
    /// How well those variances are known.
    pub law: VarianceLaw,
    /// The level model's parameters.
    pub level: LevelParameters,
    /// Terms left out of the mixed model.
    pub dropped: Vec<Dropped>,
}

/// Why a network gives no forecast.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ModelError {
    /// The mixed model.
    #[error("{0}")]
    Fit(#[from] FitError),
    /// The level model.
    #[error("the level of trials could not be modelled: {0}")]
    Level(OptimiseError),
    /// Parameters that do not belong to the data.
    #[error("the fitted numbers in this page do not belong to its data; make the page again")]
    Mismatch,
}

impl From<OptimiseError> for ModelError {
    fn from(error: OptimiseError) -> Self {
        ModelError::Fit(FitError::Optimise(error))
    }
}

impl From<ArrowError> for ModelError {
    fn from(_: ArrowError) -> Self {
        ModelError::Mismatch
    }
}

/// A network's models, solved.
#[derive(Debug, Clone)]
pub struct ForecastModel {
    /// Rows, codes, scales.
    pub prepared: Prepared,
    /// Parameters, as a pack keeps them.
    pub fitted: Fitted,
    /// The mixed model at its variances.
    pub solution: Solution,
    /// Level of trials.
    pub level: LevelModel,
    /// Level η̂ of each border column, in shares.
    pub trial_levels: Vec<f64>,
    /// Diseases and pests whose losses are modelled.
    pub threats: Vec<Threat>,
    /// Pressures that the trials of each system met.
    pub pressures: Vec<PressurePool>,
    /// Chance of no harvest.
    pub no_harvest: NoHarvest,
    /// Blocks of the reference set.
    pub reference: Vec<usize>,
    /// How predictions move with the variances.
    pub sensitivity: Sensitivity,
    /// Share of the residual taken as plot error where no error variance is known.
    pub plot_error_share: f64,
    /// Least and greatest standardised water of the harvested trials, by system.
    pub harvested: Vec<(f64, f64)>,
    /// The greatest of [`Self::trial_levels`]: differences between varieties are not known to grow beyond it.
    best_level: f64,
}

impl ForecastModel {
    /// Fits every model of a network.
    ///
    /// # Errors
    /// See [`ModelError`].
    pub fn fit(network: &Network) -> Result<ForecastModel, ModelError> {
        ForecastModel::fit_with(network, Ingredients::default())
    }

    /// Fits with some ingredients only.
    ///
    /// # Errors
    /// See [`ModelError`].
    pub fn fit_with(network: &Network, ingredients: Ingredients) -> Result<ForecastModel, ModelError> {
        let mut prepared = Prepared::new(network, None, Purpose::Forecast)?;
        let (form, threats, optimum) = choose(network, &mut prepared, ingredients)?;
        let reference = reference_set(network, &prepared);
        let levels = trial_levels(network, &prepared, &optimum.solution, &optimum.variances, &reference);
        let mut level = LevelModel::fit(&levels, &slopes(&prepared)).map_err(ModelError::Level)?;
        let list = parameters(prepared.design.terms, prepared.design.systems);
        let priors = variance_priors(&prepared, ingredients);
        let mut law = VarianceLaw::new(&list, &optimum.variances, &optimum.derivatives, &priors, &[]);
        if !ingredients.doubt {
            law.covariance.fill(0.0);
            level.parameters.law.covariance.fill(0.0);
        }
        let tail =
            if ingredients.tails { tail_freedom(&prepared.design, &optimum.solution) } else { MOST_FREEDOM };
        let fitted = Fitted {
            terms: prepared.design.terms,
            tail,
            variances: optimum.variances,
            form,
            law,
            level: level.parameters.clone(),
            dropped: prepared.dropped.clone(),
        };
        Ok(ForecastModel::assemble(network, prepared, fitted, optimum.solution, threats, level, &levels))
    }

    /// Solves every model of a network at the parameters of a pack.
    ///
    /// # Errors
    /// Data that cannot be fitted, or parameters that do not belong to them.
    pub fn rebuild(network: &Network, fitted: &Fitted) -> Result<ForecastModel, ModelError> {
        let mut prepared = Prepared::new(network, Some(fitted.terms), Purpose::Forecast)?;
        if !belongs(fitted, prepared.design.terms, prepared.systems.len()) {
            return Err(ModelError::Mismatch);
        }
        let threats = lay(network, &mut prepared, &fitted.form);
        if !losses_belong(&fitted.form, &threats) {
            return Err(ModelError::Mismatch);
        }
        let solution = arrow::solve(&prepared.design, &fitted.variances, Likelihood::Restricted)?;
        let reference = reference_set(network, &prepared);
        let levels = trial_levels(network, &prepared, &solution, &fitted.variances, &reference);
        let level = LevelModel::at(&levels, &slopes(&prepared), fitted.level.clone())?;
        Ok(ForecastModel::assemble(network, prepared, fitted.clone(), solution, threats, level, &levels))
    }

    fn assemble(
        network: &Network,
        prepared: Prepared,
        fitted: Fitted,
        solution: Solution,
        threats: Vec<Threat>,
        level: LevelModel,
        levels: &[TrialLevel],
    ) -> ForecastModel {
        let pressures =
            (0..prepared.systems.len()).map(|s| PressurePool::new(&prepared, s, &threats)).collect();
        let reference = reference_set(network, &prepared);
        let no_harvest = NoHarvest::learn(&outcomes(network, &prepared), prepared.systems.len());
        let harvested = (0..prepared.systems.len())
            .map(|s| {
                let here = levels.iter().filter(|l| l.system == s).map(|l| l.water);
                here.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), w| (low.min(w), high.max(w)))
            })
            .collect();
        let sensitivity = Sensitivity::new(&prepared.design, &solution, &fitted.variances);
        let trial_levels: Vec<f64> = levels.iter().map(|l| l.level).collect();
        ForecastModel {
            best_level: trial_levels.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            sensitivity,
            prepared,
            fitted,
            solution,
            level,
            trial_levels,
            threats,
            pressures,
            no_harvest,
            reference,
            plot_error_share: network.info.plot_error_share,
            harvested,
        }
    }

    /// The mixed model's predictions.
    pub fn effects(&self) -> Effects<'_> {
        Effects::new(&self.prepared.design, &self.solution, &self.fitted.variances)
    }

    /// Residual variance of a variety in a farmer's field, squared shares: without plot error where that
    /// is known, less the stated share of it where it is not.
    pub fn field_residual(&self, system: usize) -> f64 {
        let residual = self.fitted.variances.residual[system];
        if self.prepared.errors_known[system] { residual } else { residual * (1.0 - self.plot_error_share) }
    }

    /// Standard deviations of the logarithms of the variance of variety × season and of a system's residual:
    /// how vaguely they are known.
    pub fn own_log_sds(&self, system: usize) -> (f64, f64) {
        let list = self.parameters();
        let law = &self.fitted.law;
        (law.log_sd(&list, Parameter::Season), law.log_sd(&list, Parameter::Residual(system)))
    }

    /// The variance parameters of the mixed model.
    pub fn parameters(&self) -> Vec<Parameter> {
        parameters(self.prepared.design.terms, self.prepared.design.systems)
    }

    /// What variety differences are multiplied by at a level (a share of the system's mean); above the best trial's,
    /// what they are multiplied by there.
    pub fn growth(&self, level: f64) -> f64 {
        effect_multiplier(level.min(self.best_level), self.fitted.form.kappa)
    }

    /// Standardised water of an amount in a system; 0 where the system carries none.
    pub fn standard_water(&self, system: usize, amount: f64) -> f64 {
        self.prepared.standard_water(system, Some(amount))
    }

    /// What a system's level responds with to standardised water; more than its wettest trial had promises no more.
    pub fn water_response(&self, system: usize, water: f64) -> f64 {
        self.level.response(water.min(self.harvested[system].1))
    }

    /// Standardised water within the reach of varieties' slopes.
    pub fn slope_water(&self, system: usize, water: f64) -> f64 {
        let (low, high) = self.harvested[system];
        water.clamp(low - SLOPE_REACH, high + SLOPE_REACH)
    }
}

fn slopes(prepared: &Prepared) -> Vec<bool> {
    prepared.water.iter().map(Option::is_some).collect()
}

/// Checks present in half the seasons or more; without any, the varieties of the last two seasons.
fn reference_set(network: &Network, prepared: &Prepared) -> Vec<usize> {
    let seasons_of = |block: usize| -> Set<usize> {
        prepared.rows.iter().filter(|r| r.block == block).map(|r| r.season).collect()
    };
    let count = prepared.seasons.len();
    let checks: Vec<usize> = (0..prepared.varieties.len())
        .filter(|&b| network.info.checks.contains(&prepared.varieties[b]) && 2 * seasons_of(b).len() >= count)
        .collect();
    if !checks.is_empty() {
        return checks;
    }
    (0..prepared.varieties.len()).filter(|&b| seasons_of(b).iter().any(|&s| s + 2 >= count)).collect()
}

/// The functional η_j: what the reference set makes in a trial.
pub fn level_functional(
    prepared: &Prepared,
    reference: &[usize],
    column: usize,
    system: usize,
) -> Functional {
    let share = prepared.multiplier(column) / reference.len() as f64;
    let mut functional = Functional { border: vec![(column, 1.0)], ..Functional::default() };
    for &block in reference {
        functional.border.extend(prepared.covariate_weights(block).map(|(column, x)| (column, share * x)));
        let effects = &prepared.design.blocks[block].effects;
        for (place, effect) in effects.iter().enumerate() {
            let weight = match effect {
                Effect::Intercept => share,
                Effect::Slope => share * prepared.trial_water[column],
                Effect::System(s) if *s == system => share,
                _ => continue,
            };
            functional.effects.push((block, place, weight));
        }
    }
    functional
}

fn trial_levels(
    network: &Network,
    prepared: &Prepared,
    solution: &Solution,
    variances: &Variances,
    reference: &[usize],
) -> Vec<TrialLevel> {
    let effects = Effects::new(&prepared.design, solution, variances);
    let systems = prepared.column_systems();
    let functionals: Vec<Functional> = systems
        .iter()
        .enumerate()
        .map(|(column, &system)| level_functional(prepared, reference, column, system))
        .collect();
    let errors = effects.variances(&functionals);
    functionals
        .iter()
        .zip(errors)
        .enumerate()
        .map(|(column, (functional, variance))| {
            let trial = prepared.trial(network, column);
            TrialLevel {
                site: prepared.sites.iter().position(|s| *s == trial.site).unwrap_or_default(),
                season: prepared.seasons.binary_search(&trial.season).unwrap_or_default(),
                system: systems[column],
                water: prepared.trial_water[column],
                level: effects.value(functional),
                variance,
            }
        })
        .collect()
}

/// Fitted trials and those lost to drought, as the no-harvest model sees them.
fn outcomes(network: &Network, prepared: &Prepared) -> Vec<Outcome> {
    network
        .trials
        .iter()
        .filter(|t| t.excluded.is_none() || t.excluded == Some(Exclusion::Drought))
        .filter_map(|t| {
            let system = prepared.systems.iter().position(|s| *s == t.system)?;
            let water = prepared.standard_water(system, t.water);
            Some(Outcome { system, water, failed: t.excluded.is_some() })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::office::test_network::network;

    #[test]
    fn differences_shrink_with_poor_levels_and_grow_no_further_than_in_the_best_trial() {
        let mut model = ForecastModel::fit(&network()).unwrap();
        model.fitted.form.kappa = 1.0;
        let best = model.trial_levels.iter().copied().fold(0.0, f64::max);
        assert_eq!(model.growth(best), best);
        assert_eq!(model.growth(40.0 * best), best);
        assert_eq!(model.growth(0.1 * best), 0.1 * best);
    }

    #[test]
    fn more_water_than_the_wettest_trial_had_promises_no_more_and_less_than_the_driest_takes_more() {
        let model = ForecastModel::fit(&network()).unwrap();
        for (system, &(driest, wettest)) in model.harvested.iter().enumerate() {
            let response = |water| model.water_response(system, water);
            assert!(response(wettest) > response(driest));
            assert_eq!(response(5.0), response(wettest));
            assert!(response(driest - 1.0) < response(driest));
        }
    }
}
