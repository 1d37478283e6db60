//! Means and error mean squares from `plots.csv`, and the comparison of what a trial states of its error.
//!
//! Where a trial has both means and plots, its stated means are kept: they are what was published, perhaps
//! adjusted in ways that plots alone do not show. The two must then name the same varieties, because
//! otherwise one of them is of another trial or incomplete, and which cannot be known; where they differ by more
//! than rounding, that is said. A trial in `plots.csv` alone gets its means from there; one in `means.csv` alone
//! needs no plots. What plots gave is not written beside them ([`stated`]), or it would win over plots that are
//! corrected later. Outlying plots are named, whichever means are used, and none is removed.

use super::columns::{MEANS, PLOTS, TRIALS};
use super::figures::{DATA_FIGURES, to_figures};
use super::outlying_values::OutlyingValues;
use super::problem::ProblemKind;
use super::problems::{Place, Problems};
use super::read::TypedTables;
use super::tables::{Mean, Network, Plot};
use crate::order::{Map, Set};
use crate::trial::{
    self, BlocksError, OutlyingPlot, PlotYield, TrialAnalysis, outlying_plots, variances_of_mean,
};

/// Two statements of one variance that differ by more than this share are worth a warning.
const MOST_DIFFERENCE: f64 = 0.15;
/// Of a number that is stated in full, this share is rounding.
const ROUNDING: f64 = 1e-9;
/// Figures of a mean that a message names.
const SHOWN_FIGURES: usize = 4;
/// A plot is named where chance alone would name one in a trial this often.
const OUTLYING_LEVEL: f64 = 0.05;

/// What the plots add to the tables.
#[derive(Debug, Default)]
pub(super) struct Derived {
    /// Means of trials that `means.csv` does not name.
    pub means: Vec<Mean>,
    /// Errors of the trials that do not state their own.
    pub errors: Vec<PlotErrors>,
}

/// What the plots of one trial say of its error, as an agronomist reads it. The report of the trial carries another
/// number, from which the variance of each of its means follows.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotErrors {
    /// Trial code.
    pub trial: String,
    /// Error mean square, yield unit squared: of plots within blocks where there are incomplete ones.
    pub error_ms: Option<f64>,
    /// Coefficient of variation, percent.
    pub cv: Option<f64>,
    /// Root of the average squared standard error of a difference over all pairs of means, yield unit.
    pub sed: Option<f64>,
}

/// Analyses every trial with plots, fills blank `reps` and `error_ms` of its report, and returns its means
/// where none are stated. `spoiled` trials are left alone.
pub(super) fn analyse(typed: &mut TypedTables, spoiled: &Set<String>, problems: &mut Problems) -> Derived {
    let mut trials: Map<&str, Vec<&(usize, Plot)>> = Map::new();
    for plot in typed.plots.iter().filter(|(_, plot)| !spoiled.contains(&plot.trial)) {
        trials.entry(&plot.1.trial).or_default().push(plot);
    }
    let mut stated: Map<&str, Vec<&(usize, Mean)>> = Map::new();
    for mean in &typed.means {
        stated.entry(&mean.1.trial).or_default().push(mean);
    }
    let mut derived = Derived::default();
    let mut analyses = Map::new();
    for (&trial, plots) in &trials {
        if name_blanks(trial, plots, problems) {
            continue;
        }
        let Some(analysis) = analyse_trial(trial, plots, problems) else { continue };
        name_lost_varieties(trial, plots, problems);
        match stated.get(trial) {
            Some(means) => {
                compare_varieties(trial, plots, means, problems);
                compare_means(trial, means, &analysis, problems);
            }
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
        let (reps, error_ms) = error_of(analysis);
        trial.error.reps.get_or_insert(reps);
        if trial.error.error_ms.is_none() {
            let sed = analysis.sed.map(|sed| sed.average);
            let code = trial.trial.clone();
            derived.errors.push(PlotErrors {
                trial: code,
                error_ms: analysis.error_ms,
                cv: analysis.cv,
                sed,
            });
            trial.error.error_ms = error_ms;
        }
    }
    derived
}

/// Replicates and error mean square as the plots have them.
fn error_of(analysis: &TrialAnalysis) -> (f64, Option<f64>) {
    let error_ms = analysis.effective_error_ms().filter(|ms| *ms > 0.0);
    (to_figures(analysis.replication(), DATA_FIGURES), error_ms.map(|ms| to_figures(ms, DATA_FIGURES)))
}

/// The network without the means, replicates and error mean squares that its plots give to the last bit, so that
/// reading what is left gives the network again.
pub(super) fn stated(network: &Network) -> Network {
    let mut plots: Map<&str, Vec<PlotYield<'_>>> = Map::new();
    for plot in &network.plots {
        plots.entry(&plot.trial).or_default().extend(plot_yield(plot));
    }
    let mut means: Map<&str, Vec<&Mean>> = Map::new();
    for mean in &network.means {
        means.entry(&mean.trial).or_default().push(mean);
    }
    let mut left = network.clone();
    let mut given: Map<&str, Vec<Mean>> = Map::new();
    for trial in &mut left.trials {
        let Some((code, plots)) = plots.get_key_value(trial.trial.as_str()) else { continue };
        let Ok(analysis) = trial::analyse(plots) else { continue };
        let (reps, error_ms) = error_of(&analysis);
        trial.error.reps = trial.error.reps.filter(|stated| *stated != reps);
        trial.error.error_ms = trial.error.error_ms.filter(|stated| Some(*stated) != error_ms);
        let derived: Vec<Mean> = means_of(code, &analysis).collect();
        if means.get(code).is_some_and(|stated| stated.iter().copied().eq(&derived)) {
            given.insert(code, derived);
        }
    }
    left.means.retain(|mean| !given.contains_key(mean.trial.as_str()));
    // Reading puts means from plots behind those that are stated; where they stood otherwise, all are stated.
    if !left.means.iter().chain(given.values().flatten()).eq(&network.means) {
        left.means.clone_from(&network.means);
    }
    left
}

fn plot_yield(plot: &Plot) -> Option<PlotYield<'_>> {
    let (block, yield_) = (plot.block.as_deref(), plot.yield_?);
    Some(PlotYield { variety: &plot.variety, rep: &plot.rep, block, yield_ })
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
    let harvested: Vec<(usize, PlotYield<'_>)> =
        plots.iter().filter_map(|(row, plot)| Some((*row, plot_yield(plot)?))).collect();
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
        yield_: to_figures(mean.mean, DATA_FIGURES),
        plots: Some(mean.plots as f64),
    })
}

fn compare_varieties(
    trial: &str,
    plots: &[&(usize, Plot)],
    means: &[&(usize, Mean)],
    problems: &mut Problems,
) {
    let stated: Set<&str> = means.iter().map(|(_, mean)| mean.variety.as_str()).collect();
    let harvested = plots.iter().filter(|(_, plot)| plot.yield_.is_some());
    let harvested: Set<&str> = harvested.map(|(_, plot)| plot.variety.as_str()).collect();
    let all: Set<&str> = stated.iter().chain(&harvested).copied().collect();
    let in_one = |code: &&str| stated.contains(code) != harvested.contains(code);
    let varieties: Vec<String> = all.into_iter().filter(in_one).map(str::to_owned).collect();
    if !varieties.is_empty() {
        let kind = ProblemKind::VarietiesDiffer { trial: trial.to_owned(), varieties };
        problems.error(Place::row(PLOTS, plots[0].0), kind);
    }
}

/// Names the stated mean that is farthest from what the trial's plots give, where rounding alone cannot be why.
fn compare_means(trial: &str, means: &[&(usize, Mean)], analysis: &TrialAnalysis, problems: &mut Problems) {
    let decimals = |value: f64| value.to_string().split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let most = means.iter().map(|(_, mean)| decimals(mean.yield_)).max().unwrap_or_default();
    let last_place = 10f64.powi(-i32::try_from(most).unwrap_or_default());
    let mut differing = 0;
    let mut worst: Option<(f64, usize, &str, f64, f64)> = None;
    for (row, mean) in means {
        let own = analysis.means.iter().find(|own| own.variety == mean.variety);
        let Some(from_plots) = own.map(|own| own.mean) else { continue };
        let gap = (from_plots - mean.yield_).abs();
        if gap > last_place + ROUNDING * from_plots.abs() {
            differing += 1;
            if worst.is_none_or(|(most, ..)| gap > most) {
                worst = Some((gap, *row, &mean.variety, mean.yield_, from_plots));
            }
        }
    }
    if let Some((_, row, variety, stated, from_plots)) = worst {
        let (trial, variety) = (trial.to_owned(), variety.to_owned());
        let [stated, from_plots] = [stated, from_plots].map(|mean| to_figures(mean, SHOWN_FIGURES));
        let kind = ProblemKind::MeansDiffer { trial, variety, stated, from_plots, differing };
        problems.warn(Place::cell(MEANS, row, "yield"), kind);
    }
}

fn name_lost_varieties(trial: &str, plots: &[&(usize, Plot)], problems: &mut Problems) {
    let mut lost: Map<&str, usize> = Map::new();
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
    let mut means: Map<&str, Vec<f64>> = Map::new();
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
