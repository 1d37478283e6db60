//! Experiments: a fitted model with some of its estimates replaced by what is true, to see which of them costs
//! the coverage.
//!
//! The forecast measures in shares of the mean of fitted rows c, and standardises water by the fitted trials;
//! the truth has its own c₀ and water. With w₀ = s·w + δ an effect u₀ + b₀·w₀ is (u₀ + δ·b₀) + s·b₀·w, and a
//! difference d₀ of κ becomes d₀·(c₀/c)^(1−κ).

use super::world::{SCALE, World};
use leanyear_engine::forecast::model::{Fitted, ForecastModel};
use leanyear_engine::mixed::variances::Variances;

/// What is replaced by the truth.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Substitutes {
    /// κ and the variances of the mixed model.
    pub variances: bool,
    /// The variances of the level model.
    pub level: bool,
}

/// Shares of the variance of standardised water between sites, between seasons, and the rest.
const WATER_SHARES: [f64; 3] = [1600.0 / 7225.0, 3600.0 / 7225.0, 2025.0 / 7225.0];

/// The true variances in the units and terms of a fitted model.
pub fn true_variances(world: &World, model: &ForecastModel) -> Variances {
    let truth = &world.variances;
    let prepared = &model.prepared;
    let systems = prepared.systems.len();
    let place = |s: usize| super::system_of(&prepared.systems[s]);
    let ratio = |s: usize| SCALE[place(s)] / prepared.scale[s];
    let mean_ratio = (0..systems).map(ratio).sum::<f64>() / systems as f64;
    let grown = mean_ratio.powf(2.0 * (1.0 - world.shape.kappa));
    let covariance = truth.correlation * (truth.variety * truth.slope).sqrt();
    let slope_kept = model.fitted.terms.water;
    let scales: Vec<(f64, f64)> = (0..systems)
        .filter_map(|s| {
            let w = prepared.water[s]?;
            let unit = world.standard(place(s), 1.0) - world.standard(place(s), 0.0);
            Some((unit * w.scale, world.standard(place(s), w.center)))
        })
        .collect();
    let count = scales.len().max(1) as f64;
    let stretch = scales.iter().map(|s| s.0).sum::<f64>() / count;
    let shift = scales.iter().map(|s| s.1).sum::<f64>() / count;
    let hidden = |share: f64| if slope_kept { 0.0 } else { share * truth.slope };
    let variety = truth.variety + 2.0 * shift * covariance + shift * shift * truth.slope;
    let residual = (0..systems)
        .map(|s| {
            let error = if prepared.errors_known[s] { 0.0 } else { truth.plot / world.shape.reps as f64 };
            (truth.trial + error + hidden(WATER_SHARES[2])) * ratio(s) * ratio(s)
        })
        .collect();
    Variances {
        variety: variety * grown,
        slope: if slope_kept { truth.slope * stretch * stretch * grown } else { 0.0 },
        covariance: if slope_kept { stretch * (covariance + shift * truth.slope) * grown } else { 0.0 },
        site: (truth.site + hidden(WATER_SHARES[0])) * grown,
        season: (truth.season + hidden(WATER_SHARES[1])) * grown,
        system: truth.system * grown,
        residual,
    }
}

/// Fitted parameters with the chosen ones replaced.
pub fn substituted(world: &World, model: &ForecastModel, what: Substitutes) -> Fitted {
    let mut fitted = model.fitted.clone();
    if what.variances {
        fitted.form.kappa = world.shape.kappa;
        fitted.form.season_by_system = false;
        fitted.law.covariance.fill(0.0);
        fitted.variances = true_variances(world, model);
    }
    if what.level {
        let truth = &world.variances;
        let known = model.prepared.water.iter().any(Option::is_some);
        let squares = world.response.iter().map(|r| r * r).sum::<f64>() / world.response.len() as f64;
        let hidden = |share: f64| if known { 0.0 } else { share * squares };
        fitted.level.saturation = None;
        fitted.level.site = true;
        fitted.level.season = true;
        fitted.level.site_variance = truth.level_site + hidden(WATER_SHARES[0]);
        fitted.level.season_variance = truth.level_season + hidden(WATER_SHARES[1]);
        let systems = fitted.level.trial_variance.len();
        fitted.level.trial_variance = vec![truth.level_trial + hidden(WATER_SHARES[2]); systems];
        // Main effect, site, season and a residual for each system, all of them known.
        fitted.level.law.covariance = vec![0.0; (3 + systems).pow(2)];
    }
    fitted
}
