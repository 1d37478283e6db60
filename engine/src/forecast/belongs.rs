//! Whether the parameters of a pack can be those of its data: as many as the data ask for, each where a fit can end.
//!
//! A pack is hostile until this has said yes; what it lets through gives finite numbers in bounded time. It knows
//! sizes and ranges, and searches for nothing.

use super::form::FittedForm;
use super::losses::Threat;
use super::model::Fitted;
use super::tail::{LEAST_FREEDOM, MOST_FREEDOM};
use crate::mixed::terms::Terms;
use crate::mixed::variance_law::{LARGEST_LOG_SD, VarianceLaw};
use crate::mixed::variances::{Parameter, Variances, parameters};
use crate::season::level::LevelParameters;

/// Most of a variance in squared shares: far above one yield of the most beside a hundred thousand of nothing.
const MOST_VARIANCE: f64 = 1e12;
/// Most of a variance of the log level, whose logarithms lie between those of two hundredths and of the largest share.
const MOST_LOG_VARIANCE: f64 = 1e3;
/// Least and most saturation, standard deviations of water.
const SATURATION: (f64, f64) = (0.1, 100.0);
/// Slack for parameters that were rounded.
const ROUNDING: f64 = 1e-5;

/// Whether `fitted` can have been fitted with these terms in so many systems.
pub(super) fn belongs(fitted: &Fitted, terms: Terms, systems: usize) -> bool {
    let list = parameters(terms, systems);
    fitted.terms == terms
        && variances_can_be(&fitted.variances, systems)
        && law_can_be(&fitted.law, &list)
        && within(fitted.tail, LEAST_FREEDOM, MOST_FREEDOM)
        && form_can_be(&fitted.form)
        && level_can_be(&fitted.level, systems)
}

/// Whether the losses of a form are those of the threats, one by one.
pub(super) fn losses_belong(form: &FittedForm, threats: &[Threat]) -> bool {
    let pairs = || form.losses.iter().zip(threats);
    form.losses.len() == threats.len() && pairs().all(|(l, t)| l.trait_ == t.code && l.learnt == t.learnt)
}

fn within(value: f64, low: f64, high: f64) -> bool {
    (low..=high).contains(&value)
}

fn variances_can_be(v: &Variances, systems: usize) -> bool {
    let singles = [v.variety, v.slope, v.site, v.season, v.system];
    v.residual.len() == systems
        && singles.iter().chain(&v.residual).all(|x| within(*x, 0.0, MOST_VARIANCE))
        // A slope of next to nothing is rounded away before its covariance is.
        && v.covariance.powi(2) <= v.variety * v.slope * (1.0 + ROUNDING) + (ROUNDING * v.variety).powi(2)
}

/// Whether it is a covariance of the parameters of `list`, with no logarithm known more vaguely than a law has it.
fn law_can_be(law: &VarianceLaw, list: &[Parameter]) -> bool {
    let k = list.len();
    let c = &law.covariance;
    let most =
        |p: Parameter| if p.bounded() { LARGEST_LOG_SD.powi(2) * (1.0 + ROUNDING) } else { MOST_VARIANCE };
    c.len() == k * k
        && (0..k).all(|i| within(c[i * k + i], 0.0, most(list[i])))
        && (0..k * k).all(|ij| {
            let (i, j) = (ij / k, ij % k);
            c[ij].powi(2) <= c[i * k + i] * c[j * k + j] * (1.0 + ROUNDING)
        })
}

fn form_can_be(form: &FittedForm) -> bool {
    [0.0, 0.5, 1.0].contains(&form.kappa)
        && form.entry_variance.is_none_or(|x| x > 0.0 && x <= MOST_VARIANCE)
        && within(form.susceptible_variance, 0.0, MOST_VARIANCE)
        && form.losses.iter().all(|loss| {
            let shares = [loss.estimate, loss.published.0, loss.published.1];
            shares.iter().all(|share| within(*share, 0.0, 1.0))
                && (!loss.learnt || form.susceptible_variance > 0.0)
        })
}

fn level_can_be(level: &LevelParameters, systems: usize) -> bool {
    let terms = Terms { site: level.site, season: level.season, ..Terms::default() };
    let variances = [level.site_variance, level.season_variance];
    level.trial_variance.len() == systems
        && variances.iter().chain(&level.trial_variance).all(|x| within(*x, 0.0, MOST_LOG_VARIANCE))
        && level.saturation.is_none_or(|h| within(h, SATURATION.0, SATURATION.1))
        && law_can_be(&level.law, &parameters(terms, systems))
}
