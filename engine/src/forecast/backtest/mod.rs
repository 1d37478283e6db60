//! Predicting the past without it: leave a season or a trial out (or take earlier seasons only), refit,
//! predict every mean of what was left out, and score.
//!
//! [`fold`] predicts one fold, `held_trial` one of its trials, `centred` the joint law of that, `raw_table` the
//! table to beat; [`report`] adds the scores up; [`ranges`] counts what ranges held, [`verdict`] judges them. Everything
//! (centres, scales, variances, climate) comes from the training folds; of the held-out trials only which
//! varieties stood there, the water they got (where it is given) and what they made is used.

mod centred;
pub mod fold;
mod held_law;
mod held_trial;
pub mod ranges;
mod raw_table;
pub mod report;
pub mod verdict;

use fold::Fold;
pub use ranges::TrialRange;
pub use report::{Backtest, FoldReport, LevelReport, MeanZ, Scores};
pub use verdict::{Missed, SeasonRecord, TrackRecord, Verdict, track_record};

use super::form::Ingredients;
use super::model::{ForecastModel, ModelError};
use crate::order::Set;
use crate::pack::Network;
use serde::Serialize;
use thiserror::Error;

/// How past trials are put into folds.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum By {
    /// A whole season at a time.
    #[default]
    Season,
    /// One trial at a time.
    Trial,
}

/// Seasons that a forward test skips at the start.
const FORWARD_SKIPS: usize = 2;

/// Why a backtest has nothing to report.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum BacktestError {
    /// It was stopped.
    #[error("the check of past seasons was stopped")]
    Stopped,
    /// The network cannot be fitted with all its trials either.
    #[error("nothing to predict: {0}")]
    Model(#[from] ModelError),
    /// What is left without a fold cannot be fitted: the first of the folds.
    #[error("nothing to predict: without {}, {}", .0.fold, .0.why)]
    Fold(SkippedFold),
    /// No fold holds a mean that the others could predict.
    #[error(
        "nothing to predict: a backtest needs at least two seasons (forwards, three) with trials of three varieties \
         or more that other seasons saw too, in a production system that they saw too"
    )]
    TooFew,
}

/// A fold without a prediction.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SkippedFold {
    /// Season or trial.
    pub fold: String,
    /// Why the other folds gave no forecast.
    pub why: String,
}

/// Runs a backtest. `progress` is called after each fold with folds done and folds in all, and stops the
/// test by answering `false`.
///
/// # Errors
/// [`BacktestError`] if it was stopped, or if no fold could be predicted.
pub fn backtest(
    network: &Network,
    by: By,
    forward: bool,
    ingredients: Ingredients,
    progress: &mut dyn FnMut(usize, usize) -> bool,
) -> Result<Backtest, BacktestError> {
    let mut predictions = Vec::new();
    let skipped = each_fold(network, (by, forward), ingredients, progress, &mut |fold| {
        predictions.push(fold::predict(network, fold));
    })?;
    let first_skipped = skipped.first().cloned();
    report::report(network, &predictions, skipped)
        .map_or_else(|| Err(nothing(network, ingredients, first_skipped)), Ok)
}

/// How often the ranges would have held in seasons that are over, each worked out from earlier seasons alone: the
/// ranges of a forward [`backtest`] by season, in less than half the time.
///
/// # Errors
/// As of [`backtest`].
pub fn past_ranges(
    network: &Network,
    progress: &mut dyn FnMut(usize, usize) -> bool,
) -> Result<Vec<TrialRange>, BacktestError> {
    let mut means = Vec::new();
    let (way, ingredients) = ((By::Season, true), Ingredients::default());
    let skipped = each_fold(network, way, ingredients, progress, &mut |fold| {
        means.extend(fold::predict_given_water(network, fold));
    })?;
    if means.is_empty() {
        Err(nothing(network, ingredients, skipped.into_iter().next()))
    } else {
        Ok(ranges::ranges(means.iter()))
    }
}

/// Why no mean could be predicted.
fn nothing(network: &Network, ingredients: Ingredients, skipped: Option<SkippedFold>) -> BacktestError {
    match (ForecastModel::fit_with(network, ingredients), skipped) {
        (Err(why), _) => BacktestError::Model(why),
        (Ok(_), Some(fold)) => BacktestError::Fold(fold),
        (Ok(_), None) => BacktestError::TooFew,
    }
}

/// Calls `each` with every fold that could be fitted; returns those that could not.
fn each_fold(
    network: &Network,
    (by, forward): (By, bool),
    ingredients: Ingredients,
    progress: &mut dyn FnMut(usize, usize) -> bool,
    each: &mut dyn FnMut(&Fold<'_>),
) -> Result<Vec<SkippedFold>, BacktestError> {
    let folds = folds(network, by, forward);
    let mut skipped = Vec::new();
    for (done, (name, held)) in folds.iter().enumerate() {
        if let Some(training) = training_network(network, held, forward) {
            match ForecastModel::fit_with(&training, ingredients) {
                Ok(model) => each(&Fold { name, held, training: &training, model: &model }),
                // Without a single trial to learn from there are too few seasons, and nothing else is wrong.
                Err(_) if training.trials.iter().all(|trial| trial.excluded.is_some()) => {}
                Err(why) => skipped.push(SkippedFold { fold: name.clone(), why: why.to_string() }),
            }
        }
        if !progress(done + 1, folds.len()) {
            return Err(BacktestError::Stopped);
        }
    }
    Ok(skipped)
}

/// Folds as names and sets of trial codes.
fn folds(network: &Network, by: By, forward: bool) -> Vec<(String, Set<String>)> {
    let fitted = || network.trials.iter().filter(|t| t.excluded.is_none());
    let seasons: Set<i32> = fitted().map(|t| t.season).collect();
    let tested: Set<i32> = seasons.into_iter().skip(if forward { FORWARD_SKIPS } else { 0 }).collect();
    match by {
        By::Season => tested
            .into_iter()
            .map(|season| {
                let held = fitted().filter(|t| t.season == season).map(|t| t.trial.clone()).collect();
                (season.to_string(), held)
            })
            .collect(),
        By::Trial => fitted()
            .filter(|t| tested.contains(&t.season))
            .map(|t| (t.trial.clone(), Set::from([t.trial.clone()])))
            .collect(),
    }
}

/// The network without the held-out trials; forwards, without anything of their season or later.
fn training_network(network: &Network, held: &Set<String>, forward: bool) -> Option<Network> {
    let seasons: Set<i32> =
        network.trials.iter().filter(|t| held.contains(&t.trial)).map(|t| t.season).collect();
    let first = *seasons.first()?;
    let whole_season = network
        .trials
        .iter()
        .filter(|t| t.excluded.is_none() && seasons.contains(&t.season))
        .all(|t| held.contains(&t.trial));
    let keeps = |season: i32, trial: Option<&str>| {
        if forward {
            season < first
        } else if whole_season {
            !seasons.contains(&season)
        } else {
            trial.is_none_or(|code| !held.contains(code))
        }
    };
    let mut training = network.clone();
    training.trials.retain(|t| keeps(t.season, Some(&t.trial)));
    let left: Set<&str> = training.trials.iter().map(|t| t.trial.as_str()).collect();
    training.means.retain(|m| left.contains(m.trial.as_str()));
    training.pressure.retain(|p| left.contains(p.trial.as_str()));
    training.water.retain(|w| keeps(w.season, None));
    training.plots.clear();
    Some(training)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic)]
    use super::*;
    use crate::mixed::network::FitError;
    use crate::mixed::optimise::OptimiseError;
    use crate::pack::read;
    use crate::pack::test_folder::whole;

    fn why(
        sites: &[&str],
        seasons: std::ops::Range<i32>,
        yield_of: impl Fn(i32, usize, usize) -> f64,
    ) -> BacktestError {
        let mut files = whole();
        let (mut trials, mut means) = ("trial,site,season\n".to_owned(), "trial,variety,yield\n".to_owned());
        for season in seasons {
            for (at, site) in sites.iter().enumerate() {
                trials += &format!("{site}-{season},{site},{season}\n");
                for (place, variety) in ["A", "B", "C"].iter().enumerate() {
                    means += &format!("{site}-{season},{variety},{}\n", yield_of(season, at, place));
                }
            }
        }
        files.retain(|name, _| ["network.json", "trials.csv", "means.csv"].contains(&name.as_str()));
        let info = br#"{"name": "Invented", "yield_unit": "t/ha"}"#.to_vec();
        for (name, text) in
            [("network.json", info), ("trials.csv", trials.into()), ("means.csv", means.into())]
        {
            files.insert(name.to_owned(), text);
        }
        let network = read(&files).network.unwrap();
        backtest(&network, By::Season, false, Ingredients::default(), &mut |_, _| true).unwrap_err()
    }

    #[test]
    fn a_backtest_without_an_answer_says_what_a_fit_says() {
        let equal = why(&["S1", "S2"], 2020..2024, |_, _, _| 3.0);
        let expected = ModelError::Fit(FitError::Optimise(OptimiseError::NoVariation));
        assert_eq!(equal, BacktestError::Model(expected));
        assert!(equal.to_string().contains("all yields are equal"), "{equal}");
        let one_season = why(&["S1", "S2"], 2020..2021, |_, at, place| {
            2.0 + [0.0, 0.7][at] + [0.0, 0.4, 0.1][(at + place) % 3]
        });
        assert_eq!(one_season, BacktestError::TooFew);
        let one_trial_left =
            why(&["S1"], 2020..2022, |season, _, place| f64::from(season - 2018) + [0.0, 0.4, 0.1][place]);
        let BacktestError::Fold(fold) = one_trial_left else { panic!("{one_trial_left}") };
        assert!(fold.fold == "2020" && fold.why.contains("only one fitted trial"), "{fold:?}");
    }
}
