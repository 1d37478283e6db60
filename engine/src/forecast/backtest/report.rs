//! The scores of a backtest, added up: the answer of `leanyear backtest` and of the page's track record.
//!
//! Errors of prediction in yield units, CRPS in yield units, coverage and chances as shares, standard
//! errors clustered by season. It knows predictions, not models.

use super::super::score::{cdf, clustered_mean, crps, crps_sample};
use super::fold::{FoldPredictions, Pair, Prediction};
use crate::pack::Network;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

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

/// How often the 80 % ranges held in one season and system, and by how much differences were missed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TrialRange {
    /// Season.
    pub season: i32,
    /// Production system.
    pub system: String,
    /// Deviations from the trial's average, scored.
    pub n: u32,
    /// Of those, inside the 80 % range.
    pub held: u32,
    /// Whole yields inside their 80 % range.
    pub yields_held: u32,
    /// Mean squared error of the deviations, yield unit squared.
    pub error_ms: f64,
    /// The same by the table of raw means.
    pub error_ms_raw: f64,
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

/// A fold without a prediction.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SkippedFold {
    /// Season or trial.
    pub fold: String,
    /// Why the other folds gave no forecast.
    pub why: String,
}

/// Adds up the predictions of all folds; `None` if there are none.
pub fn report(network: &Network, folds: &[FoldPredictions], skipped: Vec<SkippedFold>) -> Option<Backtest> {
    let means: Vec<&Prediction> = folds.iter().flat_map(|f| &f.means).collect();
    if means.is_empty() {
        return None;
    }
    let pairs: Vec<&Pair> = folds.iter().flat_map(|f| &f.pairs).collect();
    let careers = careers(network);
    let given = |p: &Prediction| p.given_water.clone();
    let came = |p: &Prediction| p.as_it_came.clone();
    let raw = |p: &Prediction| vec![(1.0, p.raw.0, p.raw.1)];
    Some(Backtest {
        n: means.len(),
        given_water: scores(&means, given, brier(&pairs, |p| p.given_water), &careers),
        rmse_raw_mean: rmse(&means, raw),
        crps_raw_mean: average(means.iter().map(|p| crps(&raw(p), p.came))),
        brier_pairs_raw_mean: brier(&pairs, |p| p.raw),
        as_it_came: scores(&means, came, brier(&pairs, |p| p.as_it_came), &careers),
        by: folds.iter().filter(|f| !f.means.is_empty()).map(|f| fold_report(f, given, raw)).collect(),
        level: level_report(&means),
        ranges: ranges(&means),
        skipped,
    })
}

type Career = BTreeMap<String, (i32, i32)>;

/// First and last fitted season of each variety.
fn careers(network: &Network) -> Career {
    let seasons: BTreeMap<&str, i32> = network
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

fn average(values: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for value in values {
        sum += value;
        count += 1.0;
    }
    sum / f64::max(count, 1.0)
}

fn mixture_mean(mixture: &[(f64, f64, f64)]) -> f64 {
    mixture.iter().map(|(w, m, _)| w * m).sum()
}

fn mixture_sd(mixture: &[(f64, f64, f64)]) -> f64 {
    let mean = mixture_mean(mixture);
    mixture.iter().map(|(w, m, s)| w * (s * s + (m - mean).powi(2))).sum::<f64>().sqrt()
}

fn rmse(means: &[&Prediction], law: impl Fn(&Prediction) -> Vec<(f64, f64, f64)>) -> f64 {
    average(means.iter().map(|p| (p.came - mixture_mean(&law(p))).powi(2))).sqrt()
}

fn brier(pairs: &[&Pair], chance: impl Fn(&Pair) -> f64) -> f64 {
    average(pairs.iter().map(|p| (chance(p) - p.came).powi(2)))
}

fn inside(share: f64, level: f64) -> f64 {
    f64::from(u8::from((share - 0.5).abs() <= level / 2.0))
}

fn scores(
    means: &[&Prediction],
    law: impl Fn(&Prediction) -> Vec<(f64, f64, f64)>,
    brier_pairs: f64,
    careers: &Career,
) -> Scores {
    let cover = |level: f64| {
        let hits: Vec<(i32, f64)> =
            means.iter().map(|p| (p.season, inside(cdf(&law(p), p.came), level))).collect();
        clustered_mean(&hits)
    };
    let ((cover80, cover80_se), (cover95, cover95_se)) = (cover(0.8), cover(0.95));
    let last_season = careers.values().map(|c| c.1).max().unwrap_or_default();
    let mean_z = |belongs: &dyn Fn(&Prediction, (i32, i32)) -> bool| {
        let z: Vec<f64> = means
            .iter()
            .filter(|p| careers.get(&p.variety).is_some_and(|&c| belongs(p, c)))
            .map(|p| (p.came - mixture_mean(&law(p))) / mixture_sd(&law(p)).max(f64::MIN_POSITIVE))
            .collect();
        (!z.is_empty()).then(|| average(z.into_iter()))
    };
    let left = |p: &Prediction, c: (i32, i32)| p.season == c.1 && c.1 < last_season;
    Scores {
        rmse: rmse(means, &law),
        cover80,
        cover95,
        cover80_se,
        cover95_se,
        crps: average(means.iter().map(|p| crps(&law(p), p.came))),
        brier_pairs,
        mean_z: MeanZ {
            first: mean_z(&|p, c| p.season == c.0),
            continuing: mean_z(&|p, c| p.season != c.0 && !left(p, c)),
            last: mean_z(&|p, c| left(p, c) && p.season != c.0),
        },
    }
}

fn fold_report(
    fold: &FoldPredictions,
    given: impl Fn(&Prediction) -> Vec<(f64, f64, f64)>,
    raw: impl Fn(&Prediction) -> Vec<(f64, f64, f64)>,
) -> FoldReport {
    let means: Vec<&Prediction> = fold.means.iter().collect();
    let cover = |level: f64| average(means.iter().map(|p| inside(cdf(&given(p), p.came), level)));
    FoldReport {
        fold: fold.name.clone(),
        n: means.len(),
        rmse: rmse(&means, &given),
        rmse_raw_mean: rmse(&means, &raw),
        crps: average(means.iter().map(|p| crps(&given(p), p.came))),
        cover80: cover(0.8),
        cover95: cover(0.95),
    }
}

/// Share of the sorted draws below what came, ties counted half.
fn draw_share(p: &Prediction) -> f64 {
    let below = p.yield_draws.partition_point(|x| *x < p.yield_came);
    let not_above = p.yield_draws.partition_point(|x| *x <= p.yield_came);
    (below + not_above) as f64 / (2 * p.yield_draws.len()) as f64
}

fn level_report(means: &[&Prediction]) -> LevelReport {
    let cover = |level: f64| {
        let hits: Vec<(i32, f64)> = means.iter().map(|p| (p.season, inside(draw_share(p), level))).collect();
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

fn ranges(means: &[&Prediction]) -> Vec<TrialRange> {
    let mut by: BTreeMap<(i32, &str), Vec<&Prediction>> = BTreeMap::new();
    for p in means {
        by.entry((p.season, &p.system)).or_default().push(p);
    }
    by.into_iter()
        .map(|((season, system), here)| {
            let count =
                |holds: &dyn Fn(&Prediction) -> f64| here.iter().filter(|p| holds(p) > 0.0).count() as u32;
            let mean_square =
                |law: &dyn Fn(&Prediction) -> f64| average(here.iter().map(|p| (p.came - law(p)).powi(2)));
            TrialRange {
                season,
                system: system.to_owned(),
                n: here.len() as u32,
                held: count(&|p| inside(cdf(&p.given_water, p.came), 0.8)),
                yields_held: count(&|p| inside(draw_share(p), 0.8)),
                error_ms: mean_square(&|p| mixture_mean(&p.given_water)),
                error_ms_raw: mean_square(&|p| p.raw.0),
            }
        })
        .collect()
}
