//! Means and error mean squares from `plots.csv`, and the comparison of what a trial states of its error.
//!
//! Where a trial has both means and plots, its stated means are kept: they are what was published, perhaps
//! adjusted in ways that plots alone do not show. The two must then name the same varieties, because
//! otherwise one of them is of another trial or incomplete, and which cannot be known. A trial in
//! `plots.csv` alone gets its means from there; one in `means.csv` alone needs no plots.

use super::columns::{PLOTS, TRIALS};
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::read::TypedTables;
use super::tables::{Mean, Plot};
use crate::trial::complete_blocks::{self, BlocksError, CompleteBlocks, PlotYield};
use crate::trial::variances_of_mean;
use std::collections::{BTreeMap, BTreeSet};

/// Two statements of one variance that differ by more than this share are worth a warning.
const MOST_DIFFERENCE: f64 = 0.15;

/// What the plots add to the tables.
#[derive(Debug, Default)]
pub(super) struct Derived {
    /// Means of trials that `means.csv` does not name.
    pub means: Vec<Mean>,
}

/// Analyses every trial with plots, fills blank `reps` and `error_ms` of its report, and returns its means
/// where none are stated. `spoiled` trials are left alone.
pub(super) fn analyse(
    typed: &mut TypedTables,
    spoiled: &BTreeSet<String>,
    problems: &mut Problems,
) -> Derived {
    let mut trials: BTreeMap<&str, Vec<&(usize, Plot)>> = BTreeMap::new();
    for plot in typed.plots.iter().filter(|(_, plot)| !spoiled.contains(&plot.trial)) {
        trials.entry(&plot.1.trial).or_default().push(plot);
    }
    let mut stated: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for (_, mean) in &typed.means {
        stated.entry(&mean.trial).or_default().insert(&mean.variety);
    }
    name_blocks(&trials, problems);
    let mut derived = Derived::default();
    let mut analyses = BTreeMap::new();
    for (&trial, plots) in &trials {
        let Some(analysis) = analyse_trial(trial, plots, problems) else { continue };
        name_lost_varieties(trial, plots, problems);
        match stated.get(trial) {
            Some(varieties) => compare_varieties(trial, plots, varieties, problems),
            None => {
                if !typed.means.is_empty() {
                    let kind = ProblemKind::TrialOnlyInPlots { trial: trial.to_owned() };
                    problems.warn(Place::row(PLOTS, plots[0].0), kind);
                }
                derived.means.extend(means_of(trial, &analysis));
            }
        }
        analyses.insert(trial.to_owned(), analysis);
    }
    for (_, trial) in &mut typed.trials {
        let Some(analysis) = analyses.get(&trial.trial) else { continue };
        trial.error.reps.get_or_insert(analysis.reps as f64);
        trial.error.error_ms = trial.error.error_ms.or(analysis.error_ms.filter(|ms| *ms > 0.0));
    }
    derived
}

fn analyse_trial(trial: &str, plots: &[&(usize, Plot)], problems: &mut Problems) -> Option<CompleteBlocks> {
    let yields: Vec<PlotYield<'_>> = plots
        .iter()
        .filter_map(|(_, plot)| {
            Some(PlotYield { variety: &plot.variety, rep: &plot.rep, yield_: plot.yield_? })
        })
        .collect();
    let trial = trial.to_owned();
    let kind = match complete_blocks::analyse(&yields) {
        Ok(analysis) => return Some(analysis),
        Err(BlocksError::NoPlots) => {
            problems.warn(Place::row(PLOTS, plots[0].0), ProblemKind::TrialLost { trial });
            return None;
        }
        Err(BlocksError::NotConnected { first, other }) => {
            ProblemKind::PlotsNotConnected { trial, first, other }
        }
        Err(BlocksError::TooLarge { varieties, reps }) => {
            ProblemKind::TrialTooLarge { trial, varieties, reps }
        }
    };
    problems.error(Place::row(PLOTS, plots[0].0), kind);
    None
}

fn means_of<'a>(trial: &'a str, analysis: &'a CompleteBlocks) -> impl Iterator<Item = Mean> + 'a {
    analysis.means.iter().map(|mean| Mean {
        trial: trial.to_owned(),
        variety: mean.variety.clone(),
        yield_: mean.mean,
        plots: Some(mean.plots as f64),
    })
}

fn compare_varieties(
    trial: &str,
    plots: &[&(usize, Plot)],
    stated: &BTreeSet<&str>,
    problems: &mut Problems,
) {
    let harvested = plots.iter().filter(|(_, plot)| plot.yield_.is_some());
    let harvested: BTreeSet<&str> = harvested.map(|(_, plot)| plot.variety.as_str()).collect();
    let varieties: Vec<String> = stated.symmetric_difference(&harvested).map(|v| (*v).to_owned()).collect();
    if !varieties.is_empty() {
        let kind = ProblemKind::VarietiesDiffer { trial: trial.to_owned(), varieties };
        problems.error(Place::row(PLOTS, plots[0].0), kind);
    }
}

fn name_lost_varieties(trial: &str, plots: &[&(usize, Plot)], problems: &mut Problems) {
    let mut lost: BTreeMap<&str, usize> = BTreeMap::new();
    for (row, plot) in plots {
        lost.entry(&plot.variety).or_insert(*row);
    }
    for (_, plot) in plots.iter().filter(|(_, plot)| plot.yield_.is_some()) {
        lost.remove(plot.variety.as_str());
    }
    for (variety, row) in lost {
        let kind = ProblemKind::VarietyLost { trial: trial.to_owned(), variety: variety.to_owned() };
        problems.warn(Place::row(PLOTS, row), kind);
    }
}

/// Incomplete blocks are read and wait for their analysis.
fn name_blocks(trials: &BTreeMap<&str, Vec<&(usize, Plot)>>, problems: &mut Problems) {
    let blocked = trials.values().filter(|plots| plots.iter().any(|(_, plot)| plot.block.is_some())).count();
    if blocked > 0 {
        problems.warn(Place::column(PLOTS, "block"), ProblemKind::BlocksNotUsed { trials: blocked });
    }
}

/// Warns where a trial's statements of its error imply variances of a mean that differ by more than 15 %.
pub(super) fn name_differing_errors(typed: &TypedTables, derived: &Derived, problems: &mut Problems) {
    let mut means: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for mean in typed.means.iter().map(|(_, mean)| mean).chain(&derived.means) {
        means.entry(&mean.trial).or_default().push(mean.yield_);
    }
    for (row, trial) in &typed.trials {
        let Some(yields) = means.get(trial.trial.as_str()) else { continue };
        let mean = yields.iter().sum::<f64>() / yields.len() as f64;
        // The replicates of the report stand for every mean, so that the statements are compared alike.
        let variances = variances_of_mean(&trial.error, yields.len(), mean, None);
        let Some(&(first, trusted)) = variances.first() else { continue };
        for &(second, other) in &variances[1..] {
            let difference = trusted.max(other) / trusted.min(other) - 1.0;
            if difference > MOST_DIFFERENCE {
                let kind = ProblemKind::ErrorSourcesDiffer { first, second, percent: 100.0 * difference };
                problems.warn(Place::row(TRIALS, *row), kind);
            }
        }
    }
}

#[cfg(test)]
#[path = "from_plots_tests.rs"]
mod tests;
