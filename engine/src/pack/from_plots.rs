//! Means and error mean squares from `plots.csv`, and the comparison of what a trial states of its error.
//!
//! Where a trial has both means and plots, its stated means are kept: they are what was published, perhaps
//! adjusted in ways that plots alone do not show. The two must then name the same varieties, because
//! otherwise one of them is of another trial or incomplete, and which cannot be known. A trial in
//! `plots.csv` alone gets its means from there; one in `means.csv` alone needs no plots. Outlying plots are
//! named, whichever means are used, and none is removed.

use super::columns::{PLOTS, TRIALS};
use super::outlying_values::OutlyingValues;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::read::TypedTables;
use super::tables::{Mean, Plot};
use crate::order::Gather;
use crate::trial::{
    self, BlocksError, OutlyingPlot, PlotYield, TrialAnalysis, outlying_plots, variances_of_mean,
};
use std::collections::{BTreeMap, BTreeSet};

/// Two statements of one variance that differ by more than this share are worth a warning.
const MOST_DIFFERENCE: f64 = 0.15;
/// A plot is named where chance alone would name one in a trial this often.
const OUTLYING_LEVEL: f64 = 0.05;

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
    let mut derived = Derived::default();
    let mut analyses = BTreeMap::new();
    for (&trial, plots) in &trials {
        if name_blanks(trial, plots, problems) {
            continue;
        }
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
        trial.error.reps.get_or_insert(analysis.replication());
        trial.error.error_ms = trial.error.error_ms.or(analysis.effective_error_ms().filter(|ms| *ms > 0.0));
    }
    derived
}

/// Names plots that lack the replicate or block that others of their trial have; says whether there are any.
fn name_blanks(trial: &str, plots: &[&(usize, Plot)], problems: &mut Problems) -> bool {
    let is_blank = |plot: &Plot, column: &str| match column {
        "rep" => plot.rep.is_empty(),
        _ => plot.block.is_none(),
    };
    let grown: Vec<&(usize, Plot)> = plots.iter().copied().filter(|(_, p)| p.yield_.is_some()).collect();
    let mut any = false;
    for column in ["rep", "block"] {
        let blank: Vec<usize> =
            grown.iter().filter(|(_, plot)| is_blank(plot, column)).map(|(row, _)| *row).collect();
        if blank.len() == grown.len() {
            continue;
        }
        for row in &blank {
            let kind = ProblemKind::BlankAmongPlots { trial: trial.to_owned() };
            problems.error(Place::cell(PLOTS, *row, column), kind);
        }
        any |= !blank.is_empty();
    }
    any
}

fn analyse_trial(trial: &str, plots: &[&(usize, Plot)], problems: &mut Problems) -> Option<TrialAnalysis> {
    let harvested: Vec<(usize, PlotYield<'_>)> = plots
        .iter()
        .filter_map(|(row, plot)| {
            let (block, yield_) = (plot.block.as_deref(), plot.yield_?);
            Some((*row, PlotYield { variety: &plot.variety, rep: &plot.rep, block, yield_ }))
        })
        .collect();
    let yields: Vec<PlotYield<'_>> = harvested.iter().map(|(_, plot)| *plot).collect();
    let first_row = Place::row(PLOTS, plots[0].0);
    let code = trial.to_owned();
    let kind = match trial::analyse(&yields) {
        Ok(analysis) => {
            name_blocks(trial, first_row, &analysis, problems);
            for outlying in outlying_plots(&yields, &analysis, OUTLYING_LEVEL) {
                let place = Place::cell(PLOTS, harvested[outlying.place].0, "yield");
                problems.warn(place, ProblemKind::PlotOutlying(Box::new(values_of(trial, &outlying))));
            }
            return Some(analysis);
        }
        Err(BlocksError::NoPlots) => {
            problems.warn(first_row, ProblemKind::TrialLost { trial: code });
            return None;
        }
        Err(BlocksError::NotConnected { first, other }) => {
            ProblemKind::PlotsNotConnected { trial: code, first, other }
        }
        Err(BlocksError::TooLarge { varieties, reps, blocks }) => {
            ProblemKind::TrialTooLarge { trial: code, varieties, reps, blocks }
        }
    };
    problems.error(first_row, kind);
    None
}

/// Says where a trial's blocks could not do what blocks are for.
fn name_blocks(trial: &str, place: Place<'_>, analysis: &TrialAnalysis, problems: &mut Problems) {
    if analysis.blocks_left_out {
        problems.warn(place, ProblemKind::BlocksLeftOut { trial: trial.to_owned() });
    }
    if let Some((first, other)) = analysis.blocks.as_ref().and_then(|blocks| blocks.apart.clone()) {
        problems.warn(place, ProblemKind::VarietiesApart { trial: trial.to_owned(), first, other });
    }
}

fn values_of(trial: &str, outlying: &OutlyingPlot<'_>) -> OutlyingValues {
    let plot = outlying.plot;
    OutlyingValues {
        trial: trial.to_owned(),
        variety: plot.variety.to_owned(),
        rep: plot.rep.to_owned(),
        block: plot.block.map(str::to_owned),
        yield_: plot.yield_,
        residual: outlying.residual,
        studentised: outlying.studentised,
        p_value: outlying.p_value,
    }
}

fn means_of<'a>(trial: &'a str, analysis: &'a TrialAnalysis) -> impl Iterator<Item = Mean> + 'a {
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
    let harvested: BTreeSet<&str> = harvested.map(|(_, plot)| plot.variety.as_str()).gather();
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
