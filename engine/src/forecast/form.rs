//! The form of the forecast's model that a network's data prefer: priors on variances, what is known of
//! varieties, losses to diseases, and whether differences grow with the level.
//!
//! Each ingredient can be left out, to see what it is worth. It searches; whoever rebuilds a model from a
//! pack lays the rows out with [`lay`] alone.

use super::losses::{Threat, healthy_levels, threats};
use crate::mixed::arrow::Likelihood;
use crate::mixed::design::Extra;
use crate::mixed::network::{Covariate, Form, Prepared};
use crate::mixed::optimise::{
    Expected, OptimiseError, Optimum, VariancePrior, moments_of, search, search_near,
};
use crate::mixed::variances::{Parameter, Variances};
use crate::pack::Network;
use serde::{Deserialize, Serialize};

/// Variance of a term as a share of that of varieties, before the data speak (after published ratios for
/// wheat, 1 : 0.7 : 0.8 : 0.8).
const RATIOS: [(Parameter, f64); 4] = [
    (Parameter::Site, 0.7),
    (Parameter::Season, 0.8),
    (Parameter::System, 0.7),
    // What a standard deviation of water brings beside the main effect's share. No published ratio is known to us; on
    // ten seasons of real barley it is 0.18 (DEVELOPERS.md says what the prior is worth there and elsewhere).
    (Parameter::Slope, 0.2),
];
/// The same for variety × trial, where error variances are known and it is the residual.
const RATIO_TRIAL: f64 = 0.8;
/// Where they are not, the residual holds the error of a mean too: 5.1 for a plot, over three to four plots.
const RATIO_TRIAL_AND_ERROR: f64 = 2.3;
/// Share of the spread within trials that is expected to be varieties, and how vaguely (sd of the logarithm).
const VARIETY_SHARE: f64 = 0.25;
const VARIETY_SD: f64 = 2.0;
/// Prior standard deviation of a year's breeding progress, in standard deviations of varieties.
const ENTRY_SD: f64 = 0.3;
/// Prior standard deviation of what full susceptibility costs a variety even where nothing attacks, in
/// standard deviations of varieties.
const SUSCEPTIBLE_SD: f64 = 1.0;
/// Times that losses and healthy levels are worked out from each other.
const LOSS_ROUNDS: usize = 3;
/// Gain in the restricted likelihood criterion that a level scaling must bring.
const KAPPA_GAIN: f64 = 2.0;
/// Level scalings tried.
const KAPPAS: [f64; 2] = [0.5, 1.0];

/// Which ingredients of the forecast are in; all of them, unless one is switched off to see what it is
/// worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ingredients {
    /// Priors on variance ratios.
    pub priors: bool,
    /// A trend over entry years.
    pub entry: bool,
    /// Variety differences that may grow with the trial's level.
    pub kappa: bool,
    /// Losses to diseases.
    pub losses: bool,
    /// Trials that scatter more or less than others.
    pub tails: bool,
    /// What is not known of the variances.
    pub doubt: bool,
    /// A departure of varieties in a season that may be each system's own.
    pub systems: bool,
}

impl Default for Ingredients {
    fn default() -> Self {
        Ingredients {
            priors: true,
            entry: true,
            kappa: true,
            losses: true,
            tails: true,
            doubt: true,
            systems: true,
        }
    }
}

/// What the trials taught of one loss.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FittedLoss {
    /// Trait code.
    #[serde(rename = "trait")]
    pub trait_: String,
    /// Published share of yield lost by a fully susceptible variety under severe pressure, with its sd.
    pub published: (f64, f64),
    /// The same after the trials.
    pub estimate: f64,
    /// Whether the trials could teach it.
    pub learnt: bool,
}

/// The form chosen, as a pack keeps it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct FittedForm {
    /// Power of the trial's level that variety differences grow with: 0, ½ or 1.
    pub kappa: f64,
    /// Whether a variety's departure in a season is each system's own.
    pub season_by_system: bool,
    /// Prior variance of the trend over entry years, squared shares; `None` without a trend.
    pub entry_variance: Option<f64>,
    /// Prior variance of what susceptibility costs by itself, squared shares.
    pub susceptible_variance: f64,
    /// Losses, in the order of the traits; empty where none are modelled.
    pub losses: Vec<FittedLoss>,
}

/// Lays the rows of `prepared` out in a form; returns its threats.
pub fn lay(network: &Network, prepared: &mut Prepared, fitted: &FittedForm) -> Vec<Threat> {
    let mut found = threats(network, prepared);
    found.retain(|t| fitted.losses.iter().any(|l| l.trait_ == t.code));
    lay_threats(prepared, fitted, &found);
    found
}

fn lay_threats(prepared: &mut Prepared, fitted: &FittedForm, found: &[Threat]) {
    let losses: Vec<f64> = fitted.losses.iter().map(|l| l.estimate).collect();
    let levels = healthy_levels(prepared, found, &losses);
    let mut covariates: Vec<Covariate> = fitted
        .entry_variance
        .map(|variance| Covariate { values: prepared.entry.clone(), variance })
        .into_iter()
        .collect();
    let (mut columns, mut offsets) = (Vec::new(), vec![0.0; prepared.rows.len()]);
    let mut doubts = vec![0.0; prepared.rows.len()];
    for (threat, loss) in found.iter().zip(&losses) {
        for (doubt, r) in doubts.iter_mut().zip(&prepared.rows) {
            let unknown = threat.doubt[r.block] * threat.pressure[r.trial] * levels[r.trial];
            *doubt += (loss * unknown).powi(2);
        }
        let taken: Vec<f64> = prepared
            .rows
            .iter()
            .map(|r| threat.susceptibility[r.block] * threat.pressure[r.trial] * levels[r.trial])
            .collect();
        if threat.learnt {
            let mean = threat.susceptibility.iter().sum::<f64>() / threat.susceptibility.len() as f64;
            covariates.push(Covariate {
                values: threat.susceptibility.iter().map(|a| a - mean).collect(),
                variance: fitted.susceptible_variance,
            });
            let (loss, sd) = threat.prior;
            columns.push(Extra { values: taken.iter().map(|x| -x).collect(), prior: Some((loss, sd * sd)) });
        } else {
            offsets.iter_mut().zip(&taken).for_each(|(sum, x)| *sum += threat.prior.0 * x);
        }
    }
    let FittedForm { kappa, season_by_system, .. } = *fitted;
    prepared.lay(Form { kappa, season_by_system, covariates, losses: columns, offsets, doubts });
}

/// Lays the rows out in the form that the data prefer, and finds the variances there.
///
/// # Errors
/// See [`OptimiseError`].
pub fn choose(
    network: &Network,
    prepared: &mut Prepared,
    ingredients: Ingredients,
) -> Result<(FittedForm, Vec<Threat>, Optimum), OptimiseError> {
    let priors = variance_priors(prepared, ingredients);
    let near = |prepared: &Prepared, start: Option<&Variances>, below: f64| {
        search_near(&prepared.design, Likelihood::Restricted, &priors, start, below)
    };
    let fit = |prepared: &Prepared, start: Option<&Variances>| near(prepared, start, f64::INFINITY);
    let found = if ingredients.losses { threats(network, prepared) } else { Vec::new() };
    let trend = ingredients.entry && prepared.entry.iter().any(|year| *year != 0.0);
    let mut form = FittedForm { losses: found.iter().map(published).collect(), ..FittedForm::default() };
    // The priors are in units of σ of the varieties, and levels in terms of losses: both settle fast.
    let take_variety = |form: &mut FittedForm, variances: &Variances| {
        let variety = variances.variety.max(f64::MIN_POSITIVE);
        form.entry_variance = trend.then_some(ENTRY_SD * ENTRY_SD * variety);
        form.susceptible_variance = SUSCEPTIBLE_SD * SUSCEPTIBLE_SD * variety;
    };
    take_variety(&mut form, &moments_of(&prepared.design)?);
    lay_threats(prepared, &form, &found);
    let mut optimum = fit(prepared, None)?;
    if trend || !found.is_empty() {
        for _ in 0..LOSS_ROUNDS {
            take_losses(prepared, &mut form, &optimum);
            take_variety(&mut form, &optimum.variances);
            lay_threats(prepared, &form, &found);
            optimum = fit(prepared, Some(&optimum.variances))?;
        }
    }
    if ingredients.systems && prepared.design.terms.season && prepared.systems.len() > 1 {
        let other = FittedForm { season_by_system: true, ..form.clone() };
        lay_threats(prepared, &other, &found);
        let tried = near(prepared, Some(&optimum.variances), optimum.solution.criterion)?;
        if tried.solution.criterion < optimum.solution.criterion {
            (form, optimum) = (other, tried);
        }
        lay_threats(prepared, &form, &found);
    }
    if ingredients.kappa {
        let plain = optimum.solution.criterion;
        for kappa in KAPPAS {
            let other = FittedForm { kappa, ..form.clone() };
            lay_threats(prepared, &other, &found);
            let below = optimum.solution.criterion.min(plain - KAPPA_GAIN);
            let tried = near(prepared, Some(&optimum.variances), below)?;
            if tried.solution.criterion < below {
                (form, optimum) = (other, tried);
            }
        }
        lay_threats(prepared, &form, &found);
    }
    let optimum = search(&prepared.design, Likelihood::Restricted, &priors, Some(&optimum.variances))?;
    Ok((form, found, optimum))
}

fn published(threat: &Threat) -> FittedLoss {
    FittedLoss {
        trait_: threat.code.clone(),
        published: threat.prior,
        estimate: threat.prior.0,
        learnt: threat.learnt,
    }
}

/// Takes the losses that the trials taught into the form.
fn take_losses(prepared: &Prepared, form: &mut FittedForm, optimum: &Optimum) {
    for (k, loss) in form.losses.iter_mut().filter(|l| l.learnt).enumerate() {
        loss.estimate = optimum.solution.border[prepared.loss_column(k)].clamp(0.0, 1.0);
    }
}

/// What is expected of the variances before the data speak.
pub fn variance_priors(prepared: &Prepared, ingredients: Ingredients) -> Vec<VariancePrior> {
    if !ingredients.priors {
        return Vec::new();
    }
    let terms = prepared.design.terms;
    let share = |(parameter, ratio): (Parameter, f64)| VariancePrior {
        parameter,
        expected: Expected::Share(ratio),
        sd: 1.0,
    };
    let residual = |s: usize| {
        let ratio = if prepared.errors_known[s] { RATIO_TRIAL } else { RATIO_TRIAL_AND_ERROR };
        (Parameter::Residual(s), ratio)
    };
    let mut priors: Vec<VariancePrior> = RATIOS
        .into_iter()
        .filter(|(parameter, _)| match parameter {
            Parameter::Site => terms.site,
            Parameter::Season => terms.season,
            Parameter::Slope => terms.water,
            _ => terms.system,
        })
        .chain((0..prepared.systems.len()).map(residual))
        .map(share)
        .collect();
    let means = prepared.trial_means();
    let spread = prepared.rows.iter().map(|r| (r.value - means[r.trial]).powi(2)).sum::<f64>();
    // Ratios alone would let all variances vanish together.
    priors.push(VariancePrior {
        parameter: Parameter::Variety,
        expected: Expected::Value(VARIETY_SHARE * spread / prepared.rows.len() as f64),
        sd: VARIETY_SD,
    });
    priors
}
