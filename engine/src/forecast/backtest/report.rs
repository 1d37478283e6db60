//! The scores of a backtest, added up: the answer of `leanyear backtest`.
//!
//! Errors of prediction in yield units, CRPS in yield units, coverage and chances as shares, standard
//! errors clustered by season. It knows predictions, not models.

use super::super::score::{Component, Mixture, average, cdf, clustered_mean, crps, crps_sample, moments};
use super::SkippedFold;
use super::fold::{FoldPredictions, Pair, Prediction};
use super::ranges::{TrialRange, draw_share, ranges, share_inside};
use crate::order::Map;
use crate::pack::Network;
use serde::Serialize;

/// Mean of (came − predicted)/sd by where a variety stood in its career.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct MeanZ {
    /// In its first season.
    pub first: Option<f64>,
    /// In between.
    pub continuing: Option<f64>,
    /// In its last season, where the network went on without it.
    pub last: Option<f64>,
}

/// Scores of the deviations under one kind of forecast.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scores {
    /// Root mean squared error, yield unit.
    pub rmse: f64,
    /// Share of values inside the 80 % range.
    pub cover80: f64,
    /// Share of values inside the 95 % range.
    pub cover95: f64,
    /// Standard error of `cover80`, clustered by season.
    pub cover80_se: Option<f64>,
    /// Standard error of `cover95`, clustered by season.
    pub cover95_se: Option<f64>,
    /// Continuous ranked probability score, yield unit.
    pub crps: f64,
    /// Brier score of "A makes more than B".
    pub brier_pairs: f64,
    /// Mean standardised errors.
    pub mean_z: MeanZ,
}

/// Scores of one fold, given its water.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FoldReport {
    /// Season or trial.
    pub fold: String,
    /// Means scored.
    pub n: usize,
    /// Root mean squared error.
    pub rmse: f64,
    /// That of the table of raw means.
    pub rmse_raw_mean: f64,
    /// CRPS.
    pub crps: f64,
    /// Share inside the 80 % range.
    pub cover80: f64,
    /// Share inside the 95 % range.
    pub cover95: f64,
}

/// Scores of whole yields, level and variety together, given the season's water.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LevelReport {
    /// Yields scored.
    pub n: usize,
    /// Root mean squared error of the mean forecast, yield unit.
    pub rmse: f64,
    /// CRPS, yield unit.
    pub crps: f64,
    /// Share inside the 80 % range.
    pub cover80: f64,
    /// Share inside the 95 % range.
    pub cover95: f64,
    /// Standard error of `cover80`, clustered by season.
    pub cover80_se: Option<f64>,
    /// Standard error of `cover95`, clustered by season.
    pub cover95_se: Option<f64>,
}

/// Everything `leanyear backtest` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Backtest {
    /// Means scored.
    pub n: usize,
    /// Scores given the season's water.
    #[serde(flatten)]
    pub given_water: Scores,
    /// Root mean squared error of the table of raw means.
    pub rmse_raw_mean: f64,
    /// CRPS of the table of raw means.
    pub crps_raw_mean: f64,
    /// Brier score of pairs by the table of raw means.
    pub brier_pairs_raw_mean: f64,
    /// Scores with the climate of the training seasons in place of the season's water.
    pub as_it_came: Scores,
    /// Fold by fold, given the season's water.
    pub by: Vec<FoldReport>,
    /// Whole yields.
    pub level: LevelReport,
    /// How often ranges held, by season and system.
    pub ranges: Vec<TrialRange>,
    /// Folds that could not be predicted since the others could not be fitted.
    pub skipped: Vec<SkippedFold>,
}

/// Adds up the predictions of all folds; `None` if there are none.
pub fn report(network: &Network, folds: &[FoldPredictions], skipped: Vec<SkippedFold>) -> Option<Backtest> {
    let means: Vec<&Prediction> = folds.iter().flat_map(|f| &f.means).collect();
    if means.is_empty() {
        return None;
    }
    let pairs: Vec<&Pair> = folds.iter().flat_map(|f| &f.pairs).collect();
    let careers = careers(network);
    let all = || folds.iter().flat_map(|f| &f.means);
    let given = judged(all(), all().map(|p| &p.given_water));
    let as_it_came = judged(all(), folds.iter().flat_map(|f| &f.as_it_came));
    Some(Backtest {
        n: means.len(),
        given_water: scores(&given, brier(&pairs, |p| p.given_water), &careers),
        rmse_raw_mean: rmse_raw(all()),
        crps_raw_mean: average(all().map(|p| crps(&[(1.0, p.raw.0, p.raw.1)], p.came))),
        brier_pairs_raw_mean: brier(&pairs, |p| p.raw),
        as_it_came: scores(&as_it_came, brier(&pairs, |p| p.as_it_came), &careers),
        by: folds.iter().filter(|f| !f.means.is_empty()).map(fold_report).collect(),
        level: level_report(&means),
        ranges: ranges(all()),
        skipped,
    })
}

type Career = Map<String, (i32, i32)>;

/// First and last fitted season of each variety.
fn careers(network: &Network) -> Career {
    let seasons: Map<&str, i32> = network
        .trials
        .iter()
        .filter(|t| t.excluded.is_none())
        .map(|t| (t.trial.as_str(), t.season))
        .collect();
    let mut careers = Career::new();
    for m in &network.means {
        if let Some(&season) = seasons.get(m.trial.as_str()) {
            let slot = careers.entry(m.variety.clone()).or_insert((season, season));
            *slot = (slot.0.min(season), slot.1.max(season));
        }
    }
    careers
}

/// A mean and a law for its deviation.
type Judged<'a> = (&'a Prediction, &'a Mixture);

fn judged<'a>(
    means: impl IntoIterator<Item = &'a Prediction>,
    laws: impl IntoIterator<Item = &'a Vec<Component>>,
) -> Vec<Judged<'a>> {
    means.into_iter().zip(laws.into_iter().map(Vec::as_slice)).collect()
}

fn given_water(means: &[Prediction]) -> Vec<Judged<'_>> {
    judged(means, means.iter().map(|p| &p.given_water))
}

fn rmse(judged: &[Judged<'_>]) -> f64 {
    average(judged.iter().map(|(p, law)| (p.came - moments(law).0).powi(2))).sqrt()
}

fn rmse_raw<'a>(means: impl Iterator<Item = &'a Prediction>) -> f64 {
    average(means.map(|p| (p.came - p.raw.0).powi(2))).sqrt()
}

fn average_crps(judged: &[Judged<'_>]) -> f64 {
    average(judged.iter().map(|(p, law)| crps(law, p.came)))
}

fn brier(pairs: &[&Pair], chance: impl Fn(&Pair) -> f64) -> f64 {
    average(pairs.iter().map(|p| (chance(p) - p.came).powi(2)))
}

fn scores(judged: &[Judged<'_>], brier_pairs: f64, careers: &Career) -> Scores {
    let cover = |level: f64| {
        let hits: Vec<(i32, f64)> = judged
            .iter()
            .map(|(p, law)| (p.season, f64::from(share_inside(cdf(law, p.came), level))))
            .collect();
        clustered_mean(&hits)
    };
    let ((cover80, cover80_se), (cover95, cover95_se)) = (cover(0.8), cover(0.95));
    let last_season = careers.values().map(|c| c.1).max().unwrap_or_default();
    let mean_z = |belongs: &dyn Fn(&Prediction, (i32, i32)) -> bool| {
        let z: Vec<f64> = judged
            .iter()
            .filter(|(p, _)| careers.get(&p.variety).is_some_and(|&c| belongs(p, c)))
            .map(|(p, law)| {
                let (mean, sd) = moments(law);
                (p.came - mean) / sd.max(f64::MIN_POSITIVE)
            })
            .collect();
        (!z.is_empty()).then(|| average(z.into_iter()))
    };
    let left = |p: &Prediction, c: (i32, i32)| p.season == c.1 && c.1 < last_season;
    Scores {
        rmse: rmse(judged),
        cover80,
        cover95,
        cover80_se,
        cover95_se,
        crps: average_crps(judged),
        brier_pairs,
        mean_z: MeanZ {
            first: mean_z(&|p, c| p.season == c.0),
            continuing: mean_z(&|p, c| p.season != c.0 && !left(p, c)),
            last: mean_z(&|p, c| left(p, c) && p.season != c.0),
        },
    }
}

fn fold_report(fold: &FoldPredictions) -> FoldReport {
    let given = given_water(&fold.means);
    let cover =
        |level: f64| average(given.iter().map(|(p, law)| f64::from(share_inside(cdf(law, p.came), level))));
    FoldReport {
        fold: fold.name.clone(),
        n: given.len(),
        rmse: rmse(&given),
        rmse_raw_mean: rmse_raw(fold.means.iter()),
        crps: average_crps(&given),
        cover80: cover(0.8),
        cover95: cover(0.95),
    }
}

fn level_report(means: &[&Prediction]) -> LevelReport {
    let cover = |level: f64| {
        let hits: Vec<(i32, f64)> =
            means.iter().map(|p| (p.season, f64::from(share_inside(draw_share(p), level)))).collect();
        clustered_mean(&hits)
    };
    let ((cover80, cover80_se), (cover95, cover95_se)) = (cover(0.8), cover(0.95));
    let error = |p: &Prediction| p.yield_came - average(p.yield_draws.iter().copied());
    LevelReport {
        n: means.len(),
        rmse: average(means.iter().map(|p| error(p).powi(2))).sqrt(),
        crps: average(means.iter().map(|p| crps_sample(&p.yield_draws, p.yield_came))),
        cover80,
        cover95,
        cover80_se,
        cover95_se,
    }
}
