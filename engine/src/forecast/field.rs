//! One field's law before the season is known: the joint normal law of every variety's difference from
//! the reference set, its slope on water, and the field's level, and of the losses to diseases.
//!
//! For variety i at site k in system s: d_i = u_i − ū_C + (u_is − ū_Cs) + u_ik and slope b_i − b̄_C, in
//! shares of the system's mean; and (α, λ, site) of the log level. Their errors come from one factor, so
//! that what the trials say of a field's level and of its varieties is not counted twice. An effect that
//! no trial shows (a variety never at this site, or never in this system) keeps its full variance.

use super::model::{ForecastModel, level_functional};
use crate::mixed::design::Effect;
use crate::mixed::effects::Functional;
use crate::mixed::small;
use crate::season::level::LEAST_LEVEL;

/// The joint normal law of a field.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldLaw {
    /// Varieties V, in the order of the model's blocks.
    pub varieties: usize,
    /// Means: V differences, V slopes, then intercept, slope and site effect of the log level, then the loss
    /// of each threat.
    pub mean: Vec<f64>,
    /// Lower Cholesky factor of their error covariance, row-major, order 2V + 3 + threats.
    pub factor: Vec<f64>,
}

impl FieldLaw {
    /// The law of a field in a system, at a site of the trials or (`None`) at no particular one, in a season of the
    /// trials or (`None`) in one to come.
    pub fn new(model: &ForecastModel, system: usize, site: Option<usize>, season: Option<usize>) -> FieldLaw {
        let varieties = model.prepared.varieties.len();
        let effects = model.effects();
        let differences = (0..varieties).map(|block| difference(model, block, system, site, season));
        let slopes = (0..varieties).map(|block| slope(model, block));
        let level = model.level.field(system, site);
        let levels = level.weights.iter().map(|weights| level_error(model, weights));
        let functionals: Vec<Functional> =
            differences.chain(slopes).chain(levels).chain(losses(model)).collect();
        let order = functionals.len();
        let mut covariance = effects.covariance(&functionals);
        let natural = model.fitted.law.natural(&model.parameters(), &model.fitted.variances);
        model.sensitivity.add(&functionals, &natural, &mut covariance);
        for block in 0..varieties {
            covariance[block * order + block] += unseen_variance(model, block, system, site, season);
        }
        for i in 0..3 {
            for j in 0..3 {
                covariance[(2 * varieties + i) * order + 2 * varieties + j] = level.covariance[3 * i + j];
            }
        }
        let first_loss = 2 * varieties + 3;
        for (d, loss) in model.fitted.form.losses.iter().enumerate().filter(|(_, loss)| !loss.learnt) {
            covariance[(first_loss + d) * order + first_loss + d] = loss.published.1.powi(2);
        }
        let mut mean: Vec<f64> = functionals[..2 * varieties].iter().map(|f| effects.value(f)).collect();
        mean.extend(level.mean);
        mean.extend(model.fitted.form.losses.iter().map(|loss| loss.estimate));
        FieldLaw { varieties, mean, factor: factor(covariance, order) }
    }

    /// Order of the factor, 2V + 3 + threats.
    pub fn order(&self) -> usize {
        self.mean.len()
    }

    /// Row of the first of intercept, slope and site effect of the log level.
    pub fn level_row(&self) -> usize {
        2 * self.varieties
    }

    /// Row of the first loss.
    pub fn loss_row(&self) -> usize {
        self.level_row() + 3
    }
}

/// d_i as a functional, with what the variety does in the season where that is one of the trials.
pub fn difference(
    model: &ForecastModel,
    block: usize,
    system: usize,
    site: Option<usize>,
    season: Option<usize>,
) -> Functional {
    let mut functional = Functional::default();
    let blocks = &model.prepared.design.blocks;
    for (place, &effect) in blocks[block].effects.iter().enumerate() {
        let here = match effect {
            Effect::Intercept => true,
            Effect::System(s) => s == system,
            Effect::Site(k) => Some(k) == site,
            Effect::Season(t) => Some(t) == season,
            Effect::Slope => false,
        };
        if here {
            functional.effects.push((block, place, 1.0));
        }
    }
    let share = 1.0 / model.reference.len() as f64;
    functional.border.extend(model.prepared.covariate_weights(block));
    for &reference in &model.reference {
        functional.border.extend(model.prepared.covariate_weights(reference).map(|(c, x)| (c, -share * x)));
    }
    for &reference in &model.reference {
        for (place, &effect) in blocks[reference].effects.iter().enumerate() {
            if effect == Effect::Intercept || effect == Effect::System(system) {
                functional.effects.push((reference, place, -share));
            }
        }
    }
    functional
}

/// b_i − b̄_C as a functional; empty where the model has no slope.
pub fn slope(model: &ForecastModel, block: usize) -> Functional {
    let mut functional = Functional::default();
    let column =
        |block: usize| model.prepared.design.blocks[block].effects.iter().position(|&e| e == Effect::Slope);
    let share = 1.0 / model.reference.len() as f64;
    if let Some(place) = column(block) {
        functional.effects.push((block, place, 1.0));
    }
    for &reference in &model.reference {
        if let Some(place) = column(reference) {
            functional.effects.push((reference, place, -share));
        }
    }
    functional
}

/// Variance of the effects of a variety in this field that no trial shows.
pub fn unseen_variance(
    model: &ForecastModel,
    block: usize,
    system: usize,
    site: Option<usize>,
    season: Option<usize>,
) -> f64 {
    let effects = &model.prepared.design.blocks[block].effects;
    let (terms, v) = (model.fitted.terms, &model.fitted.variances);
    let seen_site = site.is_some_and(|k| effects.contains(&Effect::Site(k)));
    let seen_system = effects.contains(&Effect::System(system));
    // That of a season to come is drawn with the season.
    let unseen_season = season.is_some_and(|t| !effects.contains(&Effect::Season(t)));
    f64::from(u8::from(terms.site && !seen_site)) * v.site
        + f64::from(u8::from(terms.system && !seen_system)) * v.system
        + f64::from(u8::from(terms.season && unseen_season)) * v.season
}

/// The losses as functionals: a border coefficient where it was learnt, nothing where it is as published.
fn losses(model: &ForecastModel) -> Vec<Functional> {
    let mut learnt = 0;
    model
        .fitted
        .form
        .losses
        .iter()
        .map(|loss| {
            let mut functional = Functional::default();
            if loss.learnt {
                functional.border.push((model.prepared.loss_column(learnt), 1.0));
                learnt += 1;
            }
            functional
        })
        .collect()
}

/// Error of a level parameter that comes from the errors of the trials' levels.
fn level_error(model: &ForecastModel, weights: &[f64]) -> Functional {
    let mut functional = Functional::default();
    let blocks = &model.prepared.design.blocks;
    let mut sums: Vec<Vec<f64>> = vec![Vec::new(); blocks.len()];
    let system_of = model.prepared.column_systems();
    for (column, &weight) in weights.iter().enumerate() {
        let level = model.trial_levels[column];
        if level <= LEAST_LEVEL || weight == 0.0 {
            continue;
        }
        let part = level_functional(&model.prepared, &model.reference, column, system_of[column]);
        functional.border.extend(part.border.iter().map(|&(c, x)| (c, x * weight / level)));
        for (block, place, x) in part.effects {
            sums[block].resize(blocks[block].effects.len(), 0.0);
            sums[block][place] += x * weight / level;
        }
    }
    for (block, places) in sums.into_iter().enumerate() {
        functional.effects.extend(places.into_iter().enumerate().map(|(place, x)| (block, place, x)));
    }
    functional
}

/// Cholesky factor of a covariance that may be singular or, by rounding, a little less than that.
fn factor(covariance: Vec<f64>, order: usize) -> Vec<f64> {
    let scale = (0..order).map(|i| covariance[i * order + i]).fold(0.0, f64::max).max(f64::MIN_POSITIVE);
    for power in -14..=0 {
        let ridge = scale * 10f64.powi(power);
        let mut candidate = covariance.clone();
        (0..order).for_each(|i| candidate[i * order + i] += ridge);
        if small::cholesky(&mut candidate, order).is_ok() {
            return candidate;
        }
    }
    // Not a covariance at all: keep the margins, drop the rest.
    let mut diagonal = vec![0.0; order * order];
    (0..order).for_each(|i| {
        diagonal[i * order + i] = covariance[i * order + i].max(0.0).sqrt();
    });
    diagonal
}
