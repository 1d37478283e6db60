//! The answer of `leanyear fit`: pure restricted maximum likelihood of a network, as plain values.
//!
//! Variances and effects are in yield units for one system and in shares of [`FitReport::scale`] for
//! several; the criterion is always that of the yields themselves. It knows no clock: whoever has one
//! adds the seconds.

use super::arrow::Likelihood;
use super::effects::{Effects, Functional};
use super::fixed_columns::{FixedColumn, fixed_columns};
use super::network::{Dropped, FitError, Prepared, Purpose, WaterScale, Why};
use super::optimise::Optimum;
use super::several::optimise_from_several;
use super::terms::Terms;
use crate::order::Map;
use crate::pack::Network;
use serde::Serialize;

/// Intercept, slope and covariance of the response to water.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SlopeVariance {
    /// Variance of the main effect at the mean water.
    pub intercept: f64,
    /// Variance of the slope for one standard deviation of water.
    pub slope: f64,
    /// Their covariance.
    pub covariance: f64,
}

/// Variances of a fit; a term that is not in the model is absent.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct VarianceReport {
    /// Main effect of a variety, where there is no slope.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub variety: Option<f64>,
    /// Variety × site.
    #[serde(rename = "variety:site", skip_serializing_if = "Option::is_none")]
    pub site: Option<f64>,
    /// Variety × season.
    #[serde(rename = "variety:season", skip_serializing_if = "Option::is_none")]
    pub season: Option<f64>,
    /// Variety × system.
    #[serde(rename = "variety:system", skip_serializing_if = "Option::is_none")]
    pub system: Option<f64>,
    /// Response to water.
    #[serde(rename = "variety*water", skip_serializing_if = "Option::is_none")]
    pub water: Option<SlopeVariance>,
    /// Variety × trial where error variances are known, that plus error where not; by system.
    pub residual: Map<String, f64>,
}

/// Prediction for one variety.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EffectReport {
    /// Code.
    pub variety: String,
    /// BLUP of the main effect, at the mean water.
    pub effect: f64,
    /// √ of its prediction error variance, fixed effects estimated.
    pub se: f64,
    /// BLUP of the slope for one standard deviation of water.
    pub slope: Option<f64>,
    /// √ of its prediction error variance.
    pub slope_se: Option<f64>,
}

/// A difference of two varieties' main effects.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DifferenceReport {
    /// First minus second.
    pub value: f64,
    /// Standard error of prediction of the difference.
    pub se: f64,
}

/// A fixed coefficient.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CoefficientReport {
    /// Generalised least squares estimate.
    pub value: f64,
    /// Its standard error.
    pub se: f64,
}

/// A term left out, in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DroppedReport {
    /// The term as written.
    pub term: String,
    /// The reason.
    pub why: String,
}

/// Everything `leanyear fit` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FitReport {
    /// −2 log restricted likelihood: (n − p)·log 2π + log|V| + log|X′V⁻¹X| + y′Py, of the yields.
    pub reml: f64,
    /// Variances.
    pub variance: VarianceReport,
    /// What yields were divided by, by system.
    pub scale: Map<String, f64>,
    /// Water of each system that carries a slope.
    pub water: Map<String, WaterScale>,
    /// Predictions.
    pub effects: Vec<EffectReport>,
    /// Coefficients of the fixed columns asked for: `entry` a year, `disease:<trait>` the share of yield that
    /// a severe attack takes from a fully susceptible variety, `susceptible:<trait>` what susceptibility goes
    /// with where nothing attacks.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub fixed: Map<String, CoefficientReport>,
    /// The difference asked for.
    pub difference: Option<DifferenceReport>,
    /// Terms left out.
    pub dropped: Vec<DroppedReport>,
    /// Evaluations of the criterion.
    pub iterations: usize,
    /// Largest gradient of a variance times that variance, criterion units.
    pub gradient: f64,
    /// From parsed data to the end; filled in by whoever has a clock.
    pub seconds: Option<f64>,
}

/// Fits a network by pure restricted maximum likelihood.
///
/// # Errors
/// See [`FitError`].
pub fn fit(
    network: &Network,
    terms: Option<Terms>,
    difference: Option<(&str, &str)>,
) -> Result<FitReport, FitError> {
    let mut prepared = Prepared::new(network, terms, Purpose::Report)?;
    let mut dropped = std::mem::take(&mut prepared.dropped);
    let columns = fixed_columns(network, &prepared, terms.unwrap_or_default(), &mut dropped);
    if !columns.is_empty() {
        prepared.add_fixed(columns.iter().map(FixedColumn::extra).collect());
    }
    let pair = match difference {
        Some((a, b)) => Some((prepared.block(a)?, prepared.block(b)?)),
        None => None,
    };
    let optimum = optimise_from_several(&prepared.design, Likelihood::Restricted)?;
    for (system, name) in prepared.systems.iter().enumerate() {
        if optimum.least_residual[system] && !prepared.errors_known[system] {
            let several = prepared.systems.len() > 1;
            let term = if several { format!("residual of {name}") } else { "residual".to_owned() };
            dropped.push(Dropped { term, why: Why::NothingLeft });
        }
    }
    let effects = Effects::new(&prepared.design, &optimum.solution, &optimum.variances);
    Ok(FitReport {
        reml: optimum.solution.criterion + scale_correction(&prepared),
        variance: variance_report(&prepared, &optimum),
        scale: prepared.systems.iter().cloned().zip(prepared.scale.iter().copied()).collect(),
        water: water_report(&prepared),
        effects: effect_reports(&prepared, &effects),
        difference: pair.map(|(a, b)| difference_report(&effects, a, b)),
        fixed: fixed_report(&prepared, &effects, &columns),
        dropped: dropped
            .iter()
            .map(|d| DroppedReport { term: d.term.clone(), why: d.why.to_string() })
            .collect(),
        iterations: optimum.passes,
        gradient: optimum.gradient,
        seconds: None,
    })
}

fn fixed_report(
    prepared: &Prepared,
    effects: &Effects<'_>,
    columns: &[FixedColumn],
) -> Map<String, CoefficientReport> {
    let functional =
        |k: usize| Functional { border: vec![(prepared.trials.len() + k, 1.0)], ..Functional::default() };
    let asked: Vec<Functional> = (0..columns.len()).map(functional).collect();
    let errors = effects.variances(&asked).into_iter().map(f64::sqrt);
    let values = asked.iter().map(|f| effects.value(f));
    let reports = values.zip(errors).map(|(value, se)| CoefficientReport { value, se });
    columns.iter().map(|c| c.name.clone()).zip(reports).collect()
}

/// What the criterion of the scaled yields lacks: 2·Σ (n_s − J_s)·log c_s.
fn scale_correction(prepared: &Prepared) -> f64 {
    (0..prepared.systems.len())
        .map(|s| {
            let here: Vec<usize> =
                prepared.design.rows.iter().filter(|r| r.system == s).map(|r| r.trial).collect();
            let trials = here.iter().collect::<crate::order::Set<_>>().len();
            2.0 * (here.len() - trials) as f64 * prepared.scale[s].ln()
        })
        .sum()
}

fn variance_report(prepared: &Prepared, optimum: &Optimum) -> VarianceReport {
    let (terms, v) = (prepared.design.terms, &optimum.variances);
    let given = |on: bool, value: f64| on.then_some(value);
    VarianceReport {
        variety: given(!terms.water, v.variety),
        site: given(terms.site, v.site),
        season: given(terms.season, v.season),
        system: given(terms.system, v.system),
        water: terms.water.then_some(SlopeVariance {
            intercept: v.variety,
            slope: v.slope,
            covariance: v.covariance,
        }),
        residual: prepared.systems.iter().cloned().zip(v.residual.iter().copied()).collect(),
    }
}

fn water_report(prepared: &Prepared) -> Map<String, WaterScale> {
    let scales = prepared.systems.iter().zip(&prepared.water);
    scales.filter_map(|(system, water)| Some((system.clone(), (*water)?))).collect()
}

fn effect_reports(prepared: &Prepared, effects: &Effects<'_>) -> Vec<EffectReport> {
    let blocks = 0..prepared.varieties.len();
    let single = |block: usize, column: usize| Functional {
        effects: vec![(block, column, 1.0)],
        ..Functional::default()
    };
    let slope = prepared.design.terms.water.then_some(1);
    let asked: Vec<Functional> = blocks
        .clone()
        .flat_map(|block| [Some(0), slope].into_iter().flatten().map(move |column| single(block, column)))
        .collect();
    let mut errors = effects.variances(&asked).into_iter().map(f64::sqrt);
    blocks
        .map(|block| {
            let predicted = effects.predictions(block);
            EffectReport {
                variety: prepared.varieties[block].clone(),
                effect: predicted[0],
                se: errors.next().unwrap_or(f64::NAN),
                slope: slope.map(|column| predicted[column]),
                slope_se: slope.and_then(|_| errors.next()),
            }
        })
        .collect()
}

fn difference_report(effects: &Effects<'_>, a: usize, b: usize) -> DifferenceReport {
    let functional = Functional { effects: vec![(a, 0, 1.0), (b, 0, -1.0)], ..Functional::default() };
    DifferenceReport {
        value: effects.value(&functional),
        se: effects.covariance(&[functional])[0].max(0.0).sqrt(),
    }
}
