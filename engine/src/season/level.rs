//! The level of a trial: what the reference set makes there, by system, water, site and season.
//!
//! log η_j = α_s + λ_s·f(w_j) + site_k + season_t + ε_j, with the known variance Var(log η̂_j) added to that of
//! ε, which is each system's own; α and λ have weak normal priors. η_j is in shares of the level's scale. f is linear, or saturating,
//! f(w) = h·(1 − exp(−w/h)), where that gains at least 4 in the AIC by maximum likelihood. Variances are the
//! posterior mode on the log scale under weak priors, since few seasons tell little of the spread of seasons.
//! It is the same arrow solver with one block and no trial columns. It knows no variety.

use crate::mixed::arrow::{self, ArrowError, Likelihood, Solution};
use crate::mixed::design::{Design, Effect, Extra, Row};
use crate::mixed::effects::{Effects, Functional};
use crate::mixed::optimise::{Expected, OptimiseError, VariancePrior, optimise, search};
use crate::mixed::sensitivity::Sensitivity;
use crate::mixed::terms::Terms;
use crate::mixed::variance_law::VarianceLaw;
use crate::mixed::variances::{Parameter, Variances, parameters};
use serde::{Deserialize, Serialize};

/// Share of the scale below which a level enters as that share.
pub const LEAST_LEVEL: f64 = 0.02;
/// Most that a level's logarithm is taken for, either way.
const MOST_LOG_LEVEL: f64 = 23.0;
/// Gain in AIC that a saturating response must bring.
const AIC_GAIN: f64 = 4.0;
/// Saturation tried, in standard deviations of water.
const SATURATIONS: [f64; 3] = [0.75, 1.5, 3.0];

/// What is expected of the log scale before the data speak: variance of sites, of seasons and of a trial
/// (14, 14 and 20 %; the size common in dryland cereals, from memory), and how vaguely (sd of the logarithm).
const EXPECTED_SITE: f64 = 0.02;
const EXPECTED_SEASON: f64 = 0.02;
const EXPECTED_TRIAL: f64 = 0.04;
/// How many times those of seasons and trials are expected where no water is known that could explain them.
const WITHOUT_WATER: f64 = 2.0;
const VAGUE: f64 = 1.0;
/// Mean and variance of a level's logarithm at mean water, and of its response to a standard deviation of water,
/// before the data speak: as vague as can be without promising a thousand tonnes where few trials stood.
const EXPECTED_LEVEL: (f64, f64) = (0.0, 1.0);
const EXPECTED_RESPONSE: (f64, f64) = (0.2, 0.16);
/// How far a system's variance of a trial is expected from that of all systems (sd of the logarithm).
const SYSTEM_SD: f64 = 0.7;

/// One trial's level as estimated by the mixed model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialLevel {
    /// Site index.
    pub site: usize,
    /// Season index.
    pub season: usize,
    /// System index.
    pub system: usize,
    /// Standardised water; 0 where the system has none.
    pub water: f64,
    /// Level η̂ in shares of the scale.
    pub level: f64,
    /// Variance of η̂.
    pub variance: f64,
}

/// What a level fit needs to be rebuilt without searching: kept in the pack.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LevelParameters {
    /// Saturation in standard deviations of water; `None` for a straight line.
    pub saturation: Option<f64>,
    /// Whether site and season effects are in.
    pub site: bool,
    /// Whether season effects are in.
    pub season: bool,
    /// Variance of site effects, log scale.
    pub site_variance: f64,
    /// Variance of season effects, log scale.
    pub season_variance: f64,
    /// Variance of a trial about them in each system, log scale.
    pub trial_variance: Vec<f64>,
    /// How well these variances are known.
    pub law: VarianceLaw,
}

/// The fitted level model.
#[derive(Debug, Clone)]
pub struct LevelModel {
    /// Its variances and form.
    pub parameters: LevelParameters,
    design: Design,
    solution: Solution,
    variances: Variances,
    sensitivity: Sensitivity,
    slope_columns: Vec<Option<usize>>,
}

/// Level of one field: mean and error covariance of (α_s, λ_s, site), log scale.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldLevel {
    /// Intercept, slope on f(w), site effect.
    pub mean: [f64; 3],
    /// Their error covariance, row-major.
    pub covariance: [f64; 9],
    /// For each of the three, its derivative by each trial's log η̂.
    pub weights: [Vec<f64>; 3],
}

impl LevelParameters {
    fn variances(&self) -> Variances {
        Variances {
            site: self.site_variance,
            season: self.season_variance,
            residual: self.trial_variance.clone(),
            ..Variances::default()
        }
    }

    /// Standard deviations of the logarithms of the variance of seasons and of a trial of one system.
    pub fn log_sds(&self, system: usize) -> (f64, f64) {
        let terms = Terms { site: self.site, season: self.season, ..Terms::default() };
        let list = parameters(terms, self.trial_variance.len());
        (self.law.log_sd(&list, Parameter::Season), self.law.log_sd(&list, Parameter::Residual(system)))
    }
}

/// Whether the systems share one variance of a trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Residuals {
    Shared,
    BySystem,
}

/// Priors of the variances: `trial` is expected of each residual, `times` as much of seasons as where water is
/// known.
fn priors(form: &LevelParameters, times: f64, trial: &[f64], sd: f64) -> Vec<VariancePrior> {
    let prior = |parameter, value, sd| VariancePrior { parameter, expected: Expected::Value(value), sd };
    let site = form.site.then(|| prior(Parameter::Site, EXPECTED_SITE, VAGUE));
    let season = form.season.then(|| prior(Parameter::Season, times * EXPECTED_SEASON, VAGUE));
    let residuals = trial.iter().enumerate().map(|(s, &value)| prior(Parameter::Residual(s), value, sd));
    site.into_iter().chain(season).chain(residuals).collect()
}

impl LevelModel {
    /// Fits the level model. `slopes` says for each system whether it has enough water to carry a slope.
    ///
    /// # Errors
    /// See [`OptimiseError`]; too few trials end in fewer effects first, not in an error.
    pub fn fit(levels: &[TrialLevel], slopes: &[bool]) -> Result<LevelModel, OptimiseError> {
        let counts =
            |of: fn(&TrialLevel) -> usize| levels.iter().map(of).collect::<crate::order::Set<usize>>().len();
        let (sites, seasons) = (counts(|l| l.site), counts(|l| l.season));
        let mut form = LevelParameters {
            saturation: None,
            site: sites >= 2 && sites < levels.len(),
            season: seasons >= 2 && seasons < levels.len(),
            site_variance: 0.0,
            season_variance: 0.0,
            trial_variance: vec![0.0; slopes.len()],
            law: VarianceLaw::default(),
        };
        form.saturation = choose_saturation(levels, slopes, &form);
        let times = if slopes.contains(&true) { 1.0 } else { WITHOUT_WATER };
        let (design, _) = layout(levels, slopes, &form, Residuals::Shared);
        let together = search(
            &design,
            Likelihood::Restricted,
            &priors(&form, times, &[times * EXPECTED_TRIAL], VAGUE),
            None,
        )?;
        let expected = vec![together.variances.residual[0]; slopes.len()];
        let (design, _) = layout(levels, slopes, &form, Residuals::BySystem);
        let priors = priors(&form, times, &expected, SYSTEM_SD);
        let start = Variances { residual: expected, ..together.variances };
        let optimum = search(&design, Likelihood::Restricted, &priors, Some(&start))?;
        form.site_variance = optimum.variances.site;
        form.season_variance = optimum.variances.season;
        let list = parameters(design.terms, design.systems);
        form.law =
            VarianceLaw::new(&list, &optimum.variances, &optimum.derivatives, &priors, &[Parameter::Variety]);
        form.trial_variance = optimum.variances.residual;
        LevelModel::at(levels, slopes, form).map_err(OptimiseError::from)
    }

    /// The level model at known parameters: one solution, no search.
    ///
    /// # Errors
    /// Parameters that are not of these trials.
    pub fn at(
        levels: &[TrialLevel],
        slopes: &[bool],
        parameters: LevelParameters,
    ) -> Result<LevelModel, ArrowError> {
        let (design, slope_columns) = layout(levels, slopes, &parameters, Residuals::BySystem);
        let variances = parameters.variances();
        let solution = arrow::solve(&design, &variances, Likelihood::Restricted)?;
        let sensitivity = Sensitivity::new(&design, &solution, &variances);
        Ok(LevelModel { parameters, design, solution, variances, sensitivity, slope_columns })
    }

    /// The response f(w) at standardised water up to that of the wettest trial. A straight line on the log scale, learnt in
    /// dry years, would promise many times the best yield in a wet one: whoever asks goes through
    /// [`crate::forecast::model::ForecastModel::water_response`], which ends there.
    pub(crate) fn response(&self, water: f64) -> f64 {
        response(self.parameters.saturation, water)
    }

    /// Intercept, slope and site effect of a field, with their errors. A site that no trial stood on (or
    /// `None`) has effect 0 and the variance of sites.
    pub fn field(&self, system: usize, site: Option<usize>) -> FieldLevel {
        let effects = Effects::new(&self.design, &self.solution, &self.variances);
        let border = |column: usize| Functional { border: vec![(column, 1.0)], ..Functional::default() };
        let mut functionals = vec![border(system)];
        functionals.push(self.slope_columns[system].map_or_else(Functional::default, border));
        let known = site.and_then(|site| effects.column(0, Effect::Site(site)));
        functionals.push(Functional {
            effects: known.map(|column| (0, column, 1.0)).into_iter().collect(),
            ..Functional::default()
        });
        let mut found = effects.covariance(&functionals);
        self.add_unknown_variances(&functionals, &mut found);
        let mut covariance = [0.0; 9];
        covariance.copy_from_slice(&found);
        if known.is_none() {
            covariance[8] = self.parameters.site_variance;
        }
        let mean = [0, 1, 2].map(|i| effects.value(&functionals[i]));
        let weights = [0, 1, 2].map(|i| effects.weights(&functionals[i]));
        FieldLevel { mean, covariance, weights }
    }

    /// Adds what not knowing the variances adds to the error covariance of functionals.
    fn add_unknown_variances(&self, functionals: &[Functional], covariance: &mut [f64]) {
        let list = parameters(self.design.terms, self.design.systems);
        let natural = self.parameters.law.natural(&list, &self.variances);
        self.sensitivity.add(functionals, &natural, covariance);
    }
}

/// The level that a logarithm stands for. Water or a usual yield far beyond anything in the trials leads to levels
/// that no number holds; no field is ten thousand million times as good as another.
pub fn share_of(log_level: f64) -> f64 {
    log_level.clamp(-MOST_LOG_LEVEL, MOST_LOG_LEVEL).exp()
}

fn response(saturation: Option<f64>, water: f64) -> f64 {
    saturation.map_or(water, |h| h * (1.0 - (-water / h).exp()))
}

/// The design of the level model, and the border column of each system's slope.
fn layout(
    levels: &[TrialLevel],
    slopes: &[bool],
    form: &LevelParameters,
    residuals: Residuals,
) -> (Design, Vec<Option<usize>>) {
    let systems = slopes.len();
    let rows: Vec<Row> = levels
        .iter()
        .map(|l| {
            let level = l.level.max(LEAST_LEVEL);
            Row {
                block: 0,
                trial: 0,
                site: l.site,
                season: l.season,
                system: if residuals == Residuals::BySystem { l.system } else { 0 },
                water: 0.0,
                multiplier: 1.0,
                value: level.ln(),
                known_variance: l.variance / (level * level),
                weight: 1.0,
            }
        })
        .collect();
    let column = |values: Vec<f64>, expected| Extra { values, prior: Some(expected) };
    let mut extras: Vec<Extra> = (0..systems)
        .map(|s| column(levels.iter().map(|l| f64::from(u8::from(l.system == s))).collect(), EXPECTED_LEVEL))
        .collect();
    let mut columns = vec![None; systems];
    for s in (0..systems).filter(|&s| slopes[s]) {
        columns[s] = Some(extras.len());
        let values =
            levels.iter().map(|l| if l.system == s { response(form.saturation, l.water) } else { 0.0 });
        extras.push(column(values.collect(), EXPECTED_RESPONSE));
    }
    let terms = Terms { site: form.site, season: form.season, ..Terms::default() };
    let variances = if residuals == Residuals::BySystem { systems } else { 1 };
    (Design::new(&rows, &extras, 1, 0, variances, terms), columns)
}

/// The saturation that beats a straight line by enough, if any does.
fn choose_saturation(levels: &[TrialLevel], slopes: &[bool], form: &LevelParameters) -> Option<f64> {
    if !slopes.contains(&true) {
        return None;
    }
    let criterion = |saturation: Option<f64>| {
        let form = LevelParameters { saturation, ..form.clone() };
        let (design, _) = layout(levels, slopes, &form, Residuals::Shared);
        optimise(&design, Likelihood::Full).map(|o| o.solution.criterion).unwrap_or(f64::INFINITY)
    };
    let line = criterion(None);
    let (best, value) = SATURATIONS
        .map(|h| (h, criterion(Some(h)) + 2.0))
        .into_iter()
        .fold((0.0, f64::INFINITY), |a, b| if b.1 < a.1 { b } else { a });
    (value + AIC_GAIN <= line).then_some(best)
}
