//! Predicting the past without it: leave a season or a trial out (or take earlier seasons only), refit,
//! predict every mean of what was left out, and score.
//!
//! [`fold`] predicts one fold, `centred` the joint law of a trial, `raw_table` the table to beat; [`report`] adds the scores up; [`verdict`] judges the ranges. Everything
//! (centres, scales, variances, climate) comes from the training folds; of the held-out trials only which
//! varieties stood there, the water they got (where it is given) and what they made is used.

mod centred;
pub mod fold;
mod held_law;
mod raw_table;
pub mod report;
pub mod verdict;

pub use report::{Backtest, FoldReport, LevelReport, MeanZ, Scores, SkippedFold, TrialRange};
pub use verdict::{Missed, SeasonRecord, TrackRecord, Verdict, track_record};

use super::form::Ingredients;
use super::model::ForecastModel;
use crate::pack::Network;
use std::collections::BTreeSet;

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

/// Runs a backtest. `progress` is called after each fold with folds done and folds in all, and stops the
/// test by answering `false`.
///
/// Returns `None` if it was stopped, or if no fold could be predicted.
pub fn backtest(
    network: &Network,
    by: By,
    forward: bool,
    ingredients: Ingredients,
    progress: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Backtest> {
    let folds = folds(network, by, forward);
    let (mut predictions, mut skipped) = (Vec::new(), Vec::new());
    for (done, (name, held)) in folds.iter().enumerate() {
        if let Some(training) = training_network(network, held, forward) {
            match ForecastModel::fit_with(&training, ingredients) {
                Ok(model) => predictions.push(fold::predict(network, &training, &model, name, held)),
                Err(why) => skipped.push(SkippedFold { fold: name.clone(), why: why.to_string() }),
            }
        }
        if !progress(done + 1, folds.len()) {
            return None;
        }
    }
    report::report(network, &predictions, skipped)
}

/// Folds as names and sets of trial codes.
fn folds(network: &Network, by: By, forward: bool) -> Vec<(String, BTreeSet<String>)> {
    let fitted = || network.trials.iter().filter(|t| t.excluded.is_none());
    let seasons: BTreeSet<i32> = fitted().map(|t| t.season).collect();
    let tested: BTreeSet<i32> = seasons.into_iter().skip(if forward { FORWARD_SKIPS } else { 0 }).collect();
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
            .map(|t| (t.trial.clone(), BTreeSet::from([t.trial.clone()])))
            .collect(),
    }
}

/// The network without the held-out trials; forwards, without anything of their season or later.
fn training_network(network: &Network, held: &BTreeSet<String>, forward: bool) -> Option<Network> {
    let seasons: BTreeSet<i32> =
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
    let left: BTreeSet<&str> = training.trials.iter().map(|t| t.trial.as_str()).collect();
    training.means.retain(|m| left.contains(m.trial.as_str()));
    training.pressure.retain(|p| left.contains(p.trial.as_str()));
    training.water.retain(|w| keeps(w.season, None));
    training.plots.clear();
    Some(training)
}
