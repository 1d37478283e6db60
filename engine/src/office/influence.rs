//! Which trial the head of the list hangs on: each trial left out in turn, at the variances of the whole fit.
//!
//! The model is solved anew without the trial's rows; variances, levels and the form of the model stay as all
//! trials gave them, which makes this a deletion diagnostic and not a new fit. What is compared are the differences
//! between adjusted means of one system, at middling water and with the diseases that its trials had, among varieties
//! in a current trial. It costs a solution a trial, so networks beyond [`MOST_TRIALS`] are not asked.

use super::diseases::Diseased;
use crate::forecast::model::ForecastModel;
use crate::mixed::arrow::{Likelihood, Solution, solve};
use crate::mixed::design::{Design, Effect, Extra};
use crate::mixed::effects::{Effects, Functional};
use crate::order::Set;
use crate::pack::Network;
use serde::{Deserialize, Serialize};

/// Most trials that are left out one by one.
pub const MOST_TRIALS: usize = 400;
/// How many varieties the head of a list has.
pub const HEAD: usize = 5;

/// What leaving one trial out does to the head of a system's list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Influence {
    /// Production system of the list.
    pub system: String,
    /// Trial code.
    pub trial: String,
    /// Varieties at the head with all trials, best first.
    pub head: Vec<String>,
    /// Varieties at the head without this one.
    pub head_without: Vec<String>,
    /// How many of the head leave it.
    pub replaced: usize,
    /// Largest move of a variety at the head, yield unit.
    pub largest_move: f64,
}

/// The trial whose absence changes the head of each system's list most; by varieties replaced, then by how far
/// they move. `progress` hears trials done and trials in all.
pub fn most_influential(
    network: &Network,
    model: &ForecastModel,
    progress: &mut dyn FnMut(usize, usize),
) -> Vec<Influence> {
    let design = &model.prepared.design;
    if design.trials > MOST_TRIALS {
        return Vec::new();
    }
    let current = current_blocks(network, model);
    let diseased: Vec<Diseased> =
        (0..model.prepared.systems.len()).map(|system| Diseased::of(model, system)).collect();
    let whole: Vec<Vec<Option<f64>>> = lists(model, &diseased, design, &model.solution);
    let mut worst: Vec<Option<Influence>> = vec![None; model.prepared.systems.len()];
    for trial in 0..design.trials {
        let (without, extras) = rows_without(design, trial);
        let (blocks, systems) = (design.blocks.len(), design.systems);
        let smaller = Design::new(&without, &extras, blocks, design.trials - 1, systems, design.terms);
        if let Ok(solution) = solve(&smaller, &model.fitted.variances, Likelihood::Restricted) {
            let found = lists(model, &diseased, &smaller, &solution);
            for (system, slot) in worst.iter_mut().enumerate() {
                let code = &model.prepared.trial(network, trial).trial;
                let influence =
                    compare(model, system, code, &whole[system], &found[system], &current[system]);
                let key = |i: &Influence| (i.replaced, i.largest_move);
                if slot.as_ref().is_none_or(|worst| key(&influence) > key(worst)) {
                    *slot = Some(influence);
                }
            }
        }
        progress(trial + 1, design.trials);
    }
    worst.into_iter().flatten().filter(|influence| !influence.head.is_empty()).collect()
}

/// Varieties of each system that stood there within the seasons after which a variety lapses.
fn current_blocks(network: &Network, model: &ForecastModel) -> Vec<Set<usize>> {
    let rows = &model.prepared.rows;
    let season = |row: &crate::mixed::design::Row| model.prepared.trial(network, row.trial).season;
    (0..model.prepared.systems.len())
        .map(|system| {
            let here = rows.iter().filter(|row| row.system == system);
            let latest = here.clone().map(season).max().unwrap_or_default();
            here.filter(|row| latest - season(row) < network.info.lapse_after as i32)
                .map(|row| row.block)
                .collect()
        })
        .collect()
}

/// The design's rows and dense columns without one trial's.
fn rows_without(design: &Design, trial: usize) -> (Vec<crate::mixed::design::Row>, Vec<Extra>) {
    let kept: Vec<usize> = (0..design.rows.len()).filter(|&row| design.rows[row].trial != trial).collect();
    let rows = kept.iter().map(|&row| {
        let mut row = design.rows[row];
        row.trial -= usize::from(row.trial > trial);
        row
    });
    let extras = design.extra_priors.iter().enumerate().map(|(column, prior)| Extra {
        values: kept.iter().map(|&row| design.row_extras(row)[column]).collect(),
        prior: *prior,
    });
    (rows.collect(), extras.collect())
}

/// The adjusted mean of every variety in every system but for the system's level, in shares; `None` for one without
/// rows.
fn lists(
    model: &ForecastModel,
    diseased: &[Diseased],
    design: &Design,
    solution: &Solution,
) -> Vec<Vec<Option<f64>>> {
    // A trial less moves the columns behind the trials.
    let gone = model.prepared.design.trials - design.trials;
    let effects = Effects::new(design, solution, &model.fitted.variances);
    let value = |system: usize, block: usize| {
        let wanted =
            |effect: &Effect| matches!(effect, Effect::Intercept) || *effect == Effect::System(system);
        let columns = design.blocks[block].effects.iter().enumerate().filter(|(_, effect)| wanted(effect));
        let lost = diseased[system].lost(model, block);
        let border = model.prepared.covariate_weights(block).chain(lost.learnt);
        let functional = Functional {
            border: border.map(|(column, weight)| (column - gone, weight)).collect(),
            effects: columns.map(|(place, _)| (block, place, 1.0)).collect(),
        };
        (design.blocks[block].rows > 0).then(|| effects.value(&functional) - lost.published)
    };
    (0..model.prepared.systems.len())
        .map(|system| (0..design.blocks.len()).map(|block| value(system, block)).collect())
        .collect()
}

fn compare(
    model: &ForecastModel,
    system: usize,
    trial: &str,
    whole: &[Option<f64>],
    without: &[Option<f64>],
    current: &Set<usize>,
) -> Influence {
    let head = |values: &[Option<f64>]| -> Vec<usize> {
        let mut order: Vec<(usize, f64)> =
            current.iter().filter_map(|&block| Some((block, values[block]?))).collect();
        crate::order::sort_by(&mut order, |a, b| b.1.total_cmp(&a.1));
        order.into_iter().take(HEAD).map(|(block, _)| block).collect()
    };
    let (first, second) = (head(whole), head(without));
    // Differences count, and every trial shifts all varieties alike: moves are about the average move.
    let both: Vec<(usize, f64)> =
        current.iter().filter_map(|&block| Some((block, without[block]? - whole[block]?))).collect();
    let average = both.iter().map(|(_, moved)| moved).sum::<f64>() / both.len().max(1) as f64;
    let of_head = both.iter().filter(|(block, _)| first.contains(block));
    let largest = of_head.map(|(_, moved)| (moved - average).abs()).fold(0.0, f64::max);
    let codes = |blocks: &[usize]| blocks.iter().map(|&b| model.prepared.varieties[b].clone()).collect();
    Influence {
        system: model.prepared.systems[system].clone(),
        trial: trial.to_owned(),
        replaced: first.iter().filter(|block| !second.contains(block)).count(),
        largest_move: largest * model.prepared.scale[system],
        head: codes(&first),
        head_without: codes(&second),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::test_network::network;
    use super::*;

    #[test]
    fn the_trial_that_alone_lifts_a_variety_is_found() {
        let mut network = network();
        let lifted = network.means.iter_mut().find(|m| m.trial == "B2023d" && m.variety == "V6").unwrap();
        lifted.yield_ += 60.0;
        let model = ForecastModel::fit(&network).unwrap();
        let mut seen = 0;
        let found =
            most_influential(&network, &model, &mut |done, all| seen = if done == all { all } else { seen });
        let dryland = found.iter().find(|influence| influence.system == "dryland").unwrap();
        assert_eq!(dryland.trial, "B2023d", "{found:?}");
        assert_eq!(dryland.head.len(), HEAD);
        assert!(dryland.largest_move > 0.3, "{dryland:?}");
        assert_eq!(seen, model.prepared.design.trials);
    }
}
